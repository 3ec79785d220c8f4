"""Check-ups: what was put in is found, nothing else is, and what to do next is said."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from deckbuilder.progress import checkup_words
from deckbuilder.progress.advice import next_round, recipe_for, search
from deckbuilder.progress.analysis import analyse
from deckbuilder.progress.checkup import ENOUGH_ANSWERS, check_up
from deckbuilder.progress.focus import base_recipe
from deckbuilder.progress.records import Answer, Card, History
from deckbuilder.progress.work import recipes, work
from tests.progress.exports import CREATED, DAY
from tests.progress.players import STEADY, WEAK, Case, answered, deck, measured, told

PLAYERS = 40
"""A sample of what `tests/bench/checkup.py` measures with 200."""


@pytest.fixture(scope="module")
def cards() -> tuple[Card, ...]:
    return deck()


@pytest.mark.parametrize("case", WEAK, ids=lambda case: case.name)
def test_a_weak_spot_is_found_after_two_rounds(case: Case, cards: tuple[Card, ...]) -> None:
    found, false = measured(case, cards, PLAYERS)
    assert found >= 0.9
    assert false <= 0.1


def test_a_player_without_a_weak_spot_is_told_of_none(cards: tuple[Card, ...]) -> None:
    """One in twenty may be. Of 200, more than 18 would come about once in 150 tests; seeds are fixed."""
    assert sum(measured(case, cards, PLAYERS, 500)[1] for case in STEADY) * PLAYERS <= 18


def history(cards: tuple[Card, ...], answers: Callable[[Card, int], tuple[Answer, ...]]) -> History:
    given = tuple(replace(card, answers=answers(card, number)) for number, card in enumerate(cards))
    return History("standard", "E2-A2-D3-G3-B3-E4", 5, 9, CREATED + 9.0 * DAY, given)


def at(day: int, number: int, success: bool) -> Answer:
    return Answer(CREATED + day * DAY + number, day, 3 if success else 1, 5.0)


@pytest.mark.parametrize("seed", range(3))
def test_a_key_that_was_only_looked_at_is_not_weak_for_it(cards: tuple[Card, ...], seed: int) -> None:
    """First looks fail more often than recalls, everywhere; G♭ has nothing else."""
    chance = np.random.default_rng(seed)

    def answers(card: Card, number: int) -> tuple[Answer, ...]:
        look = at(1, number, chance.random() < 0.4)
        if card.axes["key"] == "Gb" or chance.random() < 0.3:
            return (look,)
        return (look, at(3, number, chance.random() < 0.95))

    assert told(check_up(history(cards[::4], answers))) == set()


@pytest.mark.parametrize("seed", range(3))
def test_a_key_that_was_only_asked_at_a_hard_level_is_not_weak_for_it(cards: tuple[Card, ...], seed: int) -> None:
    chance = np.random.default_rng(seed)
    asked = tuple(card for card in cards[::4] if card.axes["key"] != "Gb" or card.axes["level"] == "3")
    found = check_up(
        history(asked, lambda card, n: (at(1, n, chance.random() < (0.95, 0.9, 0.5)[int(card.axes["level"]) - 1]),))
    )
    assert told(found) == {("Level", "3")}


def test_estimates_lie_between_what_was_counted_and_the_mean(cards: tuple[Card, ...]) -> None:
    found = check_up(answered(cards, (1, 2), WEAK[0].known, 1))
    mean = found.known / found.answers
    (weak,) = found.weak
    assert weak.known / weak.answers < weak.estimate < mean < weak.rest
    for standing in found.standings:
        assert 0 <= standing.low < standing.estimate < standing.high <= 1
    assert weak.lower > 0.99


def test_it_begins_with_enough_answers(cards: tuple[Card, ...]) -> None:
    known = WEAK[0].known
    few = replace(answered(cards, (1,), known, 1), cards=answered(cards, (1,), known, 1).cards[: ENOUGH_ANSWERS - 1])
    assert check_up(few).standings == ()
    assert "it takes 100 answers, and there are 99" in checkup_words.verdict(check_up(few))
    assert check_up(answered(cards, (1,), known, 1)).standings != ()


def test_the_next_round_is_the_first_unanswered_one_then_the_oldest(cards: tuple[Card, ...]) -> None:
    fresh = history(cards, lambda _card, _number: ())
    found = next_round(fresh)
    assert found is not None
    assert (found.number, found.unanswered) == (1, found.cards)
    once = next_round(history(cards, lambda card, n: (at(1, n, True),) if card.axes.get("round") in ("1", "2") else ()))
    assert once is not None
    assert once.number == 3
    every = next_round(history(cards, lambda card, n: (at(1 + (card.axes.get("round") != "7"), n, True),)))
    assert every is not None
    assert (every.number, every.unanswered) == (7, 0)
    assert next_round(replace(fresh, cards=tuple(card for card in cards if "round" not in card.axes))) is None


def test_what_to_study_next_is_a_search_and_a_recipe(cards: tuple[Card, ...]) -> None:
    player = answered(cards, (1, 2, 3), WEAK[0].known, 4)
    found = check_up(player)
    (standing,) = found.weak
    assert search(player, standing) == "tag:key::Gb -tag:instrument::needed"
    assert search(replace(player, other_tunings=("dadgad",)), standing).startswith("tag:tuning::standard tag:key::Gb")
    recipe = recipe_for(player, base_recipe(player), found.weak)
    assert recipe is not None
    assert (recipe.keys, recipe.regions) == (("Gb",), (1, 2, 3, 4, 5))
    words = [step.words for step in checkup_words.steps(player, found)]
    assert words[0] == "Work on G♭"
    assert words[1].startswith("Next check-up, round ")
    third = check_up(answered(cards, (1, 2), WEAK[3].known, 4))
    thirds = recipe_for(player, base_recipe(player), third.weak)
    assert thirds is not None
    assert (len(thirds.keys), thirds.tags) == (12, ("source::third",))


@pytest.mark.parametrize(("case", "tags"), [(WEAK[0], ()), (WEAK[3], ("source::third",))], ids=("key", "source"))
def test_what_a_check_up_names_is_worked_on_before_anything_was_studied(
    cards: tuple[Card, ...], case: Case, tags: tuple[str, ...]
) -> None:
    player = answered(cards, (1, 2), case.known, 4)
    analysis = analyse(player)
    assert analysis.study.rows.size == 0
    (part,) = work(analysis, 4)
    assert len(part.cells) == 4
    assert part.weakness is not None
    assert part.weakness.tags == tags
    assert case.spot is not None
    for recipe in recipes(player, base_recipe(player), [part]):
        assert recipe.tags == tags
        assert tags or recipe.keys == (case.spot[1],)
