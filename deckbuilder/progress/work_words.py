"""Words of the work: why these places, the same in the terminal, in the report, on the desk and on sheets."""

from collections.abc import Iterable, Sequence

from deckbuilder.progress import words
from deckbuilder.progress.analysis import Analysis
from deckbuilder.progress.work import Part, Place
from deckbuilder.speech import _


def place_names(analysis: Analysis, places: Iterable[Place]) -> list[str]:
    """Name places as a player does, without their levels: `D♭ · region 3 (VI)`.

    Args:
        analysis: what was measured.
        places: the places.
    """
    return [name.rpartition(" · ")[0] for name in words.named(analysis, (place.cell for place in places))]


def why(part: Part) -> str:
    """Say why its places are worked in: `altered from the third everywhere: it went worst here`.

    Args:
        part: of the work.
    """
    if part.weakness is None:
        return _("your weakest places")
    if part.differ:
        return _("{cards}: it went worst in these places", cards=part.weakness.words)
    return _("{cards}: no place is clearly worse than another; these you studied last", cards=part.weakness.words)


def what(analysis: Analysis, parts: Sequence[Part]) -> str:
    """Say what is worked on, why, and where, in a sentence or more, without the last full stop.

    Args:
        analysis: what was measured.
        parts: from `deckbuilder.progress.work.work`.
    """
    return ". ".join(_what(part, ", ".join(dict.fromkeys(place_names(analysis, part.places)))) for part in parts)


def _what(part: Part, places: str) -> str:
    if part.weakness is None:
        return _("Your weakest places: {places}", places=places)
    if part.differ:
        return _("Needs work: {cards}. It went worst here: {places}", cards=part.weakness.words, places=places)
    return _(
        "Needs work: {cards}. No place is clearly worse than another; you studied it last here: {places}",
        cards=part.weakness.words,
        places=places,
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
        "level {level} · weak: {cards} ({known} of {asked} known here)",
        level=place.cell.level,
        cards=place.weakness.words,
        known=place.known,
        asked=place.asked,
    )
