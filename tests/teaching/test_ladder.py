"""The ladder of tempos: three good choruses in a row are a step, and nothing leads down."""

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.progress.records import Answer, Card
from deckbuilder.teaching.ladder import IN_A_ROW, STEPS, choruses, climbed, first_step

GRADES = st.lists(st.integers(1, 4), max_size=12)


def played(grades: list[int]) -> list[Answer]:
    return [Answer(float(number), 0, grade, 5.0) for number, grade in enumerate(grades)]


@given(st.sampled_from(STEPS), GRADES)
def test_a_step_is_taken_after_three_good_grades_in_a_row_and_never_two(tempo: int, grades: list[int]) -> None:
    runs = any(all(grade >= 3 for grade in grades[at : at + IN_A_ROW]) for at in range(len(grades) - IN_A_ROW + 1))
    higher = [step for step in STEPS if step > tempo]
    assert climbed(tempo, played(grades)) == (higher[0] if runs and higher else tempo)


def test_two_good_and_a_hard_one_are_no_step() -> None:
    assert climbed(72, played([3, 4, 2, 3, 3, 1, 4, 4])) == 72
    assert climbed(72, played([1, 3, 3, 4])) == 80
    assert climbed(STEPS[-1], played([3, 3, 3])) == STEPS[-1]


def test_steps_rise_by_an_eighth_at_most() -> None:
    """Neighbours on the traditional scale of the metronome are at most 12.5 % apart (from memory)."""
    assert all(low < high <= low * 9 / 8 for low, high in pairwise(STEPS))


@given(st.floats(40, 240))
def test_the_first_step_is_slower_than_the_loops(loop_tempo: float) -> None:
    assert first_step(loop_tempo) in STEPS
    assert first_step(loop_tempo) <= max(loop_tempo * 0.6, STEPS[0])


def test_only_what_is_played_over_a_loop_counts_and_only_since() -> None:
    def card(kind: str, *at: float) -> Card:
        return Card("n", {}, kind, None, None, 0, None, tuple(Answer(when, 0, 3, 5.0) for when in at))

    cards = [card("improvise", 1, 5), card("locate", 2, 6), card("improvise", 3, 4)]
    assert [answer.at for answer in choruses(cards, 2.0)] == [3, 4, 5]
