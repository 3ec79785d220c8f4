"""Included recipes, by their names: `blues` is the file `blues.toml` in the package's own folder."""

from importlib.resources import files
from pathlib import Path

from deckbuilder.suggestions import nearest

_MOST = 200
"""Files of a folder that are looked at for one that is called alike."""
_FOLDER = Path(str(files("deckbuilder") / "recipes"))


def included() -> dict[str, Path]:
    """Return the files of the included recipes, by name."""
    return {path.stem: path for path in sorted(_FOLDER.glob("*.toml"))}


def other_file(path: Path) -> str | None:
    """Return the remedy for a file that is not there: the recipe that is called most like it; None if none is.

    Args:
        path: what the user named.
    """
    try:
        if path.exists():
            return None
        beside = sorted(path.parent.glob("*.toml"))[:_MOST]
    except (OSError, ValueError):
        beside = []
    names = {each.stem: str(each) for each in beside} | {name: name for name in included()}
    # An ending that all have would make all names alike.
    close = nearest(path.stem if path.suffix else path.name, names)
    return f"did you mean {names[close]}?" if close else None


def found(path: Path, folder: Path = Path()) -> Path:
    """Return the file that is meant: one that is included where its bare name is given, and no file is called so.

    Args:
        path: what the user named.
        folder: where it lies, if it is no whole path.
    """
    along = included().get(str(path))
    return folder / path if along is None or (folder / path).exists() else along
