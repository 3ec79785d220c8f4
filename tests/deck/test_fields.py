"""Fields: what a player named is shown as it was named, and is never taken for HTML or a clip."""

import re
from html import unescape
from pathlib import Path

import pytest

from deckbuilder.build import build, media_of, notes_of
from deckbuilder.cards.cardtypes import front_text
from deckbuilder.cards.note import Note
from deckbuilder.deck.check import check_package
from deckbuilder.deck.fields import fields_of
from deckbuilder.deck.store import Store
from deckbuilder.preview.cards import cards_of
from deckbuilder.recipe import Recipe, parse_recipe

SOUND = re.compile(r"\[sound:([^\]]+)\]")
NAMES = ("[sound:x.mp3]", "Take [5] & 'Six' <b>", '<img src="x.png">')


def recipe(name: str) -> Recipe:
    changes = {"name": name, "key": "F", "bars": ["| ii7 | V7alt | Imaj7 | % |"]}
    return parse_recipe(
        {"keys": ["F"], "regions": [5], "levels": [], "kinds": ["locate", "improvise"], "changes": [changes]}, "test"
    )


def named(name: str) -> list[Note]:
    """Return the notes that tell the name of the changes."""
    return [note for note in notes_of(recipe(name)) if name in note.words.prompt]


@pytest.mark.parametrize("name", NAMES)
def test_a_field_names_no_clip_and_no_picture_but_our_own(name: str) -> None:
    notes = notes_of(recipe(name))
    own = {medium.name for medium in media_of(notes)}
    for note in notes:
        fields = fields_of(note)
        for text in fields.values():
            assert set(SOUND.findall(text)) | set(re.findall(r'<img src="([^"]+)"', text)) <= own
        assert len(SOUND.findall(fields["Clip"])) == 1


@pytest.mark.parametrize("name", NAMES)
def test_every_name_is_shown_as_it_was_given(name: str) -> None:
    notes = named(name)
    assert notes
    for note in notes:
        assert name in unescape(fields_of(note)["Prompt"])
        assert all(name in front_text(note, kind) for kind in note.kinds)
    for card in cards_of(notes):
        assert name in unescape(card.front)
        assert card.front.count('class="replay"') == 1


def test_a_deck_of_such_changes_is_whole(tmp_path: Path) -> None:
    build(recipe(NAMES[0]), tmp_path / "deck.apkg", store=Store(tmp_path / "store"), timestamp=1.7e9)
    assert check_package(tmp_path / "deck.apkg").problems == ()
