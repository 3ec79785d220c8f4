"""Degrees: what a tone is to the chord that sounds.

Convention: degrees are ASCII (`b9`); `deckbuilder.theory.tones.pretty` makes them readable. Tones of the chord are
1 3 5 7 (4 or 6 where the chord holds them instead), the others 9 11 13 (common practice, no source).
"""

from collections.abc import Set as AbstractSet


def degree(semitones: int, chord: AbstractSet[int], scale: AbstractSet[int]) -> str:
    """Name the degree of a tone against the sounding chord.

    Args:
        semitones: the tone above the chord's root, in semitones; taken modulo 12.
        chord: the chord's tones above its root, in semitones.
        scale: the tones of the scale the chord draws on above the chord's root, in semitones; it decides
            whether a tritone is a flat fifth (no fifth beside it) or a sharp eleventh.

    Returns:
        One of 1 b9 9 #9 b3 3 4 11 #11 b5 5 b13 #5 6 13 bb7 b7 7.
    """
    match semitones % 12:
        case 0:
            return "1"
        case 1:
            return "b9"
        case 2:
            return "9"
        case 3:
            return "b3" if 4 not in chord else "#9"
        case 4:
            return "3"
        case 5:
            return "4" if 5 in chord else "11"
        case 6:
            has_fifth = 7 in scale or _fifth_is_sharp(chord, scale)
            return "#11" if has_fifth and 6 not in chord else "b5"
        case 7:
            return "5"
        case 8:
            return "#5" if _fifth_is_sharp(chord, scale) else "b13"
        case 9:
            return _sixth(chord)
        case 10:
            return "b7"
        case _:
            return "7"


def _fifth_is_sharp(chord: AbstractSet[int], scale: AbstractSet[int]) -> bool:
    """Whether a sharp fifth stands for the fifth: in the chord itself, or in a dominant's whole-tone scale.

    The altered scale has no perfect fifth either, but its ninths are altered too: there the flat fifth stands for it.
    """
    return 8 in chord or (4 in chord and 2 in scale and 7 not in scale)


def _sixth(chord: AbstractSet[int]) -> str:
    if chord >= {3, 6, 9}:
        return "bb7"
    return "6" if 9 in chord else "13"
