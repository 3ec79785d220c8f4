"""A history that several tests look at."""

from pathlib import Path

import pytest

from deckbuilder.progress.analysis import Analysis, analyse
from tests.progress.exports import write_export
from tests.progress.learner import Axes, history_of, studied

DAYS = 130
"""Days that the learner of these fixtures studied; they end at the start of 24 March 2024, UTC."""


def uneven(axes: Axes, _kind: str) -> float:
    """Recall of a player who is weak in two regions of two keys, and in altered arpeggios from the third."""
    if axes.get("region") in (3, 4) and axes["key"] in ("Db", "Gb"):
        return 0.6
    if axes.get("colour") == "altered" and axes["source"] == "third":
        return 0.75
    return 0.95


@pytest.fixture(scope="session")
def analysis() -> Analysis:
    """Give what is said of that player."""
    return analyse(history_of(studied(uneven, seed=3, days=DAYS), DAYS))


@pytest.fixture(scope="session")
def export(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give that player's export, in the newest container."""
    path = tmp_path_factory.mktemp("export") / "deck.apkg"
    return write_export(path, studied(uneven, seed=3, days=DAYS), "anki21b")
