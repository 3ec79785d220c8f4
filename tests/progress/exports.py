"""Exports: study histories written the way apps export them, in every container form (the open format, from memory)."""

import json
import sqlite3
import zipfile
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

import genanki
import zstandard

DAY = 86_400
CREATED = 1_700_006_400
"""Start of the collection's first study day, s since 1970."""

CARD_TYPES = {
    1: ("Neck: arpeggio in a region", ("Prompt", "Id"), ("locate", "identify", "hear")),
    2: ("Neck: spelling of an arpeggio", ("Prompt", "Id"), ("spell",)),
    3: ("Somebody else’s words", ("Front", "Back"), ("Card 1",)),
}


@dataclass(frozen=True)
class Log:
    """An answer: s since 1970, grade, s it took, kind of study, ease factor."""

    at: float
    grade: int
    seconds: float = 8.0
    study: int = 1
    factor: int = 2500


@dataclass(frozen=True)
class StudiedCard:
    """A card with its place in the schedule."""

    template: int
    log: tuple[Log, ...] = ()
    type: int = 2
    queue: int = 2
    due: int = 0
    interval: int = 1
    lapses: int = 0
    data: str = ""
    original_due: int = 0
    original_deck: int = 0


@dataclass(frozen=True)
class StudiedNote:
    """A note with its cards."""

    id: str
    tags: Mapping[str, object]
    cards: tuple[StudiedCard, ...]
    note_type: int = 1
    guid: str | None = None
    more_tags: tuple[str, ...] = field(default=())

    @property
    def fields(self) -> str:
        return f"a question\x1f{self.id}"


_COMMON = """
create table notes (id integer primary key, guid text not null, mid integer not null, mod integer not null,
  usn integer not null, tags text not null, flds text not null, sfld integer not null, csum integer not null,
  flags integer not null, data text not null);
create table cards (id integer primary key, nid integer not null, did integer not null, ord integer not null,
  mod integer not null, usn integer not null, type integer not null, queue integer not null, due integer not null,
  ivl integer not null, factor integer not null, reps integer not null, lapses integer not null,
  left integer not null, odue integer not null, odid integer not null, flags integer not null, data text not null);
create table revlog (id integer primary key, cid integer not null, usn integer not null, ease integer not null,
  ivl integer not null, lastIvl integer not null, factor integer not null, time integer not null,
  type integer not null);
create table col (id integer primary key, crt integer not null, mod integer not null, scm integer not null,
  ver integer not null, dty integer not null, usn integer not null, ls integer not null, conf text not null,
  models text not null, decks text not null, dconf text not null, tags text not null);
create index ix_revlog_cid on revlog (cid);
"""

_NEW_LAYOUT = """
create table fields (ntid integer not null, ord integer not null, name text not null collate unicase,
  config blob not null, primary key (ntid, ord)) without rowid;
create unique index idx_fields_name_ntid on fields (name, ntid);
create table templates (ntid integer not null, ord integer not null, name text not null collate unicase,
  mtime_secs integer not null, usn integer not null, config blob not null, primary key (ntid, ord)) without rowid;
create unique index idx_templates_name_ntid on templates (name, ntid);
create table notetypes (id integer not null primary key, name text not null collate unicase,
  mtime_secs integer not null, usn integer not null, config blob not null);
create unique index idx_notetypes_name on notetypes (name);
create table tags (tag text not null primary key collate unicase, usn integer not null, collapsed boolean not null,
  config blob null) without rowid;
"""


_NEW_DECKS = "create table decks (id integer primary key not null, name text not null collate unicase);"


def write_collection(
    path: Path, notes: Iterable[StudiedNote], *, new_layout: bool = False, wal: bool = False, deck: str = ""
) -> Path:
    """Write a bare collection, all cards in one deck."""
    connection = sqlite3.connect(path)
    connection.create_collation("unicase", lambda a, b: (a.casefold() > b.casefold()) - (a.casefold() < b.casefold()))
    if wal:
        connection.execute("pragma journal_mode = wal")
    connection.executescript(_COMMON + (_NEW_LAYOUT + _NEW_DECKS * bool(deck) if new_layout else ""))
    models = {
        str(number): {
            "name": name,
            "flds": [{"name": field_name, "ord": ordinal} for ordinal, field_name in enumerate(fields)],
            "tmpls": [{"name": template, "ord": ordinal} for ordinal, template in enumerate(templates)],
        }
        for number, (name, fields, templates) in CARD_TYPES.items()
    }
    version, text = (18, "") if new_layout else (11, json.dumps(models))
    decks = json.dumps({"1": {"name": deck}}) if deck and not new_layout else ""
    row = (CREATED, version, text, decks)
    connection.execute("insert into col values (1, ?, 0, 0, ?, 0, 0, 0, '', ?, ?, '', '')", row)
    if deck and new_layout:
        connection.execute("insert into decks values (1, ?)", (deck.replace("::", "\x1f"),))
    if new_layout:
        for number, (name, fields, templates) in CARD_TYPES.items():
            connection.execute("insert into notetypes values (?, ?, 0, 0, x'08')", (number, name))
            for ordinal, field_name in enumerate(fields):
                connection.execute("insert into fields values (?, ?, ?, x'08')", (number, ordinal, field_name))
            for ordinal, template in enumerate(templates):
                connection.execute("insert into templates values (?, ?, ?, 0, 0, x'08')", (number, ordinal, template))
    _fill(connection, notes)
    connection.commit()
    connection.close()
    return path


def _fill(connection: sqlite3.Connection, notes: Iterable[StudiedNote]) -> None:
    taken: set[int] = set()
    card_number = 0
    for number, note in enumerate(notes, start=1):
        tags = " ".join([*(f"{axis}::{value}" for axis, value in note.tags.items()), *note.more_tags])
        guid = genanki.guid_for(note.id) if note.guid is None else note.guid
        connection.execute(
            "insert into notes values (?, ?, ?, 0, -1, ?, ?, 'a question', 0, 0, '')",
            (number, guid, note.note_type, f" {tags} ", note.fields),
        )
        for card in note.cards:
            card_number += 1
            connection.execute(
                "insert into cards values (?, ?, 1, ?, 0, -1, ?, ?, ?, ?, 2500, 0, ?, 0, ?, ?, 0, ?)",
                (
                    card_number,
                    number,
                    card.template,
                    card.type,
                    card.queue,
                    card.due,
                    card.interval,
                    card.lapses,
                    card.original_due,
                    card.original_deck,
                    card.data,
                ),
            )
            rows = []
            for log in card.log:
                at = round(log.at * 1000)
                while at in taken:
                    at += 1
                taken.add(at)
                rows.append((at, card_number, log.grade, log.factor, round(log.seconds * 1000), log.study))
            connection.executemany("insert into revlog values (?, ?, -1, ?, 1, 1, ?, ?, ?)", rows)


CONTAINERS = ("anki2", "anki21", "anki21b", "bare", "bare-new", "bare-wal")
"""Every container form an export may have."""


def write_export(path: Path, notes: Iterable[StudiedNote], container: str, deck: str = "") -> Path:
    """Write an export in a container form; the newer archives carry an old stub beside the real collection."""
    notes = list(notes)
    if container.startswith("bare"):
        return write_collection(path, notes, new_layout=container == "bare-new", wal=container == "bare-wal", deck=deck)
    inner = write_collection(path.with_name("inner"), notes, new_layout=container == "anki21b", deck=deck)
    stub = write_collection(path.with_name("stub"), [])
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("media", "{}")
        if container == "anki2":
            archive.write(inner, "collection.anki2")
        else:
            archive.write(stub, "collection.anki2")
            data = inner.read_bytes()
            if container == "anki21b":
                data = zstandard.compress(data)
                archive.writestr("meta", b"\x08\x03")
            archive.writestr(f"collection.{container}", data)
    inner.unlink()
    stub.unlink()
    return path
