"""Ladder: the tempo on a week's sheet, which a student climbs a step at a time.

Steps are those of the metronome's traditional scale (common practice, no source). A step is taken when three choruses
in a row went well at a tempo: graded good or easy where a loop was played over.
"""

from collections.abc import Iterable, Sequence

from deckbuilder.cards.facts import Kind
from deckbuilder.progress.records import Answer, Card

STEPS = (40, 44, 48, 52, 56, 60, 66, 72, 80, 88, 96, 104, 112, 120, 132, 144, 160, 176, 192, 208, 224, 240)
"""Quarter notes a minute."""
IN_A_ROW = 3
_GOOD = 3
_BEGINNING = 0.6
"""Of the tempo of the deck's loops: as slowly as its example lines are played slowly."""


def first_step(loop_tempo: float) -> int:
    """Return the tempo that a student begins with.

    Args:
        loop_tempo: of the deck's loops, in quarter notes a minute.
    """
    return max((step for step in STEPS if step <= loop_tempo * _BEGINNING), default=STEPS[0])


def choruses(cards: Iterable[Card], since: float) -> tuple[Answer, ...]:
    """Return the answers to what is played over a loop, in the order of time.

    Args:
        cards: of a history.
        since: s since 1970, from which on they count.
    """
    found = (answer for card in cards if card.kind == Kind.IMPROVISE for answer in card.answers if answer.at > since)
    return tuple(sorted(found))


def climbed(tempo: int, played: Sequence[Answer]) -> int:
    """Return the next tempo: a step more after enough good choruses in a row, else the same.

    Args:
        tempo: the tempo until now.
        played: answers since it was set, in the order of time.
    """
    run = 0
    for answer in played:
        run = run + 1 if answer.grade >= _GOOD else 0
        if run == IN_A_ROW:
            return next((step for step in STEPS if step > tempo), tempo)
    return tempo
