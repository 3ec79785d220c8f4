"""Cards for eyes and thumbs: letters of twice the size, bars that stay whole, buttons where a thumb is.

Text of 200 % without loss or scrolling sideways is WCAG 2.2, 1.4.4 and 1.4.10 (AA); the tap target's
44 px is its 2.5.5. That a thumb reaches the lower half of a phone is common practice, no source.
"""

from collections.abc import Iterator
from dataclasses import replace
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import Browser, Page

from deckbuilder.build import build, notes_of
from deckbuilder.deck.store import Store
from deckbuilder.medium import medium
from deckbuilder.picture.description import Ground, NeckPicture
from deckbuilder.picture.render import render
from deckbuilder.recipe import parse_recipe
from tests.deck.reading import read_package
from tests.phone.cards import Card, cards_of, unpack_media
from tests.phone.conftest import RECIPE
from tests.phone.test_cards import LEAST_TARGET, MEASURE, SETTLED, SMALL, assert_nothing_overlaps, chosen, replace_card

pytestmark = pytest.mark.xdist_group("browser")

BLUES = [
    "| F7 | Bb7 | F7 | Cm7 F7alt |",
    "| Bb7 | Bdim7 | F7 | Am7b5 D7alt |",
    "| Gm7 | C7alt | Am7b5 D7alt | Gm7 C7 |",
]
ROWS = """() => [...document.querySelectorAll(".bars")].map((changes) => {
    const box = changes.getBoundingClientRect();
    return [...changes.querySelectorAll(".bar")].map((bar) => {
        const { left, right, top } = bar.getBoundingClientRect();
        const inside = [...bar.querySelectorAll("span")].map((chord) => chord.getBoundingClientRect());
        return { top, left, chords: bar.innerText.trim(), whole: left >= box.left && right <= box.right + 0.5 &&
            inside.every((chord) => chord.left >= left && chord.right <= right + 0.5) };
    });
})"""


@pytest.fixture(params=["light"])
def page(browser: Browser, request: pytest.FixtureRequest) -> Iterator[Page]:
    width, height = SMALL
    context = browser.new_context(
        viewport={"width": width, "height": height}, color_scheme=request.param, device_scale_factor=2, offline=True
    )
    yield context.new_page()
    context.close()


def show(page: Page, card: Card, folder: Path, text: int = 100) -> None:
    file = folder / f"eyes-{text}.html"
    file.write_text(card.page("front", text=text), encoding="utf-8")
    page.goto(file.as_uri())


@pytest.mark.parametrize("page", ["light", "dark"], indirect=True)
def test_letters_of_twice_the_size_lose_nothing(page: Page, cards: list[Card], folder: Path) -> None:
    seen: dict[int, list[dict[str, Any]]] = {}
    looked_at = [(card, side) for card in chosen(cards) for side in ("front", "back")]
    for text in (100, 200):
        show(page, cards[0], folder, text)
        page.add_style_tag(content=SETTLED)
        seen[text] = [replace_card(page, card.side(side)) for card, side in looked_at]
    for (card, side), usual, large in zip(looked_at, seen[100], seen[200], strict=True):
        where = f"{card.name}, {side}, {card.row.fields['Prompt']}"
        assert large["scrollWidth"] <= large["width"], f"{where}: scrolls sideways"
        assert [text["text"] for text in large["texts"]] == [text["text"] for text in usual["texts"]]
        for one, twice in zip(usual["texts"], large["texts"], strict=True):
            assert twice["size"] == pytest.approx(2 * one["size"]), (where, one["text"])
            assert twice["contrast"] == pytest.approx(one["contrast"])
            assert all(box["left"] >= 0 and box["right"] <= SMALL[0] for box in twice["boxes"]), (where, one["text"])
        assert_nothing_overlaps(large, where)


@pytest.mark.parametrize("text", [100, 200])
def test_every_sound_is_within_reach_of_a_thumb(page: Page, cards: list[Card], folder: Path, text: int) -> None:
    show(page, cards[0], folder, text)
    heard = 0
    for card in chosen(cards):
        for side in ("front", "back"):
            replaced = replace_card(page, card.side(side))
            for target in replaced["targets"]:
                if target["name"] == "play":
                    heard += 1
                    box, where = target["box"], (card.name, side, card.row.fields["Prompt"], target)
                    assert min(box["width"], box["height"]) >= LEAST_TARGET, where
                    assert (box["top"] + box["bottom"]) / 2 >= SMALL[1] / 2, where
                    # A question with large letters may be longer than the screen: its button follows it.
                    assert box["bottom"] <= SMALL[1] or (text > 100 and side == "front"), where
    assert heard > 10


def test_on_a_low_screen_no_button_covers_an_answer(page: Page, cards: list[Card], folder: Path) -> None:
    page.set_viewport_size({"width": 640, "height": 360})
    show(page, cards[0], folder)
    for card in chosen(cards):
        assert_nothing_overlaps(replace_card(page, card.side("back")), card.name)


@pytest.fixture(scope="module")
def own_changes(tmp_path_factory: pytest.TempPathFactory) -> list[Card]:
    """Return cards over changes of one's own, in a key of long names."""
    changes = [
        {"name": "A blues", "key": "F", "bars": BLUES},
        {"name": "Long names", "key": "F", "bars": "| Fmaj7#5 | Bb7 | Gm7b5 C7sus4 | Fmaj7#5 | Gm7 C7 | F6 |"},
    ]
    recipe = parse_recipe(
        {"keys": ["Gb"], "regions": [5], "levels": [1, 3], "kinds": ["improvise", "follow"], "changes": changes}, "test"
    )
    folder = tmp_path_factory.mktemp("own")
    build(recipe, folder / "own.apkg", store=Store(folder / "store"), timestamp=1.7e9)
    package = read_package(folder / "own.apkg")
    unpack_media(package, folder)
    return cards_of(package)


@pytest.mark.parametrize("text", [100, 200])
def test_bars_stay_whole_four_in_a_row(page: Page, own_changes: list[Card], folder: Path, text: int) -> None:
    show(page, own_changes[0], folder, text)
    lengths = set()
    for card in own_changes:
        page.evaluate("(html) => { document.getElementById('card').innerHTML = html; }", card.side("front"))
        (bars,) = page.evaluate(ROWS)
        assert all(bar["whole"] for bar in bars), (card.row.fields["Prompt"], bars)
        tops = [bar["top"] for bar in bars]
        rows = [tops.count(top) for top in dict.fromkeys(tops)]
        assert tops == sorted(tops)
        assert all(count == rows[0] for count in rows[:-1]), rows
        assert rows[0] in (4, 2, 1)
        assert rows[-1] <= rows[0]
        if text == 100 and "Long names" not in card.row.fields["Prompt"]:
            assert rows[0] == 4, card.row.fields["Prompt"]
        lengths.add(len(bars))
        lefts: dict[int, set[float]] = {}
        for number, bar in enumerate(bars):
            lefts.setdefault(number % rows[0], set()).add(round(bar["left"]))
        assert all(len(places) == 1 for places in lefts.values()), "bar lines stand below each other"
    assert {4, 6, 12} <= lengths


def test_the_measure_is_the_page_s_own(page: Page, tmp_path: Path) -> None:
    """Letters in pixels do not grow: the check of twice the size is no empty word."""
    file = tmp_path / "fixed.html"
    file.write_text("<!doctype html><style>html{font-size:200%}</style><p style='font-size:17px'>small</p>")
    page.goto(file.as_uri())
    assert page.evaluate(MEASURE)["texts"][0]["size"] == 17


@pytest.mark.parametrize("screen", [("light", ""), ("dark", ""), ("light", "nightMode")], ids=" ".join)
def test_one_picture_is_for_light_and_dark_cards(
    browser: Browser, cards: list[Card], folder: Path, screen: tuple[str, str]
) -> None:
    """Compare what the browser shows with what is drawn for a light and a dark page."""
    scheme, mode = screen
    card = next(card for card in cards if card.template == "locate" and "Neck: arpeggio" in card.name)
    file = folder / "follows.html"
    file.write_text(card.page("back", dark_by_class=bool(mode)), encoding="utf-8")
    context = browser.new_context(
        viewport={"width": SMALL[0], "height": SMALL[1]},
        color_scheme="dark" if scheme == "dark" else "light",
        device_scale_factor=2,
        offline=True,
    )
    shown = context.new_page()
    shown.goto(file.as_uri())
    # Alone and on whole pixels: its ground is clear, and nothing is to be drawn between two pixels.
    shown.add_style_tag(content=".head, .task, .answer > :not(.neck) { display: none !important; }")
    seen = np.asarray(Image.open(BytesIO(shown.locator(".neck img").screenshot())).convert("RGB"), dtype=int)
    context.close()
    picture = next(
        each.description
        for note in notes_of(RECIPE)
        for each in note.media.values()
        if medium(each.description).name in card.row.fields["Picture"]
    )
    assert isinstance(picture, NeckPicture)
    ground = Ground.LIGHT if (scheme, mode) == ("light", "") else Ground.DARK
    drawn = render(replace(picture, ground=ground))
    wanted = np.asarray(Image.open(BytesIO(drawn)).convert("RGB"), dtype=int)
    assert seen.shape == wanted.shape
    assert np.abs(seen - wanted).max() <= 3
