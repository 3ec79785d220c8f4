"""Composing: whatever the seed, the neck, the place and the task, a line keeps its laws, or there is none."""

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from deckbuilder.cards.choices import InstrumentChoice, Sound
from deckbuilder.cards.context import Context
from deckbuilder.cards.example import SLOW, example_clip, example_line, slow_clip
from deckbuilder.cards.levels import LEVELS
from deckbuilder.cards.passage import level_passage
from deckbuilder.cards.recipe import Recipe
from deckbuilder.cards.tasks import TASKS, Task
from deckbuilder.lines.notes import BAR, LineNote
from deckbuilder.lines.palette import palette
from deckbuilder.theory.keys import DEFAULT_KEYS, Key
from tests.lines.yardstick import phrases

TUNINGS = ("standard", "bass-4", "ukulele", "mandolin", "dadgad", "all-fourths")


def composed(recipe: Recipe, key: str, number: int, level: int, task: Task) -> tuple[LineNote, ...]:
    context = Context(recipe, LEVELS[level].home(Key.parse(key)), level)
    region = recipe.region(context.key, number)
    return example_line(context, region, level_passage(LEVELS[level], context.key), task)


PLACES = (st.sampled_from(DEFAULT_KEYS), st.integers(1, 5), st.sampled_from(sorted(LEVELS)), st.sampled_from(TASKS))


@given(st.sampled_from(TUNINGS), st.integers(0, 10**6), *PLACES)
@settings(max_examples=120, deadline=None)
def test_a_line_keeps_its_laws_on_every_neck(
    tuning: str, seed: int, key: str, number: int, level: int, task: Task
) -> None:
    recipe = Recipe(instrument=InstrumentChoice(tuning=tuning), seed=seed)
    line = composed(recipe, key, number, level, task)
    assert line == composed(recipe, key, number, level, task)
    if tuning == "standard":
        assert line
    spans = level_passage(LEVELS[level], LEVELS[level].home(Key.parse(key))).spans
    for note in line:
        assert recipe.instrument.neck.sounding.midi(note.place) == note.midi
        assert 0 <= note.onset < note.end <= 4 * BAR
        if task.allowed and not task.held:
            assert note.midi % 12 in task.allowed(spans[note.chord][0])
    for phrase in phrases(line):
        for before, note in pairwise(phrase):
            assert abs(note.midi - before.midi) <= 12
    if not task.held and tuning == "standard":
        for before, note in pairwise(line):
            own = palette(spans[before.chord][0])
            if own.step_of(before.midi) not in own.played | own.chord | {*own.guides}:
                assert abs(note.midi - before.midi) == 1


@pytest.mark.parametrize("seed", range(2, 5))
def test_other_seeds_give_other_lines(seed: int) -> None:
    for task in TASKS:
        one, other = (composed(Recipe(seed=each), "F", 1, 3, task) for each in (1, seed))
        assert one != other or task.held


def test_the_clip_plays_the_line_and_the_slow_one_at_three_fifths_of_the_tempo() -> None:
    context = Context(Recipe(), Key.parse("F"), 3)
    passage = level_passage(LEVELS[3], context.key)
    line = composed(context.recipe, "F", 2, 3, TASKS[0])
    clip, slow = example_clip(context, passage, line), slow_clip(context, passage, line)
    assert slow is not None
    for each in (clip, slow):
        played = [event.midi for event in each.events if event.patch is context.patch and event.velocity > 0.6]
        assert played == [note.midi for note in line]
    assert slow.length * SLOW == pytest.approx(clip.length, rel=0.01)


def test_a_slow_clip_that_would_last_too_long_is_left_out() -> None:
    context = Context(Recipe(sound=Sound(loop_tempo=60)), Key.parse("F"), 3)
    passage = level_passage(LEVELS[3], context.key)
    assert slow_clip(context, passage, composed(context.recipe, "F", 2, 3, TASKS[0])) is None
