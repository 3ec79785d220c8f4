"""The minor cadence against tables and libraries that the program does not use.

Handbook table in C minor: scales and arpeggios of iiø, V and i as chord-scale tables of jazz harmony books print them;
written from memory, not copied from a page. Pitch classes of scales and chords in twelve keys: mingus.
"""

import pytest
from mingus.core import chords as mingus_chords
from mingus.core import scales as mingus_scales
from mingus.core.notes import note_to_int

from deckbuilder.theory.arpeggios import Source, arpeggio
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.keys import Key
from deckbuilder.theory.minor import DEFAULT_MINOR_KEYS
from tests.theory.cadence import minor_cadence

TABLE = {
    # chord: the scale from the chord's root; the arpeggio from the root; the one from the third, with its degrees
    "Dm7b5": ("D Eb F G Ab Bb C", "Dm7b5: D F Ab C", "Fm7: F Ab C Eb, b3 b5 b7 b9"),
    "G7b9b13": ("G Ab B C D Eb F", "G7: G B D F", "Bdim7: B D F Ab, 3 5 b7 b9"),
    "G7alt": ("G Ab A# B Db Eb F", "Db7: Db F Ab Cb", "Fm7b5: F Ab Cb Eb, b7 b9 3 b13"),
    "Cm6": ("C D Eb F G A B", "Cm6: C Eb G A", "Ebmaj7#5: Eb G B D, b3 5 7 9"),
    "CmMaj7": ("C D Eb F G A B", "CmMaj7: C Eb G B", "Ebmaj7#5: Eb G B D, b3 5 7 9"),
}


def _chords(key: str) -> dict[str, Harmony]:
    minor = Key.parse_either(key)
    cadences = (minor_cadence(minor, "harmonic-minor", "im6"), minor_cadence(minor, "altered", "imMaj7"))
    return {chord.symbol: chord for cadence in cadences for chord in cadence}


@pytest.mark.parametrize("symbol", TABLE)
def test_scales_and_arpeggios_are_those_of_the_table(symbol: str) -> None:
    chord = _chords("Cm")[symbol]
    from_root, from_third = (arpeggio(chord, source) for source in Source)
    names = [" ".join(tone.name for tone in made.chord.tones) for made in (from_root, from_third)]
    assert (
        " ".join(tone.name for tone in chord.mode.tones),
        f"{from_root.chord.symbol}: {names[0]}",
        f"{from_third.chord.symbol}: {names[1]}, {' '.join(from_third.degrees)}",
    ) == TABLE[symbol]


def _classes(names: list[str]) -> set[int]:
    return {note_to_int(name) for name in names}


@pytest.mark.parametrize("key", DEFAULT_MINOR_KEYS)
def test_scales_have_the_tones_that_mingus_gives(key: str) -> None:
    tonic = key.removesuffix("m")
    ii, dominant, i = minor_cadence(Key.parse_either(key))
    assert ii.scale.pitch_classes == _classes(mingus_scales.NaturalMinor(tonic).ascending())
    assert dominant.scale.pitch_classes == _classes(mingus_scales.HarmonicMinor(tonic).ascending())
    assert i.scale.pitch_classes == _classes(mingus_scales.MelodicMinor(tonic).ascending())


@pytest.mark.parametrize("key", DEFAULT_MINOR_KEYS)
def test_chords_have_the_tones_that_mingus_gives(key: str) -> None:
    ii, dominant, i = (chord.chord for chord in minor_cadence(Key.parse_either(key)))
    major_seventh = minor_cadence(Key.parse_either(key), tonic="imMaj7")[2].chord
    assert ii.pitch_classes == _classes(mingus_chords.half_diminished_seventh(ii.root.name))
    assert dominant.pitch_classes == _classes(mingus_chords.dominant_seventh(dominant.root.name))
    assert i.pitch_classes == _classes(mingus_chords.minor_sixth(i.root.name))
    assert major_seventh.pitch_classes == _classes(mingus_chords.minor_major_seventh(i.root.name))
