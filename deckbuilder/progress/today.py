"""Today: what to do before reading about a history – a search to copy, and the deck to open."""

from dataclasses import dataclass

from deckbuilder.progress import checkup_words
from deckbuilder.progress.analysis import Analysis
from deckbuilder.progress.focus import in_tuning
from deckbuilder.progress.weakness import weaknesses
from deckbuilder.progress.work import search, work
from deckbuilder.progress.work_words import needs_work, set_aside, what

PLACES = 4
"""Places that the search takes together: an evening's work."""


@dataclass(frozen=True, slots=True)
class Today:
    """What to do.

    Args:
        what: what the search is for.
        search: to copy into the app, for an extra deck.
        set_aside: how many of its cards the app does not ask, in words; empty where it asks all.
        deck: name of the deck to open; empty where it is not known.
        due: cards of it whose turn is today or was before.
    """

    what: str
    search: str
    set_aside: str
    deck: str
    due: int


def today(analysis: Analysis) -> Today:
    """Return what to do about the surest weak places, else about what is weak wherever it is asked, else a check-up.

    Args:
        analysis: what was measured.
    """
    history = analysis.history
    due = sum(bool(card.answers) and card.due is not None and card.due <= history.today for card in history.cards)
    if parts := work(analysis, PLACES):
        said = what(analysis, parts), search(history, parts), set_aside(analysis, parts)
        return Today(*said, history.title, due)
    if found := weaknesses(analysis):  # In no place that a level has, as over changes of one's own.
        surest = found[0]
        return Today(needs_work(surest), in_tuning(history, surest.search), "", history.title, due)
    step = next(checkup_words.steps(history, analysis.checkup))
    return Today(step.words, step.search, "", history.title, due)
