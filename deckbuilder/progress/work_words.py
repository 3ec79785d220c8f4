"""Words of the work: why these places, the same in the terminal, in the report, on the desk and on sheets."""

from collections.abc import Iterable, Iterator, Sequence

from deckbuilder.progress import words
from deckbuilder.progress.analysis import Analysis
from deckbuilder.progress.focus import in_tuning
from deckbuilder.progress.weakness import Weakness, weaknesses
from deckbuilder.progress.work import Part, Place, places
from deckbuilder.speech import _, plural


def place_names(analysis: Analysis, places: Iterable[Place]) -> list[str]:
    """Name places as a player does, without their levels: `D♭ · region 3 (VI)`.

    Args:
        analysis: what was measured.
        places: the places.
    """
    return [name.rpartition(" · ")[0] for name in words.named(analysis, (place.cell for place in places))]


def why(part: Part) -> str:
    """Say why its places are worked in, without the last full stop.

    Args:
        part: of the work.
    """
    if part.weakness is None:
        return _("Your weakest places")
    if part.differ:
        return _("Needs work: {cards}. It went worst in these places", cards=part.weakness.words)
    return _(
        "Needs work: {cards}. No place is clearly worse than another; these came up last", cards=part.weakness.words
    )


def what(analysis: Analysis, parts: Sequence[Part]) -> str:
    """Say what is worked on, why, and where, in a sentence or more, without the last full stop.

    Args:
        analysis: what was measured.
        parts: from `deckbuilder.progress.work.work`.
    """
    return ". ".join(_what(part, ", ".join(dict.fromkeys(_kept_together(analysis, part)))) for part in parts)


def _kept_together(analysis: Analysis, part: Part) -> Iterator[str]:
    """Name its places so that no line ends between a key and its region."""
    for name in place_names(analysis, part.places):
        yield name.replace(" ", "\N{NO-BREAK SPACE}")


def _what(part: Part, places: str) -> str:
    if part.weakness is None:
        return _("Your weakest places: {places}", places=places)
    if part.differ:
        return _("Needs work: {cards}. It went worst here: {places}", cards=part.weakness.words, places=places)
    return _(
        "Needs work: {cards}. No place is clearly worse than another; it came up last here: {places}",
        cards=part.weakness.words,
        places=places,
    )


def needs_work(weakness: Weakness) -> str:
    """Say that something needs work wherever it is asked.

    Args:
        weakness: what it is.
    """
    return _("Needs work: {cards}", cards=weakness.words)


def nothing_apart(analysis: Analysis) -> str:
    """Say why there is no place to work in: nothing is weak, or what is weak lies in no place of a level.

    Args:
        analysis: what was measured.
    """
    found = weaknesses(analysis)
    if not found:
        return _("Focus: no spot is clearly weaker than the rest, so there is nothing to work on apart.")
    cards, search = found[0].words, in_tuning(analysis.history, found[0].search)
    return _(
        "Focus: {cards}. No level has these cards, so there is no small deck of them; search in your app: {search}",
        cards=cards,
        search=search,
    )


def set_aside(analysis: Analysis, parts: Sequence[Part]) -> str:
    """Say how many of the cards an app does not ask; empty where it asks all.

    Args:
        analysis: what was measured.
        parts: from `deckbuilder.progress.work.work`.
    """
    chosen = places(parts)
    cards = enumerate(analysis.history.cards)
    count = sum(card.suspended and any(place.holds(row, card) for place in chosen) for row, card in cards)
    if not count:
        return ""
    return plural(
        "{count} of these cards is suspended, perhaps by your app after many lapses: until you unsuspend it, it is not "
        "asked.",
        "{count} of these cards are suspended, perhaps by your app after many lapses: until you unsuspend them, they "
        "are not asked.",
        count,
    )


def standing(analysis: Analysis, place: Place) -> str:
    """Say how it stands in a place.

    Args:
        analysis: what was measured.
        place: the place.
    """
    if place.weakness is None:
        figures = analysis.cells[place.cell]
        return _(
            "level {level} · recalled {share}, the rest {rest}",
            level=place.cell.level,
            share=words.percent(figures.share),
            rest=words.percent(figures.rest),
        )
    return _(
        "level {level} · known here {share} of {asked} times",
        level=place.cell.level,
        share=words.percent(place.known / place.asked) if place.asked else words.NOTHING,
        asked=words.number(place.asked),
    )
