"""Hands of instruments in fifths against published fingerings.

Sources (from memory):
    L. Mozart, *Versuch einer gründlichen Violinschule* (1756), and O. Ševčík, *School of Violin Technics* op. 1: the
    first position. Each finger stops a step of the scale, low or high as the key has it.
    C. Flesch, *The Art of Violin Playing* I: in the nth position the first finger stops the nth step above the open
    string; the first finger and the fourth on the next higher string are an octave apart.
    J. J. F. Dotzauer, *Violoncell-Schule*: closed position is a minor third from first finger to fourth, extended
    position a major third, the whole tone lying between first and second finger.
    Scale lengths: Grove Music Online, articles on mandolin, banjo and violoncello; makers' catalogues agree within a
    few per cent.
"""

import pytest

from deckbuilder.neck.fingering import fingering
from deckbuilder.neck.hand import EXTENDED, FINGER_A_STEP, Hand
from deckbuilder.neck.regions import regions, relative_index_frets
from deckbuilder.neck.tuning import TUNINGS
from deckbuilder.theory.keys import DEFAULT_KEYS, Key

MANDOLIN = TUNINGS["mandolin"]

FIRST_POSITION = {
    # Frets (semitones above the open string) of fingers 1 to 4 on G, D, A, E.
    "G": [(2, 4, 5, 7), (2, 4, 5, 7), (2, 3, 5, 7), (2, 3, 5, 7)],
    "D": [(2, 4, 6, 7), (2, 4, 5, 7), (2, 4, 5, 7), (2, 3, 5, 7)],
    "C": [(2, 4, 5, 7), (2, 3, 5, 7), (2, 3, 5, 7), (1, 3, 5, 7)],
    "F": [(2, 3, 5, 7), (2, 3, 5, 7), (1, 3, 5, 7), (1, 3, 5, 6)],
    "Bb": [(2, 3, 5, 7), (1, 3, 5, 7), (1, 3, 5, 6), (1, 3, 5, 6)],
}


@pytest.mark.parametrize("key", FIRST_POSITION)
def test_first_position_of_violin_and_mandolin(key: str) -> None:
    found = fingering(MANDOLIN, Key.parse(key).scale.pitch_classes, 1, frets=20, lowest_fret=1).notes
    for string, frets in zip((4, 3, 2, 1), FIRST_POSITION[key], strict=True):
        fingers = {note.place.fret: note.finger for note in found if note.place.string == string}
        assert fingers == dict(zip(frets, (1, 2, 3, 4), strict=True)), string


@pytest.mark.parametrize("name", DEFAULT_KEYS)
def test_regions_of_a_short_scale_are_violin_positions(name: str) -> None:
    """The first finger stops a step of the scale on the lowest string: the root, second, fourth, fifth or sixth."""
    key = Key.parse(name)
    for region in regions(MANDOLIN, key.tonic.pitch_class, frets=20):
        assert (MANDOLIN.open_midi[0] + region.index_fret) % 12 in key.scale.pitch_classes
    assert relative_index_frets(MANDOLIN) == (0, 2, 5, 7, 9)


@pytest.mark.parametrize("name", DEFAULT_KEYS)
def test_the_frame_of_the_hand_is_an_octave(name: str) -> None:
    """Wherever the frame is perfect: the first finger and the fourth on the next string, a fifth and a fourth apart."""
    key, octaves = Key.parse(name), 0
    for region in regions(MANDOLIN, key.tonic.pitch_class, frets=20)[1:]:
        notes = fingering(MANDOLIN, key.scale.pitch_classes, region.index_fret, frets=20, lowest_fret=1).notes
        by_finger = {(note.place.string, note.finger): note.midi for note in notes}
        for string in (4, 3, 2):
            low, high = by_finger.get((string, 1)), by_finger.get((string - 1, 4))
            if low is not None and high is not None:
                assert high - low in (11, 12, 13)
                octaves += high - low == 12
    assert octaves >= 6


@pytest.mark.parametrize("name", ["tenor", "octave-mandolin", "cello"])
def test_a_long_scale_in_fifths_has_the_extended_hand_of_the_cello(name: str) -> None:
    hand = TUNINGS[name].hand
    assert hand is EXTENDED
    assert hand.span - 1 == 4  # a major third
    fingers = hand.on_string([5, 7, 8, 9], 5)
    assert fingers == {5: 1, 7: 2, 8: 3, 9: 4}
    # Closed position, a minor third.
    assert hand.on_string([6, 7, 8, 9], 5) == {6: 1, 7: 2, 8: 3, 9: 4}


SCALE_LENGTHS = {"standard": 648, "mandolin": 350, "octave-mandolin": 530, "tenor": 570, "cello": 690, "bass-4": 864}
"""mm from nut to bridge."""


def width(hand: Hand, scale_length: float) -> float:
    """Measure from the middle of the hand's first fret to that of its last one in the first position, mm."""
    return float(scale_length * (2 ** (-0.5 / 12) - 2 ** (-(hand.span - 0.5) / 12)))


def test_seven_frets_of_a_mandolin_are_as_wide_as_four_of_a_guitar() -> None:
    guitar = width(TUNINGS["standard"].hand, SCALE_LENGTHS["standard"])
    assert width(FINGER_A_STEP, SCALE_LENGTHS["mandolin"]) == pytest.approx(guitar, rel=0.05)


@pytest.mark.parametrize("name", SCALE_LENGTHS)
def test_no_hand_is_wider_than_players_reach(name: str) -> None:
    """A cellist's extension in the lowest position, and a bass player's four frets, are the widest in use."""
    widest = 140
    assert width(TUNINGS[name].hand, SCALE_LENGTHS[name]) <= widest
    if name in ("tenor", "octave-mandolin", "cello"):
        assert width(FINGER_A_STEP, SCALE_LENGTHS[name]) > widest
