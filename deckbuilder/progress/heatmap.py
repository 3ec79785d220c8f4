"""Heat map: keys down, regions across, one level a picture; each cell's recall as a number and as a colour.

A cell that is weak is ringed, one without enough recalls is hatched, one without cards is left out, so that nothing
depends on colour alone.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from deckbuilder.picture.style import WIDTH
from deckbuilder.progress import charts
from deckbuilder.progress.cells import Cell, keys_in_order, level_name
from deckbuilder.progress.figures import ENOUGH, Figures, Verdict
from deckbuilder.speech import _, percent
from deckbuilder.theory.keys import key_label

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_MARGIN = 24
_LEFT = 92
_TOP = 138
_ROW = 76
_GAP = 6
_BELOW = 128
_CORNER = 8
_NUMBER, _SMALL, _TITLE = 29, 22, 32
_HATCH = "////"
_BAR_STEPS = 50


def heat_map(level: int, cells: Mapping[Cell, Figures]) -> bytes:
    """Draw a level's heat map.

    Args:
        level: the level's number.
        cells: figures of its cells, and of others, which are passed over.

    Returns:
        The bytes of a PNG.
    """
    shown = {cell: figures for cell, figures in cells.items() if cell.level == level}
    keys, regions = keys_in_order(cell.key for cell in shown), sorted({cell.region for cell in shown})
    column = (WIDTH - _LEFT - _MARGIN) / len(regions)
    with charts.drawing(_TOP + _ROW * len(keys) + _BELOW) as (figure, axes):
        title = level_name(level)
        charts.text(axes, _MARGIN, 42, title[:1].upper() + title[1:], _TITLE, ha="left", weight="bold")
        charts.text(axes, _LEFT + column * len(regions) / 2, 86, _("region, from the nut"), _SMALL, charts.QUIET)
        for number, region in enumerate(regions):
            charts.text(axes, _LEFT + column * (number + 0.5), 118, str(region), _SMALL + 3, weight="bold")
        for row, key in enumerate(keys):
            y = _TOP + _ROW * (row + 0.5)
            charts.text(axes, _LEFT - 18, y, key_label(key), _NUMBER, ha="right", weight="bold")
            for number, region in enumerate(regions):
                found = shown.get(Cell(level, key, region))
                if found is not None:
                    _draw_cell(axes, _LEFT + column * number, _TOP + _ROW * row, column, found)
        _draw_legend(axes, _TOP + _ROW * len(keys) + 22)
        return charts.png(figure)


def _draw_cell(axes: Axes, x: float, y: float, width: float, figures: Figures) -> None:
    left, top, wide, high = x + _GAP / 2, y + _GAP / 2, width - _GAP, _ROW - _GAP
    share = figures.share
    middle = left + wide / 2
    if share is None:
        _box(axes, left, top, wide, high, charts.GROUND, hatched=True)
        counted = f"{figures.recalls}"
        backed = {"facecolor": charts.GROUND, "edgecolor": "none", "pad": 3}
        charts.text(axes, middle, top + high / 2, counted, _SMALL, charts.QUIET, bbox=backed)
        return
    colour = charts.ramp_colour(share)
    ink = charts.readable_on(colour)
    _box(axes, left, top, wide, high, colour, ringed=figures.verdict is Verdict.WEAK)
    charts.text(axes, middle, top + high * 0.36, percent(share), _NUMBER, ink, weight="bold")
    charts.text(axes, middle, top + high * 0.75, _("of {count}", count=figures.recalls), _SMALL, ink)


def _box(
    axes: Axes,
    left: float,
    top: float,
    width: float,
    height: float,
    colour: str,
    *,
    ringed: bool = False,
    hatched: bool = False,
) -> None:
    from matplotlib.patches import FancyBboxPatch

    inset = 2.5 if ringed else 0
    edge = charts.INK if ringed else charts.HATCH if hatched else "none"
    axes.add_patch(
        FancyBboxPatch(
            (left + inset, top + inset),
            width - 2 * inset,
            height - 2 * inset,
            boxstyle=f"round,pad=0,rounding_size={_CORNER}",
            facecolor=colour,
            edgecolor=edge,
            linewidth=charts.line_width(5 if ringed else 2 if hatched else 0),
            hatch=_HATCH if hatched else None,
        )
    )


def _draw_legend(axes: Axes, y: float) -> None:
    """Draw the ramp and the two signs."""
    low, high = charts.RAMP[0][0], charts.RAMP[-1][0]
    left, width = _MARGIN, 236
    for step in range(_BAR_STEPS):
        share = low + (high - low) * step / (_BAR_STEPS - 1)
        _bar(axes, left + width * step / _BAR_STEPS, y, width / _BAR_STEPS + 1, charts.ramp_colour(share))
    for share, anchor in ((low, "left"), ((low + high) / 2, "center"), (high, "right")):
        words = f"≤ {percent(share)}" if share == low else percent(share)
        x = left + width * (share - low) / (high - low)
        charts.text(axes, x, y + 44, words, _SMALL, charts.QUIET, ha=anchor)
    charts.text(axes, left, y + 76, _("recalled"), _SMALL, charts.QUIET, ha="left")
    x = left + width + 76
    _box(axes, x, y - 4, 44, 32, charts.WEAK, ringed=True)
    charts.text(axes, x + 58, y + 12, _("clearly weaker than the rest"), _SMALL, ha="left")
    _box(axes, x, y + 48, 44, 32, charts.GROUND, hatched=True)
    charts.text(axes, x + 58, y + 64, _("not enough yet (under {count})", count=ENOUGH), _SMALL, ha="left")


def _bar(axes: Axes, x: float, y: float, width: float, colour: str) -> None:
    from matplotlib.patches import Rectangle

    axes.add_patch(Rectangle((x, y), width, 24, facecolor=colour, edgecolor="none"))
