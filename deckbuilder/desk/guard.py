"""Guard: who may ask the desk anything, and what every answer says to the browser.

The desk listens on loopback, where every program and every page in a browser of this computer can reach it. So a
request has to name the desk as its host (a name that somebody else's DNS lets point here is refused), must not come
from another page, and needs the cookie that only the first address sets, which holds a secret. Sources: RFC 9110, 7.2
(Host); RFC 6454, 7 (Origin); W3C Fetch Metadata (Sec-Fetch-Site); RFC 6265bis, 5.4.7 (SameSite); CSP Level 3.
"""

import secrets
from collections.abc import Iterable

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import cookie_parser
from starlette.responses import HTMLResponse, PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

HOME = "/"
ENTRY = "/enter/"
"""Begins the path of the first address; the token follows."""
POLICY = "Content-Security-Policy"
_NOT_SENT = "none"
"""What a browser says of a request that no page asked for: an address that was typed, or opened by a program."""
_CHANGING = frozenset({"POST", "PUT", "DELETE", "PATCH"})

_ALLOWED = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; media-src 'self'; "
    "connect-src 'self'; frame-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors "
)
FRAMED = f"{_ALLOWED}'self'"
"""The policy of a page that the desk's own may have in a frame."""

HEADERS = {
    POLICY: f"{_ALLOWED}'none'",
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cache-Control": "no-store",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
}
"""What every answer says unless it says otherwise itself."""


class Guard:
    """Lets through to an app what may come, and answers the rest itself.

    Args:
        app: what answers.
        port: on which the desk listens.
        token: the secret of the first address and of the cookie.
        tickets: secrets that let in once in the token's place; one that was used is taken out.
        closed: the page for who has no cookie.
        entering: the page that leads on to the desk where a redirection would lose the cookie.
    """

    def __init__(self, app: ASGIApp, *, port: int, token: str, tickets: set[str], closed: str, entering: str) -> None:
        self._app = app
        self._hosts = frozenset(hosts(port))
        self._token = token
        self._tickets = tickets
        self._cookie = cookie_name(port)
        self._closed = closed
        self._entering = entering

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request, as ASGI has it."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return

        async def send_with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    headers.setdefault(name, value)
            await send(message)

        await (self._answer(scope) or self._app)(scope, receive, send_with_headers)

    def _answer(self, scope: Scope) -> Response | None:
        """Return the answer to what may not go through, None for what may."""
        headers = Headers(scope=scope)
        host, path = headers.get("host", ""), scope["path"]
        if host not in self._hosts:
            return PlainTextResponse("Misdirected request", 421)
        if not is_plain_path(path):
            return PlainTextResponse("Not found", 404)
        origin, site = headers.get("origin"), headers.get("sec-fetch-site", "same-origin")
        if origin not in (None, f"http://{host}"):
            return PlainTextResponse("Forbidden", 403)
        if path.startswith(ENTRY):
            return self._enter(path.removeprefix(ENTRY), scope["method"], site)
        allowed = ("same-origin",) if scope["method"] in _CHANGING else ("same-origin", _NOT_SENT)
        if not self._has_cookie(headers.getlist("cookie")):
            return HTMLResponse(self._closed, 403)
        return None if site in allowed else PlainTextResponse("Forbidden", 403)

    def _enter(self, given: str, method: str, site: str) -> Response:
        if method != "GET":
            return PlainTextResponse("Method not allowed", 405, {"Allow": "GET"})
        ticket = next((one for one in self._tickets if _same(given, one)), None)
        if ticket is None and not _same(given, self._token):
            return HTMLResponse(self._closed, 403)
        self._tickets.discard(ticket or "")
        # A browser keeps a strict cookie back where another site's link led here, through redirections too.
        response = RedirectResponse(HOME, 303) if site in ("same-origin", _NOT_SENT) else HTMLResponse(self._entering)
        response.set_cookie(self._cookie, self._token, httponly=True, samesite="strict")
        return response

    def _has_cookie(self, sent: Iterable[str]) -> bool:
        # The library's reading passes over what other programs on this computer have set amiss.
        return any(_same(cookie_parser(line).get(self._cookie, ""), self._token) for line in sent)


def hosts(port: int) -> tuple[str, ...]:
    """Return what requests call the desk.

    Args:
        port: on which it listens.
    """
    names = ("127.0.0.1", "localhost")
    return (*(f"{name}:{port}" for name in names), *(names if port == 80 else ()))


def cookie_name(port: int) -> str:
    """Return the name of the desk's cookie: browsers share cookies between ports, and there may be two desks."""
    return f"deckbuilder-desk-{port}"


def is_plain_path(path: str) -> bool:
    """Tell whether a path is one that the desk's own page would ask for.

    It has no empty or climbing part, no backslash and nothing that cannot be seen.

    Args:
        path: of a request, its escapes resolved.
    """
    parts = path.split("/")
    inner = parts[1:-1] if parts[-1] == "" else parts[1:]
    return path.isprintable() and "\\" not in path and path.startswith("/") and not {"", ".", ".."} & set(inner)


def _same(given: str, secret: str) -> bool:
    return secrets.compare_digest(given.encode("utf-8", "surrogatepass"), secret.encode())
