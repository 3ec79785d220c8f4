"""Weakness: what is surely weak in more than one place, in few words and each once, whatever way it was found.

First what weak answers have in common, then, among the other cards, what a check-up names.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from deckbuilder.progress import checkup_words, words
from deckbuilder.progress.advice import found_by, tags_of
from deckbuilder.progress.analysis import Analysis
from deckbuilder.progress.checkup import Standing, check_up
from deckbuilder.progress.latest import latest
from deckbuilder.progress.patterns import Pattern


@dataclass(frozen=True, eq=False, slots=True)
class Weakness:
    """A weakness.

    Args:
        subject: what is weak: `altered from the third`.
        words: the same where it stands alone: `altered from the third everywhere`.
        line: how it stands to the rest.
        chance: that chance alone would name it, or any other in the same way.
        search: what finds its cards in an app, in any tuning.
        about: what finds them in a place of their own.
        tags: what its notes bear besides the tags of places.
        rows: of its cards in the history.
        answers: those that tell of it: the row of a card, and whether it was known.
    """

    subject: str
    words: str
    line: str
    chance: float
    search: str
    about: str
    tags: tuple[str, ...]
    rows: frozenset[int]
    answers: tuple[tuple[int, bool], ...]


def weaknesses(analysis: Analysis) -> tuple[Weakness, ...]:
    """Return what is weak in more than one place, the surest of each way first.

    Args:
        analysis: what was measured.
    """
    common = [_in_common(analysis, pattern) for pattern in analysis.patterns]
    hidden = frozenset[int]().union(*(found.rows for found in common))
    return (*common, *_checked(analysis, hidden))


def _in_common(analysis: Analysis, pattern: Pattern) -> Weakness:
    study = analysis.study
    answers = zip(study.rows.tolist(), study.succeeded.tolist(), strict=True)
    return Weakness(
        subject=pattern.subject,
        words=pattern.words,
        line=words.pattern_line(pattern),
        chance=pattern.chance,
        search=pattern.search,
        about=pattern.about,
        tags=pattern.tags,
        rows=pattern.rows,
        answers=tuple((row, known) for row, known in answers if row in pattern.rows),
    )


def _checked(analysis: Analysis, hidden: frozenset[int]) -> Iterable[Weakness]:
    """Yield what a check-up of the cards that are not hidden names."""
    history, found = analysis.history, analysis.checkup
    cards = history.cards
    if hidden:
        found = check_up(replace(history, cards=tuple(card for row, card in enumerate(cards) if row not in hidden)))
    if not found.weak:
        return
    told = latest(history)
    answered = (row for row, card in enumerate(cards) if card.answers)
    answers = [(row, known > 0) for row, known in zip(answered, told.succeeded.tolist(), strict=True)]
    for standing in found.weak:
        rows = _rows(analysis, standing) - hidden
        yield Weakness(
            subject=checkup_words.name(standing),
            words=checkup_words.name(standing),
            line=checkup_words.line(standing),
            chance=standing.chance,
            search=found_by(standing),
            about=" ".join(f"tag:{tag}" for tag in tags_of(standing)),
            tags=tags_of(standing),
            rows=rows,
            answers=tuple(answer for answer in answers if answer[0] in rows),
        )


def _rows(analysis: Analysis, standing: Standing) -> frozenset[int]:
    cards = enumerate(analysis.history.cards)
    return frozenset(row for row, card in cards if standing.axis.group_of(card) == standing.group)
