"""Syllabus: every note that follows from a recipe, in the order of study."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import chain

from deckbuilder.cards.cardtypes import CARD_TYPES, CardType, switched_on
from deckbuilder.cards.changes import changes_in, first_of_each_colour
from deckbuilder.cards.choices import Breadth
from deckbuilder.cards.context import Context
from deckbuilder.cards.ear import ear_notes
from deckbuilder.cards.facts import Fact, Kind, Slot
from deckbuilder.cards.identity import axis_of, bears
from deckbuilder.cards.laps import asked_along, lap_names, places
from deckbuilder.cards.levels import LEVELS, Level, lessons, stages
from deckbuilder.cards.note import Note
from deckbuilder.cards.passage import Passage, level_passage
from deckbuilder.cards.reasons import serving_too
from deckbuilder.cards.recipe import Recipe
from deckbuilder.cards.sounding import asked_kinds, own_sound, sounding
from deckbuilder.cards.words import over
from deckbuilder.neck.regions import Region
from deckbuilder.speech import translate
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.keys import Key


def first_of_changes() -> int:
    """Return the number of the level that the first of a recipe's own changes makes."""
    return max(LEVELS) + 1


def syllabus(recipe: Recipe, rows: Iterable[CardType] | None = None) -> tuple[Note, ...]:
    """List every note of a recipe, in the order in which new cards are to come.

    The road goes from place to place (`deckbuilder.cards.laps`). Within a place level follows level, since they are
    heard and played together: of each first what is asked of its chords anywhere, where the key is new, then what is
    asked of the neck, then the ear, then what is played over its changes. After all levels come the recipe's own
    changes, one after the other. Blocks are each a road of their own; what two of them ask is one note, where it first
    comes, asked in the ways of both.

    Args:
        recipe: what to hold.
        rows: the card types; those of the table where none are given. A caller that asks for many recipes gives rows
            that remember what they made.
    """
    with recipe.in_force():
        return _notes(recipe, CARD_TYPES.values() if rows is None else tuple(rows))


def _notes(recipe: Recipe, rows: Iterable[CardType]) -> tuple[Note, ...]:
    names, asked = iter(lap_names(recipe)), list[Note]()
    for part in recipe.parts:
        laps = dict(zip(lap_names(part), names, strict=False))
        asked += (_in_lap(laps[note.lap], note) for note in _asked_in(part, rows))
    own, silent = own_sound(recipe), recipe.sound.silent
    notes = _recognised_once(_spelled_once(_joined_notes(asked)))
    return tuple(sounding(note, own, silent) for note in notes if _is_wanted(note, recipe.tags))


def _is_wanted(note: Note, tags: Sequence[str]) -> bool:
    """Tell whether a note bears what is wanted.

    A question for the ear is called after what it asks for, and is none where one answer alone is wanted: of one colour
    no card asks which colour sounds.
    """
    axes = list(map(axis_of, tags))
    return not tags or (axes.count(note.identity.fact) != 1 and bears(note.tags, tags))


def _in_lap(lap: str, note: Note) -> Note:
    return note if note.lap == lap else replace(note, lap=lap)


def _asked_in(part: Recipe, rows: Iterable[CardType]) -> Iterator[Note]:
    """Yield the notes of a recipe without blocks, those among them that nothing asks included."""
    part = replace(part, kinds=asked_kinds(part))
    types = tuple(row for row in rows if row.asked(part.kinds))
    made = (*_level_notes(part, types), *_changes_notes(part, types))
    return asked_along(part, _each_once(switched_on(note, part.kinds) for note in made))


def _joined_notes(notes: Iterable[Note]) -> Iterable[Note]:
    """Join what several parts ask: a note stands where it is first asked, with the kinds and the changes of all."""
    found: dict[str, Note] = {}
    for note in notes:
        first = found.get(note.id)
        if first is None or not first.kinds:
            found.pop(note.id, None)
            found[note.id] = note
        elif note.kinds:
            kinds = CARD_TYPES[note.identity.fact].asked((*first.kinds, *note.kinds))
            found[note.id] = replace(first, kinds=kinds, changes=_joined(first.changes, note.changes))
    return found.values()


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
                why = serving_too(first.words.why, over(note.music.chords[0], note.music.key))
                kept[place] = replace(first, words=replace(first.words, why=why))
                found[first.id] = kept[place]
                note = replace(note, kinds=tuple(kind for kind in note.kinds if kind is not Kind.IDENTIFY))
        found[note.id] = note
    return tuple(note for note in found.values() if note.kinds)


def _spelled_once(notes: Iterable[Note]) -> Iterator[Note]:
    """Ask once what the tones of an arpeggio over a chord are: C7alt is V altered in F and VI altered in E♭."""
    seen: set[tuple[str, str, str | None]] = set()
    for note in notes:
        asked = note.music.chord, note.music.symbol, note.identity.source
        if note.identity.fact is not Fact.SPELLING or asked not in seen:
            yield note
        if note.identity.fact is Fact.SPELLING:
            seen.add(asked)


def _joined(names: Iterable[str], others: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys((*names, *others)))


@dataclass(frozen=True)
class _Stage:
    """A level in a key: what is the same in every region.

    Args:
        level: the level.
        context: key and level.
        chords: the chords that it brings.
        pairs: the neighbouring chords that it is the first to connect.
        passage: its loop.
    """

    level: Level
    context: Context
    chords: tuple[Harmony, ...]
    pairs: tuple[tuple[Harmony, Harmony], ...]
    passage: Passage


def _level_notes(recipe: Recipe, types: Sequence[CardType]) -> Iterator[Note]:
    levels = tuple(stages(recipe.levels, recipe.colour_names))
    heard = ear_notes(recipe, types)
    road = tuple(places(recipe, map(Key.parse, recipe.keys)))
    studied = {key: tuple(_in_key(recipe, levels, key)) for key in dict.fromkeys(place.key for place in road)}
    later = _beyond_first_lap(recipe, types)
    begun: set[Key] = set()
    for place in road:
        asked = types if place.lap == road[0].lap else later
        for stage in studied[place.key]:
            context, level = stage.context, stage.level
            region = recipe.region(context.key, place.region)
            notes = (
                _anywhere(types, context, level, stage.chords) if place.key not in begun else (),
                _on_level(asked, context, region, level, stage.chords),
                _on_pairs(asked, context, region, stage.pairs),
                heard.get((place.key.name, place.region, level.loop), ()),
                _on_passages(asked, context, region, [stage.passage]),
            )
            yield from (_in_lap(place.lap, note) for note in chain.from_iterable(notes))
        begun.add(place.key)


def _in_key(recipe: Recipe, levels: Sequence[Level], key: Key) -> Iterator[_Stage]:
    """Yield the levels of a recipe in one of its keys."""
    brought = [(level, [lesson for owner, lesson in lessons(levels) if owner is level]) for level in levels]
    ways: tuple[tuple[Harmony, Harmony], ...] = ()
    for level, chords in brought:
        former, home = len(ways), level.home(key)
        pairs = ((first.harmony(home), second.harmony(home)) for first, second in level.pairs)
        ways = first_of_each_colour((*ways, *pairs))
        yield _Stage(
            level,
            Context(recipe, home, level.number),
            tuple(lesson.harmony(home) for lesson in chords),
            ways[former:],
            level_passage(level, home),
        )


def _beyond_first_lap(recipe: Recipe, types: Sequence[CardType]) -> tuple[CardType, ...]:
    """Leave out the types that ask in the first lap only, whose notes nobody would see beyond it.

    Own changes ask wherever they have the same fact, and the ear in the one place that a question was put into.
    """
    if recipe.changes:
        return tuple(types)
    return tuple(
        row
        for row in types
        if any(
            kind is Kind.HEAR or recipe.breadth.of(kind) is not Breadth.FIRST_LAP for kind in row.asked(recipe.kinds)
        )
    )


def _anywhere(types: Sequence[CardType], context: Context, level: Level, chords: Iterable[Harmony]) -> Iterator[Note]:
    for row in types:
        if row.on_level_anywhere:
            yield from row.on_level_anywhere(context, level)
    for chord in chords:
        for row in types:
            if row.on_chord_anywhere:
                yield from row.on_chord_anywhere(context, chord)


def _on_level(
    types: Sequence[CardType], context: Context, region: Region, level: Level, chords: Sequence[Harmony]
) -> Iterator[Note]:
    if level.key_scale:
        # In minor the key's scale carries one chord alone, as it may in a form.
        yield from _on_key(types, context, region, chords, translate(level.title) if level.minor else "")
    for chord in chords:
        yield from _on_chord(types, context, region, chord)


def _changes_notes(recipe: Recipe, types: Sequence[CardType]) -> Iterator[Note]:
    for count, form in enumerate(tune.form for tune in recipe.changes):
        names = recipe.keys if form.transposes else (recipe.keys[0],)
        read = {made.form.home: made for made in (changes_in(form, name) for name in names)}
        for place in places(recipe, read, count):
            context, region, changes = (
                Context(recipe, place.key, first_of_changes() + count),
                recipe.region(place.key, place.region),
                read[place.key],
            )
            passages = changes.passages()
            notes = (
                _on_key(types, context, region, changes.chords, form.name),
                *(_on_chord(types, context, region, chord) for chord in changes.chords),
                _on_pairs(types, context, region, changes.pairs),
                _on_passages(types, context, region, passages),
            )
            yield from (replace(note, changes=(form.name,), lap=place.lap) for note in chain.from_iterable(notes))


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
