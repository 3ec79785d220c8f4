"""Sources: what is read from one export, and how those of several devices become one history.

A card of ours is known again by its note's id and its kind, whatever number a collection gives it. An answer that two
exports hold, since devices are synchronised or one was exported twice, is the same where card, moment and grade are:
it counts once. A card's place in the schedule is taken from the export in which it was answered last.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from deckbuilder.progress.records import DAY, Answer, Card

SUBDECK = "::"
"""Divides a deck's name from its subdeck's."""


@dataclass(frozen=True, slots=True)
class Source:
    """What one export holds of ours.

    Args:
        name: what errors call it.
        created: start of a study day, s since 1970; days are counted from there.
        cards: our cards, with the answers given to them.
        decks: names of the decks in which they lie, subdecks divided by `::`.
    """

    name: str
    created: int
    cards: tuple[Card, ...]
    decks: frozenset[str] = frozenset()

    @property
    def title(self) -> str:
        """Name of the deck in which all of them lie, in subdecks or not; empty where there are several, or none."""
        laps = [name.split(SUBDECK) for name in sorted(self.decks)]
        roots = {tuple(parts[:-1] or parts) for parts in laps}
        return roots.pop()[-1] if len(roots) == 1 else ""


def joined(sources: Sequence[Source]) -> Source:
    """Make one of several exports of one player.

    Args:
        sources: one or more.

    Returns:
        All their cards, each once, with days counted as in the export that has the most answers.
    """
    if len(sources) == 1:
        return sources[0]
    created = max(sources, key=lambda source: (_answers(source), -source.created)).created
    found: dict[tuple[str, str], list[Card]] = {}
    for source in sources:
        for card in source.cards:
            found.setdefault((card.note, card.kind), []).append(_moved(card, source.created, created))
    return Source(
        ", ".join(dict.fromkeys(source.name for source in sources)),
        created,
        tuple(_one_card(cards) for cards in found.values()),
        frozenset().union(*(source.decks for source in sources)),
    )


def _answers(source: Source) -> int:
    return sum(len(card.answers) for card in source.cards)


def day_of(at: float, created: int) -> int:
    """Return the study day of a moment.

    Args:
        at: s since 1970.
        created: start of a study day, from which they are counted.
    """
    return int((at - created) // DAY)


def _moved(card: Card, created: int, common: int) -> Card:
    """Count a card's days from another day on."""
    if created == common:
        return card
    due = None if card.due is None else card.due + round((created - common) / DAY)
    answers = (answer._replace(day=day_of(answer.at, common)) for answer in card.answers)
    return replace(card, due=due, answers=tuple(answers))


def _one_card(cards: Sequence[Card]) -> Card:
    latest = max(cards, key=lambda card: card.answers[-1].at if card.answers else 0.0)
    return replace(latest, answers=_each_once(answer for card in cards for answer in card.answers))


def _each_once(answers: Iterable[Answer]) -> tuple[Answer, ...]:
    """Return answers in the order of time, each once; the time that one took is the longest that was written down."""
    found: dict[tuple[int, int], Answer] = {}
    for answer in answers:
        key = round(answer.at * 1000), answer.grade
        if key not in found or answer.seconds > found[key].seconds:
            found[key] = answer
    return tuple(found[key] for key in sorted(found))
