"""Analysis: what a chord does follows from what comes next, and every analysed chord has its two arpeggios."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.theory.analysis import AnalysedChord, analyse
from deckbuilder.theory.arpeggios import Source, arpeggio
from deckbuilder.theory.changes import SectionText, parse_form
from deckbuilder.theory.colours import COLOURS
from deckbuilder.theory.functions import FUNCTIONS, harmony
from deckbuilder.theory.keys import DEFAULT_KEYS, Key
from deckbuilder.theory.rules import Rule
from deckbuilder.theory.tones import TheoryError, Tone


def analysed(key: str, bars: str) -> tuple[AnalysedChord, ...]:
    return analyse(parse_form("a tune", Key.parse_either(key), [SectionText("", bars)]))


def read(key: str, bars: str) -> list[str]:
    return [f"{chord.reading} {chord.harmony.scale.symbol}" for chord in analysed(key, bars)]


@pytest.mark.parametrize("key", DEFAULT_KEYS)
def test_the_turnaround_is_that_of_the_levels(key: str) -> None:
    tonic = Key.parse(key)
    found = [chord.harmony for chord in analysed(key, "| ii | V7alt | Imaj7 | VI7alt | ii | V7 | I | V7alt/ii |")]
    altered, plain = COLOURS["altered"], COLOURS["plain"]
    expected = [("ii", None), ("V", altered), ("I", None), ("VI", altered), ("ii", None), ("V", plain), ("I", None)]
    expected += [("VI", altered)]
    assert found == [harmony(tonic, FUNCTIONS[name], colour) for name, colour in expected]


def test_a_dominant_is_read_by_what_follows() -> None:
    assert read("C", "| A7 | Dm7 |")[0] == "V/ii A mixolydian b6"
    assert read("C", "| A7 | D7 |")[0] == "V/II A mixolydian"
    assert read("C", "| A7 | Abmaj7 |")[0] == "subV/bVI A lydian dominant"
    assert read("C", "| A7 | Cmaj7 |")[0] == "VI A mixolydian b6"
    assert read("C", "| Bb7 | Cmaj7 |")[0] == "bVII7 Bb lydian dominant"
    assert read("C", "| Bb7 | Ebmaj7 |")[0] == "V/bIII Bb mixolydian"
    assert read("C", "| D7 | Dm7 | G7 |")[0] == "V/V D mixolydian"


def test_a_blues_needs_a_dominant_for_its_only_tonic() -> None:
    assert read("C", "| C7 | F7 |") == ["I7 C mixolydian", "IV7 F mixolydian"]
    assert read("C", "| C7 | C7alt | F7 |")[1] == "V/IV C altered"
    assert read("C", "| Cmaj7 | C7 | F7 |")[1:] == ["V/IV C mixolydian", "IV7 F lydian dominant"]


def test_a_minor_seventh_before_a_dominant_out_of_the_key_is_its_ii() -> None:
    assert read("Bb", "| Dm7 G7alt | Cm7 F7 |")[0] == "ii/ii D dorian"
    assert read("Bb", "| Gm7 C7 | Cm7 F7 |")[0] == "ii/V G dorian"
    assert read("Bb", "| Dm7 Gm7 | Cm7 F7 |")[:3] == ["iii Bb major", "vi Bb major", "ii Bb major"]
    assert read("Bb", "| Dm7 G7 | Bbmaj7 |")[0] == "iii Bb major"
    # The dominant is the minor key's own, and the tonic stays what it is.
    assert read("Cm", "| Fm7 | Bb7 | Ebmaj7 |")[0] == "iv C natural minor"
    assert read("Cm", "| Cm7 | F7 | Bb7 |")[0] == "i C natural minor"


@pytest.mark.parametrize("key", DEFAULT_KEYS)
def test_over_iii_before_vi_the_arpeggio_from_the_third_is_the_major_seventh_there(key: str) -> None:
    iii = analysed(key, "| iii7 VI7alt | ii7 V7 |")[0].harmony
    third = arpeggio(iii, Source.THIRD)
    assert third.chord.quality.suffix == "maj7"
    assert third.chord.root == iii.chord.tones[1]
    assert third.degrees == ("b3", "5", "b7", "9")


def test_what_is_written_overrules_the_context() -> None:
    (stated, _) = analysed("C", "| V/ii | Cmaj7 |")
    assert (stated.reading, stated.rule) == ("V/ii", Rule.SECONDARY)
    assert read("C", "| Dm7 | G7{whole-tone} | Cmaj7{lydian} |")[1:] == ["V G whole tone", "I C lydian"]
    assert read("C", "| F: Gm7 | C: Gm7 |") == ["ii F major", "v C natural minor"]


@pytest.mark.parametrize(
    ("symbol", "scale"),
    [
        ("G7", "C major"),
        ("G9", "C major"),
        ("G7alt", "G altered"),
        ("G7b9", "G phrygian dominant"),
        ("G7#9", "G altered"),
        ("G7#5", "G whole tone"),
        ("G7b13", "G mixolydian b6"),
        ("G7#11", "G lydian dominant"),
        ("G13b9", "G half-whole diminished"),
        ("G7b9b13", "G phrygian dominant"),
        ("G+", "G whole tone"),
        ("G7sus4", "C major"),
    ],
)
def test_tensions_choose_the_colour_nearest_to_the_key(symbol: str, scale: str) -> None:
    assert analysed("C", f"| {symbol} | Cmaj7 |")[0].harmony.scale.symbol == scale


def test_in_minor_the_same_symbol_leans_to_the_minor_key() -> None:
    assert read("Cm", "| G7#5 | Cm |") == ["V G altered", "imMaj7 C melodic minor"]
    assert read("Cm", "| G7 | Cm7 |") == ["V G phrygian dominant", "i C natural minor"]
    assert read("Cm", "| Cm6 | Am7b5 | Dm7b5 |")[1:] == ["vim7b5 C melodic minor", "iim7b5 C natural minor"]
    assert read("C", "| Dm7b5 | G7 | Cmaj7 |")[1] == "V G phrygian dominant"


def test_a_triad_is_taken_for_the_seventh_of_its_place() -> None:
    chords = analysed("C", "| C | Dm | F | Bdim | E | Am | G | Eb | C+ | C#dim |")
    found = [chord.harmony.chord.symbol for chord in chords]
    assert found == ["Cmaj7", "Dm7", "Fmaj7", "Bm7b5", "E7", "Am7", "G7", "Ebmaj7", "Cmaj7#5", "C#dim7"]
    assert [chord.harmony.chord.symbol for chord in analysed("Cm", "| Cm | Bdim | Ab | Gsus4 |")] == [
        "CmMaj7",
        "Bdim7",
        "Abmaj7",
        "G7sus4",
    ]


QUALITIES = ("", "m", "dim", "aug", "sus4", "maj7", "7", "m7", "m7b5", "dim7", "mMaj7", "maj7#5", "6", "m6", "7sus4")
TENSIONS = ("9", "13", "7alt", "7b9", "7#9", "7#5", "7b5", "7#11", "7b13", "13b9", "m9", "m11", "maj9", "maj7#11", "69")
ROOTS = ("C", "Db", "D", "Eb", "E", "F", "F#", "Gb", "G", "Ab", "A", "Bb", "B", "C#", "G#")

chord_symbols = st.builds("".join, st.tuples(st.sampled_from(ROOTS), st.sampled_from(QUALITIES + TENSIONS)))
keys = st.sampled_from([*DEFAULT_KEYS, "Cm", "Fm", "F#m", "Ebm", "Am"])


@given(keys, st.lists(chord_symbols, min_size=1, max_size=6))
def test_every_chord_of_any_changes_has_both_arpeggios_within_its_scale(key: str, symbols: list[str]) -> None:
    for chord in analysed(key, f"| {' | '.join(symbols)} |"):
        sounding = chord.harmony
        classes = sounding.scale.pitch_classes
        assert sounding.chord.root == chord.chord.root
        assert {tone.pitch_class for tone in sounding.chord.guide_tones} <= classes
        assert (sounding.colour is not None) == sounding.function.is_dominant
        for source in Source:
            found = arpeggio(sounding, source)
            assert found.chord.pitch_classes <= classes
            assert len(found.reason.guides) == 2 or source is Source.THIRD
            assert all(abs(tone.accidental) <= 1 for tone in found.chord.tones)


@given(keys, st.lists(chord_symbols, min_size=1, max_size=6), st.sampled_from(DEFAULT_KEYS))
def test_an_analysis_moves_with_the_key(key: str, symbols: list[str], tonic: str) -> None:
    form = parse_form("a tune", Key.parse_either(key), [SectionText("", f"| {' | '.join(symbols)} |")])
    moved = form.on(Tone.parse(tonic))
    by = moved.home.tonic.pitch_class - form.home.tonic.pitch_class
    for before, after in zip(analyse(form), analyse(moved), strict=True):
        assert (before.reading, before.rule) == (after.reading, after.rule)
        assert before.harmony.function == after.harmony.function
        assert {(tone + by) % 12 for tone in before.harmony.scale.pitch_classes} == after.harmony.scale.pitch_classes


def test_a_chord_whose_tensions_no_scale_holds_is_named_by_bar() -> None:
    with pytest.raises(TheoryError, match=r"bar 2: no scale here holds all tones of 'Ebmaj7#9'"):
        analysed("C", "| C | Ebmaj7#9 |")
