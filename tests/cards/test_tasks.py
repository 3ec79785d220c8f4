"""Tasks: the example line of every improvisation keeps to what its card asks, heard in the clip itself."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import pytest

from deckbuilder.cards.changes import changes_in
from deckbuilder.cards.context import Context
from deckbuilder.cards.facts import Fact, Kind
from deckbuilder.cards.levels import LEVELS
from deckbuilder.cards.note import Note
from deckbuilder.cards.passage import Passage, level_passage
from deckbuilder.cards.recipe import Recipe
from deckbuilder.cards.syllabus import FIRST_OF_CHANGES, syllabus
from deckbuilder.cards.tasks import TASKS
from deckbuilder.recipe import read_recipe
from deckbuilder.sound.description import Clip, Patch
from deckbuilder.theory.arpeggios import Source, arpeggio
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.keys import Key

DECKS = Path(__file__).parents[2] / "decks"
BAR = 8
"""Eighths."""


@dataclass(frozen=True)
class Heard:
    """A note of a line as it sounds: MIDI note number, begin and end in eighths."""

    midi: int
    begin: int
    end: int


@dataclass(frozen=True)
class Chord:
    """A chord of the changes, begin and end in eighths."""

    harmony: Harmony
    begin: int
    end: int


@dataclass(frozen=True)
class Example:
    """An improvisation, its changes, its line and where the hand reaches over each chord."""

    note: Note
    chords: tuple[Chord, ...]
    line: tuple[Heard, ...]
    reached: dict[Harmony, set[int]]

    def over(self, chord: Chord) -> list[Heard]:
        return [heard for heard in self.line if chord.begin <= heard.begin < chord.end]

    @property
    def phrases(self) -> list[list[Heard]]:
        """The line, cut at its rests."""
        cut: list[list[Heard]] = []
        for heard in self.line:
            if not cut or cut[-1][-1].end < heard.begin:
                cut.append([])
            cut[-1].append(heard)
        return cut


def heard_in(clip: Clip, beats: int) -> tuple[Heard, ...]:
    """Take the line out of an example, where it is louder than what is under it, and undo the swing."""

    def eighth(seconds: float) -> int:
        beat = seconds * beats / clip.length + 0.2  # the last note is damped a little before the end
        return 2 * int(beat) + (beat % 1 > 0.5)

    return tuple(
        Heard(event.midi, eighth(event.start), eighth(event.start + event.length))
        for event in clip.events
        if event.patch is Patch.GUITAR and event.velocity > 0.6
    )


def chords_of(passage: Passage) -> Iterator[Chord]:
    """Yield the chords of a passage, one that goes on over a bar line once."""
    beats = [chord for bar in passage.bars for chord, count in bar for _ in range(count)]
    begins = [0, *(number for number in range(1, len(beats)) if beats[number] != beats[number - 1])]
    for begin, end in pairwise([*begins, len(beats)]):
        yield Chord(beats[begin], 2 * begin, 2 * end)


def played_over(recipe: Recipe, note: Note) -> tuple[Key, Passage]:
    """Return the home key and the changes of an improvisation; a recipe's form is in the recipe's one key."""
    if note.level < FIRST_OF_CHANGES:
        key = Key.parse(note.subject.key)
        return key, level_passage(LEVELS[note.level], key)
    made = changes_in(recipe.changes[note.level - FIRST_OF_CHANGES].form, recipe.keys[0])
    passages = made.passages(recipe.sound.loop_tempo, note.level)
    return made.form.home, next(passage for passage in passages if passage.name == note.symbol)


def examples_of(recipe: Recipe) -> list[Example]:
    found = []
    for note in syllabus(recipe):
        if note.subject.fact is Fact.IMPROVISATION:
            key, passage = played_over(recipe, note)
            assert note.example, note.id
            context = Context(recipe, key, note.level)
            region = recipe.region(key, note.subject.region or 0)
            reached = {
                chord: {reach.midi for reach in context.fingering(chord.scale, region).notes}
                for chord in passage.chords
            }
            beats = sum(count for bar in passage.bars for _, count in bar)
            found.append(Example(note, tuple(chords_of(passage)), heard_in(note.example, beats), reached))
    return found


@pytest.fixture(scope="module")
def examples() -> list[Example]:
    """Every improvisation of the default deck and of the recipes that come along."""
    own = [read_recipe(DECKS / f"{name}.toml") for name in ("blues", "rhythm", "minor")]
    recipes = [Recipe(kinds=(Kind.IMPROVISE,)), *own]
    return [example for recipe in recipes for example in examples_of(recipe)]


def with_task(examples: list[Example], words: str) -> list[Example]:
    """Choose the examples whose task has some words; there are some of a level and some of a form."""
    found = [example for example in examples if words in example.note.question]
    assert {example.note.level < FIRST_OF_CHANGES for example in found} == {True, False}
    return found


def test_every_task_has_an_example_in_levels_and_forms(examples: list[Example]) -> None:
    assert len(examples) == 180 + 5 + 15 + 10
    for task in TASKS:
        assert with_task(examples, task.text)


@pytest.mark.parametrize(("words", "which"), [("Land on the 3rd", 0), ("Land on the 7th", 1)])
def test_a_line_lands_on_the_guide_tone_where_each_chord_comes(examples: list[Example], words: str, which: int) -> None:
    for example in with_task(examples, words):
        for chord in example.chords:
            first = example.over(chord)[0]
            assert first.begin == chord.begin, example.note.id
            assert first.midi % 12 == chord.harmony.chord.guide_tones[which].pitch_class, example.note.id


@pytest.mark.parametrize(("words", "source"), [("from the root", Source.ROOT), ("from the third", Source.THIRD)])
def test_a_line_of_arpeggios_has_their_tones_alone(examples: list[Example], words: str, source: Source) -> None:
    for example in with_task(examples, f"Only arpeggios {words}"):
        for chord in example.chords:
            tones = arpeggio(chord.harmony, source).chord.pitch_classes
            over = example.over(chord)
            assert over, example.note.id
            assert {heard.midi % 12 for heard in over} <= tones, (example.note.id, chord.harmony.symbol)


def test_guide_tones_are_held_or_move_to_the_nearest(examples: list[Example]) -> None:
    for example in with_task(examples, "Only guide tones"):
        for chord in example.chords:
            guides = {tone.pitch_class for tone in chord.harmony.chord.guide_tones}
            over = example.over(chord)
            assert over[0].begin == chord.begin
            assert over[-1].end == chord.end
            assert {heard.midi % 12 for heard in over} <= guides
            assert len({heard.midi for heard in over}) == 1
            assert len(over) <= (chord.end - chord.begin + 2 * BAR - 1) // (2 * BAR)
        for (_, before), (chord, after) in pairwise((chord, example.over(chord)[0]) for chord in example.chords):
            guides = {tone.pitch_class for tone in chord.harmony.chord.guide_tones}
            steps = [abs(midi - before.midi) for midi in example.reached[chord.harmony] if midi % 12 in guides]
            assert abs(after.midi - before.midi) == min(steps), example.note.id


def test_phrases_start_on_v_alone_and_a_rest_comes_before(examples: list[Example]) -> None:
    for example in with_task(examples, "Start every phrase on V"):
        dominants = [chord.harmony.function.name == "V" for chord in example.chords]
        begins = [
            chord.begin
            for chord, is_v, was_v in zip(example.chords, dominants, [False, *dominants], strict=False)
            if is_v and not was_v
        ]
        assert [phrase[0].begin for phrase in example.phrases] == begins, example.note.id
        for phrase, following in pairwise(example.phrases):
            assert following[0].begin - phrase[-1].end >= 2, example.note.id
        assert example.line[-1].end == example.chords[-1].end


def test_two_bars_are_played_and_two_are_left_empty(examples: list[Example]) -> None:
    for example in with_task(examples, "two bars empty"):
        sounding = {eighth for heard in example.line for eighth in range(heard.begin, heard.end)}
        whole = range(example.chords[-1].end)
        assert sounding == {eighth for eighth in whole if eighth // BAR % 4 < 2}, example.note.id


@pytest.mark.parametrize("words", ["Land on", "Only arpeggios"])
def test_where_the_task_says_nothing_of_rests_there_is_none(examples: list[Example], words: str) -> None:
    for example in with_task(examples, words):
        assert len(example.phrases) == 1
        assert (example.line[0].begin, example.line[-1].end) == (0, example.chords[-1].end)


def test_tones_are_of_the_chords_scale_and_on_strong_beats_stable_whatever_the_task(examples: list[Example]) -> None:
    for example in examples:
        for chord in example.chords:
            assert {heard.midi % 12 for heard in example.over(chord)} <= chord.harmony.scale.pitch_classes
            stable = {tone.pitch_class for tone in chord.harmony.stable_tones}
            strong = {heard.midi % 12 for heard in example.over(chord) if heard.begin % 4 == 0}
            assert strong <= stable, (example.note.id, chord.harmony.symbol)


def test_no_leap_is_wider_than_an_octave_and_only_a_held_tone_follows_itself(examples: list[Example]) -> None:
    for example in examples:
        steps = [abs(after.midi - before.midi) for before, after in pairwise(example.line)]
        assert max(steps, default=0) <= 12
        assert "hold" in example.note.question or 0 not in steps


def test_the_choice_of_a_task_stays() -> None:
    """A card's task is what its player has practised: a rebuilt deck asks for the same."""
    notes = syllabus(Recipe(keys=("F",), kinds=(Kind.IMPROVISE,)))
    chosen = {(note.subject.region, note.level): note.question for note in notes}
    texts = [task.text for task in TASKS]
    assert [[texts.index(chosen[region, level]) for level in (1, 2, 3)] for region in range(1, 6)] == [
        [6, 2, 5],
        [0, 3, 6],
        [1, 4, 0],
        [2, 5, 1],
        [3, 6, 2],
    ]
