"""Command line: where rendered media are kept when no option says it."""

from pathlib import Path

from platformdirs import user_cache_path

_SOURCE = Path(__file__).resolve().parents[2]
"""The folder that holds the package: the project's own, or one of installed packages."""
IN_CHECKOUT = Path("media", "store")
"""The store of who works in the project's own folder."""


def default_store() -> Path:
    """Return the folder of rendered media: `media/store` in the project's own folder, else one in the user's cache."""
    try:
        at_home = (_SOURCE / "pyproject.toml").is_file() and Path.cwd().samefile(_SOURCE)
    except OSError:
        # The current folder was removed or may not be looked at.
        at_home = False
    return IN_CHECKOUT if at_home else cache()


def cache() -> Path:
    """Return the folder of rendered media in the user's cache, as the system's conventions place it."""
    return user_cache_path("deckbuilder", appauthor=False) / "media"
