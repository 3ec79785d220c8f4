"""A desk that really listens, and requests as they are written, which no client smooths."""

import asyncio
import json
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from http.client import HTTPConnection
from pathlib import Path
from threading import Event, Thread
from typing import Any

from deckbuilder.deck.store import Store
from deckbuilder.desk.app import make_app
from deckbuilder.desk.guard import cookie_name
from deckbuilder.desk.listening import LOOPBACK, Listener
from deckbuilder.desk.server import listening
from deckbuilder.desk.state import Desk

PATIENCE = 60
"""s after which a test gives up."""


def until(come: Callable[[], bool], wait: Callable[[float], object] = time.sleep) -> None:
    """Wait until something has come about.

    Args:
        come: tells whether it has.
        wait: lets some s go by.
    """
    end = time.monotonic() + PATIENCE
    while not come():
        assert time.monotonic() < end
        wait(0.02)


def fetched(url: str, method: str = "GET", **headers: str) -> "Answer":
    """Return what an address answers, to a program that knows nothing of the desk's page."""
    _, _, host, path = url.split("/", 3)
    connection = HTTPConnection(host, timeout=PATIENCE)
    try:
        connection.request(method, f"/{path}", headers={name.title(): value for name, value in headers.items()})
        response = connection.getresponse()
        found = {name.lower(): value for name, value in response.getheaders()}
        return Answer(response.status, found, response.read())
    finally:
        connection.close()


@dataclass(frozen=True)
class Answer:
    """What came back: status, headers by name in lower case, body."""

    status: int
    headers: dict[str, str]
    body: bytes

    @property
    def json(self) -> Any:
        return json.loads(self.body)


class Asker:
    """Asks a desk as its own page does; every header can be another."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self.host = f"{LOOPBACK}:{desk.port}"
        self.headers = {
            "Host": self.host,
            "Cookie": f"{cookie_name(desk.port)}={desk.token}",
            "Origin": f"http://{self.host}",
            "Sec-Fetch-Site": "same-origin",
        }

    @contextmanager
    def connected(self) -> Iterator[HTTPConnection]:
        connection = HTTPConnection(LOOPBACK, self.desk.port, timeout=PATIENCE)
        try:
            yield connection
        finally:
            connection.close()

    def ask(self, method: str, path: str, body: object = None, **other: str | None) -> Answer:
        """Ask once. Keywords are headers, `sec_fetch_site="none"`; None leaves one out."""
        changed = {name.replace("_", "-").title(): value for name, value in other.items()}
        headers = {name: value for name, value in {**self.headers, **changed}.items() if value is not None}
        data = body if isinstance(body, bytes) else None if body is None else json.dumps(body).encode()
        with self.connected() as connection:
            connection.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
            for name, value in headers.items():
                connection.putheader(name, value)
            if data is not None and "Content-Length" not in headers:
                connection.putheader("Content-Length", str(len(data)))
            connection.endheaders()
            if data is not None:
                with suppress(BrokenPipeError, ConnectionResetError):  # refused before all of it was sent
                    connection.send(data)
            response = connection.getresponse()
            found = {name.lower(): value for name, value in response.getheaders()}
            return Answer(response.status, found, response.read())

    def events(self) -> Iterator[tuple[str, Any]]:
        """Yield the events of builds, name and data, as they come."""
        with self.connected() as connection:
            connection.request("GET", "/api/builds/events", headers=self.headers)
            response = connection.getresponse()
            assert response.headers["Content-Type"].startswith("text/event-stream")
            name = ""
            while line := response.readline().decode().rstrip("\n"):
                field, _, value = line.partition(": ")
                if field == "event":
                    name = value
                elif field == "data":
                    yield name, json.loads(value)
                    response.readline()

    def built(self) -> tuple[str, Any]:
        """Return how the build that is at work ends."""
        return next((name, data) for name, data in self.events() if name != "progress")

    def get(self, path: str, **other: str | None) -> Answer:
        return self.ask("GET", path, **other)

    def post(self, path: str, body: object, **other: str | None) -> Answer:
        return self.ask("POST", path, body, **other)


@contextmanager
def open_desk(folder: Path) -> Iterator[Asker]:
    """Open a desk in a thread of this process, with a folder `decks` and a store of its own."""
    opened = listening(None)
    desk = Desk(folder / "decks", Store(folder / "store"), 1, opened.getsockname()[1])
    listener = Listener(make_app(desk), lifespan=True, on_end=desk.leave)
    ended = Event()

    def run() -> None:
        asyncio.run(listener.serve([opened]))
        ended.set()

    Thread(target=run, daemon=True).start()
    try:
        yield Asker(desk)
    finally:
        desk.closing.set()
        listener.stop()
        assert ended.wait(PATIENCE)
        desk.close()
