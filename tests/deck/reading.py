"""Reading a package with sqlite3 and zipfile alone."""

import json
import sqlite3
import zipfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any


@dataclass(frozen=True)
class Row:
    """A note as the package holds it."""

    guid: str
    model: str
    modified: int
    tags: tuple[str, ...]
    fields: dict[str, str]
    cards: tuple[tuple[str, str, int], ...]
    """Template, subdeck and position of each card."""


@dataclass(frozen=True)
class Package:
    """A package taken apart."""

    rows: list[Row]
    media: dict[str, bytes]
    models: dict[str, Any]
    decks: set[str]


def read_package(path: Path) -> Package:
    with zipfile.ZipFile(path) as archive:
        assert archive.testzip() is None
        listed: dict[str, str] = json.loads(archive.read("media"))
        media = {name: archive.read(number) for number, name in listed.items()}
        collection = archive.read("collection.anki2")
    connection = sqlite3.connect(":memory:")
    connection.deserialize(collection)
    (models_text, decks_text) = connection.execute("select models, decks from col").fetchone()
    models = json.loads(models_text)
    decks = {number: deck["name"] for number, deck in json.loads(decks_text).items()}
    cards: dict[int, list[tuple[int, str, int]]] = {}
    for note, ordinal, deck, due in connection.execute("select nid, ord, did, due from cards order by nid, ord"):
        cards.setdefault(note, []).append((ordinal, decks[str(deck)], due))
    rows = []
    for number, guid, model_id, modified, tags, fields in connection.execute(
        "select id, guid, mid, mod, tags, flds from notes order by id"
    ):
        model = models[str(model_id)]
        names = [field["name"] for field in model["flds"]]
        templates = [template["name"] for template in model["tmpls"]]
        rows.append(
            Row(
                guid,
                model["name"],
                modified,
                tuple(tags.split()),
                dict(zip(names, fields.split("\x1f"), strict=True)),
                tuple((templates[ordinal], deck, due) for ordinal, deck, due in cards[number]),
            )
        )
    connection.close()
    return Package(rows, media, models, {name for name in decks.values() if name != "Default"})
