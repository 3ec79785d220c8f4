"""Shells: one hand holds every grip, on any tuning, and no other way of leading them moves less."""

from itertools import pairwise, product

from hypothesis import given, settings
from hypothesis import strategies as st

from deckbuilder.neck import shells
from deckbuilder.neck.shells import ShellTones, led_shells, motion, string_sets
from deckbuilder.neck.tuning import TUNINGS, Tuning
from tests.neck.necks import STANDARD, any_tunings

CADENCE = (ShellTones(10, 5, (9, 0)), ShellTones(4, 10, (2, 9)), ShellTones(9, 4, (7, 2)))
"""Gm7, C7 and Fmaj7 with two tensions each."""

moved = st.integers(0, 11).map(
    lambda up: tuple(
        ShellTones((each.third + up) % 12, (each.seventh + up) % 12, tuple((t + up) % 12 for t in each.tensions))
        for each in CADENCE
    )
)


@given(any_tunings(), moved, st.integers(12, 24))
@settings(max_examples=60, deadline=None)
def test_one_hand_holds_every_grip(tuning: Tuning, chords: tuple[ShellTones, ...], frets: int) -> None:
    opens = dict(tuning.numbered())
    for strings in string_sets(tuning):
        assert [first - second for first, second in pairwise(strings)] == [1, 1]
        grips = led_shells(tuning, strings, chords, frets=frets)
        for grip, tones in zip(grips, chords, strict=bool(grips)):
            assert tuple(note.place.string for note in grip) == strings
            assert all(note.midi == opens[note.place.string] + note.place.fret for note in grip)
            used = [note.place.fret for note in grip]
            assert 1 <= min(used) <= max(used) <= frets
            assert max(used) - min(used) < tuning.hand.span
            *guides, tension = (note.midi % 12 for note in grip)
            assert set(guides) == {tones.third, tones.seventh}
            assert tension in tones.tensions


def test_no_other_way_moves_less() -> None:
    chords = tuple(ShellTones(each.third, each.seventh, each.tensions[:1]) for each in CADENCE)
    for strings in string_sets(STANDARD):
        offers = [[grip for grip, _ in shells._grips(STANDARD, strings, tones, 22)] for tones in chords]
        least = min(motion(one, two) + motion(two, three) for one, two, three in product(*offers))
        grips = led_shells(STANDARD, strings, chords, frets=22)
        assert sum(motion(before, after) for before, after in pairwise(grips)) == least


def test_guitar_has_three_sets_and_every_tuning_one() -> None:
    assert string_sets(STANDARD) == ((5, 4, 3), (4, 3, 2), (3, 2, 1))
    for tuning in TUNINGS.values():
        assert string_sets(tuning)


def test_nothing_is_led_where_a_chord_has_no_grip() -> None:
    assert led_shells(STANDARD, (4, 3, 2), (CADENCE[0], ShellTones(4, 10, ())), frets=22) == ()
