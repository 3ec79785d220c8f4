"""The page in a real browser, without a network: every card, filters, turning over, sound, keyboard, screen reader."""

from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from deckbuilder.cards.facts import Kind
from deckbuilder.cards.note import Note
from deckbuilder.preview.cards import values_of
from tests.phone.test_cards import MEASURE

pytestmark = pytest.mark.xdist_group("browser")

LISTEN = """
window.clips = [];
const play = HTMLMediaElement.prototype.play;
HTMLMediaElement.prototype.play = function () { window.clips.push(this); return play.call(this); };
"""
"""Keeps hold of what is played."""

SOUNDS = 'document.activeElement.parentElement.querySelector(".side").shadowRoot.querySelector(".replay") !== null'
"""Whether the card whose button is focused has a sound on the side that is shown."""

AXES = ("region", "level", "function", "colour", "source", "fact", "kind")


def _given_up(failure: str | None) -> bool:
    """Tell a picture that was scrolled or filtered away before it was there."""
    return failure == "net::ERR_ABORTED"


@pytest.fixture(params=[("light", 360, 640), ("dark", 1280, 900)], ids=["phone, light", "desktop, dark"])
def page(browser: Browser, index: Path, request: pytest.FixtureRequest) -> Iterator[Page]:
    scheme, width, height = request.param
    context = browser.new_context(viewport={"width": width, "height": height}, color_scheme=scheme, offline=True)
    context.add_init_script(LISTEN)
    page = context.new_page()
    asked: list[str] = []
    wrong: list[str] = []
    page.on("request", lambda sent: asked.append(sent.url))
    page.on("requestfailed", lambda sent: None if _given_up(sent.failure) else wrong.append(sent.url))
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.on("console", lambda message: wrong.append(message.text) if message.type == "error" else None)
    page.goto(index.as_uri())
    yield page
    context.close()
    assert wrong == []
    assert asked
    assert all(url.startswith((index.parent.as_uri(), "data:")) for url in asked)


def open_filters(page: Page) -> None:
    summary = page.locator(".filters summary")
    if not page.locator(".filters details").evaluate("(it) => it.open"):
        summary.click()


def choose(page: Page, axis: str, value: str) -> None:
    page.locator(f'input[name="{axis}"][value="{value}"]').check()


def values(notes: tuple[Note, ...]) -> list[dict[str, str | None]]:
    return [values_of(note, kind) for note in notes for kind in note.kinds]


def test_every_card_is_there_once(page: Page, notes: tuple[Note, ...]) -> None:
    cards = sum(len(note.kinds) for note in notes)
    expect(page.get_by_role("status")).to_have_text(f"Cards 1 to 24 of {cards}")
    shown = 0
    while True:
        shown += page.locator(".cards li").count()
        following = page.locator(".bar .next")
        if following.is_disabled():
            break
        following.click()
    assert shown == cards
    expect(page.get_by_role("status")).to_have_text(f"Cards {cards // 24 * 24 + 1} to {cards} of {cards}")


def test_filters_tell_how_many_cards_each_leaves(page: Page, notes: tuple[Note, ...]) -> None:
    open_filters(page)
    every = values(notes)
    for axis in AXES:
        wanted = Counter(card[axis] for card in every)
        for value, count in wanted.items():
            if value is not None:
                expect(page.locator(f'[data-axis="{axis}"] [data-value="{value}"]')).to_have_text(str(count))
    assert page.locator('[data-axis="key"]').count() == 0, "all cards have one key: nothing to choose"
    choose(page, "colour", "altered")
    choose(page, "kind", "locate")
    choose(page, "kind", "identify")
    fitting = [card for card in every if card["colour"] == "altered" and card["kind"] in ("locate", "identify")]
    expect(page.get_by_role("status")).to_contain_text(
        f"{len(fitting)} cards" if len(fitting) <= 24 else f"of {len(fitting)}"
    )
    for value, count in Counter(card["source"] for card in fitting if card["source"]).items():
        expect(page.locator(f'[data-axis="source"] [data-value="{value}"]')).to_have_text(str(count))
    hears = [card for card in every if card["colour"] == "altered" and card["kind"] == "hear"]
    expect(page.locator('[data-axis="kind"] [data-value="hear"]')).to_have_text(str(len(hears)))
    page.get_by_role("button", name="Show all cards").click()
    expect(page.get_by_role("status")).to_contain_text(f"of {len(every)}")


def test_no_card_fits_is_said(page: Page) -> None:
    open_filters(page)
    choose(page, "fact", "spelling")
    choose(page, "kind", "improvise")
    expect(page.get_by_role("status")).to_have_text("No card fits: take a filter away")


def test_a_card_turns_over_and_back(page: Page, notes: tuple[Note, ...]) -> None:
    open_filters(page)
    choose(page, "kind", "locate")
    note = next(note for note in notes if Kind.LOCATE in note.kinds)
    card = page.locator(".cards li").first
    expect(card.locator(".task")).to_contain_text(note.words.task.split(" · ")[0])
    expect(card.locator(".symbol")).to_have_count(0)
    card.get_by_role("button", name="Show the answer").click()
    expect(card.locator(".symbol")).to_have_text(note.words.label)
    assert card.locator(".neck img").evaluate("(image) => image.decode().then(() => image.naturalWidth)") == 720
    card.get_by_role("button", name="Back to the question").click()
    expect(card.locator(".symbol")).to_have_count(0)


def test_a_card_sounds_and_stops(page: Page) -> None:
    open_filters(page)
    choose(page, "kind", "hear")
    button = page.locator(".cards li").first.get_by_role("button", name="Play the arpeggio")
    button.click()
    page.wait_for_function("() => window.clips.length === 1 && clips[0].currentTime > 0.05 && !clips[0].error")
    assert page.evaluate("clips[0].duration") > 1
    button.click()
    page.wait_for_function("() => clips[0].paused")


def test_the_keyboard_alone_is_enough(page: Page) -> None:
    page.keyboard.press("Tab")
    expect(page.get_by_role("link", name="Skip to the cards")).to_be_focused()
    page.keyboard.press("Enter")
    page.keyboard.press("ArrowRight")
    expect(page.get_by_role("status")).to_contain_text("Cards 25 to 48")
    page.keyboard.press("ArrowLeft")
    expect(page.get_by_role("status")).to_contain_text("Cards 1 to 24")
    page.keyboard.press("ArrowRight")  # cards in words alone come first, without a sound
    for _ in range(60):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.className") == "turn":
            page.keyboard.press("Space")
            if page.evaluate(SOUNDS):
                break
    turned = page.locator(".cards li").filter(has=page.locator("button.turn:focus"))
    expect(turned.locator(".symbol")).to_be_visible()
    expect(turned.get_by_role("button", name="Back to the question")).to_be_focused()
    for _ in range(10):
        page.keyboard.press("Shift+Tab")
        if page.evaluate("document.activeElement.shadowRoot?.activeElement?.className") == "replay":
            break
    page.keyboard.press("Space")
    page.wait_for_function("() => window.clips.length === 1")


def test_a_filter_is_reached_by_keyboard(page: Page) -> None:
    open_filters(page)
    page.locator('input[name="colour"]').first.focus()
    page.keyboard.press("Space")
    expect(page.locator(".chosen")).to_have_text("· 1 chosen")


def test_no_serious_finding_of_accessibility(page: Page) -> None:
    """Rules of axe-core, over questions, answers and filters."""
    open_filters(page)
    page.locator('input[name="kind"]').first.check()
    for button in page.locator(".turn").all()[:6]:
        button.click()
    found = Axe().run(page, options={"preload": False}).response["violations"]
    assert [(rule["id"], rule["impact"], rule["nodes"][0]["html"]) for rule in found] == []


def test_nothing_is_too_small_or_out_of_the_page(page: Page) -> None:
    open_filters(page)
    seen = page.evaluate(MEASURE)
    assert seen["scrollWidth"] <= seen["width"]
    for text in seen["texts"]:
        assert text["size"] >= 14, text
        assert text["contrast"] >= 4.5, text
    targets = [target for target in seen["targets"] if target["name"] != "Skip to the cards"]
    assert min(target["box"]["height"] for target in targets) >= 44


def test_a_title_is_escaped(page: Page) -> None:
    expect(page.get_by_role("heading", level=1)).to_have_text("One key <&>")


def test_a_script_that_got_into_the_page_does_not_run(browser: Browser, index: Path) -> None:
    context = browser.new_context(offline=True)
    page = context.new_page()
    page.goto(index.as_uri())
    refused = page.evaluate("""() => new Promise((done) => {
      const refused = [];
      document.addEventListener("securitypolicyviolation", (event) => {
        refused.push(event.effectiveDirective);
        if (refused.length === 3) done(refused.sort());
      });
      const host = document.body.appendChild(document.createElement("div"));
      host.innerHTML = `<img src="data:," onerror="window.ran = true"><img src="https://example.invalid/seen.png">`;
      host.appendChild(document.createElement("script")).textContent = "window.ran = true";
    })""")
    assert refused == ["img-src", "script-src-attr", "script-src-elem"]
    assert page.evaluate("window.ran") is None
    context.close()


def test_the_caution_is_on_the_page(page: Page) -> None:
    for word in ("quietly", "earphones low", "pain", "driving"):
        expect(page.locator("footer")).to_contain_text(word)
