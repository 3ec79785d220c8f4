"""Syllabus: every note that follows from a recipe, in the order of study."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import chain

from deckbuilder.cards.cardtypes import CARD_TYPES, CardType, switched_on
from deckbuilder.cards.changes import changes_in
from deckbuilder.cards.context import Context
from deckbuilder.cards.ear import ear_notes
from deckbuilder.cards.facts import Kind, Slot
from deckbuilder.cards.levels import LEVELS, lessons, stages
from deckbuilder.cards.note import Note
from deckbuilder.cards.passage import Passage, level_passage
from deckbuilder.cards.reasons import serving_too
from deckbuilder.cards.recipe import Order, Recipe
from deckbuilder.neck.regions import Region
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.keys import Key


def first_of_changes() -> int:
    """Return the number of the level that the first of a recipe's own changes makes."""
    return max(LEVELS) + 1


def syllabus(recipe: Recipe) -> tuple[Note, ...]:
    """List every note of a recipe, in the order in which new cards are to come.

    With `key-first` each key brings what is asked of its chords anywhere, then its regions one by one; with
    `region-first` the former of all keys come first, then the first region in all keys, and so on. Within a place,
    level follows level; what is asked of the neck comes first, then the ear, then what is played over each level's
    changes. After all levels come the recipe's own changes, one after the other.

    Args:
        recipe: what to hold.
    """
    types = tuple(row for row in CARD_TYPES.values() if row.asked(recipe.kinds))
    with recipe.own_rows():
        made = (*_level_notes(recipe, types), *_changes_notes(recipe, types))
    return _recognised_once(_each_once(switched_on(note, recipe.kinds) for note in made))


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
            asked = note.media[Slot.QUESTION_PICTURE].description
            place = (note.identity.fact, note.identity.key, note.identity.region, asked)
            first = kept.setdefault(place, note)
            if first is not note:
                why = serving_too(first.words.why, note.words.over)
                kept[place] = replace(first, words=replace(first.words, why=why))
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


def _level_notes(recipe: Recipe, types: Sequence[CardType]) -> Iterator[Note]:
    keys = tuple(Key.parse(name) for name in recipe.keys)
    heard = ear_notes(recipe)
    begun: set[Key] = set()
    if recipe.order is Order.REGION_FIRST:
        for key in keys:
            yield from _anywhere(recipe, types, key)
        begun = set(keys)
    for key, number in _places(recipe, keys):
        if key not in begun:
            begun.add(key)
            yield from _anywhere(recipe, types, key)
        yield from _region_notes(recipe, types, key, number, heard)


def _anywhere(recipe: Recipe, types: Sequence[CardType], key: Key) -> Iterator[Note]:
    for level in stages(recipe.levels, recipe.colour_names):
        for row in types:
            if row.on_level_anywhere:
                yield from row.on_level_anywhere(Context(recipe, key, level.number), level)
    for level, lesson in lessons(stages(recipe.levels, recipe.colour_names)):
        for row in types:
            if row.on_chord_anywhere:
                yield from row.on_chord_anywhere(Context(recipe, key, level.number), lesson.harmony(key))


def _region_notes(
    recipe: Recipe,
    types: Sequence[CardType],
    key: Key,
    number: int,
    heard: Mapping[tuple[str, int], tuple[Note, ...]],
) -> Iterator[Note]:
    region = recipe.region(key, number)
    levels = tuple(stages(recipe.levels, recipe.colour_names))
    contexts = {level: Context(recipe, key, level.number) for level in levels}
    for level in levels:
        if level.key_scale:
            chords = tuple(lesson.harmony(key) for lesson in level.lessons)
            yield from _on_key(types, contexts[level], region, chords, "")
    for level, lesson in lessons(levels):
        yield from _on_chord(types, contexts[level], region, lesson.harmony(key))
    for level in levels:
        pairs = [(first.harmony(key), second.harmony(key)) for first, second in level.pairs]
        yield from _on_pairs(types, contexts[level], region, pairs)
    yield from heard.get((key.name, number), ())
    for level in levels:
        yield from _on_passages(types, contexts[level], region, [level_passage(level, key)])


def _changes_notes(recipe: Recipe, types: Sequence[CardType]) -> Iterator[Note]:
    for count, form in enumerate(tune.form for tune in recipe.changes):
        names = recipe.keys if form.transposes else (recipe.keys[0],)
        read = {made.form.home: made for made in (changes_in(form, name) for name in names)}
        for key, number in _places(recipe, read):
            context, region, changes = (
                Context(recipe, key, first_of_changes() + count),
                recipe.region(key, number),
                read[key],
            )
            passages = changes.passages()
            notes = (
                _on_key(types, context, region, changes.chords, form.name),
                *(_on_chord(types, context, region, chord) for chord in changes.chords),
                _on_pairs(types, context, region, changes.pairs),
                _on_passages(types, context, region, passages),
            )
            yield from (replace(note, changes=(form.name,)) for note in chain.from_iterable(notes))


def _on_key(
    types: Sequence[CardType], context: Context, region: Region, chords: Sequence[Harmony], changes: str
) -> Iterator[Note]:
    for row in types:
        if row.on_key:
            yield from row.on_key(context, region, chords, changes)


def _on_chord(types: Sequence[CardType], context: Context, region: Region, chord: Harmony) -> Iterator[Note]:
    for row in types:
        if row.on_chord:
            yield from row.on_chord(context, region, chord)


def _on_pairs(
    types: Sequence[CardType], context: Context, region: Region, pairs: Iterable[tuple[Harmony, Harmony]]
) -> Iterator[Note]:
    for first, second in pairs:
        for row in types:
            if row.on_pair:
                yield from row.on_pair(context, region, first, second)


def _on_passages(
    types: Sequence[CardType], context: Context, region: Region, passages: Iterable[Passage]
) -> Iterator[Note]:
    for passage in passages:
        for row in types:
            if row.on_passage:
                yield from row.on_passage(context, region, passage)
