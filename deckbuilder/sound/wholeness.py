"""Wholeness of a clip: whether an MP3 file is all that its frames say of themselves and of each other.

Source: ISO/IEC 11172-3 (from memory). A frame has a header and side information; what it sounds – its *main data* –
may begin in frames before it, in what these have left over, and ends within it. An information frame counts frames and
bytes and has a checksum ("Mp3 Info Tag" specification, revision 1). The main data themselves have none: a changed bit
in them is another sound, and no rule of the format tells.
"""

from collections.abc import Iterator

from deckbuilder.sound.crc import crc16
from deckbuilder.sound.frames import HEADER, frame_bytes

_MONO = 3
_RESERVED_EMPHASIS = 2
_MOST_PAIRS = 288
"""Pairs of large values that half a frame of 576 lines can have."""
_CONSTANT_RATE, _ANY_RATE = b"Info", b"Xing"
_ALL_FIELDS = 0x0F
_COUNTS, _CHECKSUM = 4, 154
"""Where the information frame’s counts and checksum lie, from its mark on."""
_STEADY = (0xFF, 0xFF, 0x0C, 0xCF)
"""Bits of a header that are the same in all frames: not the bit rate, the padding and how two channels are joined."""


def mp3_problem(data: bytes) -> str:
    """Say what is wrong with a clip.

    Args:
        data: a file's bytes.

    Returns:
        A few words; none for a whole MP3 clip.
    """
    try:
        _check(list(_frames(data)), len(data))
    except ValueError as error:
        return f"not a whole MP3 clip ({error})"
    return ""


def _frames(data: bytes) -> Iterator[bytes]:
    at = 0
    while at < len(data):
        length = frame_bytes(data[at : at + HEADER])
        if length == 0:
            raise ValueError("something in it is no frame")
        if at + length > len(data):
            raise ValueError("it is cut off")
        yield data[at : at + length]
        at += length


def _check(frames: list[bytes], size: int) -> None:
    """Refuse frames that do not agree.

    Raises:
        ValueError: they do not.
    """
    if not frames:
        raise ValueError("it is empty")
    first = frames[0]
    if first[3] & 3 == _RESERVED_EMPHASIS or any(_steady(frame) != _steady(first) for frame in frames):
        raise ValueError("its frames’ headers differ")
    start = _side_start(first) + _side_bytes(first)
    if first[start : start + 4] in (_CONSTANT_RATE, _ANY_RATE):
        frames = frames[1:]
        _check_information(first[: start + _CHECKSUM + 2], start, frames, size)
    given = taken = 0
    for frame in frames:
        begins, bits = _side_information(frame)
        start = given - begins
        given += len(frame) - _side_start(frame) - _side_bytes(frame)
        if start < taken or start * 8 + bits > given * 8:
            raise ValueError("its frames do not fit each other")
        taken = start + -(-bits // 8)


def _check_information(frame: bytes, mark: int, others: list[bytes], size: int) -> None:
    if frame[mark + 7] != _ALL_FIELDS:
        return
    counted = [int.from_bytes(frame[mark + at : mark + at + 4], "big") for at in (8, 12)]
    rates = {other[2] >> 4 for other in others}
    if counted != [len(others), size] or (frame[mark : mark + 4] == _CONSTANT_RATE and len(rates) > 1):
        raise ValueError("its information frame counts something else")
    if crc16(frame[:-2]) != int.from_bytes(frame[-2:], "big"):
        raise ValueError("its information frame is damaged")


def _steady(frame: bytes) -> tuple[int, ...]:
    return tuple(byte & mask for byte, mask in zip(frame, _STEADY, strict=False))


def _side_start(frame: bytes) -> int:
    """Byte at which the side information begins: a checksum may come before it."""
    return HEADER if frame[1] & 1 else HEADER + 2


def _side_bytes(frame: bytes) -> int:
    return 17 if frame[3] >> 6 == _MONO else 32


def _side_information(frame: bytes) -> tuple[int, int]:
    """Return how many bytes before the frame's own its main data begin, and how many bits they have."""
    start, size = _side_start(frame), _side_bytes(frame)
    bits, left = int.from_bytes(frame[start : start + size], "big"), 8 * size

    def take(count: int) -> int:
        nonlocal left
        left -= count
        return bits >> left & (1 << count) - 1

    channels = 1 if frame[3] >> 6 == _MONO else 2
    begins, length = take(9), 0
    take((5 if channels == 1 else 3) + 4 * channels)
    for _ in range(2 * channels):
        length += take(12)
        if take(9) > _MOST_PAIRS:
            raise ValueError("a frame has more values than there are")
        take(12)
        switched, kind = take(1), take(2)
        if switched and kind == 0:
            raise ValueError("a frame has a window of no kind")
        take(23)
    return begins, length
