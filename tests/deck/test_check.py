"""`check` finds what is wrong with a package."""

import json
import sqlite3
import struct
import zipfile
import zlib
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from deckbuilder.build import build
from deckbuilder.cli import main
from deckbuilder.deck.check import NoPackageError, check_package
from deckbuilder.deck.store import Store
from deckbuilder.recipe import parse_recipe

RECIPE = parse_recipe({"keys": ["F"], "regions": [5], "levels": [2], "kinds": ["locate", "identify"]}, "test")
Members = dict[str, bytes]


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("whole")
    build(RECIPE, folder / "whole.apkg", store=Store(folder / "store"), timestamp=1.7e9)
    return folder / "whole.apkg"


def _number(members: Members, suffix: str) -> str:
    listed: dict[str, str] = json.loads(members["media"])
    return next(number for number, name in listed.items() if name.endswith(suffix))


def _cut_picture(members: Members) -> None:
    number = _number(members, ".png")
    members[number] = members[number][:-200]


def _fake_clip(members: Members) -> None:
    members[_number(members, ".mp3")] = b"RIFF and no frames"


def _lose_medium(members: Members) -> None:
    del members[_number(members, ".png")]


def _unlist_medium(members: Members) -> None:
    listed = json.loads(members["media"])
    del listed[_number(members, ".mp3")]
    members["media"] = json.dumps(listed).encode()


def _add_medium(members: Members) -> None:
    listed = json.loads(members["media"])
    picture = members[_number(members, ".png")]
    listed["9999"] = "spare.png"
    members["media"], members["9999"] = json.dumps(listed).encode(), picture


def _no_collection(members: Members) -> None:
    del members["collection.anki2"]


def _broken_collection(members: Members) -> None:
    members["collection.anki2"] = b"this is no database" * 100


def _broken_list(members: Members) -> None:
    members["media"] = b"{"


def _nested_list(members: Members) -> None:
    members["media"] = b"[" * 100_000


def _empty_collection(members: Members) -> None:
    members["collection.anki2"] = b""


def _in_collection(sql: str) -> Callable[[Members], None]:
    def damage(members: Members) -> None:
        connection = sqlite3.connect(":memory:")
        connection.deserialize(members["collection.anki2"])
        connection.executescript(sql)
        members["collection.anki2"] = connection.serialize()
        connection.close()

    return damage


def _png(width: int, height: int) -> bytes:
    """Return a picture of a few bytes whose header speaks of many."""
    chunks = (
        (b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)),
        (b"IDAT", zlib.compress(b"\0" * 100)),
        (b"IEND", b""),
    )
    parts = (
        struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data)) for name, data in chunks
    )
    return b"\x89PNG\r\n\x1a\n" + b"".join(parts)


def _huge_picture(side: int) -> Callable[[Members], None]:
    def damage(members: Members) -> None:
        members[_number(members, ".png")] = _png(side, side)

    return damage


def test_a_whole_package_has_no_problem(whole: Path) -> None:
    findings = check_package(whole)
    assert findings.problems == ()
    assert (findings.notes, findings.cards, findings.pictures, findings.clips) == (3, 6, 7, 3)


@pytest.mark.parametrize(
    ("damage", "said"),
    [
        (_cut_picture, "not a whole PNG picture"),
        (_fake_clip, "not a whole MP3 clip"),
        (_lose_medium, "is missing"),
        (_unlist_medium, "a note names it, but it is not in the package"),
        (_add_medium, "no note names it"),
        (_no_collection, "the archive holds no such member"),
        (_broken_collection, "not a readable collection"),
        (_broken_list, "media:"),
        (_nested_list, "media:"),
        (_empty_collection, "not a readable collection"),
        (_in_collection("update notes set flds = cast(flds as blob)"), "its fields are no text"),
        (_in_collection("update notes set flds = x'ff'; update notes set id = id + 1"), "its fields are no text"),
        (_in_collection("update cards set nid = 'nobody' || id"), "there is no such note"),
        (_in_collection("drop table cards"), "not a readable collection"),
        (_huge_picture(60_000), "not a whole PNG picture"),
        (_huge_picture(10_000), "not a whole PNG picture"),
    ],
)
def test_damage_is_named(whole: Path, tmp_path: Path, damage: Callable[[Members], None], said: str) -> None:
    with zipfile.ZipFile(whole) as archive:
        members = {name: archive.read(name) for name in archive.namelist()}
    damage(members)
    broken = tmp_path / "broken.apkg"
    with zipfile.ZipFile(broken, "w") as archive:
        for name, data in members.items():
            archive.writestr(name, data)
    assert any(said in problem for problem in check_package(broken).problems)
    told = CliRunner().invoke(main, ["check", str(broken)])
    assert (told.exit_code, type(told.exception)) == (1, SystemExit)


@pytest.fixture(scope="module")
def packed(whole: Path) -> bytes:
    """Return the package with its members deflated, as an app exports it."""
    copy = whole.with_name("packed.apkg")
    with zipfile.ZipFile(whole) as archive, zipfile.ZipFile(copy, "w", zipfile.ZIP_DEFLATED) as made:
        for name in archive.namelist():
            made.writestr(name, archive.read(name))
    return copy.read_bytes()


@pytest.mark.parametrize("member", ["collection.anki2", "media", "0"])
def test_a_member_that_cannot_be_unpacked_is_named(packed: bytes, tmp_path: Path, member: str) -> None:
    broken = tmp_path / "broken.apkg"
    broken.write_bytes(packed)
    assert check_package(broken).problems == ()
    with zipfile.ZipFile(broken) as archive:
        info = archive.getinfo(member)
    damaged, start = bytearray(packed), info.header_offset + 30 + len(member)
    damaged[start : start + 8] = b"\xff" * 8
    broken.write_bytes(damaged)
    assert any("cannot be read" in problem for problem in check_package(broken).problems)


def test_an_encrypted_member_is_named(packed: bytes, tmp_path: Path) -> None:
    broken, damaged = tmp_path / "broken.apkg", bytearray(packed)
    for header, flags in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        damaged[packed.index(header) + flags] |= 1
    broken.write_bytes(damaged)
    (problem,) = check_package(broken).problems
    assert problem.startswith("collection.anki2: the member cannot be read")


@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_whatever_is_damaged_is_told(packed: bytes, tmp_path: Path, data: st.DataObject) -> None:
    """A few bytes anywhere are others, or the end is missing: the check comes to an end and says so."""
    damaged = bytearray(packed)
    places = st.integers(0, len(packed) - 1) | st.integers(max(0, len(packed) - 1500), len(packed) - 1)
    for place in data.draw(st.lists(places, min_size=1, max_size=4)):
        damaged[place] ^= data.draw(st.integers(1, 255))
    kept = data.draw(st.just(len(packed)) | st.integers(0, len(packed)))
    broken = tmp_path / "broken.apkg"
    broken.write_bytes(damaged[:kept])
    assert isinstance(check_package(broken).problems, tuple)


def test_what_is_no_archive_is_told(tmp_path: Path) -> None:
    path = tmp_path / "text.apkg"
    path.write_text("not a package")
    assert "not a readable package" in check_package(path).problems[0]


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("none.apkg", "there is no such file; name a deck"),
        ("", "this is a folder; name the .apkg file"),
        ("file/deck.apkg", "cannot be read (Not a directory)"),
    ],
)
def test_what_is_no_file_is_bad_input(tmp_path: Path, name: str, said: str) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(NoPackageError, match="name"):
        check_package(tmp_path / name)
    told = CliRunner().invoke(main, ["check", str(tmp_path / name)])
    assert (told.exit_code, type(told.exception)) == (2, SystemExit)
    assert said in told.output
