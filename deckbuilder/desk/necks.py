"""Neck: an instrument's strings and frets with the regions of a key, for the page to draw and to be tapped."""

from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from deckbuilder.cards.recipe import Recipe
from deckbuilder.desk.answers import body_of
from deckbuilder.desk.builds import recipe_in
from deckbuilder.desk.state import desk_of
from deckbuilder.neck.regions import OCTAVE, Region
from deckbuilder.speech import _, in_context
from deckbuilder.theory.keys import Key


def neck(recipe: Recipe, key: Key) -> dict[str, Any]:
    """Return the neck of a recipe's instrument with the regions of a key.

    Args:
        recipe: the recipe.
        key: the key.

    Returns:
        `strings` from the lowest-sounding side, each with its number, `pitch` and `label`; `frets`, `capo`, `hand` and
        whether it is held turned over, its lowest string at the top; the `key` for people; `regions`, each with its
        number, position, lowest and highest fret under the hand, whether it is the open one, the same in words, and
        whether the recipe has it; `tonics`, where the key's first note lies, strings counted from the lowest from 0.
    """
    instrument = recipe.instrument
    tuning = instrument.neck.tuning
    labels = zip(tuning.numbered(), tuning.pitch_labels, reversed(tuning.string_labels), strict=True)
    return {
        "strings": [{"number": number, "pitch": pitch, "label": label} for (number, _midi), pitch, label in labels],
        "frets": instrument.neck.frets,
        "capo": instrument.neck.capo,
        "hand": instrument.hand.value,
        "turned_over": instrument.turned_over,
        "key": key.label,
        "regions": [_row(recipe, recipe.region(key, number)) for number in range(1, instrument.regions + 1)],
        "tonics": [
            {"string": string, "fret": fret}
            for string, midi in enumerate(tuning.open_midi)
            for fret in range(instrument.neck.capo, instrument.neck.frets + 1)
            if (midi + fret - key.tonic.pitch_class) % OCTAVE == 0
        ],
    }


def _row(recipe: Recipe, region: Region) -> dict[str, Any]:
    low, high = _frets(recipe, region)
    return {
        "number": region.number,
        "position": in_context("position", "open") if region.is_open else region.position,
        "low": low,
        "high": high,
        "open": region.index_fret == region.capo,
        "label": _said(recipe, region),
        "chosen": region.number in recipe.regions,
    }


def _frets(recipe: Recipe, region: Region) -> tuple[int, int]:
    """Return the lowest and the highest fret of a region, an open string being at the nut or at the capo."""
    neck = recipe.instrument.neck
    under = neck.hand.frets(region.index_fret - region.capo)
    return region.index_fret, min(under.stop - 1 + region.capo, neck.frets)


def _said(recipe: Recipe, region: Region) -> str:
    low, high = _frets(recipe, region)
    if region.index_fret > region.capo:
        return _("Region {number}: position {position}, frets {low} to {high}", **_values(region, low, high))
    return _("Region {number}: open strings and frets {low} to {high}", **_values(region, low + 1, high))


def _values(region: Region, low: int, high: int) -> dict[str, object]:
    return {"number": region.number, "position": region.position, "low": low, "high": high}


async def _neck(request: Request) -> Response:
    desk, body = desk_of(request), await body_of(request)
    name = body.get("key")
    if not isinstance(name, str):
        raise HTTPException(400, "say in which key: its name under “key”")

    def answer() -> dict[str, Any]:
        recipe = recipe_in(body, desk)
        with recipe.in_force():
            return neck(recipe, Key.read(name))

    return JSONResponse(await run_in_threadpool(answer))


ROUTES = (Route("/api/neck", _neck, methods=["POST"]),)
