"""Laws of slash chords: the upper chord decides, the bass goes with it into every key."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from deckbuilder.theory.analysis import analyse
from deckbuilder.theory.changes import ChangesError, SectionText, parse_form
from deckbuilder.theory.forms import Form
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.keys import KEY_NAMES, Key
from deckbuilder.theory.tones import Tone

TONES = ("C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
TYPES = ("maj7", "m7", "7", "7alt", "m7b5", "dim7", "6", "7sus4")
tones, types, keys = st.sampled_from(TONES), st.sampled_from(TYPES), st.sampled_from(KEY_NAMES)


def form_of(bars: str, key: str = "C") -> Form:
    return parse_form("a tune", Key.parse(key), [SectionText("", bars)])


def only(form: Form) -> Harmony:
    return analyse(form)[0].harmony


@settings(deadline=None)  # the first chord of a scale is slow
@given(tones, types, tones, keys)
def test_the_upper_chord_decides_what_a_chord_is(root: str, kind: str, bass: str, key: str) -> None:
    over, plain = only(form_of(f"| {root}{kind}/{bass} |", key)), only(form_of(f"| {root}{kind} |", key))
    assert over.upper == plain
    assert over.upper.bass is None
    if Tone.parse(bass).pitch_class == plain.chord.root.pitch_class:
        assert over == plain
    else:
        assert over.bass is not None
        assert over.bass.pitch_class == Tone.parse(bass).pitch_class
        assert over.symbol == f"{plain.symbol}/{over.bass.name}"
        assert over.label == f"{plain.label}/{over.bass.label}"


@settings(deadline=None)  # the first chord of a scale is slow
@given(tones, types, tones, keys)
def test_the_bass_moves_with_its_chord(root: str, kind: str, bass: str, key: str) -> None:
    form = form_of(f"| {root}{kind}/{bass} |")
    here, there = only(form), only(form.on(Key.parse(key).tonic))
    assert (here.bass is None) == (there.bass is None)
    if here.bass and there.bass:
        away = (here.bass.pitch_class - here.chord.root.pitch_class) % 12
        assert (there.bass.pitch_class - there.chord.root.pitch_class) % 12 == away
        assert abs(there.bass.accidental) <= 1
        # A chord tone has the chord's name for it.
        in_chord = [tone for tone in there.chord.tones if tone.pitch_class == there.bass.pitch_class]
        assert in_chord in ([], [there.bass])


@pytest.mark.parametrize(
    ("text", "symbol"),
    [
        ("C/E", "Cmaj7/E"),
        ("F/A", "Fmaj7/A"),
        ("G7/B", "G7/B"),
        ("F/G", "Fmaj7/G"),
        ("C/C", "Cmaj7"),
        ("D7/Gb", "D7/F#"),
        ("C/Bb", "C7/Bb"),
        ("Am/G", "Am7/G"),
        ("Am/G#", "AmMaj7/G#"),
        ("C6/9/E", "C6/E"),
    ],
)
def test_symbols_in_c(text: str, symbol: str) -> None:
    """Common practice, no source: a triad over its own seventh is that seventh chord."""
    assert only(form_of(f"| {text} |")).symbol == symbol


@pytest.mark.parametrize(
    ("text", "named", "remedy"),
    [
        ("C/", "", "write A to G"),
        ("G7/e", "e", "did you mean 'E'"),
        ("C/E2", "E2", "write A to G"),
        ("Dm7/V", "V", "write A to G"),
    ],
)
def test_a_bass_that_is_no_tone_is_refused(text: str, named: str, remedy: str) -> None:
    with pytest.raises(ChangesError, match=f"bar 2: '{text}' .*: '{named}' is no tone for the bass; .*{remedy}"):
        form_of(f"| C | {text} |")
