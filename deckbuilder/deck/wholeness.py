"""Wholeness of media: whether a picture or a clip is all that its format says it is, and nothing besides.

Source for pictures: the PNG specification (ISO/IEC 15948): a signature, then chunks, each with its length and a CRC-32
over its name and data, from IHDR to IEND; the IDAT chunks together are one zlib stream with a checksum of its own.
"""

import io
import struct
import warnings
import zlib
from collections.abc import Iterator

_SIGNATURE = b"\x89PNG\r\n\x1a\n"
_FRAME = 12
"""Bytes of a chunk besides its data: length, name, CRC."""
_CHUNK, _MOST_CHUNKS = 1 << 20, 1 << 10
"""Bytes of a picture that are unpacked at once, and how often."""
_NO_PICTURE = (OSError, SyntaxError, ValueError, EOFError, IndexError, OverflowError, struct.error, zlib.error)
"""What reading a damaged picture raises."""


def png_problem(data: bytes) -> str:
    """Say what is wrong with a picture.

    Args:
        data: a file's bytes.

    Returns:
        A few words; none for a whole PNG picture.
    """
    try:
        chunks = list(_chunks(data))
    except ValueError as error:
        return f"not a whole PNG picture ({error})"
    names = [name for name, _ in chunks]
    if names[0] != b"IHDR" or names.count(b"IHDR") + names.count(b"IEND") != 2:
        return "not a whole PNG picture (its chunks are in no order)"
    if not _is_readable(data):
        return "not a whole PNG picture"
    if not _is_one_stream(b"".join(part for name, part in chunks if name == b"IDAT")):
        return "not a whole PNG picture (its image data do not end where they should)"
    return ""


def _chunks(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    """Yield name and data of every chunk up to the last one, which has to be the end of the file."""
    if not data.startswith(_SIGNATURE):
        raise ValueError("it does not begin as one")
    at, name = len(_SIGNATURE), b""
    while name != b"IEND":
        if at + _FRAME > len(data):
            raise ValueError("it is cut off")
        length = int.from_bytes(data[at : at + 4], "big")
        name, end = data[at + 4 : at + 8], at + 8 + length
        if end + 4 > len(data):
            raise ValueError("it is cut off")
        if zlib.crc32(data[at + 4 : end]) != int.from_bytes(data[end : end + 4], "big"):
            raise ValueError("a checksum is wrong")
        yield name, data[at + 8 : end]
        at = end + 4
    if at != len(data):
        raise ValueError("something follows its end")


def _is_readable(data: bytes) -> bool:
    from PIL import Image

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(io.BytesIO(data), formats=("PNG",)) as image:
                image.load()
    except (*_NO_PICTURE, Image.DecompressionBombError, Image.DecompressionBombWarning):
        return False
    return True


def _is_one_stream(data: bytes) -> bool:
    """Tell whether some bytes are one whole zlib stream; what it holds is passed over piece by piece."""
    stream = zlib.decompressobj()
    try:
        for _ in range(_MOST_CHUNKS):
            stream.decompress(data, _CHUNK)
            data = stream.unconsumed_tail
            if not data:
                break
    except zlib.error:
        return False
    return stream.eof and not stream.unused_data
