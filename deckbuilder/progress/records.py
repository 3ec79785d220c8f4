"""Records: what a history is made of, cards with their answers.

Conventions: times in s since 1970; a *study day* is a number counted from the day the collection was made, and begins
at the same hour as that day did; grades are 1 again, 2 hard, 3 good, 4 easy.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

DAY = 86_400
"""s of a day."""


class Answer(NamedTuple):
    """One answer: when, on which study day, its grade and the s it took."""

    at: float
    day: int
    grade: int
    seconds: float


@dataclass(frozen=True, slots=True)
class Memory:
    """The state that a scheduler with a memory model stores with a card.

    Args:
        stability: days after which the card is recalled nine times out of ten.
        decay: how slowly forgetting slows down, the exponent of the forgetting curve.
    """

    stability: float
    decay: float


@dataclass(frozen=True, slots=True)
class Card:
    """A card of ours.

    Args:
        note: its note's lasting id.
        axes: what the note is about, by axis.
        kind: how it asks.
        interval: days between its last two turns; None before it has left its first steps.
        due: study day of its next turn; None for a card that is new or suspended.
        lapses: how often it was forgotten after it was learned.
        memory: the stored memory state, if there is one.
        answers: in the order of time.
        suspended: whether the app asks it no more, by the player's wish or after many lapses.
    """

    note: str
    axes: Mapping[str, str]
    kind: str
    interval: int | None
    due: int | None
    lapses: int
    memory: Memory | None
    answers: tuple[Answer, ...]
    suspended: bool = False


@dataclass(frozen=True, slots=True)
class History:
    """What a player has studied on one instrument.

    Args:
        tuning: name of the tuning, as the tags give it.
        instrument: id of the instrument, made of its open strings’ pitches.
        region_count: how many regions the neck is divided into; 0 where no note has a place.
        today: study day of `now`.
        now: the time at which it is looked at.
        cards: our cards of this tuning, studied or not.
        other_tunings: names of further tunings that the file has a history of.
        title: of the deck that was studied; empty where the file tells none, or several.
    """

    tuning: str
    instrument: str
    region_count: int
    today: int
    now: float
    cards: tuple[Card, ...]
    other_tunings: tuple[str, ...] = ()
    title: str = ""
