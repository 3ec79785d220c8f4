"""Chord tones of every arpeggio against two independent libraries, and ii–V–I facts that every player knows.

Sources:
    pychord and mingus: each spells a chord from its symbol; symbols are translated into their dialects.
    Facts in F, and the carriers of an altered dominant: common practice, no source.
"""

import mingus.core.chords
import mingus.core.notes
import pychord
import pytest

from deckbuilder.theory.arpeggios import Source, arpeggio, carriers
from deckbuilder.theory.chords import QUALITIES, Chord
from deckbuilder.theory.keys import KEY_NAMES
from deckbuilder.theory.tones import Tone
from tests.theory.harmonies import CHORDS, chord_in

PYCHORD = {"maj7#5": "maj7+5", "mMaj7": "mM7"}
MINGUS = {"maj7": "M7", "maj7#5": "M7+", "mMaj7": "mM7"}

ARPEGGIOS = {
    f"{key} {function} {colour or ''} {source}": arpeggio(chord_in(key, function, colour), source).chord
    for key in KEY_NAMES
    for function, colour in CHORDS
    for source in Source
}


def pychord_tones(chord: Chord) -> list[str]:
    suffix = chord.quality.suffix
    return list(pychord.Chord(chord.root.name + PYCHORD.get(suffix, suffix)).components())


def mingus_tones(chord: Chord) -> list[str]:
    suffix = chord.quality.suffix
    return list(mingus.core.chords.from_shorthand(chord.root.name + MINGUS.get(suffix, suffix)))


def pitch_classes(names: list[str]) -> list[int]:
    return [int(mingus.core.notes.note_to_int(name)) for name in names]


def test_there_are_ten_arpeggios_in_each_of_fifteen_keys() -> None:
    assert len(ARPEGGIOS) == 150


@pytest.mark.parametrize("name", ARPEGGIOS)
def test_chord_tones_by_two_libraries(name: str) -> None:
    chord = ARPEGGIOS[name]
    here = [tone.pitch_class for tone in chord.tones]
    assert here == pitch_classes(pychord_tones(chord))
    assert here == pitch_classes(mingus_tones(chord))


@pytest.mark.parametrize("name", ARPEGGIOS)
def test_spelling_by_mingus_but_for_double_accidentals(name: str) -> None:
    chord = ARPEGGIOS[name]
    for here, there in zip(chord.tones, mingus_tones(chord), strict=True):
        # mingus keeps double accidentals, which this program never shows.
        assert here.name == there or there.endswith(("bb", "##"))


@pytest.mark.parametrize("suffix", QUALITIES)
@pytest.mark.parametrize("root", ["C", "Db", "D", "Eb", "E", "F", "F#", "Gb", "G", "Ab", "A", "Bb", "B"])
def test_every_quality_by_two_libraries(root: str, suffix: str) -> None:
    chord = Chord.stacked(Tone.parse(root), QUALITIES[suffix])
    here = [tone.pitch_class for tone in chord.tones]
    assert here == pitch_classes(pychord_tones(chord))
    assert here == pitch_classes(mingus_tones(chord))


@pytest.mark.parametrize(
    ("function", "colour", "symbol", "root", "third"),
    [
        ("ii", None, "Gm7", "Gm7", "Bbmaj7"),
        ("V", "plain", "C7", "C7", "Em7b5"),
        ("I", None, "Fmaj7", "Fmaj7", "Am7"),
        ("V", "altered", "C7alt", "Gb7", "Bbm7b5"),
        ("VI", "altered", "D7alt", "Ab7", "Cm7b5"),
    ],
)
def test_the_turnaround_in_f(function: str, colour: str | None, symbol: str, root: str, third: str) -> None:
    """Common practice, no source."""
    harmony = chord_in("F", function, colour)
    assert harmony.symbol == symbol
    assert arpeggio(harmony, Source.ROOT).chord.symbol == root
    assert arpeggio(harmony, Source.THIRD).chord.symbol == third


@pytest.mark.parametrize("key", KEY_NAMES)
def test_altered_carriers_stand_on_the_flat_fifth_and_the_flat_seventh(key: str) -> None:
    """Common practice, no source: of the altered scale's own sevenths only these two hold both guide tones."""
    for function in ("V", "VI"):
        dominant = chord_in(key, function, "altered")
        found = {dominant.degree_of(chord.root): chord.quality.suffix for chord in carriers(dominant)}
        assert found == {"b5": "7", "b7": "m7b5"}
