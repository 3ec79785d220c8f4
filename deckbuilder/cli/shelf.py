"""Command line: `deckbuilder shelf`."""

from pathlib import Path

import click

from deckbuilder.cli.options import rendering, timestamp
from deckbuilder.cli.renderers import clustered, renderers
from deckbuilder.cli.telling import days_told, say, shown_progress, tell, tell_table, written_to


@click.command()
@click.argument("recipe", required=False, type=click.Path(path_type=Path))
@click.option(
    "--out", type=click.Path(path_type=Path, file_okay=False), required=True, help="Folder of the decks and their page."
)
@rendering
@clustered
def shelf(recipe: Path | None, out: Path, store: Path, workers: int | None, cluster: str | None) -> None:
    """Write ready-made decks and a page that offers them.

    A start in one key, the whole deck, one deck a lap and one a key, each for the right and the left hand; index.html
    says what is in them and how they get onto a phone. RECIPE is the recipe of the whole deck; without one the default
    deck is meant.
    """
    from deckbuilder.deck.store import Store
    from deckbuilder.recipe import read_recipe
    from deckbuilder.shelf.making import make_shelf
    from deckbuilder.workers import processes

    wanted = read_recipe(recipe)
    with (
        written_to(out, store),
        renderers(workers, cluster, store) as executor,
        processes(None if cluster else 1, say) as writers,
        shown_progress() as on_progress,
    ):
        made = make_shelf(
            wanted,
            out,
            store=Store(store),
            timestamp=timestamp(),
            executor=executor,
            writers=writers,
            on_progress=on_progress,
        )
    rows = [
        (name, str(offer.cards), f"{size / 1e6:.1f} MB", days_told(offer.days))
        for offer in made.offers
        for name, size in offer.files.values()
    ]
    tell_table([("deck", "cards", "size", "at 15 minutes a day"), *rows])
    tell(str(made.index))
