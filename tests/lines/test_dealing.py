"""Dealing: neighbours in key, region and passage differ, whatever the number of choices."""

from collections import Counter
from dataclasses import replace
from itertools import product

from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.lines.dealing import Dealer

PLACES = st.builds(
    Dealer, seed=st.integers(0, 50), key=st.integers(0, 11), region=st.integers(1, 7), passage=st.integers(1, 2000)
)


@given(PLACES, st.integers(2, 40), st.integers(0, 9), st.text("abc", max_size=3))
def test_neighbours_and_turns_differ(place: Dealer, count: int, turn: int, what: str) -> None:
    own = place.number(what, count, turn)
    assert 0 <= own < count
    assert own != place.number(what, count, turn + 1)
    for neighbour in (
        replace(place, key=(place.key + 1) % 12),
        replace(place, region=place.region + 1),
        replace(place, passage=place.passage + 1),
    ):
        assert neighbour.number(what, count, turn) != own


@given(PLACES)
def test_where_there_is_no_choice_the_only_one_is_dealt(place: Dealer) -> None:
    assert place.number("anything", 1) == 0


def test_every_choice_comes_about_equally_often() -> None:
    places = [Dealer(1, *place) for place in product(range(12), range(1, 6), range(1, 4))]
    for count in range(2, 17):
        dealt = Counter(place.number("rhythm", count) for place in places)
        assert len(dealt) == count
        assert max(dealt.values()) <= 2.5 * len(places) / count


def test_another_seed_deals_anew_and_chance_follows_from_the_place_alone() -> None:
    assert len({tuple(Dealer(seed, 1, 1, 1).number("x", 9, turn) for turn in range(9)) for seed in range(20)}) > 10
    assert Dealer(1, 1, 1, 1, "a").chance().random() == Dealer(1, 1, 1, 1, "a").chance().random()
    assert Dealer(1, 1, 1, 1, "a").chance().random() != Dealer(1, 1, 1, 1, "b").chance().random()
