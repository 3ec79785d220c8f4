"""Neck: the whole neck of an instrument with the regions of a key on it, as data and as a drawing that can be tapped.

The drawing has plain SVG elements with classes and no style of their own, so that the page colours them, light or
dark. Each region is a group with the region's number; it is the frets from its first finger to the next region's, which
do not overlap, so that each can be tapped; a bracket over them shows all frets under the hand, which do.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from html import escape
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from deckbuilder.cards.choices import Hand
from deckbuilder.cards.recipe import Recipe
from deckbuilder.desk.answers import body_of
from deckbuilder.desk.builds import recipe_in
from deckbuilder.desk.state import desk_of
from deckbuilder.neck.regions import Region
from deckbuilder.picture.geometry import fret_place
from deckbuilder.speech import _
from deckbuilder.theory.keys import Key

_WIDTH = 1000.0
_NUT, _END = 90.0, 985.0
"""x of the nut and of the last wire that is drawn, for a right-handed player; names and open strings are before it."""
_OPEN = 45.0
"""x where the room of open strings begins."""
_TOP, _STRING, _FOOT = 70.0, 26.0, 34.0
"""y of the board, from string to string, and room for fret numbers below."""
_BRACKETS = (46.0, 53.0, 60.0)
"""y of brackets, in turn, so that neighbours do not touch."""
_INLAYS = (3, 5, 7, 9, 12, 15, 17, 19, 21, 24, 27, 29, 31, 33, 36)
_OCTAVES = (12, 24, 36)
_BEYOND = 2
"""Frets that are drawn beyond the last region."""


@dataclass(frozen=True, slots=True)
class _Drawing:
    """Where everything lies.

    Args:
        recipe: whose instrument is drawn.
        regions: the key's regions, from the nut.
        last: the highest fret that is drawn.
    """

    recipe: Recipe
    regions: Sequence[Region]
    last: int

    @property
    def height(self) -> float:
        return self.bottom + _FOOT

    @property
    def bottom(self) -> float:
        return _TOP + _STRING * self.recipe.instrument.neck.tuning.strings

    def wire(self, fret: int) -> float:
        """Return the x of a fret's wire; of the one before the nut the beginning of the open strings' room."""
        if fret < 0:
            return _OPEN
        return _NUT + (_END - _NUT) * fret_place(fret) / fret_place(self.last)

    def column(self, low: int, high: int) -> tuple[float, float]:
        """Return the x of both ends of some frets' columns."""
        return self.wire(low - 1), self.wire(min(high, self.last))

    def x(self, right_handed: float) -> float:
        """Return an x as the player has it."""
        return _WIDTH - right_handed if self.recipe.instrument.hand is Hand.LEFT else right_handed

    def y(self, string: int) -> float:
        """Return the y of a string; string 1 is at the top, but where the instrument is held turned over."""
        instrument = self.recipe.instrument
        row = instrument.neck.tuning.strings + 1 - string if instrument.turned_over else string
        return _TOP + _STRING * (row - 0.5)


def neck(recipe: Recipe, key: Key) -> dict[str, Any]:
    """Return the neck of a recipe's instrument with the regions of a key.

    Args:
        recipe: the recipe.
        key: the key.

    Returns:
        `strings` from the lowest-sounding side, each with its number, `pitch` and `label`; `frets`, `capo` and `hand`;
        `regions`, each with its number, position, lowest and highest fret under the hand and whether it is the open
        one; `svg`, the drawing.
    """
    instrument = recipe.instrument
    tuning = instrument.neck.tuning
    regions = [recipe.region(key, number) for number in range(1, instrument.regions + 1)]
    last = min(max(_frets(recipe, region)[1] for region in regions) + _BEYOND, instrument.neck.frets)
    labels = zip(tuning.numbered(), tuning.pitch_labels, reversed(tuning.string_labels), strict=True)
    return {
        "strings": [{"number": number, "pitch": pitch, "label": label} for (number, _midi), pitch, label in labels],
        "frets": instrument.neck.frets,
        "capo": instrument.neck.capo,
        "hand": instrument.hand.value,
        "key": key.label,
        "regions": [_row(recipe, region) for region in regions],
        "svg": "".join(_svg(_Drawing(recipe, regions, last), key)),
    }


def _row(recipe: Recipe, region: Region) -> dict[str, Any]:
    low, high = _frets(recipe, region)
    return {
        "number": region.number,
        "position": region.position,
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


def _svg(drawing: _Drawing, key: Key) -> Iterator[str]:
    label = escape(_("The neck with the regions of {key}", key=key.label))
    yield '<svg xmlns="http://www.w3.org/2000/svg" class="neck" role="group" '
    yield f'viewBox="0 0 {_WIDTH:g} {drawing.height:g}" aria-label="{label}">'
    yield from _board(drawing)
    yield from _strings(drawing)
    for number, region in enumerate(drawing.regions):
        after = drawing.regions[number + 1].index_fret if number + 1 < len(drawing.regions) else None
        yield _region(drawing, region, after, _BRACKETS[number % len(_BRACKETS)])
    yield from _tonics(drawing, key)
    yield "</svg>"


def _board(drawing: _Drawing) -> Iterator[str]:
    capo = drawing.recipe.instrument.neck.capo
    yield _box("board", drawing, _NUT, _END, _TOP, drawing.bottom)
    for fret in (fret for fret in _INLAYS if fret <= drawing.last):
        middle, half = sum(drawing.column(fret, fret)) / 2, _STRING / 2
        heights = (-half, half) if fret in _OCTAVES else (0.0,)
        for offset in heights:
            y = (_TOP + drawing.bottom) / 2 + offset
            yield f'<circle class="inlay" cx="{drawing.x(middle):.1f}" cy="{y:.1f}" r="5"/>'
        yield _text("fret", drawing.x(middle), drawing.bottom + 24, str(fret))
    for fret in range(drawing.last + 1):
        x = drawing.x(drawing.wire(fret))
        name = "wire" if fret else "nut"
        yield f'<line class="{name}" x1="{x:.1f}" y1="{_TOP:g}" x2="{x:.1f}" y2="{drawing.bottom:g}"/>'
    if capo:
        middle = sum(drawing.column(capo, capo)) / 2
        yield _box("capo", drawing, middle - 6, middle + 6, _TOP - 4, drawing.bottom + 4)


def _strings(drawing: _Drawing) -> Iterator[str]:
    for number, label in enumerate(drawing.recipe.instrument.neck.tuning.string_labels, start=1):
        y, start, end = drawing.y(number), drawing.x(_OPEN), drawing.x(_END)
        yield f'<line class="string" x1="{start:.1f}" y1="{y:.1f}" x2="{end:.1f}" y2="{y:.1f}"/>'
        yield _text("open", drawing.x(_OPEN / 2), y + 5, label)


def _tonics(drawing: _Drawing, key: Key) -> Iterator[str]:
    neck = drawing.recipe.instrument.neck
    for number, midi in neck.tuning.numbered():
        for fret in range(neck.capo, drawing.last + 1):
            if (midi + fret - key.tonic.pitch_class) % 12 == 0:
                x = drawing.x(sum(drawing.column(fret, fret)) / 2)
                yield f'<circle class="tonic" pointer-events="none" cx="{x:.1f}" cy="{drawing.y(number):.1f}" r="7"/>'


def _region(drawing: _Drawing, region: Region, after: int | None, bracket: float) -> str:
    low, high = _frets(drawing.recipe, region)
    left, right = drawing.column(low, high)
    until = right if after is None else drawing.column(low, after - 1)[1]
    names = ["region"]
    names += ["chosen"] if region.number in drawing.recipe.regions else []
    start, end, middle = drawing.x(left + 4), drawing.x(right - 4), drawing.x((left + until) / 2)
    inside = (
        f"<title>{escape(_said(drawing.recipe, region))}</title>",
        _box("tap", drawing, left, until, 0, drawing.bottom),
        f'<path class="bracket" d="M{start:.1f} {bracket + 6:g}V{bracket:g}H{end:.1f}V{bracket + 6:g}"/>',
        _text("number", middle, 20, str(region.number)),
        _text("position", middle, 38, region.position),
    )
    return f'<g class="{" ".join(names)}" data-region="{region.number}">{"".join(inside)}</g>'


def _box(name: str, drawing: _Drawing, left: float, right: float, top: float, bottom: float) -> str:
    x = min(drawing.x(left), drawing.x(right))
    return f'<rect class="{name}" x="{x:.1f}" y="{top:g}" width="{right - left:.1f}" height="{bottom - top:g}"/>'


def _text(name: str, x: float, y: float, words: str) -> str:
    return f'<text class="{name}" x="{x:.1f}" y="{y:.1f}" text-anchor="middle">{escape(words)}</text>'


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
