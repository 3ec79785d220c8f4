"""Who may ask the desk anything, asked over real sockets with requests that no client has smoothed."""

import socket
from contextlib import suppress

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from deckbuilder.desk.guard import POLICY, cookie_name, is_plain_path
from deckbuilder.desk.listening import LOOPBACK
from tests.desk.asking import PATIENCE, Asker

STYLE = "/static/desk.css"
PIECES = (
    *(
        b"GET ",
        b"POST ",
        b"PUT ",
        b"/",
        b"/enter/",
        b"/api/builds",
        b"//",
        b"%00",
        b"..",
        b" HTTP/1.1\r\n",
        b" HTTP/1.0\r\n",
    ),
    *(b"Host: 127.0.0.1\r\n", b"Host: localhost:80\r\n", b"Cookie: deckbuilder-desk-80=x\r\n", b"Origin: null\r\n"),
    *(
        b"Content-Length: 5\r\n",
        b"Content-Length: -1\r\n",
        b"Transfer-Encoding: chunked\r\n",
        b"Upgrade: websocket\r\n",
    ),
    *(b"Connection: Upgrade\r\n", b"Expect: 100-continue\r\n", b"\r\n", b"\n", b"\0", b"5\r\nhello\r\n", b"0\r\n\r\n"),
)
"""Pieces of requests, none of which holds the secret."""


def test_the_first_address_lets_a_browser_in(asker: Asker) -> None:
    entered = asker.get(f"/enter/{asker.desk.token}", cookie=None, origin=None, sec_fetch_site="none")
    assert (entered.status, entered.headers["location"]) == (303, "/")
    cookie = entered.headers["set-cookie"]
    assert cookie.startswith(f"{cookie_name(asker.desk.port)}={asker.desk.token};")
    assert {"httponly", "samesite=strict", "path=/"} <= {part.strip().lower() for part in cookie.split(";")}
    assert "domain" not in cookie.lower()
    home = asker.get("/", cookie=cookie.partition(";")[0], origin=None, sec_fetch_site="none")
    assert home.status == 200


def test_a_link_from_another_page_leads_in_without_a_redirection(asker: Asker) -> None:
    """Browsers keep a strict cookie back where another site began, and all through redirections from there."""
    entered = asker.get(f"/enter/{asker.desk.token}", cookie=None, origin=None, sec_fetch_site="cross-site")
    assert entered.status == 200
    assert "set-cookie" in entered.headers
    assert b'http-equiv="refresh" content="0; url=/"' in entered.body


@pytest.mark.parametrize("token", ["", "wrong", "%C3%A9", "a" * 5000])
def test_a_wrong_token_is_told_and_sets_nothing(asker: Asker, token: str) -> None:
    entered = asker.get(f"/enter/{token}", cookie=None, origin=None)
    assert entered.status == 403
    assert "set-cookie" not in entered.headers
    assert asker.desk.token.encode() not in entered.body


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "HEAD", "OPTIONS"])
def test_one_enters_by_looking_only(asker: Asker, method: str) -> None:
    assert asker.ask(method, f"/enter/{asker.desk.token}").status == 405


@pytest.mark.parametrize(
    "cookie",
    [None, "", "x=y", "{name}=", "{name}=wrong", "{name}=é", "deckbuilder-desk-1={token}", "{name}={token}x"],
)
@pytest.mark.parametrize("path", ["/", STYLE, "/nowhere"])
def test_nothing_is_shown_without_the_cookie(asker: Asker, cookie: str | None, path: str) -> None:
    desk = asker.desk
    sent = cookie and cookie.format(name=cookie_name(desk.port), token=desk.token)
    answer = asker.get(path, cookie=sent)
    assert answer.status == 403
    assert desk.token.encode() not in answer.body


def test_cookies_of_other_programs_on_this_computer_do_no_harm(asker: Asker) -> None:
    own = asker.headers["Cookie"]
    assert asker.get("/", cookie=f'a[b]="x; other="}}{{"; {own}; more').status == 200


@pytest.mark.parametrize(
    "host",
    [
        None,
        "",
        "evil.example",
        "evil.example:{port}",
        "127.0.0.1",
        "127.0.0.1:1",
        "127.0.0.1.evil.example:{port}",
        "[::1]:{port}",
        "0.0.0.0:{port}",
        "localhost:{port}@evil.example",
    ],
)
def test_another_host_is_refused(asker: Asker, host: str | None) -> None:
    """A name that somebody's DNS lets point at loopback brings no page of theirs to the desk."""
    named = host and host.format(port=asker.desk.port)
    for path in ("/", f"/enter/{asker.desk.token}"):
        answer = asker.get(path, host=named, origin=None)
        assert answer.status in (400, 421)
        assert "set-cookie" not in answer.headers


def test_the_desk_answers_to_its_two_names(asker: Asker) -> None:
    for name in ("127.0.0.1", "localhost"):
        host = f"{name}:{asker.desk.port}"
        assert asker.get("/", host=host, origin=f"http://{host}").status == 200


@pytest.mark.parametrize(
    "origin", ["null", "http://evil.example", "https://{host}", "http://127.0.0.1:1", "http://localhost:{port}", ""]
)
@pytest.mark.parametrize("method", ["GET", "POST", "PUT", "DELETE"])
def test_another_origin_is_refused(asker: Asker, origin: str, method: str) -> None:
    sent = origin.format(host=asker.host, port=asker.desk.port)
    assert asker.ask(method, "/", origin=sent, sec_fetch_site=None).status == 403


@pytest.mark.parametrize("site", ["cross-site", "same-site", "odd"])
@pytest.mark.parametrize("method", ["GET", "POST", "PUT", "DELETE"])
def test_a_request_that_another_page_began_is_refused(asker: Asker, site: str, method: str) -> None:
    assert asker.ask(method, "/", origin=None, sec_fetch_site=site).status == 403


def test_nothing_is_changed_by_an_address_that_was_typed(asker: Asker) -> None:
    assert asker.get("/", origin=None, sec_fetch_site="none").status == 200
    assert asker.ask("DELETE", "/", origin=None, sec_fetch_site="none").status == 403


@pytest.mark.parametrize(
    "path",
    [
        "/static/../guard.py",
        "/static/%2e%2e/guard.py",
        "/static/%2E%2E%2Fguard.py",
        "/static/..%2f..%2fetc%2fpasswd",
        "/static/%252e%252e/guard.py",
        "/static//desk.css",
        "//static/desk.css",
        "/static/..\\guard.py",
        "/static/%5c..%5cguard.py",
        "/static/desk.css%00",
        "/static/desk.css%00.png",
        "/static/%0d%0aX-Other:%20x",
        "/static/./desk.css",
        "/static//etc/passwd",
        "/static/",
        "/templates/desk.html",
        "http://evil.example/static/desk.css",
        "*",
    ],
)
def test_paths_lead_nowhere_else(asker: Asker, path: str) -> None:
    answer = asker.get(path)
    assert answer.status in (400, 404)
    assert b"root:" not in answer.body
    assert b"import" not in answer.body


@settings(max_examples=40)
@given(st.lists(st.sampled_from(PIECES) | st.binary(max_size=8), min_size=1, max_size=12).map(b"".join))
def test_whatever_is_sent_lets_nobody_in(asker: Asker, sent: bytes) -> None:
    with socket.create_connection((LOOPBACK, asker.desk.port), timeout=PATIENCE) as raw:
        raw.sendall(sent)
        raw.shutdown(socket.SHUT_WR)
        answer = b""
        with suppress(ConnectionResetError):
            while more := raw.recv(1 << 16):
                answer += more
    assert not answer or answer.startswith(b"HTTP/1.1 4"), answer
    assert asker.desk.token.encode() not in answer


@given(st.text(st.characters(codec="utf-8"), max_size=20))
def test_a_plain_path_climbs_nowhere(path: str) -> None:
    if is_plain_path(path):
        assert path.startswith("/")
        assert not {".", ".."} & set(path.split("/"))
        assert "//" not in path
        assert path.isprintable()


@pytest.mark.parametrize("path", ["/", STYLE, "/nowhere", "/static/nothing.css"])
def test_every_answer_says_what_the_browser_may_do(asker: Asker, path: str) -> None:
    for cookie in (asker.headers["Cookie"], None):
        headers = asker.get(path, cookie=cookie).headers
        policy = headers[POLICY.lower()]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert "frame-ancestors" in policy
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "no-referrer"
        assert headers["cache-control"] == "no-store"
        assert "server" not in headers
        assert "access-control-allow-origin" not in headers


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "PATCH", "TRACE"])
def test_other_methods_are_refused(asker: Asker, method: str) -> None:
    for path in ("/", STYLE):
        assert asker.ask(method, path).status == 405
