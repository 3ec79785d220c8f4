"""The cards' style and scripts of pages keep to what browsers of their time know (years of support: from memory)."""

import re
from importlib.resources import files

import pytest

from deckbuilder.deck.notetypes import style

MODERN = {
    "min(": "Chrome 79, Safari 11.1",
    "max(": "Chrome 79, Safari 11.1",
    "clamp(": "Chrome 79, Safari 13.1",
    "inset": "Chrome 87, Safari 14.1",
    ":is(": "Chrome 88, Safari 14",
    ":where(": "Chrome 88, Safari 14",
    "aspect-ratio": "Chrome 88, Safari 15",
    "100dvh": "Chrome 108, Safari 15.4",
    "100svh": "Chrome 108, Safari 15.4",
    "@layer": "Chrome 99, Safari 15.4",
    ":has(": "Chrome 105, Safari 15.4",
    "@container": "Chrome 105, Safari 16",
    "color-mix(": "Chrome 111, Safari 16.2",
    "&": "nesting: Chrome 120, Safari 17.2",
    "light-dark(": "Chrome 123, Safari 17.5",
}
"""What web views from before 2020 do not know: a card may have it only where it asks for it first."""

_SCRIPTS = (("deckbuilder.preview", "templates"), ("deckbuilder.desk", "static"))
_YOUNG = (
    *("adoptedStyleSheets", "new CSSStyleSheet", "structuredClone", ".at(", ".toReversed(", ".toSorted(", ".with("),
    *("Object.hasOwn", "Object.groupBy", ".findLast(", "showPopover", "withResolvers", ".replaceAll(", "onfocusin"),
)
"""What browsers of 2021 do not know, Safari 15 among them; and a handler that none of them calls."""


def _guarded(css: str) -> str:
    """Return a style without what it has behind a question, `@supports (…) {…}`."""
    return re.sub(r"@supports [^{]*\{(?:[^{}]*\{[^{}]*\})*\s*\}", "", css)


@pytest.mark.parametrize("feature", MODERN)
def test_a_card_asks_before_it_uses_what_old_web_views_do_not_know(feature: str) -> None:
    css = re.sub(r"/\*.*?\*/", "", style(), flags=re.DOTALL)
    assert re.search(rf"(?<![\w-]){re.escape(feature)}", _guarded(css)) is None, MODERN[feature]


def test_what_stands_behind_a_question_is_told_from_what_does_not() -> None:
    css = ".a { width: min(1px, 2px); } @supports (inset: 0) { .b { width: max(1px, 2px); } .c { inset: 0; } }"
    assert _guarded(f"{css} .d {{ x: y; }}") == ".a { width: min(1px, 2px); }  .d { x: y; }"


@pytest.mark.parametrize("package", _SCRIPTS, ids=lambda place: place[0])
def test_scripts_keep_to_what_browsers_of_2021_know(package: tuple[str, str]) -> None:
    scripts = [file for file in (files(package[0]) / package[1]).iterdir() if file.name.endswith(".js")]
    assert scripts
    for script in scripts:
        text = script.read_text(encoding="utf-8")
        assert [word for word in _YOUNG if word in text] == [], script.name
