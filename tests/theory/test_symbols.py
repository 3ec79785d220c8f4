"""Chord symbols: every common way to write a type means the same, and what is not understood is named."""

from collections.abc import Callable

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from deckbuilder.theory.chords import DOMINANT
from deckbuilder.theory.chordtypes import parse_type
from deckbuilder.theory.colours import COLOURS
from deckbuilder.theory.numerals import Numeral
from deckbuilder.theory.steps import Step, roman_label
from deckbuilder.theory.symbols import ChordSymbol
from deckbuilder.theory.tones import TheoryError

WAYS = {
    "maj7": "maj7 Maj7 M7 Δ7 Δ ma7 △7",
    "m7": "m7 -7 min7 mi7 Min7 −7",
    "7": "7 dom7",
    "m7b5": "m7b5 ø ø7 m7-5 -7b5 m7♭5 m7(b5) min7b5",
    "dim7": "°7 dim7 o7 º7",
    "dim": "° dim o mb5",
    "7alt": "7alt alt 7(alt)",
    "7b9": "7b9 7-9 7(b9) 7♭9",
    "7#9": "7#9 7+9 7(♯9)",
    "7#5": "7#5 +7 7+ aug7 7+5",
    "7b13": "7b13 7(b13)",
    "7#11": "7#11 7(#11)",
    "9": "9 7(9) 7add9",
    "13": "13 7(13) 7(9,13)",
    "13b9": "13b9 7b9,13 13(b9) 7(b9,13)",
    "7sus4": "7sus4 7sus 7(sus4)",
    "9sus4": "9sus4 9sus",
    "sus4": "sus4 sus",
    "6": "6 maj6 M6",
    "69": "69 6/9 6(9)",
    "m6": "m6 -6 min6",
    "mMaj7": "mMaj7 mM7 m(maj7) -Δ7 -maj7 minMaj7 mΔ",
    "aug": "aug + (#5)",
    "": "maj M",
    "m": "m - min",
    "m9": "m9 -9",
    "m9b5": "m9b5 ø9",
    "maj7#11": "maj7#11 Δ7(#11) M7#11",
    "maj7#5": "maj7#5 +maj7 Δ7♯5",
}


@pytest.mark.parametrize(("usual", "written"), [(usual, way) for usual, ways in WAYS.items() for way in ways.split()])
def test_every_common_way_to_write_a_type_is_read_alike(usual: str, written: str) -> None:
    assert parse_type(written) == parse_type(usual)
    assert parse_type(written).suffix == usual


@pytest.mark.parametrize(
    ("text", "symbol", "label", "classes"),
    [
        ("Gm7", "Gm7", "Gm7", frozenset({7, 10, 2, 5})),
        ("B♭Δ7/D", "Bbmaj7/D", "B♭maj7/D", frozenset({10, 2, 5, 9})),
        ("F#ø", "F#m7b5", "F♯m7♭5", frozenset({6, 9, 0, 4})),
        ("C7#5", "C7#5", "C7♯5", frozenset({0, 4, 8, 10})),
        ("C7b13", "C7b13", "C7♭13", frozenset({0, 4, 7, 8, 10})),
        ("Eb6/9/G", "Eb69/G", "E♭69/G", frozenset({3, 7, 10, 0, 5})),
        ("F/G", "F/G", "F/G", frozenset({5, 9, 0, 7})),
        ("C7alt", "C7alt", "C7alt", frozenset({0, 4, 10})),
    ],
)
def test_a_symbol_has_root_type_and_bass(text: str, symbol: str, label: str, classes: frozenset[int]) -> None:
    found = ChordSymbol.parse(text)
    assert (found.symbol, found.label, found.pitch_classes) == (symbol, label, classes)


TYPES = st.sampled_from(
    sorted({way for ways in WAYS.values() for way in ways.split()} | {"", "7b9b13", "m11", "maj13"})
)
ROOTS = st.builds("".join, st.tuples(st.sampled_from("ABCDEFG"), st.sampled_from(["", "b", "#"])))


@given(ROOTS, TYPES, st.none() | ROOTS)
def test_the_usual_symbol_reads_back_as_the_same_chord(root: str, suffix: str, bass: str | None) -> None:
    found = ChordSymbol.parse(root + suffix + (f"/{bass}" if bass else ""))
    assert ChordSymbol.parse(found.symbol) == found
    assert ChordSymbol.parse(found.label) == found
    assert found.root.name == root


@pytest.mark.parametrize(
    ("suffix", "first"),
    [
        ("7", "plain"),
        ("7alt", "altered"),
        ("13", "plain"),
        ("13b9", "half-whole-diminished"),
        ("9#5", "whole-tone"),
        ("9b13", "mixolydian-b6"),
        ("9#11", "lydian-dominant"),
        ("7b9b13", "altered"),
        ("7#9", "altered"),
    ],
)
def test_written_tensions_leave_the_colours_that_hold_them(suffix: str, first: str) -> None:
    kind = parse_type(suffix)
    assert first in kind.colours
    assert all(kind.allows(colour) for colour in kind.colours)


def test_only_dominants_have_colours() -> None:
    assert parse_type("7").colours == tuple(COLOURS)
    assert parse_type("m7").colours == parse_type("7sus4").colours == ()
    assert not parse_type("m7").allows("plain")


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("Hm7", r"'Hm7' is not a chord; this is the German name of Bm7"),
        ("", r"'' is not a chord"),
        ("Cxyz", r"'Cxyz' .* 'xyz' in 'xyz' is not understood; write a type such as maj7"),
        ("Cm7alt", r"'Cm7alt' .* only a dominant seventh can"),
        ("Cmaj7sus4", r"'Cmaj7sus4' .* write sus4, 7sus4"),
        ("C7b4", r"'C7b4' .* 'b4' in '7b4' is no tension; choose from b5"),
        ("C5", r"'5' in '5' is no tension"),
        ("C13#5", r"no dominant colour holds all tensions of '13#5'"),
        ("Cm7b5#5", r"two altered fifths"),
        ("C/H", r"'C/H'"),
    ],
)
def test_what_is_not_understood_is_named_with_the_remedy(text: str, message: str) -> None:
    with pytest.raises(TheoryError, match=message):
        ChordSymbol.parse(text)


@example("A#b2")
@given(st.text("ABCDEFGmajdinsu b#♭♯°øΔ+-/0123456789()", max_size=12))
def test_any_text_is_a_chord_or_a_clear_error(text: str) -> None:
    for parse in (ChordSymbol.parse, Numeral.parse):
        assert text in _said(parse, text)


def _said(parse: Callable[[str], object], text: str) -> str:
    """Return the text if it is read, else what the error says."""
    try:
        parse(text)
    except TheoryError as error:
        return str(error)
    return text


@pytest.mark.parametrize(
    ("text", "step", "suffix", "target"),
    [
        ("ii", Step(2), "m", None),
        ("ii7", Step(2), "m7", None),
        ("iiø", Step(2), "m7b5", None),
        ("V7alt", Step(5), "7alt", None),
        ("Imaj7", Step(1), "maj7", None),
        ("VI7alt", Step(6), "7alt", None),
        ("im", Step(1), "m", None),
        ("iMaj7", Step(1), "mMaj7", None),
        ("bVII7", Step(7, -1), "7", None),
        ("#i°7", Step(1, 1), "dim7", None),
        ("V/V", Step(2), "7", Step(5)),
        ("V7alt/ii", Step(6), "7alt", Step(2)),
        ("V7/bIII", Step(7, -1), "7", Step(3, -1)),
        ("subV", Step(2, -1), "7", Step(1)),
        ("subV7/ii", Step(3, -1), "7", Step(2)),
        ("ii/IV", Step(5), "m", Step(4)),
        ("iv6", Step(4), "m6", None),
        ("I6/9", Step(1), "69", None),
    ],
)
def test_a_numeral_has_step_type_and_target(text: str, step: Step, suffix: str, target: Step | None) -> None:
    found = Numeral.parse(text)
    assert (found.step, found.type.suffix, found.target) == (step, suffix, target)


def test_a_bare_secondary_dominant_is_a_seventh() -> None:
    assert Numeral.parse("V/vi").type.quality == Numeral.parse("subV").type.quality == DOMINANT


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("X", r"'X' is not a Roman numeral; write I to VII"),
        ("VIII", r"'VIII' is not a chord"),
        ("ii7alt", r"'ii7alt' .* only a dominant seventh can"),
        ("subVmaj7", r"'subVmaj7' is no tritone substitute"),
    ],
)
def test_an_unknown_numeral_is_named_with_the_remedy(text: str, message: str) -> None:
    with pytest.raises(TheoryError, match=message):
        Numeral.parse(text)


def test_numerals_for_people_carry_signs() -> None:
    assert roman_label("bVII7") == "♭VII7"
    assert roman_label("iim7b5/ii") == "iiø7/ii"
    assert roman_label("subV/bII") == "subV/♭II"
    assert roman_label("#idim7") == "♯i°7"
