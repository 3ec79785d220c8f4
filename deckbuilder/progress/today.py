"""Today: what to do before reading about a history – a search to copy, and the deck to open."""

from dataclasses import dataclass

from deckbuilder.progress import checkup_words, words
from deckbuilder.progress.analysis import Analysis
from deckbuilder.progress.focus import in_tuning, search_expression
from deckbuilder.speech import _

PLACES = 4
"""Weak cells that the search takes together: an evening's work."""


@dataclass(frozen=True, slots=True)
class Today:
    """What to do.

    Args:
        what: what the search is for.
        search: to copy into the app, for an extra deck.
        deck: name of the deck to open; empty where it is not known.
        due: cards of it whose turn is today or was before.
    """

    what: str
    search: str
    deck: str
    due: int


def today(analysis: Analysis) -> Today:
    """Return what to do about the surest weak places, else what weak answers have in common, else a check-up.

    Args:
        analysis: what was measured.
    """
    history = analysis.history
    due = sum(bool(card.answers) and card.due is not None and card.due <= history.today for card in history.cards)
    if analysis.weak:
        cells = analysis.weak[:PLACES]
        names = (name.rpartition(" · ")[0] for name in words.named(analysis, cells))
        what = _("Your weakest places: {places}", places=", ".join(dict.fromkeys(names)))
        search = search_expression(history, cells)
    elif analysis.patterns:
        surest = analysis.patterns[0]
        what, search = _("What you forget most: {cards}", cards=surest.words), in_tuning(history, surest.search)
    else:
        step = next(checkup_words.steps(history, analysis.checkup))
        what, search = step.words, step.search
    return Today(what, search, history.title, due)
