"""What tests look at in a note: its media, typed, and its tones by name."""

from deckbuilder.cards.facts import Slot
from deckbuilder.cards.note import Note
from deckbuilder.cards.tasks import TASKS
from deckbuilder.neck.regions import Region
from deckbuilder.picture.description import NeckPicture, NeckSheet
from deckbuilder.sound.description import Clip


def clip_of(note: Note) -> Clip:
    description = note.media[Slot.CLIP].description
    assert isinstance(description, Clip)
    return description


def example_of(note: Note) -> Clip | None:
    description = note.media[Slot.EXAMPLE].description if Slot.EXAMPLE in note.media else None
    assert description is None or isinstance(description, Clip)
    return description


def picture_of(note: Note, slot: Slot = Slot.PICTURE) -> NeckPicture:
    description = note.media[slot].description
    assert isinstance(description, NeckPicture)
    return description


def sheet_of(note: Note) -> NeckSheet:
    description = note.media[Slot.PICTURE].description
    assert isinstance(description, NeckSheet)
    return description


def shown_in(note: Note) -> NeckPicture | NeckSheet:
    description = note.media[Slot.PICTURE].description
    assert isinstance(description, NeckPicture | NeckSheet)
    return description


def heard_example(note: Note) -> Clip:
    found = example_of(note)
    assert found is not None
    return found


def region_of(note: Note) -> Region:
    assert note.music.region is not None
    return note.music.region


def tones_of(note: Note) -> tuple[str, ...]:
    return tuple(tone.name for tone in note.music.tones)


def task_of(note: Note) -> str:
    """Return the task of an improvisation, without what it says of single chords."""
    (text,) = (task.text for task in TASKS if note.words.question.startswith(task.text))
    return text
