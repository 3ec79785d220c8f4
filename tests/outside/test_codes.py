"""QR codes of the desk, read by an independent reader (ZXing, the C++ port) from what a browser shows of them."""

import io

import pytest
import zxingcpp
from PIL import Image
from playwright.sync_api import Browser

from deckbuilder.desk.phones import qr_code

URLS = [
    "http://192.168.1.20:40123/abcdefghijklmnopqrstuv/the-whole-neck.apkg",
    f"http://10.0.0.3:65535/AAAAAAAAAAAAAAAAAAAAAA/{'x' * 180}-0123456789.apkg",
]


@pytest.mark.parametrize("url", URLS)
@pytest.mark.parametrize("ground", ["white", "black"])
def test_a_code_says_its_address_on_a_light_and_a_dark_page(browser: Browser, url: str, ground: str) -> None:
    """It is read at the size of a thumb, 240 CSS pixels."""
    page = browser.new_page()
    page.set_content(f'<body style="background: {ground}"><div style="width: 240px; margin: 40px">{qr_code(url)}</div>')
    shown = Image.open(io.BytesIO(page.screenshot())).convert("L")
    page.close()
    (code,) = zxingcpp.read_barcodes(shown)
    assert code.text == url
    assert "QR" in str(code.format)
