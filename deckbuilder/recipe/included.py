"""Recipes that come along, by their names: `blues` is the file `blues.toml` in the package's own folder."""

from importlib.resources import files
from pathlib import Path

_FOLDER = Path(str(files("deckbuilder") / "recipes"))


def included() -> dict[str, Path]:
    """Return the files of the recipes that come along, by name."""
    return {path.stem: path for path in sorted(_FOLDER.glob("*.toml"))}


def found(path: Path, folder: Path = Path()) -> Path:
    """Return the file that is meant: one that comes along where its bare name is given, and no file is called so.

    Args:
        path: what the user named.
        folder: where it lies, if it is no whole path.
    """
    along = included().get(str(path))
    return folder / path if along is None or (folder / path).exists() else along
