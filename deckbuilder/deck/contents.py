"""Contents: what a package's collection says of itself, and whether its parts agree.

Follows the open format in its old layout, in which packages are written: note types and decks as JSON in `col`, the
fields of a note divided by U+001F. (From memory.)
"""

import json
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from sqlite3 import Connection
from typing import Any

from deckbuilder.deck.database import opened_database
from deckbuilder.deck.problems import Problems
from deckbuilder.deck.references import references

_NEEDED = ("col", "notes", "cards", "revlog", "graves")
_DIVIDER = "\x1f"


@dataclass(frozen=True, slots=True)
class Contents:
    """What a collection holds.

    Args:
        notes: number of notes.
        cards: number of cards.
        media: names of the media that notes show or play.
    """

    notes: int
    cards: int
    media: frozenset[str]


def contents_of(data: bytes, problems: Problems) -> Contents:
    """Read a collection.

    Args:
        data: an SQLite database.
        problems: what is wrong with it is added.

    Raises:
        DatabaseError: the database cannot be read at all.
    """
    with opened_database(data, _NEEDED, every_index=True) as (connection, _):
        types, decks = _note_types(connection, problems), _decks(connection, problems)
        notes = list(_notes(connection, types, problems))
        cards = list(connection.execute("select id, nid, did, ord from cards"))
    fields = {number: text for number, _, _, text in notes}
    kinds = {number: note_type for number, _, note_type, _ in notes}
    for guid, times in Counter(guid for _, guid, _, _ in notes).items():
        if times > 1:
            problems.add(f"note {guid}", "its id is there twice")
    twice = Counter((note, template) for _, note, _, template in cards)
    for (note, template), times in twice.items():
        if times > 1:
            problems.add(f"card {template} of note {note}", "it is there twice")
    for number, note, deck, template in cards:
        if note not in fields:
            problems.add(f"card of note {note}", "there is no such note")
        elif template not in types.get(kinds[note], ((), ()))[1]:
            problems.add(f"card {number}", "its note type has no such template")
        if deck not in decks:
            problems.add(f"card {number}", "its deck is not in the collection")
    asked = {note for _, note, _, _ in cards}
    for number in fields:
        if number not in asked:
            problems.add(f"note {number}", "it has no card")
    return Contents(len(notes), len(cards), frozenset(name for text in fields.values() for name in references(text)))


_Types = Mapping[object, tuple[tuple[str, ...], frozenset[object]]]
"""Names of the fields and numbers of the templates of each note type."""


def _note_types(connection: Connection, problems: Problems) -> _Types:
    found: dict[object, tuple[tuple[str, ...], frozenset[object]]] = {}
    for number, model in _objects(connection, "models", problems):
        try:
            fields = tuple(str(field["name"]) for field in model["flds"])
            found[int(number)] = fields, frozenset(template["ord"] for template in model["tmpls"])
        except (KeyError, TypeError, ValueError):
            problems.add(f"note type {number}", "its fields and templates cannot be read")
    return found


def _decks(connection: Connection, problems: Problems) -> frozenset[object]:
    return frozenset(int(number) for number, _ in _objects(connection, "decks", problems) if number.isdecimal())


def _objects(connection: Connection, column: str, problems: Problems) -> Iterator[tuple[str, Any]]:
    """Yield number and object of what a column of the collection's own row lists."""
    rows = connection.execute(f"select {column} from col").fetchall()
    try:
        ((text,),) = rows
        yield from json.loads(text).items()
    except (ValueError, TypeError, AttributeError, RecursionError):
        problems.add(f"column {column} of the collection", "it cannot be read")


def _notes(connection: Connection, types: _Types, problems: Problems) -> Iterator[tuple[object, object, object, str]]:
    """Yield number, id, note type and fields of each note."""
    for number, guid, note_type, tags, text in connection.execute("select id, guid, mid, tags, flds from notes"):
        if not isinstance(guid, str) or not isinstance(tags, str):
            problems.add(f"note {number}", "its id or its tags are no text")
        if not isinstance(text, str):
            problems.add(f"note {number}", "its fields are no text")
        elif note_type not in types:
            problems.add(f"note {number}", "its note type is not in the collection")
        elif text.count(_DIVIDER) != len(types[note_type][0]) - 1:
            problems.add(f"note {number}", "it has not as many fields as its note type")
        yield number, guid, note_type, text if isinstance(text, str) else ""
