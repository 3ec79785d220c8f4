"""Syllabus: every note that follows from an outline, in the order of study."""

from collections.abc import Iterator, Mapping

from deckbuilder.cards.arpeggio import arpeggio_note
from deckbuilder.cards.ear import ear_notes
from deckbuilder.cards.improvisation import improvisation_note
from deckbuilder.cards.levels import LEVELS, lessons
from deckbuilder.cards.note import Note
from deckbuilder.cards.outline import Order, Outline
from deckbuilder.cards.scale import colour_scale_note, key_scale_note
from deckbuilder.cards.setting import Setting
from deckbuilder.cards.spelling import spelling_note
from deckbuilder.theory.arpeggios import Source
from deckbuilder.theory.keys import Key


def syllabus(outline: Outline) -> tuple[Note, ...]:
    """List every note of an outline, in the order in which new cards are to come.

    With `key-first` each key brings its spellings, then its regions one by one; with `region-first` the spellings of
    all keys come first, then the first region in all keys, and so on. Within a place, level follows level; what is
    asked of the neck comes first, then the ear, then an improvisation over each level's changes.

    Args:
        outline: what to hold.
    """
    keys = tuple(Key.parse(name) for name in outline.keys)
    heard = ear_notes(outline)
    notes: list[Note] = []
    match outline.order:
        case Order.KEY_FIRST:
            for key in keys:
                notes += _spellings(outline, key)
                for number in outline.regions:
                    notes += _region_notes(outline, key, number, heard)
        case Order.REGION_FIRST:
            for key in keys:
                notes += _spellings(outline, key)
            for number in outline.regions:
                for key in keys:
                    notes += _region_notes(outline, key, number, heard)
    return tuple(note for note in notes if note.kinds)


def _spellings(outline: Outline, key: Key) -> Iterator[Note]:
    for level, lesson in lessons(outline.levels):
        for source in Source:
            yield spelling_note(Setting(outline, key, level.number), lesson.harmony(key), source)


def _region_notes(
    outline: Outline, key: Key, number: int, heard: Mapping[tuple[str, int], tuple[Note, ...]]
) -> Iterator[Note]:
    region = outline.region(key, number)
    for level_number in outline.levels:
        if LEVELS[level_number].key_scale:
            yield key_scale_note(Setting(outline, key, level_number), region)
    for level, lesson in lessons(outline.levels):
        setting, harmony = Setting(outline, key, level.number), lesson.harmony(key)
        if lesson.with_scale:
            yield colour_scale_note(setting, region, harmony)
        for source in Source:
            yield arpeggio_note(setting, region, harmony, source)
    yield from heard.get((key.name, number), ())
    for level_number in outline.levels:
        yield improvisation_note(Setting(outline, key, level_number), region, LEVELS[level_number])
