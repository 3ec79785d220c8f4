"""Syllabus: every note that follows from an recipe, in the order of study."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from deckbuilder.cards import words
from deckbuilder.cards.arpeggio import arpeggio_note
from deckbuilder.cards.changes import Changes, changes_in
from deckbuilder.cards.connection import connection_notes
from deckbuilder.cards.context import Context
from deckbuilder.cards.ear import ear_notes
from deckbuilder.cards.example import example_line
from deckbuilder.cards.facts import Kind
from deckbuilder.cards.improvisation import improvisation_note
from deckbuilder.cards.levels import LEVELS, lessons, stages
from deckbuilder.cards.note import Note
from deckbuilder.cards.passage import Passage, level_passage
from deckbuilder.cards.recipe import Order, Recipe
from deckbuilder.cards.scale import chord_scale_note, key_scale_note
from deckbuilder.cards.spelling import spelling_note
from deckbuilder.cards.tasks import task_for
from deckbuilder.neck.regions import Region
from deckbuilder.theory.arpeggios import Source, arpeggio, arpeggios, under_simplest_colour
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.keys import Key

FIRST_OF_CHANGES = max(LEVELS) + 1
"""Number of the level that the first of a recipe's own changes makes."""


def syllabus(recipe: Recipe) -> tuple[Note, ...]:
    """List every note of an recipe, in the order in which new cards are to come.

    With `key-first` each key brings its spellings, then its regions one by one; with `region-first` the spellings of
    all keys come first, then the first region in all keys, and so on. Within a place, level follows level; what is
    asked of the neck comes first, then the ear, then an improvisation over each level's changes. After all levels
    come the recipe's own changes, one form after the other.

    Args:
        recipe: what to hold.
    """
    notes = [*_level_notes(recipe), *_form_notes(recipe)]
    return _recognised_once(_each_once(note for note in notes if note.kinds))


def _each_once(notes: Iterable[Note]) -> tuple[Note, ...]:
    """Keep the first of the notes with the same id; it is of all changes that have it."""
    found: dict[str, Note] = {}
    for note in notes:
        first = found.get(note.id)
        found[note.id] = note if first is None else replace(first, changes=_joined(first.changes, note.changes))
    return tuple(found.values())


def _recognised_once(notes: Iterable[Note]) -> tuple[Note, ...]:
    """Ask for a shape once in a key and region, by the first note that has it, which then says what else it serves.

    In one's own changes two chords may have the same arpeggio, as ii from the third and IV from the root: asked by
    both, the question would have two right answers.
    """
    kept: dict[tuple[object, ...], Note] = {}
    found: dict[str, Note] = {}
    for note in notes:
        if Kind.IDENTIFY in note.kinds:
            place = (note.subject.fact, note.subject.key, note.subject.region, note.bare_picture)
            first = kept.setdefault(place, note)
            if first is not note:
                kept[place] = replace(first, why=words.serving_too(first.why, note.answer.over))
                found[first.id] = kept[place]
                note = replace(note, kinds=tuple(kind for kind in note.kinds if kind is not Kind.IDENTIFY))
        found[note.id] = note
    return tuple(note for note in found.values() if note.kinds)


def _joined(names: Iterable[str], others: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys((*names, *others)))


def _places(recipe: Recipe, keys: Iterable[Key]) -> Iterator[tuple[Key, int]]:
    """Yield keys and regions in the order of study."""
    match recipe.order:
        case Order.KEY_FIRST:
            yield from ((key, number) for key in keys for number in recipe.regions)
        case Order.REGION_FIRST:
            chosen = tuple(keys)
            yield from ((key, number) for number in recipe.regions for key in chosen)


def _level_notes(recipe: Recipe) -> Iterator[Note]:
    keys = tuple(Key.parse(name) for name in recipe.keys)
    heard = ear_notes(recipe)
    spelled: set[Key] = set()
    if recipe.order is Order.REGION_FIRST:
        for key in keys:
            yield from _spellings(recipe, key)
        spelled = set(keys)
    for key, number in _places(recipe, keys):
        if key not in spelled:
            spelled.add(key)
            yield from _spellings(recipe, key)
        yield from _region_notes(recipe, key, number, heard)


def _spellings(recipe: Recipe, key: Key) -> Iterator[Note]:
    for level, lesson in lessons(stages(recipe.levels, recipe.colours)):
        for source in Source:
            made = under_simplest_colour(arpeggio(lesson.harmony(key), source))
            yield spelling_note(Context(recipe, key, level.number), made.harmony, source)


def _region_notes(
    recipe: Recipe, key: Key, number: int, heard: Mapping[tuple[str, int], tuple[Note, ...]]
) -> Iterator[Note]:
    region = recipe.region(key, number)
    levels = tuple(stages(recipe.levels, recipe.colours))
    for level in levels:
        if level.key_scale:
            chords = tuple(lesson.harmony(key) for lesson in level.lessons)
            yield key_scale_note(Context(recipe, key, level.number), region, chords)
    for level, lesson in lessons(levels):
        context, harmony = Context(recipe, key, level.number), lesson.harmony(key)
        if lesson.with_scale and harmony.scale.pitch_classes != key.scale.pitch_classes:
            yield chord_scale_note(context, region, harmony)
        yield from _arpeggio_notes(context, region, harmony)
    if Kind.CONNECT in recipe.kinds:
        for level in levels:
            context = Context(recipe, key, level.number)
            for first, second in level.pairs:
                yield from connection_notes(context, region, first.harmony(key), second.harmony(key))
    yield from heard.get((key.name, number), ())
    if Kind.IMPROVISE in recipe.kinds:
        for level in levels:
            yield _improvisation(Context(recipe, key, level.number), region, level_passage(level, key))


def _arpeggio_notes(context: Context, region: Region, harmony: Harmony) -> Iterator[Note]:
    for made in arpeggios(harmony):
        yield arpeggio_note(context, region, under_simplest_colour(made).harmony, made.source)


def _improvisation(context: Context, region: Region, passage: Passage) -> Note:
    task = task_for(passage, region, context.key.tonic.pitch_class)
    example = example_line(context, region, passage, task)
    return improvisation_note(context, region, passage, task, example)


def _form_notes(recipe: Recipe) -> Iterator[Note]:
    for count, form in enumerate(tune.form for tune in recipe.changes):
        names = recipe.keys if form.transposes else (recipe.keys[0],)
        read = {made.form.home: made for made in (changes_in(form, name) for name in names)}
        for key, number in _places(recipe, read):
            context = Context(recipe, key, FIRST_OF_CHANGES + count)
            for note in _changes_notes(context, recipe.region(key, number), read[key]):
                yield replace(note, changes=(form.name,))


def _changes_notes(context: Context, region: Region, changes: Changes) -> Iterator[Note]:
    recipe, key = context.recipe, context.key
    if any(chord.scale.pitch_classes == key.scale.pitch_classes for chord in changes.chords):
        yield key_scale_note(context, region, changes.chords, changes.form.name)
    for chord in changes.chords:
        if chord.scale.pitch_classes != key.scale.pitch_classes:
            yield chord_scale_note(context, region, chord)
        yield from _arpeggio_notes(context, region, chord)
    if Kind.CONNECT in recipe.kinds:
        for first, second in changes.pairs:
            yield from connection_notes(context, region, first, second)
    if Kind.IMPROVISE in recipe.kinds:
        for passage in changes.passages(recipe.sound.loop_tempo):
            yield _improvisation(context, region, passage)
