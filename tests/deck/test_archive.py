"""The archive of a package: `zipfile` reads what is written, also where it is larger than the format's first fields."""

import io
import zipfile
from bisect import bisect_right
from typing import BinaryIO, cast

from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.deck.archive import Archive

NAMES = st.text(st.characters(min_codepoint=33, max_codepoint=126), min_size=1, max_size=30)


@given(
    members=st.dictionaries(NAMES, st.tuples(st.binary(max_size=2000), st.booleans())), comment=st.binary(max_size=99)
)
def test_what_is_written_is_read(members: dict[str, tuple[bytes, bool]], comment: bytes) -> None:
    file = io.BytesIO()
    archive = Archive(file)
    for name, (data, pack) in members.items():
        archive.add(name, data, pack=pack)
    archive.end(comment)
    with zipfile.ZipFile(file) as read:
        assert read.testzip() is None
        assert read.comment == comment
        assert [(name, read.read(name)) for name in read.namelist()] == [(name, members[name][0]) for name in members]
        deflated = [info.compress_type == zipfile.ZIP_DEFLATED for info in read.infolist()]
    assert deflated == [pack for _, pack in members.values()]


def test_a_member_is_what_zipfile_writes() -> None:
    file, other = io.BytesIO(), io.BytesIO()
    archive = Archive(file)
    archive.add("0", b"data", pack=False)
    archive.end(b"said")
    with zipfile.ZipFile(other, "w") as written:
        written.comment = b"said"
        member = zipfile.ZipInfo("0", (1980, 1, 1, 0, 0, 0))
        member.create_system = 3
        written.writestr(member, b"data")
    assert file.getvalue() == other.getvalue()


def test_there_may_be_more_members_than_sixteen_bits_count() -> None:
    file = io.BytesIO()
    archive = Archive(file)
    for number in range(1 << 16):
        archive.add(str(number), b"", pack=False)
    archive.end(b"")
    with zipfile.ZipFile(file) as read:
        assert read.namelist() == [str(number) for number in range(1 << 16)]


def test_members_may_lie_beyond_four_gigabytes() -> None:
    file = _Shared()
    archive, large = Archive(cast(BinaryIO, file)), bytes(1 << 26)
    for number in range(65):
        archive.add(f"large {number}", large, pack=False)
    archive.add("far", b"data", pack=True)
    archive.end(b"said")
    assert file.size > 1 << 32
    with zipfile.ZipFile(cast(BinaryIO, file)) as read:
        assert len(read.namelist()) == 66
        assert read.comment == b"said"
        assert read.read("far") == b"data"
        names = [f"large {number}" for number in range(64)]
        assert read.getinfo("large 64").header_offset == sum((1 << 26) + 30 + len(name) for name in names)


class _Shared:
    """A file in memory that keeps what is written to it without copying it."""

    def __init__(self) -> None:
        self._starts: list[int] = []
        self._parts: list[bytes] = []
        self._at = self.size = 0

    def write(self, part: bytes) -> None:
        self._starts.append(self.size)
        self._parts.append(part)
        self.size += len(part)

    def seekable(self) -> bool:
        return True

    def seek(self, place: int, whence: int = 0) -> int:
        self._at = place + (0, self._at, self.size)[whence]
        return self._at

    def tell(self) -> int:
        return self._at

    def read(self, count: int = -1) -> bytes:
        end, read = self.size if count < 0 else min(self._at + count, self.size), b""
        while self._at < end:
            number = bisect_right(self._starts, self._at) - 1
            start = self._at - self._starts[number]
            taken = self._parts[number][start : start + end - self._at]
            read += taken
            self._at += len(taken)
        return read
