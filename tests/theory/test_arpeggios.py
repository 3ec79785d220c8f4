"""Laws of arpeggios: what they hold, how they are spelled, and the reason given for them."""

import pytest
from hypothesis import given

from deckbuilder.theory.arpeggios import (
    Relation,
    Source,
    arpeggio,
    arpeggios,
    carriers,
    under_simplest_colour,
)
from deckbuilder.theory.chords import DOMINANT, QUALITIES, Chord
from deckbuilder.theory.chordscales import CHORD_SCALES
from deckbuilder.theory.colours import COLOURS
from deckbuilder.theory.functions import FUNCTIONS, Harmony, function_on, harmony
from deckbuilder.theory.keys import KEY_NAMES, Key
from deckbuilder.theory.steps import Step
from deckbuilder.theory.tones import Tone, exactly_above

from .harmonies import altered, chord_in, harmonies, keys, sources

DIATONIC = (("ii", None), ("V", "plain"), ("I", None))
USUAL_NAMES = ("C", "Db", "C#", "D", "Eb", "D#", "E", "F", "Gb", "F#", "G", "Ab", "G#", "A", "Bb", "A#", "B")
PLAIN_ROOTS = {"C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"}


def names(chord: Chord) -> list[str]:
    return [tone.name for tone in chord.tones]


@given(harmonies(), sources())
def test_every_tone_is_in_the_scale_and_has_a_degree(harmony: Harmony, source: Source) -> None:
    found = arpeggio(harmony, source)
    assert found.chord.pitch_classes <= harmony.scale.pitch_classes
    assert len(found.chord.pitch_classes) == 4
    assert found.degrees == tuple(harmony.degree_of(tone) for tone in found.chord.tones)
    root = found.chord.root.pitch_class
    steps = tuple((tone.pitch_class - root) % 12 for tone in found.chord.tones)
    assert steps == found.chord.quality.semitones


@given(harmonies(), sources())
def test_no_double_accidental_is_ever_shown(harmony: Harmony, source: Source) -> None:
    assert all(abs(tone.accidental) < 2 for tone in arpeggio(harmony, source).chord.tones)


@given(harmonies())
def test_the_arpeggio_from_the_third_starts_on_the_third_of_the_one_from_the_root(harmony: Harmony) -> None:
    root, third = arpeggio(harmony, Source.ROOT), arpeggio(harmony, Source.THIRD)
    assert third.chord.root == root.chord.tones[1]
    assert third.chord.tones[:3] == root.chord.tones[1:]


@given(harmonies(), sources())
def test_both_guide_tones_are_held(harmony: Harmony, source: Source) -> None:
    found = arpeggio(harmony, source)
    assert {tone.pitch_class for tone in harmony.chord.guide_tones} <= found.chord.pitch_classes
    assert {degree for degree, _ in found.reason.guides} == {harmony.degree_of(t) for t in harmony.chord.guide_tones}
    assert {tone for _, tone in found.reason.guides + found.reason.others} == set(found.chord.tones)
    assert found.reason.start == found.degrees[0]


@given(keys())
def test_diatonic_arpeggios_are_spelled_by_the_key(key: str) -> None:
    for function, colour in DIATONIC:
        harmony = chord_in(key, function, colour)
        for source, relation in ((Source.ROOT, Relation.ITSELF), (Source.THIRD, Relation.STACKED_ON_THIRD)):
            found = arpeggio(harmony, source)
            assert set(found.chord.tones) <= set(harmony.key.scale.tones)
            assert found.reason.relation is relation


@given(altered())
def test_the_altered_pair_is_the_tritone_substitute_and_the_half_diminished_on_its_third(dominant: Harmony) -> None:
    root, third = arpeggio(dominant, Source.ROOT), arpeggio(dominant, Source.THIRD)
    assert root.chord.quality == DOMINANT
    assert (root.chord.root.pitch_class - dominant.chord.root.pitch_class) % 12 == 6
    assert third.chord.quality == QUALITIES["m7b5"]
    assert root.degrees == ("b5", "b7", "b9", "3")
    assert third.degrees == ("b7", "b9", "3", "b13")
    assert root.reason.relation is Relation.TRITONE_SUBSTITUTE
    assert third.reason.relation is Relation.SUBSTITUTE_THIRD


@given(altered())
def test_a_tritone_substitute_has_a_natural_or_flat_root_and_stacked_thirds(dominant: Harmony) -> None:
    substitute = arpeggio(dominant, Source.ROOT).chord
    assert substitute.root.name in PLAIN_ROOTS
    assert substitute.root.name not in {"Cb", "Fb"}
    for tone, interval in zip(substitute.tones, substitute.quality.stack, strict=True):
        exact = exactly_above(substitute.root, interval)
        assert tone == exact or (abs(exact.accidental) > 1 and tone.pitch_class == exact.pitch_class)


@given(altered())
def test_only_two_altered_sevenths_hold_both_guide_tones(dominant: Harmony) -> None:
    found = carriers(dominant)
    assert sorted(dominant.degree_of(chord.root) for chord in found) == ["b5", "b7"]


@given(harmonies())
def test_carriers_hold_the_guide_tones_and_nothing_outside_the_scale(harmony: Harmony) -> None:
    guides = {tone.pitch_class for tone in harmony.chord.guide_tones}
    found = carriers(harmony)
    assert found
    for chord in found:
        assert guides <= chord.pitch_classes <= harmony.scale.pitch_classes


def test_spellings_by_name() -> None:
    assert names(arpeggio(chord_in("F", "V", "altered"), Source.ROOT).chord) == ["Gb", "Bb", "Db", "Fb"]
    assert names(arpeggio(chord_in("F", "V", "altered"), Source.THIRD).chord) == ["Bb", "Db", "Fb", "Ab"]
    assert names(arpeggio(chord_in("Bb", "V", "altered"), Source.ROOT).chord) == ["B", "D#", "F#", "A"]
    assert arpeggio(chord_in("Bb", "V", "altered"), Source.ROOT).chord.label == "B7"
    assert arpeggio(chord_in("F", "V", "altered"), Source.THIRD).chord.label == "B♭m7♭5"


def test_double_accidentals_of_a_stack_are_respelled_alone() -> None:
    # D♭dim7 would need A♭♭ and C♭♭; only those two are respelled.
    chord = Chord.stacked(Tone.parse("Db"), QUALITIES["dim7"])
    assert names(chord) == ["Db", "Fb", "G", "Bb"]


DOMINANTS = [
    harmony(Key.parse(key), function_on(Step(number, alteration), DOMINANT), colour)
    for key in KEY_NAMES
    for number in range(1, 8)
    for alteration in (-1, 0, 1)
    for colour in COLOURS.values()
]


def plain_stack(root: Tone, chord: Chord) -> list[Tone] | None:
    """Stack a chord's intervals on a root; None where that needs a double accidental."""
    stack = [exactly_above(root, interval) for interval in chord.quality.stack]
    return stack if all(abs(tone.accidental) < 2 for tone in stack) else None


def test_an_arpeggio_from_the_third_is_spelled_as_its_symbol_says() -> None:
    """No B♭m7♭5 with a C♯ in it, as long as a name of the root that is in use spares the double accidental."""
    for sounding in DOMINANTS:
        chord = arpeggio(sounding, Source.THIRD).chord
        usual = [Tone.parse(name) for name in USUAL_NAMES if Tone.parse(name).pitch_class == chord.root.pitch_class]
        if plain_stack(chord.root, chord) != list(chord.tones):
            assert all(plain_stack(root, chord) is None for root in (chord.root, *usual)), (sounding.label, chord)


def test_a_name_that_spells_a_chord_is_kept() -> None:
    for sounding in DOMINANTS:
        third = arpeggio(sounding, Source.ROOT).chord.tones[1]
        chord = arpeggio(sounding, Source.THIRD).chord
        if plain_stack(third, chord):
            assert chord.root == third


@pytest.mark.parametrize(
    ("key", "step", "colour", "spelled"),
    [
        ("B", Step(3), "plain", "Gm7b5: G Bb Db F"),
        ("Gb", Step(4), "plain", "D#m7b5: D# F# A C#"),
        ("E", Step(6), "whole-tone", "F7b5: F A Cb Eb"),
        ("E", Step(5), "whole-tone", "D#7b5: D# G A C#"),
        ("Db", Step(5), "harmonic-minor", "Cdim7: C Eb Gb A"),
    ],
)
def test_arpeggios_from_the_third_by_name(key: str, step: Step, colour: str, spelled: str) -> None:
    sounding = harmony(Key.parse(key), function_on(step, DOMINANT), COLOURS[colour])
    chord = arpeggio(sounding, Source.THIRD).chord
    assert f"{chord.symbol}: {' '.join(names(chord))}" == spelled


def test_the_same_arpeggio_in_another_colour_is_that_of_the_plain_chord() -> None:
    lydian = harmony(Key.parse("F"), FUNCTIONS["V"], COLOURS["lydian-dominant"])
    for made in arpeggios(lydian):
        simplest = under_simplest_colour(made)
        assert simplest.harmony.colour == COLOURS["plain"]
        assert (simplest.chord, simplest.source) == (made.chord, made.source)
    for made in arpeggios(chord_in("F", "V", "altered")):
        assert under_simplest_colour(made) == made


@given(harmonies())
def test_the_arpeggios_over_a_chord_are_those_of_both_sources(harmony: Harmony) -> None:
    assert arpeggios(harmony) == tuple(arpeggio(harmony, source) for source in Source)


def test_a_diminished_seventh_has_one_arpeggio() -> None:
    chord = function_on(Step(4, 1), QUALITIES["dim7"])
    (only,) = arpeggios(harmony(Key.parse("F"), chord, scale=CHORD_SCALES["diminished"].on(Tone("B"))))
    assert only.source is Source.ROOT
