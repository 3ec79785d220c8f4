"""The lines of the default deck and of the included recipes, with their changes, made once a process."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from itertools import pairwise
from pathlib import Path

from deckbuilder.cards.changes import changes_in
from deckbuilder.cards.facts import Fact, Kind
from deckbuilder.cards.levels import LEVELS
from deckbuilder.cards.note import Note
from deckbuilder.cards.passage import Passage, level_passage
from deckbuilder.cards.recipe import Recipe
from deckbuilder.cards.syllabus import first_of_changes, syllabus
from deckbuilder.lines.notes import BAR, BEAT, LineNote
from deckbuilder.neck.regions import Region
from deckbuilder.recipe import read_recipe
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.keys import Key
from deckbuilder.theory.tones import pretty

DECKS = Path(__file__).parents[2] / "deckbuilder" / "recipes"


@dataclass(frozen=True)
class Sounding:
    """A chord of the changes, however many bars it lasts, in ticks."""

    harmony: Harmony
    begin: int
    end: int


@dataclass(frozen=True)
class Example:
    """An improvisation with its changes."""

    recipe: Recipe
    note: Note
    passage: Passage

    @property
    def line(self) -> tuple[LineNote, ...]:
        return self.note.music.line

    @property
    def region(self) -> Region:
        return self.recipe.region(Key.parse_either(self.note.identity.key), self.note.identity.region or 0)

    @property
    def held(self) -> bool:
        return "hold" in self.note.words.question

    @property
    def chords(self) -> list[Sounding]:
        """The chords, one that goes on over a bar line once."""
        beats = [chord for bar in self.passage.bars for chord, count in bar for _ in range(count)]
        begins = [0, *(number for number in range(1, len(beats)) if beats[number] != beats[number - 1])]
        return [Sounding(beats[begin], BEAT * begin, BEAT * end) for begin, end in pairwise([*begins, len(beats)])]

    def chord(self, note: LineNote) -> Harmony:
        """Return the chord that a note belongs to."""
        return self.passage.spans[note.chord][0]

    def over(self, chord: Sounding) -> list[LineNote]:
        """Return the notes that begin while a chord sounds."""
        return [note for note in self.line if chord.begin <= note.onset < chord.end]

    def written(self) -> list[str]:
        """Write the line bar by bar: each note's beat, name and degree; `~` for one of a beat or longer."""
        rows = []
        for number, bar in enumerate(self.passage.bars):
            notes = [note for note in self.line if note.onset // BAR == number]
            rows.append(f"{' '.join(chord.label for chord, _ in bar)}: {' '.join(map(_written, notes)) or 'rest'}")
        return rows


def _written(note: LineNote) -> str:
    beat, part = divmod(note.onset % BAR, BEAT)
    at = f"{beat + 1}{ {0: '', 3: 'e', 4: 't', 6: '&', 8: 'T'}[part] }"
    return f"{at}:{note.tone.label}{note.octave}({pretty(note.degree)}){'~' if note.length >= BEAT else ''}"


def examples_of(recipe: Recipe) -> Iterator[Example]:
    """Yield the improvisations of a recipe; a form is in the recipe's first key."""
    for note in syllabus(recipe):
        if note.identity.fact is not Fact.IMPROVISATION:
            continue
        if note.level < first_of_changes():
            passage = level_passage(LEVELS[note.level], Key.parse(note.identity.key))
        else:
            made = changes_in(recipe.changes[note.level - first_of_changes()].form, note.identity.key.removesuffix("m"))
            passage = next(each for each in made.passages() if each.name == note.music.symbol)
        yield Example(recipe, note, passage)


@cache
def default_examples() -> tuple[Example, ...]:
    """Every improvisation of the default deck."""
    return tuple(examples_of(Recipe(kinds=(Kind.IMPROVISE,))))


@cache
def form_examples() -> tuple[Example, ...]:
    """Every improvisation of the recipes with changes of their own."""
    found = (read_recipe(DECKS / f"{name}.toml") for name in ("blues", "rhythm", "minor"))
    recipes = (replace(recipe, kinds=(Kind.IMPROVISE,)) for recipe in found)
    return tuple(example for recipe in recipes for example in examples_of(recipe))
