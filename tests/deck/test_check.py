"""`check` finds what is wrong with a package."""

import json
import os
import random
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
from deckbuilder.deck.check import check_package
from deckbuilder.deck.store import Store
from deckbuilder.deck.wholeness import png_problem
from deckbuilder.inputs import InputError
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


def _chunk(name: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))


def _png(width: int, height: int, image: bytes) -> bytes:
    header = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    chunks = ((b"IHDR", header), (b"IDAT", image), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(_chunk(name, data) for name, data in chunks)


def _huge_picture(side: int) -> Callable[[Members], None]:
    def damage(members: Members) -> None:
        # A picture of a few bytes whose header speaks of many.
        members[_number(members, ".png")] = _png(side, side, zlib.compress(b"\0" * 100))

    return damage


def _in_medium(suffix: str, change: Callable[[bytes], bytes]) -> Callable[[Members], None]:
    def damage(members: Members) -> None:
        number = _number(members, suffix)
        members[number] = change(members[number])

    return damage


def _with_wrong_checksum(picture: bytes) -> bytes:
    """Change the checksum of the last chunk but one."""
    return picture[:-13] + bytes((picture[-13] ^ 1,)) + picture[-12:]


def _with_flood(members: Members) -> None:
    members.update({f"stray-{number:05}": b"" for number in range(3000)})


def test_a_whole_package_has_no_problem(whole: Path) -> None:
    findings = check_package(whole)
    assert findings.problems == ()
    assert (findings.notes, findings.cards, findings.pictures, findings.clips) == (3, 5, 9, 3)


def _archive(path: Path, members: Members) -> Path:
    with zipfile.ZipFile(path, "w") as archive:
        for name, data in members.items():
            archive.writestr(name, data)
    return path


@pytest.fixture(scope="module")
def members(whole: Path) -> Members:
    with zipfile.ZipFile(whole) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


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
        (_in_medium(".png", lambda data: data + b"junk"), "(something follows its end)"),
        (_in_medium(".svg", lambda data: data[:-1]), "not a whole SVG picture"),
        (_in_medium(".svg", lambda data: data.replace(b'href="#', b'href="x#', 1)), "not a whole SVG picture"),
        (
            _in_medium(".svg", lambda data: data.replace(b"<defs>", b"<script>x</script><defs>")),
            "not a whole SVG picture",
        ),
        (_in_medium(".svg", lambda data: b"<!DOCTYPE svg>" + data), "not a whole SVG picture"),
        (_in_medium(".png", _with_wrong_checksum), "(a checksum is wrong)"),
        (_in_medium(".png", lambda data: data[:8] + data[33:]), "(its chunks are in no order)"),
        (_in_medium(".png", lambda _: _png(1, 1, zlib.compress(b"\0\0") + b"junk")), "do not end where they should"),
        (_in_medium(".png", lambda _: _png(1, 1, zlib.compress(b"\0\0")[:-1])), "do not end where they should"),
        (_in_medium(".mp3", lambda data: data[:-1]), "not a whole MP3 clip (it is cut off)"),
        (_in_medium(".mp3", lambda data: data + b"TAG"), "not a whole MP3 clip (something in it is no frame)"),
        (_in_medium(".mp3", lambda data: data + data), "not a whole MP3 clip (its information frame counts"),
        (_in_medium(".mp3", lambda _: b""), "not a whole MP3 clip (it is empty)"),
        (_with_flood, "and 2,990 more: left over in the archive"),
        # What runs when it is read.
        (
            _in_collection(
                "drop table notes; create view notes as with recursive n(i) as (select 1 union all select i + 1 from n)"
                " select i as id, i as guid, 1 as mid, '' as tags, '' as flds from n"
            ),
            "it has the view 'notes'",
        ),
        (_in_collection("create trigger t after insert on notes begin select 1; end"), "it has the trigger 't'"),
        (_in_collection("create virtual table words using fts5(word)"), "it has the virtual table 'words'"),
        (
            _in_collection(
                "drop table notes; create table notes (id, guid, mid, tags, flds as (hex(zeroblob(40000000))));"
                "insert into notes (id) values (1)"
            ),
            "it has a column of 'notes' that is computed",
        ),
        # Parts that do not agree.
        (_in_collection("update notes set mid = 5"), "its note type is not in the collection"),
        (_in_collection("update notes set flds = flds || char(31)"), "it has not as many fields as its note type"),
        (_in_collection("update notes set guid = x'00'"), "its id or its tags are no text"),
        (_in_collection("update cards set ord = 77"), "its note type has no such template"),
        (_in_collection("update cards set did = 77"), "its deck is not in the collection"),
        (_in_collection("update col set models = '{'"), "column models of the collection: it cannot be read"),
        (_in_collection("update col set decks = '[]'"), "column decks of the collection: it cannot be read"),
        (_in_collection("delete from col"), "of the collection: it cannot be read"),
        (_in_collection("update notes set guid = 'same'"), "its id is there twice"),
    ],
)
def test_damage_is_named(members: Members, tmp_path: Path, damage: Callable[[Members], None], said: str) -> None:
    members = dict(members)
    damage(members)
    broken = _archive(tmp_path / "broken.apkg", members)
    findings = check_package(broken)
    assert any(said in problem for problem in findings.problems), findings.problems
    assert len(findings.problems) < 50
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


def test_what_sqlite_rejects_is_told(members: Members, tmp_path: Path) -> None:
    """Bytes of a collection are others, in an archive that is whole: whatever SQLite’s own check rejects is told."""
    chance, rejected = random.Random(11), 0
    whole = members["collection.anki2"]
    for _ in range(60):
        damaged = bytearray(whole)
        for _ in range(chance.randint(1, 3)):
            damaged[chance.randrange(len(damaged))] ^= chance.randint(1, 255)
        if chance.random() < 0.2:
            del damaged[chance.randrange(len(damaged)) :]
        broken = _archive(tmp_path / "broken.apkg", {**members, "collection.anki2": bytes(damaged)})
        problems = check_package(broken).problems
        if _rejects(bytes(damaged)):
            rejected += 1
            assert problems
    assert rejected > 10


def _rejects(data: bytes) -> bool:
    connection = sqlite3.connect(":memory:")
    try:
        connection.deserialize(data)
        return connection.execute("pragma integrity_check").fetchall() != [("ok",)]
    except (sqlite3.Error, UnicodeDecodeError):  # its message may quote what is damaged
        return True
    finally:
        connection.close()


def test_a_damaged_picture_is_told(members: Members) -> None:
    """A picture has checksums over all of it."""
    chance, picture = random.Random(12), members[_number(members, ".png")]
    assert png_problem(picture) == ""
    for _ in range(100):
        place, bit = chance.randrange(len(picture)), 1 << chance.randrange(8)
        damaged = picture[:place] + bytes((picture[place] ^ bit,)) + picture[place + 1 :]
        assert png_problem(damaged).startswith("not a whole PNG picture"), (place, bit)


@pytest.mark.parametrize(
    "field",
    ["<img " * 200_000, "[sound:" * 200_000, "<img src='" * 100_001, "[sound:x]" * 100_000, "<img a=" * 100_000],
)
def test_a_field_that_means_to_be_slow_is_not(members: Members, tmp_path: Path, field: str) -> None:
    """A pattern that goes back takes hours for these; ours takes part of a second."""
    members = dict(members)
    _in_collection(f"update notes set flds = (select group_concat('{field.replace(chr(39), chr(39) * 2)}', char(31)))")(
        members
    )
    assert check_package(_archive(tmp_path / "slow.apkg", members)).problems


def test_a_member_that_is_there_twice_is_told(members: Members, tmp_path: Path) -> None:
    path = _archive(tmp_path / "twice.apkg", members)
    with zipfile.ZipFile(path, "a") as archive, pytest.warns(UserWarning, match="Duplicate"):
        archive.writestr("media", b"{}")
    assert check_package(path).problems == ("media: there twice in the archive",)


def test_members_that_would_fill_the_memory_are_refused_unopened(members: Members, tmp_path: Path) -> None:
    path = _archive(tmp_path / "bomb.apkg", members)
    raw = bytearray(path.read_bytes())
    for place in [at for at in range(len(raw)) if raw.startswith(b"PK\x01\x02", at)]:
        raw[place + 24 : place + 28] = (0xF0000000).to_bytes(4, "little")
    path.write_bytes(raw)
    findings = check_package(path)
    assert any("the member is too large for what it is" in problem for problem in findings.problems)
    assert findings.problems[-1] == "all members together: they unpack to more than 4 GiB"


def test_what_a_terminal_obeys_is_written_out(members: Members, tmp_path: Path) -> None:
    evil = "\x1b[2J\x1b]0;owned\x07\r\n0 problems\u202egnp"
    members = {**members, evil: b"", "media": json.dumps({**json.loads(members["media"]), "77": evil}).encode()}
    _in_collection(f"update notes set guid = '{evil}'")(members)
    told = CliRunner().invoke(main, ["check", str(_archive(tmp_path / "evil.apkg", members))])
    assert told.exit_code == 1
    assert not {"\x1b", "\x07", "\r", "\u202e"} & set(told.output)
    assert r"\u001b[2J" in told.output
    assert not any(line.startswith("0 problems") for line in told.output.splitlines())


def test_what_is_no_archive_is_told(tmp_path: Path) -> None:
    path = tmp_path / "text.apkg"
    path.write_text("not a package")
    assert "not a readable package" in check_package(path).problems[0]


def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    told = CliRunner().invoke(main, ["check", str(tmp_path / "pipe")])
    assert told.exit_code == 2
    assert "this is a pipe or a device" in told.output


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("x" * 300, "cannot be read (File name too long)"),
        ("none.apkg", "there is no such file; name the .apkg"),
        ("", "this is a folder, not a plain file; name the .apkg file"),
        ("file/deck.apkg", "cannot be read (Not a directory)"),
    ],
)
def test_what_is_no_file_is_bad_input(tmp_path: Path, name: str, said: str) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(InputError, match="name"):
        check_package(tmp_path / name)
    told = CliRunner().invoke(main, ["check", str(tmp_path / name)])
    assert (told.exit_code, type(told.exception)) == (2, SystemExit)
    assert said in told.output
