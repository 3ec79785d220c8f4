"""Write the list of what importers know decks by: `.venv/bin/python -m tests.identity`.

Run it only when a change of identity is meant: every player's progress hangs on this list (see DEVELOPERS.md).
"""

import hashlib
import json
from pathlib import Path
from typing import Any

from deckbuilder.build import notes_of
from deckbuilder.cards.cardtypes import CARD_TYPES
from deckbuilder.cards.facts import Kind
from deckbuilder.cards.levels import LEVELS
from deckbuilder.deck.guids import guid_of
from deckbuilder.deck.notetypes import field_names, model_of
from deckbuilder.recipe import Recipe, parse_recipe, read_recipe

LIST = Path(__file__).with_name("identity.json")

RECIPES = Path(__file__).parents[1] / "deckbuilder" / "recipes"
INSTRUMENTS: dict[str, dict[str, object]] = {"standard": {}, "bass-4": {"tuning": "bass-4"}, "capo": {"capo": 2}}


def recipe(instrument: dict[str, object], **fields: object) -> Recipe:
    every = {"levels": list(LEVELS.built_in), "kinds": [kind.value for kind in Kind]}
    asked = {"keys": ["F"], "regions": [1, 5], **every, "instrument": instrument, **fields}
    return parse_recipe(asked, "test")


def decks() -> dict[str, Recipe]:
    """Return decks that are too large to list: every included recipe, and the default one in other colours."""
    own = {path.stem: read_recipe(path) for path in sorted(RECIPES.glob("*.toml"))}
    return own | {"colours": parse_recipe({"colours": ["altered", "half-whole-diminished"]}, "test")}


def note_types() -> dict[str, Any]:
    return {
        str(row.note_type): {
            "name": row.name,
            "fields": list(field_names(row)),
            "templates": [template["name"] for template in model_of(row).templates],
        }
        for row in CARD_TYPES.values()
    }


def guids(asked: Recipe) -> dict[str, str]:
    return {note.id: guid_of(note) for note in notes_of(asked)}


def digest(asked: Recipe) -> str:
    """Return what tells whether any id of a deck has changed; too many to list."""
    return hashlib.sha256("\n".join(sorted(guids(asked))).encode()).hexdigest()


def identity() -> dict[str, Any]:
    """Return everything that has to stay."""
    return {
        "note types": note_types(),
        "notes": {name: guids(recipe(instrument)) for name, instrument in INSTRUMENTS.items()},
        "decks": {name: digest(asked) for name, asked in decks().items()},
    }


if __name__ == "__main__":
    LIST.write_text(json.dumps(identity(), indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
