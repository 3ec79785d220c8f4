"""Laws of the comping over keys and chords: what a voicing has and leaves out, and how its voices move."""

from functools import cache
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.cards.changes import changes_in
from deckbuilder.cards.comping import change
from deckbuilder.cards.levels import stages
from deckbuilder.cards.passage import Passage, level_passage
from deckbuilder.cards.tunes import Tune
from deckbuilder.recipe import read_recipe
from deckbuilder.sound.arrangement import LOWEST_ROOT
from deckbuilder.sound.bassline import bass_line
from deckbuilder.sound.voice_leading import STEP, voice_led
from deckbuilder.theory.colours import COLOURS
from deckbuilder.theory.keys import DEFAULT_KEYS, Key
from tests.lines.deck import DECKS

TYPES = ["maj7", "7", "m7", "m7b5", "dim7", "6", "m6", "mMaj7", "maj7#5", "7sus4", "7alt", "7b9", "7#11", "13b9", "7#5"]
CHORDS = st.tuples(st.sampled_from(DEFAULT_KEYS), st.sampled_from(TYPES)).map("".join)


def passage_over(bars: str, key: str = "C") -> Passage:
    """Return one passage with all the bars."""
    made = changes_in(Tune("Mine", key, bars=(bars,)).form, key)
    return Passage("mine", "Mine", 1, tuple(bar for _, section in made.sections for bar in section))


@given(st.lists(CHORDS, min_size=1, max_size=6), st.sampled_from(DEFAULT_KEYS))
def test_a_voicing_has_guide_tones_and_tensions_and_leaves_the_root_to_the_bass(chords: list[str], key: str) -> None:
    passage = passage_over(f"| {' | '.join(chords)} |", key)
    led = voice_led(passage.changes, rooted=False)
    (count,) = {len(voicing) for voicing in led}
    assert count in ((4,) if any(name.endswith("dim7") for name in chords) else (3, 4))
    for (chord, _), voicing in zip(passage.spans, led, strict=True):
        classes = {pitch % 12 for pitch in voicing}
        steps = {(pitch - chord.chord.root.pitch_class) % 12 for pitch in voicing}
        quality = chord.chord.quality.suffix
        assert {tone.pitch_class for tone in chord.chord.guide_tones} < classes
        assert classes <= chord.scale.pitch_classes | chord.chord.pitch_classes
        assert len(classes) == len(voicing)
        assert min(voicing) >= LOWEST_ROOT
        if quality in ("m7b5", "dim7"):
            assert 6 in steps
        if quality == "dim7":
            assert steps == {0, 3, 6, 9}
        elif quality != "m7b5":
            assert 0 not in steps


@cache
def shipped() -> list[tuple[str, Passage]]:
    keys = [Key.parse(name) for name in DEFAULT_KEYS]
    found = [
        (f"{level.loop} in {key.name}", level_passage(level, key))
        for level in stages((1, 2, 3), COLOURS)
        for key in keys
    ]
    for name in ("blues", "rhythm", "minor"):
        for tune in read_recipe(DECKS / f"{name}.toml").changes:
            for key in DEFAULT_KEYS:
                made = changes_in(tune.form, key)
                found += [(f"{passage.name} in {key}", passage) for passage in made.passages()]
    return found


def test_every_voice_moves_a_whole_step_at_most_in_every_loop_that_comes_along() -> None:
    for name, passage in shipped():
        led = voice_led(passage.changes, rooted=False)
        for one, other in pairwise((*led, led[0])):
            assert max(abs(b - a) for a, b in zip(one, other, strict=True)) <= STEP, (name, one, other)


def test_the_bass_of_every_loop_that_comes_along_rests_on_no_altered_fifth() -> None:
    for name, passage in shipped():
        whole = passage.beats
        line = {note.beat % whole: note.midi for note in bass_line(passage.changes)}
        at = 0
        for chord, beats in passage.spans:
            for beat in range(at, at + beats):
                if beat % 4 == 2 and beat - 2 >= at:
                    step = (line[beat] - chord.chord.root.pitch_class) % 12
                    assert step != 6 or chord.chord.quality.suffix in ("m7b5", "dim7"), (name, chord.symbol)
            at += beats


@pytest.mark.parametrize("colour", COLOURS)
def test_a_colour_is_told_by_its_tension(colour: str) -> None:
    (level,) = (stage for stage in stages((2,), [colour]))
    telling = {"lydian-dominant": 6, "harmonic-minor": 1, "mixolydian-b6": 8, "whole-tone": 8}
    for name in DEFAULT_KEYS:
        dominant = level_passage(level, Key.parse(name)).spans[1][0]
        first = change(dominant).added[0]
        if colour in telling:
            assert first == (telling[colour],), dominant.symbol
        assert set(first) <= {(pitch - dominant.chord.root.pitch_class) % 12 for pitch in dominant.scale.pitch_classes}
