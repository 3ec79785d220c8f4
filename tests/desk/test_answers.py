"""What requests bring as JSON, and what becomes of those that bring none."""

import asyncio

import pytest
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route
from starlette.types import Message

from deckbuilder.desk.answers import HANDLERS, body_of


async def _echo(request: Request) -> Response:
    return JSONResponse(await body_of(request))


def status(*messages: Message) -> int:
    """Return how a request of some messages is answered; an error that is not would be the test's."""
    app = Starlette(routes=[Route("/", _echo, methods=["POST"])], exception_handlers=HANDLERS)
    coming, sent = iter(messages), list[Message]()

    async def receive() -> Message:
        return next(coming)

    async def send(message: Message) -> None:
        sent.append(message)

    scope = {"type": "http", "method": "POST", "path": "/", "query_string": b"", "headers": []}
    asyncio.run(app(scope, receive, send))
    return int(sent[0]["status"])


@pytest.mark.parametrize(
    "body",
    [b"[]", b"{", b"\xff", b"[" * 100_000, rb'{"name": "\ud800"}', rb'{"\uDFFF": 1}', b'{"n": 1' + b"0" * 5000 + b"}"],
)
def test_what_is_no_object_that_can_be_written_again_is_refused(body: bytes) -> None:
    assert status({"type": "http.request", "body": body}) == 400


@pytest.mark.parametrize("body", [b"", b"{}", rb'{"a": "\ud83c\udfb8"}', '{"a": "🎸"}'.encode()])
def test_an_object_is_taken(body: bytes) -> None:
    assert status({"type": "http.request", "body": body}) == 200


def test_who_goes_away_before_all_was_sent_is_no_mistake_of_the_program() -> None:
    assert status({"type": "http.request", "body": b"{", "more_body": True}, {"type": "http.disconnect"}) == 400
