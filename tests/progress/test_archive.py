"""Exports are read in every container form, are never changed, and hostile ones are refused."""

import random
import sqlite3
import zipfile
from contextlib import suppress
from pathlib import Path

import pytest
import zstandard

from deckbuilder.progress.archive import HistoryError, collection_bytes
from deckbuilder.progress.history import NothingToSayError
from tests.progress.exports import (
    CONTAINERS,
    CREATED,
    DAY,
    Log,
    StudiedCard,
    StudiedNote,
    write_collection,
    write_export,
)
from tests.progress.read import read_history

NOW = CREATED + 30.5 * DAY
TAGS = {"level": 1, "key": "F", "region": 5, "fact": "arpeggio", "tuning": "standard"}
NOTE = StudiedNote("E2-A2/arpeggio/F/region-5-of-5/ii/root", TAGS, (StudiedCard(1, (Log(CREATED + 3600, 3),)),))


@pytest.mark.parametrize("container", CONTAINERS)
def test_every_container_tells_the_same(tmp_path: Path, container: str) -> None:
    history = read_history(write_export(tmp_path / "export", [NOTE], container), NOW)
    (card,) = history.cards
    assert (card.note, card.kind, card.axes["key"]) == (NOTE.id, "identify", "F")
    assert [(answer.day, answer.grade) for answer in card.answers] == [(0, 3)]
    assert (history.instrument, history.region_count, history.today) == ("E2-A2", 5, 30)


@pytest.mark.parametrize("container", CONTAINERS)
def test_reading_changes_and_leaves_nothing(tmp_path: Path, container: str) -> None:
    path = write_export(tmp_path / "export", [NOTE], container)
    path.chmod(0o444)
    before, listed = (path.read_bytes(), path.stat().st_mtime_ns), sorted(tmp_path.iterdir())
    read_history(path, NOW)
    assert (path.read_bytes(), path.stat().st_mtime_ns) == before
    assert sorted(tmp_path.iterdir()) == listed


def archive(path: Path, members: dict[str, bytes]) -> Path:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as made:
        for name, data in members.items():
            made.writestr(name, data)
    return path


@pytest.mark.parametrize("name", ["../../evil", "/etc/evil", "media/../../evil", "..\\evil", "C:\\evil"])
def test_names_that_climb_are_refused(tmp_path: Path, name: str) -> None:
    inner = write_collection(tmp_path / "inner", [NOTE]).read_bytes()
    path = archive(tmp_path / "export.apkg", {"collection.anki2": inner, name: b"x"})
    with pytest.raises(HistoryError, match="climb"):
        read_history(path, NOW)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["export.apkg", "inner"]


def test_a_bomb_of_declared_size_is_refused_unopened(tmp_path: Path) -> None:
    path = archive(tmp_path / "bomb.apkg", {"collection.anki21": b"SQLite format 3\0" + bytes(5 << 20)})
    with pytest.raises(HistoryError, match="more than 4 MiB"):
        collection_bytes(path, largest=4 << 20)


@pytest.mark.parametrize("start", [b"SQLite format 3\0", b""])
def test_a_compressed_bomb_is_refused_while_it_streams(tmp_path: Path, start: bytes) -> None:
    bomb = zstandard.compress(start + bytes(64 << 20))
    assert len(bomb) < 10_000
    path = archive(tmp_path / "bomb.apkg", {"collection.anki21b": bomb})
    with pytest.raises(HistoryError, match="more than 4 MiB" if start else "not an SQLite database"):
        collection_bytes(path, largest=4 << 20)


def test_a_size_that_lies_is_not_believed(tmp_path: Path) -> None:
    path = archive(tmp_path / "liar.apkg", {"collection.anki2": b"SQLite format 3\0" + bytes(1 << 20)})
    raw = bytearray(path.read_bytes())
    place = raw.rindex(b"PK\x01\x02")
    raw[place + 24 : place + 28] = (100).to_bytes(4, "little")
    path.write_bytes(raw)
    with pytest.raises(HistoryError, match=r"damaged|not a readable"):
        read_history(path, NOW)


@pytest.mark.parametrize("container", CONTAINERS)
@pytest.mark.parametrize("kept", [0.0, 0.3, 0.9])
def test_a_truncated_file_is_told(tmp_path: Path, container: str, kept: float) -> None:
    path = write_export(tmp_path / "export", [NOTE], container)
    path.write_bytes(path.read_bytes()[: int(path.stat().st_size * kept)])
    with pytest.raises(HistoryError, match=str(path)):
        read_history(path, NOW)


@pytest.mark.parametrize("container", CONTAINERS)
def test_a_file_with_a_few_wrong_bytes_is_read_or_told(tmp_path: Path, container: str) -> None:
    """Bytes that a failing disk changed, anywhere: the history comes out, or one clear error."""
    path = write_export(tmp_path / "export", [NOTE], container)
    whole, chance = path.read_bytes(), random.Random(20)
    for _ in range(150):
        damaged = bytearray(whole)
        for _ in range(chance.randint(1, 4)):
            damaged[chance.randrange(len(damaged))] ^= chance.randint(1, 255)
        path.write_bytes(damaged)
        with suppress(HistoryError):
            collection_bytes(path)


@pytest.mark.parametrize("member", ["collection.anki2", "collection.anki21"])
def test_a_member_that_cannot_be_unpacked_is_told(tmp_path: Path, member: str) -> None:
    inner = write_collection(tmp_path / "inner", [NOTE]).read_bytes()
    path = archive(tmp_path / "export.apkg", {member: inner})
    raw = bytearray(path.read_bytes())
    start = 30 + len(member)
    raw[start : start + 8] = b"\xff" * 8
    path.write_bytes(raw)
    with pytest.raises(HistoryError, match=r"the archive is damaged .*; export it again"):
        read_history(path, NOW)


@pytest.mark.parametrize("container", ["anki2", "anki21b"])
def test_a_truncated_collection_in_a_whole_archive_is_told(tmp_path: Path, container: str) -> None:
    data = write_collection(tmp_path / "inner", [NOTE]).read_bytes()[:-4096]
    stored = zstandard.compress(data) if container == "anki21b" else data
    path = archive(tmp_path / "cut.apkg", {f"collection.{container}": stored})
    with pytest.raises(HistoryError, match="export it again"):
        read_history(path, NOW)


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("text", b"just words, no collection"),
        ("empty", b""),
        ("sqlite-by-name-only", b"SQLite format 3\0" + b"x" * 5000),
    ],
)
def test_what_is_no_collection_is_told(tmp_path: Path, name: str, data: bytes) -> None:
    path = tmp_path / name
    path.write_bytes(data)
    with pytest.raises(HistoryError, match=name):
        read_history(path, NOW)
    zipped = archive(tmp_path / f"{name}.apkg", {"collection.anki2": data})
    with pytest.raises(HistoryError, match=name):
        read_history(zipped, NOW)


def test_a_missing_file_a_folder_and_an_archive_without_collection_are_told(tmp_path: Path) -> None:
    for path in (tmp_path / "missing", tmp_path, archive(tmp_path / "other.zip", {"readme": b"x"})):
        with pytest.raises(HistoryError, match=str(path)):
            read_history(path, NOW)


def test_a_collection_that_is_open_elsewhere_is_told(tmp_path: Path) -> None:
    path = write_collection(tmp_path / "collection.anki2", [NOTE])
    path.with_name("collection.anki2-wal").write_bytes(b"later answers")
    with pytest.raises(HistoryError, match="close the app"):
        read_history(path, NOW)


def test_an_sqlite_database_of_another_program_is_told(tmp_path: Path) -> None:
    path = tmp_path / "other.db"
    connection = sqlite3.connect(path)
    connection.execute("create table songs (name text)")
    connection.commit()
    connection.close()
    with pytest.raises(HistoryError, match="no table col"):
        read_history(path, NOW)


@pytest.mark.parametrize(
    "sql",
    [
        # A view in a table's place, which would count for ever.
        "drop table revlog; create view revlog as with recursive n(i) as (select 1 union all select i + 1 from n) "
        "select i as id, i as cid, 3 as ease, 1 as factor, 1 as time, 1 as type from n",
        # A virtual table in its place.
        "drop table revlog; create virtual table revlog using fts5(id, cid, ease, factor, time, type)",
        # Values of the wrong kind.
        "update revlog set cid = 'nobody'",
        "update col set crt = null; ",
        "update col set models = '[1, 2'",
        """update col set models = '{"1": {"flds": 3}}'""",
        f"update col set models = '{'[' * 100_000}'",
        "delete from col",
    ],
)
def test_a_malformed_collection_is_told(tmp_path: Path, sql: str) -> None:
    path = write_collection(tmp_path / "collection.anki2", [NOTE])
    connection = sqlite3.connect(path)
    connection.executescript("pragma ignore_check_constraints = on;")
    connection.executescript(sql.replace("= null", "= x'00'"))
    connection.commit()
    connection.close()
    with pytest.raises(HistoryError):
        read_history(path, NOW)


def test_a_table_that_computes_is_refused(tmp_path: Path) -> None:
    path = write_collection(tmp_path / "collection.anki2", [NOTE])
    connection = sqlite3.connect(path)
    connection.executescript(
        "drop table revlog; create table revlog (id integer, cid integer, ease integer, factor integer, "
        "time integer, type integer as (length(hex(zeroblob(time)))))"
    )
    connection.execute("insert into revlog (id, cid, ease, factor, time) values (1, 1, 3, 1, 5)")
    connection.commit()
    connection.close()
    with pytest.raises(HistoryError, match="a column of 'revlog' that is computed"):
        read_history(path, NOW)


def test_a_foreign_deck_and_an_empty_history_leave_nothing_to_say(tmp_path: Path) -> None:
    foreign = StudiedNote("a word", {}, (StudiedCard(0, (Log(CREATED + 3600, 3),)),), note_type=3)
    with pytest.raises(NothingToSayError, match="no note in it was made by deckbuilder"):
        read_history(write_export(tmp_path / "foreign.apkg", [foreign], "anki2"), NOW)
    fresh = StudiedNote(NOTE.id, TAGS, (StudiedCard(0, type=0, queue=0),))
    with pytest.raises(NothingToSayError, match="nothing was studied yet"):
        read_history(write_export(tmp_path / "fresh.apkg", [fresh], "anki2"), NOW)
