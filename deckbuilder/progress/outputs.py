"""Outputs: the files of a command, written beside their places and put there together when all are whole."""

import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from deckbuilder.deck.marks import is_ours, refuse_foreign_deck, refuse_foreign_files, title_of
from deckbuilder.deck.unfinished import finished_together, left_as_it_was, sweep
from deckbuilder.errors import UserError


class OutputError(UserError, OSError):
    """A named output that cannot be written."""


@contextmanager
def renewed(folder: Path, names: Sequence[str], *, family: str = "", title: str = "") -> Iterator[dict[str, Path]]:
    """Give a path to write to for each of some files, and put all in place, or none, when the block ends.

    Args:
        folder: where they go; it is made.
        names: of the files.
        family: pattern of the names of earlier outputs that go when they are not among these.
        title: of the decks among them.

    Raises:
        OccupiedError: a file that was not written here lies in the way.
        OutputError: the files cannot be written; what was there is untouched.
    """
    try:
        with left_as_it_was(folder):
            folder.mkdir(parents=True, exist_ok=True)
            sweep(folder)
            targets = [folder / name for name in names]
            for deck in (path for path in targets if path.suffix == ".apkg"):
                refuse_foreign_deck(deck, title)
            refuse_foreign_files([path for path in targets if path.suffix != ".apkg"], folder)
            earlier = [path for path in folder.iterdir() if re.fullmatch(family, path.name) and path not in targets]
            dropped = [path for path in earlier if _is_of(path, title)]
            with finished_together(targets, dropped) as paths:
                yield dict(zip(names, paths, strict=True))
    except UserError:
        raise
    except OSError as error:
        raise OutputError(
            f"{folder}: what belongs there cannot be written ({error.strerror}); name another folder with --out"
        ) from error


def _is_of(path: Path, title: str) -> bool:
    return title_of(path) == title if path.suffix == ".apkg" else is_ours(path)
