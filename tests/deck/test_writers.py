"""Writers: a further one is an object that says where it writes and what is its own, and a line in the list."""

from pathlib import Path

import click
import pytest

from deckbuilder.build import build
from deckbuilder.cli import group
from deckbuilder.deck import writers
from deckbuilder.deck.store import Store
from deckbuilder.deck.unfinished import OccupiedError
from deckbuilder.deck.writers import WRITERS, Deck
from deckbuilder.recipe import parse_recipe
from deckbuilder.registry import Registry

RECIPE = parse_recipe({"keys": ["F"], "regions": [5], "levels": [1], "kinds": ["spell"]}, "test")


class Prompts:
    """Writes the prompts, a line each."""

    suffix = "-prompts"
    with_media = False

    def owns(self, name: str) -> bool:
        return name == "prompts.txt"

    def write(self, folder: Path, deck: Deck) -> None:
        text = "\n".join(note.words.prompt for note in deck.notes)
        (folder / "prompts.txt").write_text(text, encoding="utf-8")


PROMPTS = Prompts()


@pytest.fixture
def registered(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(writers, "WRITERS", Registry("format", {**WRITERS, "prompts": f"{__name__}:PROMPTS"}))


@pytest.mark.usefixtures("registered")
def test_a_further_writer_takes_part_in_a_build(tmp_path: Path) -> None:
    target = tmp_path / "deck.apkg"
    made = build(RECIPE, target, store=Store(tmp_path / "store"), timestamp=1.7e9, formats=["prompts", "page"])
    assert [output.name for output in made.outputs] == ["deck-preview", "deck-prompts"]
    assert not target.exists()
    lines = (tmp_path / "deck-prompts" / "prompts.txt").read_text(encoding="utf-8").splitlines()
    assert len(lines) == made.notes
    assert "F · ii · arpeggio from the root · spell it" in lines
    assert (tmp_path / "deck-preview" / "index.html").is_file()


@pytest.mark.usefixtures("registered")
def test_what_no_writer_made_is_refused_before_anything_is_rendered(tmp_path: Path) -> None:
    own = tmp_path / "deck-prompts" / "cards.csv"
    own.parent.mkdir()
    own.write_text("mine")
    with pytest.raises(OccupiedError, match="move it away"):
        build(RECIPE, tmp_path / "deck.apkg", store=Store(tmp_path / "store"), timestamp=1.7e9, formats=["prompts"])
    assert [path.name for path in tmp_path.iterdir()] == ["deck-prompts"]


def test_help_names_every_format() -> None:
    (option,) = (option for option in group.build.params if option.name == "formats")
    assert isinstance(option, click.Option)
    assert f"Formats to write: {', '.join(WRITERS.built_in)}, and" in str(option.help)


def test_another_deck_is_refused_before_anything_is_rendered(tmp_path: Path) -> None:
    (tmp_path / "deck.apkg").write_bytes(b"mine")
    with pytest.raises(OccupiedError, match="not built here"):
        build(RECIPE, tmp_path / "deck.apkg", store=Store(tmp_path / "store"), timestamp=1.7e9)
    assert [path.name for path in tmp_path.iterdir()] == ["deck.apkg"]
