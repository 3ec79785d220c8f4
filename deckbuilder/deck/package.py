"""Package: notes and media as one `.apkg` file.

The collection inside is genanki's; the archive around it is written here with fixed dates and in a fixed order, so that
the same notes, media and time stamp give the same bytes.
"""

import hashlib
import itertools
import json
import sqlite3
import zipfile
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import closing
from pathlib import Path

import genanki

from deckbuilder.cards.cardtypes import CARD_TYPES
from deckbuilder.cards.naming import names_told
from deckbuilder.cards.note import Note
from deckbuilder.deck.fields import fields_of
from deckbuilder.deck.guids import guid_of
from deckbuilder.deck.marks import deck_comment, refuse_foreign_deck
from deckbuilder.deck.notetypes import field_names, model_of
from deckbuilder.deck.store import StoreError
from deckbuilder.deck.unfinished import finished, meant, sweep
from deckbuilder.deck.writers import PackageError
from deckbuilder.speech import marked, translate

GUIDE = marked(
    "New cards come lap by lap, in the order of study. To study a key, a region or a level apart, search for its tag, "
    "tag:key::F, tag:region::5 or tag:level::2, or for several: tag:key::F tag:level::2. Away from the instrument add "
    "-tag:instrument::needed."
)
CAUTION = marked(
    "Start the sound quietly and keep earphones low. When you take these to the instrument, rest your hands, "
    "stop on pain and see a professional if it stays. Do not study while driving."
)
LIMIT = marked("Meant for {count} new cards a day: set that in your app, in the options of this deck.")
"""All are shown with every subdeck, the last where a recipe names a limit."""

COLLECTION = "collection.anki2"
"""The member of a package that holds notes and cards."""
_ZIP_EPOCH = (1980, 1, 1, 0, 0, 0)
_FIRST_DECK_ID = 1 << 30
_WRITTEN = ".svg"
"""How media end that are text; pictures and sound are packed as they are."""
_LEVEL = 1
"""zlib's level; 6 takes twice as long for a tenth of the bytes."""


def write_package(
    target: Path,
    title: str,
    notes: Sequence[Note],
    media: Mapping[str, bytes],
    timestamp: float,
    new_limit: int | None = None,
) -> None:
    """Write a package beside its target and put it in place when it is whole.

    Args:
        target: the file to write; an earlier one is replaced.
        title: name of the deck; each lap is a subdeck of it.
        notes: the notes, in the order of study.
        media: bytes of every picture and clip by file name; each is asked for once.
        timestamp: s since 1970; importers update notes whose stamp is newer than what they have.
        new_limit: new cards a day that the deck is meant for; None for what the player's app has.

    Raises:
        PackageError: the folder cannot be written; what was there before is untouched.
        StoreError: a medium cannot be read from a store.
    """
    try:
        sweep(target.parent)
        refuse_foreign_deck(target, title)
        with finished(target) as path, zipfile.ZipFile(path, "w") as archive:
            archive.comment = deck_comment(title)
            for name, data, is_text in _members(_collection(title, notes, timestamp, new_limit), media):
                how = zipfile.ZIP_DEFLATED if is_text else zipfile.ZIP_STORED
                archive.writestr(zipfile.ZipInfo(name, _ZIP_EPOCH), data, how, _LEVEL)
    except StoreError:
        raise
    except OSError as error:
        reason = f"{meant(target)}: the deck cannot be written ({error.strerror})"
        raise PackageError(f"{reason}; name another folder with --out or free the disk") from error


def subdeck_name(title: str, note: Note) -> str:
    """Name a note's subdeck, its lap: `Title::Lap 1 · Region 1`."""
    return f"{title}::{note.lap}"


def _collection(title: str, notes: Sequence[Note], timestamp: float, new_limit: int | None) -> bytes:
    about = _about(new_limit)
    decks: dict[str, genanki.Deck] = {}
    for position, note in enumerate(notes, start=1):
        name = subdeck_name(title, note)
        if name not in decks:
            decks[name] = genanki.Deck(_deck_id(name), name, description=about)
        decks[name].add_note(_genanki_note(note, position))
    # genanki would write the collection through a temporary file that it never removes.
    with closing(sqlite3.connect(":memory:")) as connection:
        ids = itertools.count(int(timestamp * 1000))
        genanki.Package(list(decks.values())).write_to_db(connection.cursor(), timestamp, ids)
        connection.commit()
        return connection.serialize()


def _about(new_limit: int | None) -> str:
    """Describe a deck: how notes are named, how to study it, how many new cards a day it is meant for, its cautions."""
    limit = translate(LIMIT).format(count=new_limit) if new_limit else ""
    return " ".join(filter(None, (names_told(), translate(GUIDE), limit, translate(CAUTION))))


def _genanki_note(note: Note, position: int) -> genanki.Note:
    row = CARD_TYPES[note.identity.fact]
    fields = fields_of(note)
    return genanki.Note(
        model=model_of(row),
        fields=[fields.get(name, "") for name in field_names(row)],
        guid=guid_of(note),
        tags=list(note.tags),
        due=position,
    )


def _deck_id(name: str) -> int:
    return _FIRST_DECK_ID + int.from_bytes(hashlib.sha256(name.encode()).digest()[:4], "big")


def _members(collection: bytes, media: Mapping[str, bytes]) -> Iterator[tuple[str, bytes, bool]]:
    """Yield what lies in the archive: its name, its bytes, and whether packing makes it smaller."""
    names: Iterable[str] = sorted(media)
    numbered = {str(number): name for number, name in enumerate(names)}
    yield COLLECTION, collection, True
    yield "media", json.dumps(numbered).encode(), True
    for number, name in numbered.items():
        yield number, media[name], name.endswith(_WRITTEN)
