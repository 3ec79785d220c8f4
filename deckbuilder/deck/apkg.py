"""The package as a format: the one that is written where a user names none."""

from pathlib import Path

from deckbuilder.deck.marks import refuse_foreign_deck
from deckbuilder.deck.package import write_package
from deckbuilder.deck.writers import Deck


class _Apkg:
    """Writes the deck's own file."""

    ending = ".apkg"

    def refuse(self, path: Path, title: str) -> None:
        """Refuse to take the place of another deck, or of what was not built here."""
        refuse_foreign_deck(path, title)

    def write(self, path: Path, deck: Deck) -> None:
        """Write the package beside its place and put it there when it is whole."""
        write_package(path, deck.title, deck.notes, deck.media, deck.timestamp, deck.new_limit)


APKG = _Apkg()
