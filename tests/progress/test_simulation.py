"""Planning: a simulated course keeps its budget and its order, and more minutes are never slower."""

from deckbuilder.cards.facts import Kind
from deckbuilder.cards.recipe import Recipe
from deckbuilder.cards.syllabus import syllabus
from deckbuilder.progress.load import figures, lines
from deckbuilder.progress.simulation import ANSWER_SECONDS, LONGEST, Course, PlannedCard, simulated

CARDS = [
    PlannedCard(f"lap {lap} level {level} note {note}", level, f"Lap {lap}")
    for lap in (1, 2, 3)
    for level in (1, 2, 3)
    for note in range(13)
    for _kind in ("locate", "identify")
]


def course(minutes: float, seed: int = 1) -> Course:
    return simulated(CARDS, minutes, seed)


def test_a_seed_gives_its_course_again() -> None:
    assert course(10) == course(10)
    assert course(10) != course(10, seed=2)


def test_every_card_is_seen_once_and_laps_follow_each_other() -> None:
    found = course(10)
    assert sum(day.new for day in found.days) == len(CARDS)
    assert found.all_seen == max(number for number, day in enumerate(found.days, start=1) if day.new)
    assert list(found.levels) == [1, 2, 3]
    assert found.levels[1] == 1 <= found.levels[2] <= found.levels[3]
    assert list(found.laps) == ["Lap 1", "Lap 2", "Lap 3"]
    days = [day for day in found.laps.values() if day is not None]
    assert days == sorted(days)
    assert days[-1] == found.all_seen
    assert sum(day.new for day in found.days[: days[0]]) >= len(CARDS) // 3


def test_who_knows_more_is_sooner_done() -> None:
    novice, player = (simulated(CARDS, 10, 1, known).all_seen for known in (0.2, 0.9))
    assert novice is not None
    assert player is not None
    assert player < novice


def test_the_default_deck_is_worth_the_minutes() -> None:
    """Targets of this project at 15 minutes a day: every level and an improvisation by day 5, laps by 60 and 230."""
    notes = syllabus(Recipe())
    cards = [PlannedCard(note.id, note.level, note.lap) for note in notes for _ in note.kinds]
    found = simulated(cards, 15, 1)
    assert max(found.levels[level] for level in (1, 2, 3)) <= 5
    first, *_, last = found.laps.values()
    assert first is not None
    assert first <= 60
    assert last == found.all_seen
    assert last is not None
    assert last <= 230
    before = next(number for number, note in enumerate(notes) if Kind.IMPROVISE in note.kinds)
    early = sum(day.new for day in found.days[:5])
    assert sum(len(note.kinds) for note in notes[: before + 1]) <= early


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
    assert f"level 2, the altered dominant, on day {found.levels[2]}" in told
    assert f"Lap 1 on day {found.laps['Lap 1']}" in told
    assert figures(found)["levels"] == {str(level): day for level, day in found.levels.items()}
    assert figures(found)["laps"] == list(found.laps.values())
    assert figures(found)["all"] == found.all_seen
