"""Command line: `deckbuilder preview`."""

import time
from pathlib import Path
from typing import Any

import click

from deckbuilder.cli.options import filter_words, read_selection, rendering, selection
from deckbuilder.cli.telling import counted, refuse_unwritable, say, shown_progress, tell


@click.command()
@selection
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    default=None,
    help="Folder of the page; if not given, one in decks/ called after the deck.",
)
@rendering
def preview(out: Path | None, store: Path, workers: int | None, **chosen: Any) -> None:
    """Write a page that shows every card.

    To look at before importing, or to send. It works without a network: open its index.html in a browser.
    """
    from deckbuilder.build import deck_name, media_of, notes_of
    from deckbuilder.deck.store import Store
    from deckbuilder.deck.unfinished import left_as_it_was
    from deckbuilder.deck.writers import Deck
    from deckbuilder.preview.page import INDEX, PAGE
    from deckbuilder.rendering import render_all
    from deckbuilder.workers import processes

    recipe = read_selection(**chosen)
    folder = out or Path("decks", f"{Path(deck_name(recipe, filter_words(chosen, recipe))).stem}{PAGE.ending}")
    notes = notes_of(recipe)
    PAGE.refuse(folder, recipe.deck_title)
    with left_as_it_was(folder):
        refuse_unwritable(folder)
        with recipe.in_force(), processes(workers, say) as executor, shown_progress() as on_progress:
            media = render_all(Store(store), media_of(notes), executor, on_progress)
            PAGE.write(folder, Deck(recipe.deck_title, notes, media, time.time()))
    with recipe.in_force():
        tell(counted(len(notes), sum(len(note.kinds) for note in notes)))
    tell(str(folder / INDEX))
