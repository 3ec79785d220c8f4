"""Command line: `deckbuilder desk`.

Ctrl-C is how a desk is ended, so the exit status is 0 then, as when the terminal closes or the program is told to end.
"""

import gc
import webbrowser
from pathlib import Path
from threading import Thread

import click

from deckbuilder.cli.options import rendering
from deckbuilder.cli.telling import refuse_unwritable, say, tell


@click.command()
@click.option(
    "--folder",
    type=click.Path(path_type=Path),
    default=Path("decks"),
    show_default=True,
    help="Folder for the decks and recipes that are made at the desk.",
)
@click.option("--port", type=click.IntRange(1, 65_535), help="Port on this computer; any free one if not given.")
@click.option("--no-browser", is_flag=True, help="Open no browser; the address is printed anyway.")
@rendering
def desk(folder: Path, port: int | None, no_browser: bool, store: Path, workers: int | None) -> None:
    """Open a page that does all of this by looking and listening.

    It opens in your browser, comes from this computer, for this computer alone, and works without internet. The
    first line that is printed is its address. Ctrl-C, or closing the terminal, ends it.
    """
    from deckbuilder.deck.store import Store
    from deckbuilder.deck.unfinished import left_as_it_was
    from deckbuilder.desk.server import listening, serve
    from deckbuilder.desk.state import Desk

    gc.enable()  # other commands end before garbage matters; a desk is open for hours
    with left_as_it_was(folder, always=True):
        refuse_unwritable(folder, option="--folder")
        opened = listening(port)
        made = Desk(folder, Store(store), workers, opened.getsockname()[1])

        def begin() -> None:
            tell(made.url)
            say("the desk is open until you press Ctrl-C here or close this terminal")
            if not no_browser:
                # Some browsers keep whoever opens them waiting until they are closed.
                Thread(target=_open_browser, args=(made.ticket(),), daemon=True).start()

        serve(made, opened, begin)


def _open_browser(url: str) -> None:
    if not webbrowser.open(url):
        say("no browser could be opened; open the address above in one")
