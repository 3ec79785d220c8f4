"""Spellings: every tone of the chord is in the run, or the card says that it is missing."""

from hypothesis import given, settings
from hypothesis import strategies as st

from deckbuilder.build import notes_of
from deckbuilder.neck.tuning import HIGHEST_OPEN, LOWEST_OPEN, pitch_name
from deckbuilder.recipe import parse_recipe
from deckbuilder.theory.tones import Tone, pretty
from tests.noted import tones_of


@st.composite
def odd_strings(draw: st.DrawFn) -> tuple[int, ...]:
    """Draw three or four open strings with gaps of four to fourteen semitones, as nobody tunes."""
    pitches = [draw(st.integers(LOWEST_OPEN + 12, HIGHEST_OPEN - 42))]
    for _ in range(draw(st.integers(2, 3))):
        pitches.append(pitches[-1] + draw(st.integers(4, 14)))
    return tuple(pitches)


def lacking(tuning: str) -> int:
    """Check the spellings of a tuning; return how many lack a tone."""
    fields = {"instrument": {"tuning": tuning, "frets": 22}, "keys": ["G"], "levels": [1], "kinds": ["spell"]}
    found = 0
    for note in notes_of(parse_recipe(fields, "odd")):
        told = sorted([*note.music.midi, *note.music.missing])
        assert [midi % 12 for midi in told] == [Tone.parse(name).pitch_class for name in tones_of(note)]
        assert told[-1] - told[0] < 12
        for midi in note.music.missing:
            assert pretty(pitch_name(midi)) in note.words.missing
        assert bool(note.words.missing) == bool(note.music.missing)
        found += bool(note.music.missing)
    return found


def test_a_tone_that_no_hand_reaches_is_told() -> None:
    assert lacking("C4,E4,E5") == 1


@settings(max_examples=25, deadline=None)
@given(odd_strings())
def test_every_tone_of_a_spelling_is_played_or_told(open_midi: tuple[int, ...]) -> None:
    assert lacking(",".join(map(pitch_name, open_midi))) >= 0
