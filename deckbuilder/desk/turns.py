"""Turns: of several questions of one kind the newest is worth finishing."""

from collections.abc import Callable
from itertools import count


class Turns:
    """Whose turn it is. Threads may share it."""

    def __init__(self) -> None:
        self._numbers = count()
        self._newest = next(self._numbers)

    def turn(self) -> Callable[[], bool]:
        """Take the turn.

        Returns:
            What tells whether nobody has taken it since.
        """
        mine = self._newest = next(self._numbers)
        return lambda: self._newest == mine

    def end(self) -> None:
        """Take the turn from everybody."""
        self.turn()
