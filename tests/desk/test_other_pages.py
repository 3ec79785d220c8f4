"""Other pages in a browser that was let in: a real browser sends its cookies where the rules of sites allow it.

A page on another port of this computer is of the same site as the desk (RFC 6265bis, 5.2), so a strict cookie comes
along with what it asks; it must get nothing for that.
"""

from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Thread

import pytest
from playwright.sync_api import Browser, Page, Response

from deckbuilder.desk.building import Status
from deckbuilder.desk.listening import LOOPBACK
from tests.desk.asking import Asker, until

HOSTILE = """<!DOCTYPE html><meta charset="utf-8"><title>Other</title>
<a href="{entry}">in</a>
<form method="post" enctype="text/plain" action="{desk}/api/builds" target="frame">
  <input name='{{"recipe": {{}}, "x": "' value='"}}'>
</form>
<iframe name="frame"></iframe><iframe src="{desk}/"></iframe>
<img src="{desk}/media/nothing.png"><script src="{desk}/static/main.js"></script>
"""
ASK = """async (desk) => {
  const asked = [["GET", "/api/builds/current"], ["POST", "/api/builds"], ["DELETE", "/api/phone"]];
  const got = [];
  for (const [method, path] of asked)
    for (const mode of ["cors", "no-cors"])
      try {
        const body = method === "GET" ? null : "{}";
        const answer = await fetch(desk + path, { method, mode, credentials: "include", body });
        got.push(await answer.text());
      } catch (refused) {}
  try { got.push(await (await fetch(desk + "/")).text()) } catch (refused) {}
  document.forms[0].submit();
  return got.filter(Boolean);
}"""


@pytest.fixture
def other(asker: Asker) -> Iterator[str]:
    """Serve a page of somebody else's on another port; yields its address."""
    html = HOSTILE.format(desk=f"http://{asker.host}", entry=asker.desk.url)

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            self.send_response(200)
            self.send_header("Content-Type", "text/html")
            self.end_headers()
            self.wfile.write(html.encode())

        def log_message(self, *_arguments: object) -> None:
            """Say nothing."""

    with ThreadingHTTPServer((LOOPBACK, 0), Handler) as server:
        Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://{LOOPBACK}:{server.server_port}/"
        server.shutdown()


@pytest.fixture
def page(browser: Browser, asker: Asker) -> Iterator[Page]:
    """Open a page in a browser that the desk has let in."""
    context = browser.new_context()
    found = context.new_page()
    found.goto(asker.desk.url)
    assert found.url == f"http://{asker.host}/"
    yield found
    context.close()


def test_another_page_gets_nothing_and_changes_nothing(asker: Asker, other: str, page: Page) -> None:
    statuses: dict[tuple[str, str], int] = {}
    refused: set[str] = set()

    def note(answer: Response) -> None:
        if answer.url.startswith(desk):
            statuses[answer.request.method, answer.url.removeprefix(desk)] = answer.status

    desk = f"http://{asker.host}"
    visit = page.context.new_page()
    visit.on("response", note)
    visit.on("requestfailed", lambda request: refused.add(request.url.removeprefix(desk)))
    visit.goto(other)
    assert visit.evaluate(ASK, desk) == []
    shown, unseen = {("GET", "/"), ("POST", "/api/builds")}, {"/static/main.js", "/media/nothing.png"}
    until(lambda: shown <= statuses.keys() and unseen <= refused, lambda s: visit.wait_for_timeout(s * 1000))
    assert set(statuses.values()) == {403}
    assert asker.desk.building.state.status is Status.IDLE


def test_the_cookie_of_the_browser_did_come_along(asker: Asker, other: str, page: Page) -> None:
    """So it is the guard's look at where a request comes from that refuses, and no lack of a cookie."""
    visit = page.context.new_page()
    with visit.expect_response(f"http://{asker.host}/") as answer:
        visit.goto(other)
    assert asker.desk.token in answer.value.request.all_headers()["cookie"]


@pytest.mark.parametrize("by_file", [False, True])
def test_a_link_of_another_page_leads_to_the_desk(
    browser: Browser, asker: Asker, other: str, tmp_path: Path, by_file: bool
) -> None:
    """From a page of the same site, and from a file, which is of none."""
    if by_file:
        (tmp_path / "link.html").write_text(f'<a href="{asker.desk.url}">in</a>')
        other = (tmp_path / "link.html").as_uri()
    context = browser.new_context()
    visit = context.new_page()
    visit.goto(other)
    visit.click("a")
    visit.wait_for_url(f"http://{asker.host}/")
    assert visit.locator("main").count() == 1
    context.close()
