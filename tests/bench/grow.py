"""A build of so many notes, of as many tunings as it takes, into a store of its own; what `bench_build` measures."""

import sys
from pathlib import Path

from deckbuilder.build import media_of
from deckbuilder.deck.package import write_package
from deckbuilder.deck.store import Store
from deckbuilder.rendering import render_all
from deckbuilder.workers import processes
from tests.bench.selection import notes_of_many_tunings


def main(count: int, folder: Path) -> None:
    """Build the deck and print how many media it has."""
    notes = notes_of_many_tunings(count)
    with processes(None, print) as executor:
        media = render_all(Store(folder / "store"), media_of(notes), executor, lambda _done, _total: None)
        write_package(folder / "deck.apkg", "Many tunings", notes, media, 1.7e9)
    print(len(notes), len(media))


if __name__ == "__main__":
    main(int(sys.argv[1]), Path(sys.argv[2]))
