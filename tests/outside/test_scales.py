"""Harmonised scales against published tables, and scales against an independent library.

Sources:
    Open Music Theory (version 2, openly licensed), chapters on diatonic seventh chords and on jazz chord–scale
    relations: the sevenths on each degree of major and of ascending melodic minor. From memory.
    mingus: major keys and the melodic minor, spelled.
    music21: parent scales of seven tones and intervals from every tone, spelled.
    The altered scale's sevenths from each of its degrees: common practice, no source.
"""

import mingus.core.keys
import mingus.core.scales
import pytest
from music21 import interval as intervals
from music21 import pitch, scale

from deckbuilder.theory.chords import QUALITIES, Quality, sevenths_within
from deckbuilder.theory.keys import KEY_NAMES, Key
from deckbuilder.theory.scales import parent_tones
from deckbuilder.theory.tones import Tone, exactly_above, plain
from tests.theory.harmonies import chord_in

MAJOR = ("maj7", "m7", "m7", "maj7", "7", "m7", "m7b5")
MELODIC_MINOR = ("mMaj7", "m7", "maj7#5", "7", "7", "m7b5", "m7b5")
ALTERED = {"1": "m7b5", "b9": "mMaj7", "#9": "m7", "3": "maj7#5", "b5": "7", "b13": "7", "b7": "m7b5"}
MINOR_TONICS = ("A", "D", "G", "C", "F", "Bb", "Eb", "E", "B", "F#", "C#", "G#")


def stacked_quality(tones: tuple[Tone, ...], step: int) -> Quality:
    """Take every other tone of a scale from one of its degrees, four in all, and name the chord."""
    picked = [tones[(step + skip) % len(tones)].pitch_class for skip in (0, 2, 4, 6)]
    semitones = tuple((pitch_class - picked[0]) % 12 for pitch_class in picked)
    return next(quality for quality in QUALITIES.values() if quality.semitones == semitones)


def harmonised(tones: tuple[Tone, ...]) -> tuple[str, ...]:
    return tuple(stacked_quality(tones, step).suffix for step in range(len(tones)))


@pytest.mark.parametrize("name", KEY_NAMES)
def test_major_sevenths(name: str) -> None:
    assert harmonised(Key.parse(name).scale.tones) == MAJOR


@pytest.mark.parametrize("name", KEY_NAMES)
def test_functions_are_the_sevenths_of_the_table(name: str) -> None:
    tones = Key.parse(name).scale.tones
    for function, step, suffix in (("ii", 1, "m7"), ("I", 0, "maj7"), ("V", 4, "7")):
        chord = chord_in(name, function, "plain" if function == "V" else None).chord
        assert (chord.root, chord.quality.suffix) == (tones[step], suffix)
        assert suffix == MAJOR[step]


@pytest.mark.parametrize("name", MINOR_TONICS)
def test_melodic_minor_sevenths(name: str) -> None:
    assert harmonised(parent_tones("MelodicMinorScale", Tone.parse(name))) == MELODIC_MINOR


@pytest.mark.parametrize("name", MINOR_TONICS)
def test_sevenths_found_within_a_scale_are_those_that_thirds_give(name: str) -> None:
    tones = parent_tones("MelodicMinorScale", Tone.parse(name))
    stacked = {(tones[step], stacked_quality(tones, step).suffix) for step in range(7)}
    assert stacked <= {(chord.root, chord.quality.suffix) for chord in sevenths_within(tones)}


@pytest.mark.parametrize("name", KEY_NAMES)
def test_altered_sevenths(name: str) -> None:
    """Common practice, no source."""
    for function in ("V", "VI"):
        dominant = chord_in(name, function, "altered")
        tones = dominant.scale.tones
        found = {dominant.degree_of(tone): stacked_quality(tones, step).suffix for step, tone in enumerate(tones)}
        assert found == ALTERED


@pytest.mark.parametrize("name", KEY_NAMES)
def test_major_scales_by_mingus(name: str) -> None:
    assert [tone.name for tone in Key.parse(name).scale.tones] == mingus.core.keys.get_notes(name)


@pytest.mark.parametrize("name", MINOR_TONICS)
def test_melodic_minor_by_mingus(name: str) -> None:
    expected = mingus.core.scales.MelodicMinor(name).ascending()[:-1]
    assert [tone.name for tone in parent_tones("MelodicMinorScale", Tone.parse(name))] == expected


EVERY_TONE = tuple(Tone(letter, accidental) for letter in "CDEFGAB" for accidental in (-2, -1, 0, 1, 2))
EVERY_INTERVAL = tuple(
    f"{quality}{number}"
    for number in range(1, 16)
    for quality in (("d", "P", "A") if number % 7 in (1, 4, 5) else ("d", "m", "M", "A"))
)


def theirs(tone: Tone) -> pitch.Pitch:
    signs = "-" * -tone.accidental if tone.accidental < 0 else "#" * tone.accidental
    return pitch.Pitch(f"{tone.letter}{signs}4")


def spelled(found: pitch.Pitch) -> Tone:
    """Read one of music21's pitches; what it spells with three accidentals or more we respell."""
    return Tone(found.step, round(found.alter)) if abs(found.alter) <= 2 else plain(found.pitchClass)


@pytest.mark.parametrize("name", EVERY_INTERVAL)
def test_intervals_are_spelled_as_music21_spells_them(name: str) -> None:
    interval = intervals.Interval(name)
    for tone in EVERY_TONE:
        assert exactly_above(tone, name) == spelled(interval.transposePitch(theirs(tone), maxAccidental=None))


@pytest.mark.parametrize("parent", ["MajorScale", "MinorScale", "MelodicMinorScale", "HarmonicMinorScale"])
def test_parents_of_seven_tones_are_spelled_as_music21_spells_them(parent: str) -> None:
    for tone in EVERY_TONE:
        pitches = getattr(scale, parent)(theirs(tone)).getPitches(direction=scale.Direction.ASCENDING)
        assert parent_tones(parent, tone) == tuple(map(spelled, pitches[:-1]))


@pytest.mark.parametrize("parent", ["OctatonicScale", "WholeToneScale"])
def test_even_parents_have_the_pitches_that_music21_gives(parent: str) -> None:
    """How their tones are called is left to each library: eight or six tones have no letters of their own."""
    for tone in EVERY_TONE:
        pitches = getattr(scale, parent)(theirs(tone)).getPitches(direction=scale.Direction.ASCENDING)
        found = [each.pitch_class for each in parent_tones(parent, tone)]
        assert found == [each.pitchClass for each in pitches[:-1]]
