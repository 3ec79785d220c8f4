"""Spots: what is surely weak in a history, in few words and each once, whatever way it was found.

First what weak answers have in common, then, among the other cards, what a check-up names, then single cells among
those that are left. So a weak key is not told once more as five weak cells.
"""

from dataclasses import dataclass, replace

from deckbuilder.progress import checkup_words, words
from deckbuilder.progress.analysis import Analysis
from deckbuilder.progress.cells import Cell, cell_name, cell_of
from deckbuilder.progress.figures import measured, weak
from deckbuilder.progress.inference import CONFIDENCE
from deckbuilder.progress.records import Card
from deckbuilder.progress.weakness import weaknesses

WAYS = 3
"""Ways in which a spot may be found; each has its share of what chance may name."""


@dataclass(frozen=True, slots=True)
class Spot:
    """A weak spot.

    Args:
        words: what it is, as a player says it: `altered from the third`.
        line: how it stands to the rest.
        chance: that chance alone would name it or any other spot of those that were compared.
    """

    words: str
    line: str
    chance: float

    @property
    def certainty(self) -> str:
        """How sure it is, for people; nothing is quite certain."""
        return checkup_words.sure(1 - self.chance, 1)


def spots(analysis: Analysis, players: int = 1) -> tuple[Spot, ...]:
    """Return the weak spots of a player, the surest of each way first.

    Args:
        analysis: what was measured.
        players: how many are looked at together; the more, the surer a spot has to be, so that chance names even one
            in at most one such look of twenty.
    """
    hidden: set[int] = set()
    found: list[Spot] = []
    history = analysis.history
    for weakness in weaknesses(analysis):
        found.append(Spot(weakness.subject, weakness.line, weakness.chance))
        hidden |= {id(history.cards[row]) for row in weakness.rows}
    cells = measured(analysis.study, lambda card: _shown_cell(card, hidden))
    found += (Spot(cell_name(history, cell), words.cell_line(cells[cell]), cells[cell].chance) for cell in weak(cells))
    compared = (replace(spot, chance=spot.chance * WAYS * players) for spot in found)
    return tuple(spot for spot in compared if spot.chance <= 1 - CONFIDENCE)


def _shown_cell(card: Card, hidden: set[int]) -> Cell | None:
    return None if id(card) in hidden else cell_of(card)
