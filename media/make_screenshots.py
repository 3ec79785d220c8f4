"""Make the screenshots that README shows: `.venv/bin/python -m media.make_screenshots`, with Chromium and `.[test]`."""

import io
import tempfile
from dataclasses import replace
from pathlib import Path

from PIL import Image
from playwright.sync_api import Browser

from deckbuilder.build import build, media_of, notes_of
from deckbuilder.cards.facts import Kind
from deckbuilder.deck.store import Store
from deckbuilder.preview.page import write_page
from deckbuilder.recipe import parse_recipe
from deckbuilder.rendering import render_all
from media.desk_screenshots import desk_screenshots
from tests.browser.running import chromium
from tests.deck.reading import read_package
from tests.phone.cards import Card, cards_of, unpack_media

HERE = Path(__file__).parent
RECIPE = parse_recipe({"keys": ["F"], "regions": [5], "kinds": [kind.value for kind in Kind]}, "screenshots")
PAGE = replace(RECIPE, kinds=(Kind.LOCATE, Kind.IDENTIFY, Kind.HEAR, Kind.CONNECT, Kind.IMPROVISE))
"""Without the cards in words alone, with which the page would begin."""
ALTERED_THIRD = "E2-A2-D3-G3-B3-E4/arpeggio/F/region-5-of-5/V/altered/third"
SIX = (
    (ALTERED_THIRD, "locate", "front"),
    (ALTERED_THIRD, "locate", "back"),
    (ALTERED_THIRD, "identify", "front"),
    ("E2-A2-D3-G3-B3-E4/scale/F/region-5-of-5/V/altered", "locate", "back"),
    ("E2-A2-D3-G3-B3-E4/spelling/F/VI/altered/root", "spell", "back"),
    ("E2-A2-D3-G3-B3-E4/improvisation/F/region-5-of-5/turnaround", "improvise", "back"),
)
"""Cards by id, kind and side."""
PHONE, DESKTOP = (360, 640), (1280, 800)
GAP = 12


def main() -> None:
    """Write the screenshots beside this file."""
    with tempfile.TemporaryDirectory() as name, chromium() as browser:
        folder = Path(name)
        build(RECIPE, folder / "deck.apkg", store=Store(folder / "store"), timestamp=0)
        package = read_package(folder / "deck.apkg")
        unpack_media(package, folder)
        cards = {(card.row.fields["Id"], card.template): card for card in cards_of(package)}
        for size, label in ((PHONE, "phone"), (DESKTOP, "desktop")):
            shots = [
                _card(browser, folder, cards[note, kind], side, size, dark=number % 2 == 1)
                for number, (note, kind, side) in enumerate(SIX)
            ]
            _write(_sheet(shots, columns=3), f"cards-{label}.png")
        notes = notes_of(PAGE)
        media = render_all(Store(folder / "store"), media_of(notes), None, lambda _done, _total: None)
        index = write_page(folder / "page", PAGE.deck_title, notes, media)
        shots = [_shown(browser, index, size, dark=False) for size in (PHONE, DESKTOP)]
        for shot, label in zip(shots, ("phone", "desktop"), strict=True):
            _write(shot, f"preview-{label}.png")
        for name, shots in desk_screenshots(browser, folder / "desk").items():
            _write(_sheet(shots, columns=len(shots)), f"{name}.png")


def _card(browser: Browser, folder: Path, card: Card, side: str, size: tuple[int, int], *, dark: bool) -> Image.Image:
    path = folder / "card.html"
    path.write_text(card.page(side, dark), encoding="utf-8")
    return _shown(browser, path, size, dark=dark)


def _shown(browser: Browser, path: Path, size: tuple[int, int], *, dark: bool) -> Image.Image:
    page = browser.new_page(
        viewport={"width": size[0], "height": size[1]}, color_scheme="dark" if dark else "light", device_scale_factor=1
    )
    page.goto(path.as_uri())
    shot = Image.open(io.BytesIO(page.screenshot())).convert("RGB")
    page.close()
    return shot


def _sheet(shots: list[Image.Image], columns: int) -> Image.Image:
    width, height = shots[0].size
    rows = -(-len(shots) // columns)
    sheet = Image.new("RGB", (columns * (width + GAP) - GAP, rows * (height + GAP) - GAP), "#8a8f96")
    for number, shot in enumerate(shots):
        sheet.paste(shot, (number % columns * (width + GAP), number // columns * (height + GAP)))
    return sheet


def _write(image: Image.Image, name: str) -> None:
    largest = 1400
    if image.width > largest:
        image = image.resize((largest, image.height * largest // image.width), Image.Resampling.LANCZOS)
    image.quantize(128).save(HERE / name, optimize=True)


if __name__ == "__main__":
    main()
