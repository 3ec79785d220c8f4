"""Reading one export as a player's whole history."""

from pathlib import Path

from deckbuilder.progress.history import history_of, read_source
from deckbuilder.progress.records import History


def read_history(path: Path, now: float, tuning: str | None = None) -> History:
    """Read one file's study history."""
    return history_of([read_source(path, now)], now, tuning)
