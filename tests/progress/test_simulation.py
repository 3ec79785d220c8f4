"""Planning: a simulated course keeps its budget and its order, and more minutes are never slower."""

from deckbuilder.progress.load import lines
from deckbuilder.progress.simulation import ANSWER_SECONDS, LONGEST, Course, PlannedCard, simulated

CARDS = [
    PlannedCard(f"level {level} note {note}", level)
    for note in range(40)
    for level in (1, 2, 3)
    for _kind in ("locate", "identify")
]


def course(minutes: float, seed: int = 1) -> Course:
    return simulated(CARDS, minutes, seed)


def test_a_seed_gives_its_course_again() -> None:
    assert course(10) == course(10)
    assert course(10) != course(10, seed=2)


def test_every_card_is_seen_once_and_levels_start_in_order() -> None:
    found = course(10)
    assert sum(day.new for day in found.days) == len(CARDS)
    assert found.all_seen == max(number for number, day in enumerate(found.days, start=1) if day.new)
    assert list(found.starts) == [1, 2, 3]
    assert found.starts[1] == 1 < found.starts[2] < found.starts[3] <= found.all_seen
    seen_before_second = sum(day.new for day in found.days[: found.starts[2] - 1])
    assert seen_before_second == len(CARDS) // 3


def test_siblings_are_kept_a_day_apart() -> None:
    found = simulated([PlannedCard("one note", 1)] * 3, 60, 1)
    assert [day.new for day in found.days[:2]] == [1, 1]
    assert all(day.new + day.reviews <= 1 for day in found.days)


def test_a_day_keeps_to_its_minutes_but_for_the_last_card() -> None:
    longest_card = 20 * ANSWER_SECONDS / 60
    assert all(day.minutes <= 10 + longest_card for day in course(10).days)
    assert max(day.minutes for day in course(10).days) > 9


def test_more_minutes_are_sooner_done_and_cost_less_afterwards() -> None:
    slow, fast = course(4), course(20)
    assert slow.all_seen is not None
    assert fast.all_seen is not None
    assert fast.all_seen < slow.all_seen
    learning = [day.reviews for day in fast.days[: fast.all_seen]]
    after = [day.reviews for day in fast.days[fast.all_seen + 30 :]]
    assert sum(after) / len(after) < sum(learning) / len(learning)


def test_too_few_minutes_are_told() -> None:
    many = [PlannedCard(str(number), 1) for number in range(4000)]
    found = simulated(many, 1, 1)
    assert (found.all_seen, len(found.days)) == (None, LONGEST)
    assert "not within 1,095 days" in "\n".join(lines(found))


def test_the_words_give_the_figures() -> None:
    found = course(10)
    told = "\n".join(lines(found))
    assert f"Every card seen: day {found.all_seen}." in told
    assert f"start on day {found.starts[2]}," in told
