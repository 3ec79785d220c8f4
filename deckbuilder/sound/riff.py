"""The chunks of a SoundFont file: its tables and its samples.

A file is given as bytes that may lie on disk still: of 140 MB only tables of some kilobytes are read before a note
sounds.

Source: SoundFont Technical Specification 2.04 (E-mu Systems, 2006), ch. 4, 5 and 7.
"""

from collections.abc import Iterator, Mapping
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from deckbuilder.sound.description import SoundError

Bytes = NDArray[np.uint8]
Tables = Mapping[str, NDArray[Any]]

REMEDY: Final = "use a SoundFont 2 file (.sf2) that other programs open"
COMPRESSED: Final = "its samples are compressed (SoundFont 3, .sf3); convert it to an uncompressed .sf2"

_HEADER: Final = 8  # bytes of a chunk before its data
_VERSION, _COMPRESSED_VERSION = 2, 3  # bytes of it, and the first number of a version that is compressed

_RECORDS: Final = {
    "phdr": [("name", "S20"), ("program", "<u2"), ("bank", "<u2"), ("bag", "<u2"), ("rest", "V12")],
    "pbag": [("generator", "<u2"), ("modulator", "<u2")],
    "pgen": [("what", "<u2"), ("amount", "<u2")],
    "inst": [("name", "S20"), ("bag", "<u2")],
    "ibag": [("generator", "<u2"), ("modulator", "<u2")],
    "igen": [("what", "<u2"), ("amount", "<u2")],
    "shdr": [
        ("name", "S20"),
        *((name, "<u4") for name in ("start", "end", "loop", "loop_end", "rate")),
        ("root", "u1"),
        ("correction", "i1"),
        ("link", "<u2"),
        ("type", "<u2"),
    ],
}
"""Tables of a file; each ends in a record that says only where the last but one ends."""


def read_tables(data: Bytes) -> tuple[Tables, NDArray[np.int16]]:
    """Return a SoundFont's tables by the names of their chunks, and its sample data.

    Args:
        data: the file's bytes.

    Raises:
        SoundError: they are no SoundFont 2, or it is compressed, damaged or cut off.
    """
    if len(data) < 12 or _tag(data, 0) != "RIFF" or _tag(data, 8) != "sfbk":
        raise SoundError(f"this is no SoundFont; {REMEDY}")
    end = _HEADER + _number(data, 4)
    if end > len(data):
        raise SoundError(f"it is cut off ({len(data):,} bytes of {end:,}); get the whole file again")
    lists = [(begin + 4, stop) for tag, begin, stop in _chunks(data, 12, end) if tag == "LIST"]
    found = {tag: data[begin:stop] for part in lists for tag, begin, stop in _chunks(data, *part)}
    if "ifil" in found and _number(found["ifil"], 0, _VERSION) == _COMPRESSED_VERSION:
        raise SoundError(COMPRESSED)
    missing = [name for name in (*_RECORDS, "smpl") if name not in found]
    if missing:
        raise SoundError(f"it is no whole SoundFont (it has no {missing[0]}); {REMEDY}")
    samples = found["smpl"]
    return {name: _table(name, found[name]) for name in _RECORDS}, samples[: len(samples) // 2 * 2].view("<i2")


def _chunks(data: Bytes, begin: int, end: int) -> Iterator[tuple[str, int, int]]:
    """Yield the chunks in a stretch of a file: their tags, where their data begin and where they end."""
    while begin + _HEADER <= end:
        tag, size = _tag(data, begin), _number(data, begin + 4)
        begin += _HEADER
        if size > end - begin:
            raise SoundError(f"it is damaged or cut off (chunk {tag!r} ends after what holds it); {REMEDY}")
        yield tag, begin, begin + size
        begin += size + size % 2


def _table(name: str, data: Bytes) -> NDArray[Any]:
    record = np.dtype(_RECORDS[name])
    if not len(data) or len(data) % record.itemsize:
        raise SoundError(f"it is damaged ({name} has {len(data):,} bytes, no multiple of {record.itemsize}); {REMEDY}")
    return data.view(record)


def _tag(data: Bytes, at: int) -> str:
    return data[at : at + 4].tobytes().decode("latin-1")


def _number(data: Bytes, at: int, size: int = 4) -> int:
    return int.from_bytes(data[at : at + size].tobytes(), "little")
