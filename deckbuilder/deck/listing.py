"""Listing: notes as rows and JSON objects, for people and for other programs."""

from typing import Any

from deckbuilder.cards.facts import Slot
from deckbuilder.cards.note import Note
from deckbuilder.deck.guids import guid_of
from deckbuilder.medium import medium
from deckbuilder.speech import Names, current
from deckbuilder.theory.renaming import renamed

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
_NAMING = {"key", "chord", "symbol", "tones", "carriers"}
"""Columns that name tones."""


def note_values(note: Note) -> dict[str, Any]:
    """Return a note as a JSON object.

    Args:
        note: the fact.

    Returns:
        Plain values; a field that does not apply is None. `places` holds [string, fret] for each tone of `midi`,
        string 1 being the highest; names, symbols and degrees are ASCII. `answer` is what is right where a question is
        about sound alone.
    """
    identity, music = note.identity, note.music
    return {
        "id": note.id,
        "guid": guid_of(note),
        "fact": identity.fact.value,
        "kinds": [kind.value for kind in note.kinds],
        "level": note.level,
        "key": identity.key,
        "region": identity.region,
        "index_fret": music.region.index_fret if music.region else None,
        "function": identity.function,
        "colour": identity.colour,
        "source": identity.source,
        "chord": music.chord,
        "symbol": music.symbol,
        "tones": [tone.name for tone in music.tones],
        "degrees": list(music.degrees),
        "midi": list(music.midi),
        "places": [[place.string, place.fret] for place in music.places],
        "missing": list(music.missing),
        "carriers": [chord.symbol for chord in music.carriers],
        "changes": list(note.changes),
        "prompt": note.words.prompt,
        "answer": note.words.heard,
        "why": note.words.why,
        **{slot.value: _name(note, slot) for slot in (Slot.PICTURE, Slot.CLIP, Slot.EXAMPLE)},
    }


def _name(note: Note, slot: Slot) -> str | None:
    attachment = note.media.get(slot)
    return medium(attachment.description).name if attachment else None


def row(note: Note) -> tuple[str, ...]:
    """Return a note as a row of `COLUMNS`, tones with the names of the current speech."""
    # Not from `note_values`, which finds words and names media: five times the work.
    identity, music = note.identity, note.music
    values = (
        *(note.level, identity.key, identity.region, music.region.position if music.region else None),
        *(identity.fact.value, identity.function, identity.colour, identity.source, music.chord, music.symbol),
        *(" ".join(tone.name for tone in music.tones), " ".join(chord.symbol for chord in music.carriers) or None),
    )
    shown = ("–" if value is None else str(value) for value in values)
    names = current().names
    return tuple(
        renamed(text, Names.ENGLISH, names) if column in _NAMING else text
        for column, text in zip(COLUMNS, shown, strict=True)
    )
