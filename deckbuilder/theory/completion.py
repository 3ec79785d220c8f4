"""Completion: the seventh that a triad's place in its key gives it.

Rule: a diatonic triad takes the seventh of the key's scale. A triad over its own
seventh has that one: C/B♭ is C7/B♭. The triad on V, and any other that is not diatonic and
falls a fifth, is a dominant; the tonic of a minor key has the major seventh of melodic minor. A suspended triad is a
suspended dominant (common practice of jazz, no source).
"""

from deckbuilder.theory.chords import DOMINANT, QUALITIES, SUSPENDED, Quality, stacked_sevenths
from deckbuilder.theory.chordtypes import ChordType
from deckbuilder.theory.forms import FormChord
from deckbuilder.theory.steps import Step

_FOURTH_UP = 5


def completed(chord: FormChord, rise: int) -> ChordType:
    """Return a chord's type with a seventh; a type of four tones is returned as it is.

    Args:
        chord: the chord as written.
        rise: semitones from its root up to the next chord's, 0 to 11.
    """
    kind = chord.type
    if len(kind.quality.semitones) > 3:
        return kind
    over_seventh = _over_its_seventh(chord)
    if over_seventh is not None:
        return ChordType(over_seventh, kind.tensions)
    leads = chord.step == Step(5) or rise == _FOURTH_UP
    match kind.quality.suffix:
        case "aug" if leads:
            return ChordType(DOMINANT, ("#5", *kind.tensions))
        case "aug":
            return ChordType(QUALITIES["maj7#5"], kind.tensions)
        case "sus4":
            return ChordType(SUSPENDED, kind.tensions)
        case "m":
            minor_tonic = chord.key.minor and chord.step == Step(1)
            return ChordType(QUALITIES["mMaj7" if minor_tonic else "m7"], kind.tensions)
        case "dim":
            half = _diatonic(chord) == QUALITIES["m7b5"]
            return ChordType(QUALITIES["m7b5" if half else "dim7"], kind.tensions)
        case _:
            if chord.step == Step(5):
                return ChordType(DOMINANT, kind.tensions)
            diatonic = _diatonic(chord)
            if diatonic in (DOMINANT, QUALITIES["maj7"]):
                return ChordType(diatonic, kind.tensions)
            return ChordType(DOMINANT if leads else QUALITIES["maj7"], kind.tensions)


def _over_its_seventh(chord: FormChord) -> Quality | None:
    if chord.bass_tone is None:
        return None
    bass = (chord.bass_tone.pitch_class - chord.root.pitch_class) % 12
    tones = (*chord.type.quality.semitones, bass)
    return next((quality for quality in QUALITIES.values() if quality.semitones == tones), None)


def _diatonic(chord: FormChord) -> Quality | None:
    root = chord.root.pitch_class
    stacked = stacked_sevenths(chord.key.scale.tones)
    return next((found.quality for found in stacked if found.root.pitch_class == root), None)
