"""Study: what the page asks of a study history that was dropped on it."""

from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, Response
from starlette.routing import Route

from deckbuilder.desk.answers import body_of, refused, told
from deckbuilder.desk.builds import recipe_in, started
from deckbuilder.desk.choices import speech_of
from deckbuilder.desk.guard import POLICY
from deckbuilder.desk.histories import (
    LARGEST,
    TOO_LARGE,
    NotKeptError,
    StalledError,
    Studied,
    TooLargeError,
    histories_in,
)
from deckbuilder.desk.state import Desk, desk_of
from deckbuilder.progress import checkup_words, words
from deckbuilder.progress.analysis import TOLD
from deckbuilder.progress.focus import in_tuning
from deckbuilder.progress.work import places, search, work
from deckbuilder.progress.work_words import set_aside, what
from deckbuilder.speech import speaking

MOST = 20
"""Weak cells that a focus deck is made of at most, as with the command."""
_NUMBER = 5
"""Cells of a practice sheet where no number is given."""
_REPORT = (
    "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'; "
    "frame-ancestors 'self'; sandbox"
)
"""The report has its style within and nothing that runs."""


def shown(desk: Desk, name: str) -> dict[str, Any]:
    """Return what is said of a history.

    Args:
        desk: where it is kept.
        name: its id.
    """
    studied = desk.histories[name]
    with speaking(studied.speech):
        return _said(desk, name, studied)


def _said(desk: Desk, name: str, studied: Studied) -> dict[str, Any]:
    history, analysis = studied.history, studied.analysis
    cells = analysis.weak[:TOLD]
    names = words.named(analysis, cells)
    place = f"/histories/{name}"
    works = _works(studied)
    answers = [answer for card in history.cards for answer in card.answers]
    return {
        "id": name,
        "tuning": history.tuning,
        "days": len({answer.day for answer in answers}),
        "answers": len(answers),
        "verdict": words.verdict(analysis),
        "weak": [
            {"name": called, "line": words.cell_line(analysis.cells[cell])}
            for called, cell in zip(names, cells, strict=True)
        ],
        "weak_count": len(analysis.weak),
        "works": works,
        "patterns": [
            {"name": one.words, "line": words.pattern_line(one), "search": in_tuning(history, one.search)}
            for one in analysis.patterns
        ],
        "checkup": {
            "verdict": checkup_words.verdict(analysis.checkup),
            "steps": [
                {"name": step.words, "search": step.search} for step in checkup_words.steps(history, analysis.checkup)
            ],
        },
        "maps": [{"level": level, "url": f"{place}/map-{level}.png"} for level in analysis.levels],
        "report": f"{place}/report.html",
        "sheet": f"{place}/sheet.pdf" if works else None,
        "tunings": [{"name": tuning, "id": one} for tuning, one in desk.histories.of_one_file(name).items()],
    }


def _works(studied: Studied) -> list[dict[str, str]]:
    """Return what is worked on in one place, in two, and so on: why there, and a search for it."""
    analysis, found = studied.analysis, []
    for number in range(1, TOLD + 1):
        parts = work(analysis, number)
        if len(places(parts)) < number:
            break
        said = f"{what(analysis, parts)}. {set_aside(analysis, parts)}".strip()
        found.append({"what": said, "search": search(analysis.history, parts)})
    return found


def _history(request: Request) -> Studied:
    """Return the history that a request is about."""
    try:
        return desk_of(request).histories[request.path_params["id"]]
    except KeyError:
        raise HTTPException(404, "this study history is no longer here; bring its file again") from None


def _number(given: object, usual: int) -> int:
    """Read how many weak cells are meant."""
    if given is None:
        return usual
    written = str(given)
    number = int(written) if written.isdecimal() and len(written) <= len(str(MOST)) else 0
    if isinstance(given, bool) or not 1 <= number <= MOST:
        raise HTTPException(400, f"“number” has to be a whole number from 1 to {MOST}")
    return number


async def _bring(request: Request) -> Response:
    desk, speech = desk_of(request), speech_of(request)
    length = request.headers.get("content-length", "")
    if length.isdecimal() and int(length[:20]) > LARGEST:
        return refused(TOO_LARGE, 413)
    if not desk.histories.reading.acquire(blocking=False):
        return refused("another file is being read; bring this one when it is done", 409)
    try:
        found = await histories_in(request.stream(), request.query_params.get("name", ""))
    except TooLargeError as error:
        return refused(str(error), 413)
    except NotKeptError as error:
        return refused(told(error), 507)
    except StalledError as error:
        return refused(str(error), 408)
    finally:
        desk.histories.reading.release()
    name = desk.histories.add(found, speech)
    return JSONResponse(await run_in_threadpool(shown, desk, name))


async def _show(request: Request) -> Response:
    _history(request)
    return JSONResponse(await run_in_threadpool(shown, desk_of(request), request.path_params["id"]))


async def _report(request: Request) -> Response:
    studied = _history(request)
    report = await run_in_threadpool(lambda: studied.report)
    return HTMLResponse(report, headers={POLICY: _REPORT})


async def _map(request: Request) -> Response:
    studied = _history(request)
    maps = await run_in_threadpool(lambda: studied.maps)
    level = request.path_params["level"]
    if level not in maps:
        raise HTTPException(404, "nothing of this level was studied")
    return Response(maps[level], media_type="image/png")


async def _sheet(request: Request) -> Response:
    studied, number = _history(request), _number(request.query_params.get("number"), _NUMBER)
    made = await run_in_threadpool(studied.sheet, number)
    shown_as = {"Content-Disposition": 'inline; filename="practice-sheet.pdf"'}
    return Response(made, media_type="application/pdf", headers=shown_as)


async def _focus(request: Request) -> Response:
    desk, studied, body = desk_of(request), _history(request), await body_of(request)
    number = _number(body.get("number"), _NUMBER)
    base = await run_in_threadpool(recipe_in, body, desk) if body.get("recipe") is not None else None
    job = await run_in_threadpool(studied.focus_job, number, base, desk.folder)
    return started(desk.building, job)


ROUTES = (
    Route("/api/histories", _bring, methods=["PUT"]),
    Route("/api/histories/{id}", _show),
    Route("/api/histories/{id}/focus", _focus, methods=["POST"]),
    Route("/histories/{id}/report.html", _report),
    Route("/histories/{id}/map-{level:int}.png", _map),
    Route("/histories/{id}/sheet.pdf", _sheet),
)
