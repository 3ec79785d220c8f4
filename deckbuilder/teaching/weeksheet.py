"""Week sheet: one page for a student's music stand — five spots, the next places, a tune and a tempo.

Conventions: those of `deckbuilder.progress.drawing`.
"""

from io import BytesIO

from deckbuilder.progress import words
from deckbuilder.progress.drawing import QUIET, Paper, Sheet, drawn, fitting, measured
from deckbuilder.progress.practice import HAND_CARE
from deckbuilder.progress.sheet import draw_entry, draw_head
from deckbuilder.speech import _, translate
from deckbuilder.teaching.weekplan import SPOTS, WeekPlan

_MARGIN = 14.0
_GUTTER = 8.0
_HEAD = 29.0
_GAP = 3.0
_ROWS = 3
_TUNE_HEAD, _LINE, _HANDS = 12.0, 7.4, 26.0
"""Height of a tune's name, of a line of its bars, and of what stands at the foot."""
_MOST_LINES = 8
"""Of a tune's changes."""
_MOST_REASONS = 2


def week_sheet(title: str, now: float, plan: WeekPlan, paper: Paper) -> bytes:
    """Draw the sheet.

    Args:
        title: whose it is: class and student.
        now: s since 1970.
        plan: what it asks for.
        paper: its size.

    Returns:
        The bytes of a PDF of one page.
    """
    stream = BytesIO()
    day = words.day(now)
    with drawn(paper, _("{name}: week from {day}", name=title, day=day), stream) as sheet:
        draw_head(sheet, title, _("Practice for the week from {day}", day=day), _MARGIN)
        width = (sheet.width - 2 * _MARGIN - _GUTTER) / 2
        foot = _TUNE_HEAD + min(len(plan.bars), _MOST_LINES) * _LINE + _HANDS
        height = (sheet.height - _HEAD - foot) / _ROWS - _GAP
        for number in range(SPOTS + 1):
            row, column = divmod(number, 2)
            x, y = _MARGIN + column * (width + _GUTTER), _HEAD + row * (height + _GAP)
            if number < len(plan.spots):
                draw_entry(sheet, plan.spots[number], x, y, width, height)
            elif number == SPOTS:
                _draw_next(sheet, plan, x, y, width)
        _draw_tune(sheet, plan, sheet.height - foot)
    return stream.getvalue()


def _draw_next(sheet: Sheet, plan: WeekPlan, x: float, y: float, width: float) -> None:
    """Draw the next places and the tempo."""
    sheet.text(x, y + 3.2, _("Next places"), 4.8, weight="bold")
    y += 10
    for place in plan.places or (_("all of them have been met"),):
        y = sheet.paragraph(x, y, place, 3.8, width)
    y += 6
    sheet.text(x, y, _("Tempo"), 4.8, weight="bold")
    sheet.text(x + 24, y, f"♩ = {plan.tempo}", 6.4, weight="bold")
    more = (
        _(
            "Three choruses in a row that went well (cards to improvise, graded good) take it to {tempo}.",
            tempo=plan.next_tempo,
        )
        if plan.next_tempo > plan.tempo
        else _("This is the last step of the ladder.")
    )
    y = sheet.paragraph(x, y + 7, more, 3.2, width, QUIET) + 4
    if plan.why:
        sheet.text(x, y, _("Why these places"), 4.8, weight="bold")
        y += 6
        for reason in plan.why[:_MOST_REASONS]:
            y = sheet.paragraph(x, y, f"{reason}.", 3.2, width)


def _draw_tune(sheet: Sheet, plan: WeekPlan, y: float) -> None:
    """Draw a tune's name and its bars in columns, and the care of the hands."""
    room, names = sheet.width - 2 * _MARGIN, max(measured(name, 3.8) for name, _ in plan.bars)
    sheet.rule(y, _MARGIN)
    title = _("Tune: {tune}", tune=plan.tune)
    sheet.text(_MARGIN, y + 7, title, fitting(title, 4.8, room, "bold"), weight="bold")
    y += _TUNE_HEAD + _LINE / 2
    lines = plan.bars[:_MOST_LINES]
    indent = min(names + 3, room / 5) if names else 0.0
    column = (room - indent) / max(len(bars) for _, bars in lines)
    for name, bars in lines:
        sheet.text(_MARGIN, y, name, fitting(name, 3.8, max(indent - 2, 1)), QUIET)
        for number, bar in enumerate(bars):
            x = _MARGIN + indent + number * column
            sheet.line(x, y - _LINE * 0.36, x, y + _LINE * 0.36)
            sheet.text(x + 2, y, bar, fitting(bar, 4.4, column - 3))
        y += _LINE
    sheet.paragraph(_MARGIN, sheet.height - _HANDS + 8, _("Hands: {care}", care=translate(HAND_CARE)), 2.9, room, QUIET)
