import doctest
from collections.abc import Callable
from itertools import pairwise, product
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.sound import voice_leading
from deckbuilder.sound.arrangement import LOWEST_ROOT
from deckbuilder.sound.description import SoundError
from deckbuilder.sound.voice_leading import LEAP, STEP, Change, Voicing, recoloured, voice_led

CHANGES = st.lists(
    st.builds(
        Change,
        root=st.integers(0, 11),
        third=st.integers(3, 4),
        seventh=st.integers(9, 11),
        fifth=st.integers(6, 8),
        beats=st.sampled_from([2, 4, 8]),
    ),
    min_size=1,
    max_size=8,
)


def round_the_loop(voicings: tuple[Voicing, ...]) -> list[tuple[Voicing, Voicing]]:
    return list(pairwise((*voicings, voicings[0])))


def cadence(key: int) -> list[Change]:
    return [Change((key + 2) % 12, 3, 10), Change((key + 7) % 12, 4, 10), Change(key, 4, 11, beats=8)]


def turnaround(key: int) -> list[Change]:
    return [*cadence(key)[:2], Change(key, 4, 11), Change((key + 9) % 12, 4, 10)]


@given(CHANGES)
def test_every_voicing_is_a_shell(changes: list[Change]) -> None:
    voicings = voice_led(changes)
    assert len(voicings) == len(changes)
    for change, (root, lower, upper) in zip(changes, voicings, strict=True):
        assert LOWEST_ROOT <= root < lower < upper
        assert root % 12 == change.root
        assert {lower % 12, upper % 12} == {
            (change.root + change.third) % 12,
            (change.root + change.seventh) % 12,
        }


@pytest.mark.parametrize("key", range(12))
def test_a_cadence_moves_by_step(key: int) -> None:
    for one, other in round_the_loop(voice_led(cadence(key))):
        assert abs(other[0] - one[0]) <= LEAP
        assert max(abs(b - a) for a, b in zip(one[1:], other[1:], strict=True)) <= STEP


def least_skip(one: Change, other: Change) -> int:
    """Find the least that the farther guide tone must move, whatever the octaves and the order."""

    def away(a: int, b: int) -> int:
        return min((a - b) % 12, (b - a) % 12)

    before = (one.root + one.third, one.root + one.seventh)
    third, seventh = other.root + other.third, other.root + other.seventh
    return min(
        max(away(a, b) for a, b in zip(before, after, strict=True)) for after in ((third, seventh), (seventh, third))
    )


@pytest.mark.parametrize("key", range(12))
def test_a_turnaround_moves_by_step_where_its_changes_allow(key: int) -> None:
    """From Imaj7 to VI7 no pair of guide tones is nearer than 2 and 3 semitones; everywhere else steps do."""
    changes = turnaround(key)
    pairs = list(pairwise((*changes, changes[0])))
    assert [least_skip(*pair) for pair in pairs] == [1, 1, 3, 2]
    for (one, other), (before, after) in zip(round_the_loop(voice_led(changes)), pairs, strict=True):
        assert max(abs(b - a) for a, b in zip(one, other, strict=True)) <= LEAP
        moved = max(abs(b - a) for a, b in zip(one[1:], other[1:], strict=True))
        assert moved <= max(STEP, least_skip(before, after))


@given(CHANGES)
def test_no_guide_tone_leaps_more_than_a_fifth(changes: list[Change]) -> None:
    for one, other in round_the_loop(voice_led(changes)):
        assert max(abs(b - a) for a, b in zip(one[1:], other[1:], strict=True)) <= LEAP


@given(CHANGES)
def test_the_same_changes_are_led_the_same_way(changes: list[Change]) -> None:
    assert voice_led(changes) == voice_led(list(changes))


def test_shells_that_players_know() -> None:
    assert voice_led(cadence(5)) == ((43, 53, 58), (48, 52, 58), (41, 52, 57))


@pytest.mark.parametrize(
    ("field", "value"),
    list(product(("root", "third", "seventh", "fifth", "beats"), (-1, 12))),
)
def test_chords_that_are_none(field: str, value: int) -> None:
    values: dict[str, Any] = {"root": 0, "third": 4, "seventh": 10, "fifth": 7, "beats": 4, field: value}
    with pytest.raises(SoundError, match=f"{field} {value} of a chord is out of range"):
        voice_led([Change(**values)])


def test_no_chords() -> None:
    with pytest.raises(SoundError, match="changes are empty"):
        voice_led([])


ADDED = {
    "m7": ((2,), (7,)),
    "maj7": ((2,), (7,), (9,)),
    "plain": ((9,), (2,), (7,)),
    "altered": ((8,), (1,), (3,)),
}


def coloured(key: int, functions: str) -> list[Change]:
    """Give changes whose chords add a tone: `ii V+ I VI+`, + for an altered dominant."""
    steps = {"ii": (2, 3, 10, "m7"), "V": (7, 4, 10, "plain"), "I": (0, 4, 11, "maj7"), "VI": (9, 4, 10, "plain")}
    changes = []
    for name in functions.split():
        step, third, seventh, tones = steps[name.rstrip("+")]
        tones = "altered" if name.endswith("+") else tones
        changes.append(Change((key + step) % 12, third, seventh, added=ADDED[tones]))
    return changes


@pytest.mark.parametrize("functions", ["ii V I", "ii V+ I", "ii V I VI", "ii V+ I VI", "ii V I VI+", "ii V+ I VI+"])
@pytest.mark.parametrize("key", range(12))
def test_with_an_added_tone_every_voice_moves_by_step(key: int, functions: str) -> None:
    changes = coloured(key, functions)
    voicings = voice_led(changes)
    for change, (root, *above) in zip(changes, voicings, strict=True):
        tones = {(pitch - change.root) % 12 for pitch in above}
        assert root % 12 == change.root
        assert {change.third, change.seventh} < tones
        assert tones - {change.third, change.seventh} in [set(choice) for choice in change.added]
        assert above == sorted(above)
        assert not any(b - a in (1, 13) for a, b in product(above, above))
    for one, other in round_the_loop(voicings):
        assert abs(other[0] - one[0]) <= LEAP
        assert max(abs(b - a) for a, b in zip(one[1:], other[1:], strict=True)) <= STEP


def test_an_altered_turnaround_that_players_know() -> None:
    """In C: Dm9, G7♭13, Cmaj7, A7♭13, the upper voices a step apart at most (common practice, no source)."""
    assert voice_led(coloured(0, "ii V+ I VI+")) == (
        (50, 53, 60, 64),
        (43, 53, 59, 63),
        (48, 55, 59, 64),
        (45, 55, 61, 65),
    )


def test_added_tones_that_do_not_fit() -> None:
    with pytest.raises(SoundError, match="added tone 14 of a chord is out of range"):
        voice_led([Change(0, 4, 10, added=((14,),))])
    with pytest.raises(SoundError, match="give every chord of the changes as many"):
        voice_led([Change(0, 4, 10, added=((9,),)), Change(5, 4, 11)])


@pytest.mark.parametrize(
    "call", [lambda change: voice_led([change]), lambda change: recoloured((48, 52, 58, 61), change)]
)
def test_added_tones_that_leave_no_voicing(call: Callable[[Change], object]) -> None:
    with pytest.raises(SoundError, match=r"added tones \(\(11,\),\) leave no playable voicing"):
        call(Change(0, 4, 10, added=((11,),)))


@pytest.mark.parametrize("key", range(12))
@pytest.mark.parametrize(("functions", "place"), [("ii V+ I", 1), ("ii V+ I VI+", 3)])
def test_another_colour_changes_the_added_tone_alone(key: int, functions: str, place: int) -> None:
    voicing = voice_led(coloured(key, functions))[place]
    plain = coloured(key, functions.replace("+", ""))[place]
    other = recoloured(voicing, plain)
    changed = [(a, b) for a, b in zip(voicing, other, strict=True) if a != b]
    assert len(changed) == 1
    assert abs(changed[0][0] - changed[0][1]) <= STEP
    assert (changed[0][1] - plain.root) % 12 in {tone for choice in plain.added for tone in choice}


def test_the_examples_hold() -> None:
    assert doctest.testmod(voice_leading).failed == 0


def test_a_voicing_of_another_size() -> None:
    with pytest.raises(SoundError, match="has 3 tones"):
        recoloured((48, 52, 58), Change(0, 4, 10, added=((2,),)))
