"""The page in a real browser: what a guitarist does with it, from the first start to the phone."""

import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from deckbuilder.build import notes_of
from deckbuilder.deck.check import check_package
from deckbuilder.recipe import parse_recipe
from tests.desk.asking import Asker
from tests.desk.pages import SMALL, settled, show, visiting, watched
from tests.progress.conftest import DAYS, uneven
from tests.progress.exports import write_export
from tests.progress.learner import studied

pytestmark = pytest.mark.xdist_group("browser")

SLOW = {"title": "Slow", "keys": ["F"], "levels": [1, 2, 3]}
"""So large that its build is still going on when it is looked at."""

_TAPPED = """(what) => new Promise((told) => {
  const start = performance.now();
  const place = document.querySelector(".strip [data-number=cards]");
  new MutationObserver((_, observer) => {
    observer.disconnect();
    told(performance.now() - start);
  }).observe(place, { childList: true, characterData: true, subtree: true });
  document.querySelector(what).click();
})"""
"""Taps on something, and waits for another number of cards: returns the milliseconds between."""


@pytest.fixture
def page(browser: Browser, asker: Asker) -> Iterator[Page]:
    with visiting(browser, asker.desk.url) as found:
        yield found


def built(page: Page) -> None:
    """Build what is chosen, and wait until it is there."""
    show(page, "build")
    page.get_by_role("button", name="Build the deck").click()
    expect(page.get_by_role("heading", name="Your deck is ready")).to_be_visible()


def saved(page: Page, folder: Path) -> Path:
    """Save the deck that was built."""
    with page.expect_download() as download:
        page.get_by_role("link", name="Save the deck").click()
    path = folder / download.value.suggested_filename
    download.value.save_as(path)
    return path


def test_from_the_first_start_to_a_saved_deck_without_typing(browser: Browser, asker: Asker, tmp_path: Path) -> None:
    with visiting(browser, asker.desk.url, recipe=None) as page:
        page.get_by_role("group", name="Keys").get_by_role("button", name="None").click()
        expect(page.locator("#mistake-keys")).not_to_be_empty()
        page.get_by_role("checkbox", name="F", exact=True).check()
        expect(page.locator("#mistake-keys")).to_be_empty()
        for number in range(1, 5):
            page.locator(f'.region[data-number="{number}"] input').uncheck()
        for level in (2, 3):
            page.locator(f'[data-list="levels"][value="{level}"]').uncheck()
        for kind in ("identify", "hear", "spell", "connect", "improvise"):
            page.locator(f'[data-list="kinds"][value="{kind}"]').uncheck()
        expect(page.locator(".strip [data-number=cards]")).to_have_text("7")
        expect(page.locator("#sample-name")).to_contain_text("of 7")
        page.get_by_role("button", name="Turn over").click()
        card = page.locator("#card")
        expect(card.locator(".symbol")).to_be_visible()
        assert card.locator(".neck img").evaluate("(image) => image.decode().then(() => image.naturalWidth)") > 0
        built(page)
        path = saved(page, tmp_path)
    assert path.suffix == ".apkg"
    assert check_package(path).cards == 7


def test_every_change_is_shown_at_once(page: Page) -> None:
    """The time from a tap to new numbers is printed; that it is short is what the desk is for."""
    settled(page)
    more = len(notes_of(parse_recipe({**SMALL, "levels": [1, 2]}, "test")))
    for after in (more, 7, more, 7):
        passed = page.evaluate(_TAPPED, '[data-list="levels"][value="2"]')
        expect(page.locator(".strip [data-number=cards]")).to_have_text(str(after))
        print(f"{after} cards are told {passed:.0f} ms after the tap")
        settled(page)


def test_own_changes_a_mistake_and_its_mending(page: Page) -> None:
    show(page, "changes")
    page.locator("[data-start]").first.click()
    bars = page.get_by_role("textbox", name="Bars")
    bars.fill("| ii7 | Q7 | Imaj7 |")
    expect(bars).to_have_attribute("aria-invalid", "true")
    described = page.locator(f"#{bars.get_attribute('aria-describedby')}")
    expect(described).to_contain_text("Bar 2")
    expect(described).to_contain_text("Q7")
    expect(page.locator(".bars .bad")).to_have_count(1)
    expect(page.locator("#recipe-mistake")).to_contain_text("Own changes")
    page.reload()
    expect(bars).to_have_value("| ii7 | Q7 | Imaj7 |")
    bars.fill("| ii7 | V7alt | Imaj7 |")
    expect(described).to_be_empty()
    expect(page.locator(".chord b")).to_have_count(3)
    expect(page.locator(".chord small").nth(1)).to_contain_text("altered")
    expect(page.locator("#recipe-mistake")).to_be_empty()
    page.get_by_role("button", name="Hear the loop").click()
    page.wait_for_function("() => window.clips.length === 1 && clips[0].currentTime > 0.05 && !clips[0].error")
    page.get_by_role("button", name="Stop").click()
    page.wait_for_function("() => clips[0].paused")
    expect(page.get_by_role("button", name="Hear the loop")).to_be_visible()
    image = page.locator(".score img")
    assert image.evaluate("(image) => image.decode().then(() => image.naturalWidth)") > 0
    page.get_by_role("button", name="Remove this tune").click()
    expect(bars).to_have_count(0)
    page.get_by_role("button", name="Undo").click()
    expect(bars).to_have_value("| ii7 | V7alt | Imaj7 |")


def test_a_recipe_is_kept_taken_and_had_back(page: Page) -> None:
    show(page, "recipes")
    page.get_by_label("Name of the file").fill("mine")
    page.get_by_role("button", name="Save the recipe").click()
    expect(page.locator("#saved")).to_contain_text("mine")
    with page.expect_download() as download:
        page.get_by_role("link", name="Download it").click()
    assert 'title = "Small"' in Path(download.value.path()).read_text(encoding="utf-8")
    page.locator("[data-open=quick]").click()
    expect(page.locator(".numbers [data-number=title]")).to_have_text("A quick look")
    page.get_by_role("button", name="Undo").click()
    expect(page.locator(".numbers [data-number=title]")).to_have_text("Small")
    page.locator("#open-file").set_input_files(
        {"name": "wrong.toml", "mimeType": "application/toml", "buffer": b'keys = ["H"]'}
    )
    expect(page.locator("#open-mistake")).to_contain_text("H")
    page.reload()
    expect(page.locator(".numbers [data-number=title]")).to_have_text("Small")


def test_a_build_goes_on_through_a_reload_in_another_tab_and_is_cancelled(browser: Browser, asker: Asker) -> None:
    with visiting(browser, asker.desk.url, recipe=SLOW) as page:
        show(page, "build")
        page.get_by_role("button", name="Build the deck").click()
        expect(page.get_by_role("button", name="Cancel")).to_be_visible()
        page.reload()
        expect(page.get_by_role("button", name="Cancel")).to_be_visible()
        expect(page.locator("#done-of")).not_to_be_empty()
        other = watched(page.context, [])
        other.goto(f"http://127.0.0.1:{asker.desk.port}/#build")
        other.get_by_role("button", name="Cancel").click()
        for tab in (page, other):
            expect(tab.locator("#build-mistake")).to_contain_text("Cancelled")
            expect(tab.get_by_role("button", name="Build the deck")).to_be_enabled()


def test_the_phone_fetches_the_deck_until_it_is_stopped(browser: Browser, asker: Asker, page: Page) -> None:
    built(page)
    page.get_by_role("button", name="To the phone").click()
    expect(page.locator("#qr svg")).to_be_visible()
    expect(page.get_by_role("timer")).to_contain_text(":")
    address = page.locator("#phone-url").get_attribute("href") or ""
    phone = browser.new_context(accept_downloads=True)
    tab = phone.new_page()
    tab.set_content(f'<a href="{address}">deck</a>')
    with tab.expect_download() as download:
        tab.get_by_role("link").click()
    assert zipfile.is_zipfile(download.value.path())
    phone.close()
    page.get_by_role("button", name="Stop now").click()
    expect(page.locator("#phone")).to_be_hidden()
    expect(page.get_by_role("button", name="To the phone")).to_be_focused()
    assert asker.get("/api/phone").json["url"] is None


def test_a_study_history_leads_to_a_focus_deck(page: Page, tmp_path: Path) -> None:
    export = write_export(tmp_path / "export.apkg", studied(uneven, seed=3, days=DAYS), "anki21b")
    show(page, "work")
    page.locator("#history-file").set_input_files(export)
    expect(page.locator("#weak-list li").first).to_contain_text("region")
    assert "tag:key::" in page.locator("#search").input_value()
    expect(page.frame_locator("#report").get_by_role("heading", level=1)).to_be_visible()
    page.locator("#how-many").fill("1")
    page.get_by_role("button", name="Build the focus deck").click()
    expect(page.get_by_role("heading", name="Your deck is ready")).to_be_visible()
    assert check_package(saved(page, tmp_path)).cards > 0
    page.reload()
    show(page, "work")
    expect(page.locator("#weak-list li").first).to_be_visible()


def test_the_keyboard_alone_is_enough(page: Page) -> None:
    settled(page)
    page.keyboard.press("Tab")
    expect(page.get_by_role("link", name="Skip to the choices")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator("main")).to_be_focused()
    page.keyboard.press("Tab")
    expect(page.locator("#tuning")).to_be_focused()
    page.locator('[data-key][value="C"]').focus()
    page.keyboard.press("Space")
    expect(page.locator("#key-count")).to_have_text("2")
    page.keyboard.press("Tab")
    expect(page.locator('[data-key][value="F"]')).to_be_focused()
    page.locator('.views a[href="#recipes"]').focus()
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1, name="Recipes")).to_be_focused()
    page.locator("[data-open=quick]").focus()
    page.keyboard.press("Enter")
    expect(page.locator("#told")).to_contain_text("A quick look")
    page.keyboard.press("Escape")
    expect(page.locator("#told")).to_be_empty()


def test_what_is_chosen_stays_after_a_reload(page: Page) -> None:
    page.locator('[data-path="instrument.capo"]').select_option("2")
    page.get_by_role("radio", name="left").check()
    page.locator("#tuning").select_option("")
    strings = page.get_by_label("Open strings, the lowest first")
    strings.fill("D2 A2 D3 G3 B3 nonsense")
    expect(strings).to_have_attribute("aria-invalid", "true")
    strings.fill("D2 A2 D3 G3 B3 D4")
    expect(page.locator(".strings")).to_contain_text("D")
    settled(page)
    page.reload()
    expect(strings).to_have_value("D2 A2 D3 G3 B3 D4")
    expect(page.locator('[data-path="instrument.capo"]')).to_have_value("2")
    expect(page.get_by_role("radio", name="left")).to_be_checked()
    expect(page.locator(".neck.left .board .capo")).to_have_count(1)
    expect(page.locator(".numbers [data-number=title]")).to_contain_text(SMALL["title"])


def test_the_page_speaks_as_its_recipe_and_names_notes_as_it_does(page: Page) -> None:
    settled(page)
    page.locator('[data-key][value="B"]').check()
    page.get_by_label("Language of the page and the cards").select_option("german")
    expect(page.get_by_role("heading", level=1)).to_have_text("Wähle, was das Deck fragt")
    settled(page)
    page.locator("#finer summary").click()
    page.locator('input[name="names"][value="german"]').check()
    expect(page.locator('[data-key][value="H"]')).to_be_checked()
    expect(page.locator("#key-count")).to_have_text("2")
    expect(page.locator(".strip [data-number=cards]")).to_have_text("14")
    show(page, "recipes")
    page.locator("[data-open=rhythm]").click()
    expect(page.locator("#told")).to_contain_text("Rhythm")
    show(page, "changes")
    expect(page.locator(".tune [data-of=key]").first).to_have_value("B")
    expect(page.locator(".chord b").first).to_have_text("Bmaj7")


def test_a_recipe_that_speaks_otherwise_can_be_undone(page: Page) -> None:
    show(page, "recipes")
    german = b'title = "Auf Deutsch"\nlanguage = "german"\nnames = "german"\nkeys = ["H"]\nregions = [5]\n'
    page.locator("#open-file").set_input_files({"name": "german.toml", "mimeType": "text/plain", "buffer": german})
    expect(page.get_by_role("heading", level=1)).to_have_text("Rezepte")
    expect(page.locator("#told")).to_contain_text("Auf Deutsch")
    expect(page.locator(".numbers [data-number=title]")).to_have_text("Auf Deutsch")
    page.get_by_role("button", name="Rückgängig").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Recipes")
    expect(page.locator(".numbers [data-number=title]")).to_have_text("Small")
    expect(page.get_by_role("button", name="Undo")).to_be_hidden()


def test_a_recipe_in_blocks_says_so_and_can_do_without(page: Page) -> None:
    show(page, "recipes")
    blocks = b'title = "Blocks"\nkeys = ["F"]\nregions = [5]\nkinds = ["locate"]\n[[study]]\nlevels = [1]\n'
    page.locator("#open-file").set_input_files({"name": "blocks.toml", "mimeType": "text/plain", "buffer": blocks})
    expect(page.locator(".strip [data-number=cards]")).to_have_text("7")
    show(page, "choose")
    page.get_by_role("button", name="Leave its blocks out").click()
    expect(page.locator("#blocks")).to_be_hidden()
    more = len(notes_of(parse_recipe({**SMALL, "levels": [1, 2, 3]}, "test")))
    expect(page.locator(".strip [data-number=cards]")).to_have_text(str(more))


def test_a_recipe_with_tags_says_so_and_can_do_without(page: Page) -> None:
    """As a small deck of a weakness has them: what is chosen below would else add less than it says."""
    show(page, "recipes")
    tagged = b'title = "Focus"\nkeys = ["F"]\nregions = [5]\nkinds = ["locate"]\ntags = ["source::third"]\n'
    page.locator("#open-file").set_input_files({"name": "focus.toml", "mimeType": "text/plain", "buffer": tagged})
    some = len(notes_of(parse_recipe({**SMALL, "levels": [1, 2, 3], "tags": ["source::third"]}, "test")))
    expect(page.locator(".strip [data-number=cards]")).to_have_text(str(some))
    show(page, "choose")
    expect(page.locator("#blocks")).to_be_hidden()
    expect(page.locator("#tags")).to_contain_text("source::third")
    page.get_by_role("button", name="Leave its tags out").click()
    expect(page.locator("#tags")).to_be_hidden()
    more = len(notes_of(parse_recipe({**SMALL, "levels": [1, 2, 3]}, "test")))
    expect(page.locator(".strip [data-number=cards]")).to_have_text(str(more))
