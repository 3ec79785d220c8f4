"""Problems: what is wrong with a package, a few of each kind by name and the rest as a number."""

from collections import defaultdict

from deckbuilder.printable import printable

NAMED = 10
"""Problems of one kind that are told by name."""
_SHOWN = 100
"""Characters of a name or a reason that is told."""


class Problems:
    """What is wrong, gathered kind by kind."""

    def __init__(self) -> None:
        self._named: defaultdict[str, list[str]] = defaultdict(list)
        self._counts: defaultdict[str, int] = defaultdict(int)

    def add(self, name: str, what: str, reason: str = "") -> None:
        """Add a problem.

        Args:
            name: what has it; somebody else's text, perhaps.
            what: the problem, the same words for all of its kind.
            reason: more of it, which may differ; somebody else's text, perhaps.
        """
        self._counts[what] += 1
        if self._counts[what] <= NAMED:
            more = f" ({printable(reason, _SHOWN)})" if reason else ""
            self._named[what].append(f"{printable(name, _SHOWN)}: {what}{more}")

    @property
    def count(self) -> int:
        """How many there are."""
        return sum(self._counts.values())

    @property
    def lines(self) -> tuple[str, ...]:
        """The problems, a line each; where there are many of a kind, one line says how many more."""
        told: list[str] = []
        for what, named in self._named.items():
            told += named
            if self._counts[what] > NAMED:
                told.append(f"and {self._counts[what] - NAMED:,} more: {what}")
        return tuple(told)
