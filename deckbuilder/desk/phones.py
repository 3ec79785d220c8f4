"""Phones: what the page asks of a deck's way to the phone."""

from io import BytesIO
from typing import Any

import segno
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from deckbuilder.desk.answers import body_of
from deckbuilder.desk.builds import deck_in
from deckbuilder.desk.phone import Offer
from deckbuilder.desk.state import desk_of


def qr_code(text: str) -> str:
    """Draw a QR code as SVG: black on white with its quiet zone of four, whatever the page's colours.

    Args:
        text: what it says.
    """
    drawn = BytesIO()
    segno.make(text, error="m", micro=False).save(
        drawn, kind="svg", xmldecl=False, omitsize=True, svgclass=None, lineclass=None, light="#fff", nl=False, border=4
    )
    return drawn.getvalue().decode()


def _shown(offer: Offer | None) -> Response:
    """Answer with what is on offer."""
    if offer is None:
        return JSONResponse({"deck": None, "url": None})
    found: list[dict[str, Any]] = [
        {"address": address, "url": url, "qr": qr_code(url)} for address, url in offer.urls.items()
    ]
    first = {name: found[0][name] for name in ("url", "qr")}
    until = offer.until.isoformat(timespec="seconds")
    return JSONResponse({"deck": offer.deck, **first, "until": until, "addresses": found})


async def _start(request: Request) -> Response:
    desk, body = desk_of(request), await body_of(request)
    file = await run_in_threadpool(deck_in, desk.folder, str(body.get("deck", "")))
    return _shown(await desk.phone.start(file))


async def _show(request: Request) -> Response:
    return _shown(desk_of(request).phone.offer)


async def _stop(request: Request) -> Response:
    desk_of(request).phone.stop()
    return _shown(None)


ROUTES = (
    Route("/api/phone", _show),
    Route("/api/phone", _start, methods=["POST"]),
    Route("/api/phone", _stop, methods=["DELETE"]),
)
