"""Cards as an app makes them of a package: templates filled with fields, by the rules of the deck format.

`{{Field}}` is a field's HTML as it stands, `{{#Field}}…{{/Field}}` is there where the field is not empty, and
`[sound:file]` becomes the app's own button. An app wraps a card in an element of class `card`, and adds `nightMode`
when it is dark.
"""

import re
from dataclasses import dataclass
from html import escape
from pathlib import Path

import chevron

from tests.deck.reading import Package, Row

_FIELD = re.compile(r"\{\{(?![#^/{])([^{}]+)\}\}")
_SOUND = re.compile(r"\[sound:([^\]]+)\]")
_BUTTON = '<a href="#" role="button" class="app-replay" aria-label="play" data-file="{}"></a>'
_APP_STYLE = """
html, body { margin: 0; }
.app-replay {
  display: inline-block; width: 44px; height: 44px; border-radius: 22px; background: #5a6472; position: relative;
}
.app-replay::after {
  content: ""; position: absolute; left: 17px; top: 13px;
  border: solid transparent; border-width: 9px 0 9px 14px; border-left-color: #fff;
}
"""


@dataclass(frozen=True)
class Card:
    """One card of a package: both sides as HTML."""

    row: Row
    template: str
    front: str
    back: str
    css: str

    @property
    def name(self) -> str:
        """Say which card it is: `Neck: scale in a region, locate`."""
        return f"{self.row.model}, {self.template}"

    def side(self, side: str) -> str:
        """Return a side with the app's buttons in place."""
        html = {"front": self.front, "back": self.back}[side]
        return _SOUND.sub(lambda found: _BUTTON.format(escape(found[1])), html)

    def page(self, side: str, dark_by_class: bool = False, text: int = 100) -> str:
        """Return a side as a page of its own, its letters as large as the reader wants them."""
        dark = " nightMode" if dark_by_class else ""
        return (
            '<!doctype html><html lang="en"><head><meta charset="utf-8"><title>card</title>'
            '<meta name="viewport" content="width=device-width, initial-scale=1">'
            f"<style>{_APP_STYLE}html {{ font-size: {text}%; }}{self.css}</style></head>"
            f'<body class="card{dark}"><div id="card">{self.side(side)}</div></body></html>'
        )


def cards_of(package: Package) -> list[Card]:
    """Make every card of a package."""
    by_name = {model["name"]: model for model in package.models.values()}
    cards = []
    for row in package.rows:
        model = by_name[row.model]
        templates = {template["name"]: template for template in model["tmpls"]}
        for name, _, _ in row.cards:
            front = _fill(templates[name]["qfmt"], row.fields)
            back = _fill(templates[name]["afmt"], {**row.fields, "FrontSide": front})
            cards.append(Card(row, name, front, back, model["css"]))
    return cards


def unpack_media(package: Package, folder: Path) -> None:
    """Write a package's media beside the pages that show them."""
    for name, data in package.media.items():
        (folder / name).write_bytes(data)


def _fill(template: str, fields: dict[str, str]) -> str:
    return str(chevron.render(_FIELD.sub(r"{{{\1}}}", template), fields))
