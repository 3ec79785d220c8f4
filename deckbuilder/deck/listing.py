"""Listing: notes as rows and JSON objects, for people and for other programs."""

from collections.abc import Mapping
from typing import Any

from deckbuilder.cards.note import Note
from deckbuilder.deck.media import medium
from deckbuilder.deck.package import guid_of

COLUMNS = (
    "level",
    "key",
    "region",
    "position",
    "fact",
    "function",
    "colour",
    "source",
    "chord",
    "symbol",
    "tones",
    "carriers",
)
"""Columns of the table for people."""


def listed(note: Note) -> Mapping[str, Any]:
    """Return a note as a JSON object.

    Args:
        note: the fact.

    Returns:
        Plain values; a field that does not apply is None. `places` holds [string, fret] for each tone of `midi`,
        string 1 being the highest; names, symbols and degrees are ASCII. `answer` is what is right where a question is
        about sound alone.
    """
    subject = note.subject
    return {
        "id": note.id,
        "guid": guid_of(note),
        "fact": subject.fact.value,
        "kinds": [kind.value for kind in note.kinds],
        "level": note.level,
        "key": subject.key,
        "region": subject.region,
        "index_fret": note.index_fret,
        "function": subject.function,
        "colour": subject.colour,
        "source": subject.source,
        "chord": note.chord,
        "symbol": note.symbol,
        "tones": list(note.tones),
        "degrees": list(note.degrees),
        "midi": list(note.midi),
        "places": [[place.string, place.fret] for place in note.places],
        "missing": list(note.missing),
        "carriers": list(note.carriers),
        "changes": list(note.changes),
        "prompt": note.prompt,
        "answer": note.heard,
        "why": note.why,
        "picture": medium(note.picture).name,
        "clip": medium(note.clip).name,
        "example": medium(note.example).name if note.example else None,
    }


def row(note: Note) -> tuple[str, ...]:
    """Return a note as a row of `COLUMNS`."""
    values = {**listed(note), "position": note.position, "tones": " ".join(note.tones)}
    values["carriers"] = " ".join(note.carriers) or None
    return tuple("–" if values[column] is None else str(values[column]) for column in COLUMNS)
