"""A writer: every prompt on a line of its own."""

from pathlib import Path

from deckbuilder.deck.writers import Deck


class Prompts:
    """Writes `prompts.txt`."""

    suffix = "-prompts"
    with_media = False

    def owns(self, name: str) -> bool:
        """Tell whether a file is of its making."""
        return name == "prompts.txt"

    def write(self, folder: Path, deck: Deck) -> None:
        """Write the prompts."""
        lines = "".join(f"{note.words.prompt}\n" for note in deck.notes)
        (folder / "prompts.txt").write_text(lines, encoding="utf-8")


PROMPTS = Prompts()
