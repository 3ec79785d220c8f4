"""Worked progressions of common practice, analysed as jazz harmony texts analyse them.

The progressions are generic formulas that every such text prints, not tunes. The analyses were written by hand before
the program read them: common practice, no single source. The scales over non-resolving and secondary dominants follow
the chord-scale habit of naming the tensions that the key gives (mixolydian ♭6 over V/ii, phrygian dominant over V/iii
and V/vi, mixolydian over V/V and V/IV, lydian dominant over substitutes and the backdoor).
"""

import pytest

from deckbuilder.theory.analysis import analyse
from deckbuilder.theory.changes import SectionText, parse_form
from deckbuilder.theory.keys import DEFAULT_KEYS, Key
from deckbuilder.theory.tones import Tone

PROGRESSIONS: dict[str, tuple[str, str, str]] = {
    "major cadence": (
        "C",
        "| Dm7 | G7 | Cmaj7 |",
        "ii: C major; V: C major; I: C major",
    ),
    "minor cadence": (
        "Cm",
        "| Dm7b5 | G7alt | Cm |",
        "iiø7: C natural minor; V: G altered; imMaj7: C melodic minor",
    ),
    "minor cadence, dominant unaltered": (
        "Cm",
        "| Dm7b5 | G7b9 | Cm6 |",
        "iiø7: C natural minor; V: G phrygian dominant; im6: C melodic minor",
    ),
    "turnaround": (
        "C",
        "| Cmaj7 A7 | Dm7 G7 |",
        "I: C major; V/ii: A mixolydian b6; ii: C major; V: C major",
    ),
    "diatonic turnaround": (
        "C",
        "| Cmaj7 Am7 | Dm7 G7 |",
        "I: C major; vi: C major; ii: C major; V: C major",
    ),
    "tritone substitute": (
        "C",
        "| Dm7 | Db7 | Cmaj7 |",
        "ii: C major; subV/I: Db lydian dominant; I: C major",
    ),
    "backdoor": (
        "C",
        "| Fm7 | Bb7 | Cmaj7 |",
        "iv: C natural minor; ♭VII7: Bb lydian dominant; I: C major",
    ),
    "minor subdominant": (
        "C",
        "| Fmaj7 | Fm6 | C6 | G7sus4 |",
        "IV: C major; ivm6: F melodic minor; I6: C major; V7sus4: C major",
    ),
    "secondary dominants": (
        "C",
        "| C | E7 | Am | A7 | Dm | D7 | G7 | C7 | F | B7 | Em | G7 |",
        "I: C major; V/vi: E phrygian dominant; vi: C major; V/ii: A mixolydian b6; ii: C major; V/V: D mixolydian; "
        "V: C major; V/IV: C mixolydian; IV: C major; V/iii: B phrygian dominant; iii: C major; V: C major",
    ),
    "related ii of secondary dominants": (
        "C",
        "| Em7b5 A7 | Dm7 | Gm7 C7 | Fmaj7 G7 |",
        "iiø7/ii: E locrian; V/ii: A phrygian dominant; ii: C major; ii/IV: G dorian; V/IV: C mixolydian; IV: C major; "
        "V: C major",
    ),
    "twelve-bar blues": (
        "Bb",
        "| Bb7 | Eb7 | Bb7 | % | Eb7 | Edim7 | Bb7 | G7 | Cm7 | F7 | Bb7 G7 | Cm7 F7 |",
        "I7: Bb mixolydian; IV7: Eb mixolydian; I7: Bb mixolydian; I7: Bb mixolydian; IV7: Eb mixolydian; "
        "♯iv°7: E diminished; I7: Bb mixolydian; V/ii: G mixolydian b6; ii: Bb major; V: Bb major; I7: Bb mixolydian; "
        "V/ii: G mixolydian b6; ii: Bb major; V: Bb major",
    ),
    "minor blues": (
        "Cm",
        "| Cm7 | Fm7 | Cm7 | % | Fm7 | % | Cm7 | % | Ab7 | G7 | Cm7 | G7 |",
        "i: C natural minor; iv: C natural minor; i: C natural minor; i: C natural minor; iv: C natural minor; "
        "iv: C natural minor; i: C natural minor; i: C natural minor; subV/V: Ab lydian dominant; "
        "V: G phrygian dominant; i: C natural minor; V: G phrygian dominant",
    ),
    "bridge in dominants": (
        "Bb",
        "| D7 | % | G7 | % | C7 | % | F7 | % | Bb |",
        "V/VI: D mixolydian; V/VI: D mixolydian; V/II: G mixolydian; V/II: G mixolydian; V/V: C mixolydian; "
        "V/V: C mixolydian; V: Bb major; V: Bb major; I: Bb major",
    ),
    "rising diminished chords": (
        "C",
        "| Cmaj7 C#dim7 | Dm7 D#dim7 | Em7 |",
        "I: C major; vii°7/ii: C# diminished; ii: C major; vii°7/iii: D# diminished; iii: C major",
    ),
    "borrowed major sevenths": (
        "C",
        "| Cmaj7 Ebmaj7 | Abmaj7 Dbmaj7 |",
        "I: C major; ♭IIImaj7: C natural minor; ♭VImaj7: C natural minor; ♭IImaj7: Db lydian",
    ),
    "substitutes all the way down": (
        "C",
        "| Em7 Eb7 | Dm7 Db7 | C6 |",
        "iii: C major; subV/ii: Eb lydian dominant; ii: C major; subV/I: Db lydian dominant; I6: C major",
    ),
}


def _analysed(key: str, bars: str, tonic: str | None = None) -> list[str]:
    form = parse_form("progression", Key.parse_either(key), [SectionText("", bars)])
    if tonic is not None:
        form = form.on(Tone.parse(tonic))
    return [f"{chord.label}: {chord.harmony.scale.symbol}" for chord in analyse(form)]


@pytest.mark.parametrize("name", PROGRESSIONS)
def test_a_progression_is_analysed_as_texts_do(name: str) -> None:
    key, bars, expected = PROGRESSIONS[name]
    assert _analysed(key, bars) == expected.split("; ")


@pytest.mark.parametrize("tonic", DEFAULT_KEYS)
@pytest.mark.parametrize("name", PROGRESSIONS)
def test_the_analysis_is_the_same_in_every_key(name: str, tonic: str) -> None:
    key, bars, expected = PROGRESSIONS[name]
    readings = [chord.partition(": ")[0] for chord in _analysed(key, bars, tonic)]
    assert readings == [chord.partition(": ")[0] for chord in expected.split("; ")]
