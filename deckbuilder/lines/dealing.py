"""Dealing: what a line is made of follows from where it stands, so that neighbours differ by construction.

A line stands at a place: a key, a region, a passage. Everything that can be chosen for it – rhythm, approaches, cells,
contours – is dealt by the place's numbers and the seed: going on by one key, region or passage always gives another
choice. No line is compared with another one, so that a line is the same in every deck that has it.
"""

import math
import random
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TypeVar

Choice = TypeVar("Choice")

_KEYS = 12


@dataclass(frozen=True, slots=True)
class Dealer:
    """Deals choices to a line.

    Args:
        seed: the recipe's seed; another one deals anew.
        key: how many fourths the key lies from C, 0 to 11.
        region: the region's number.
        passage: the passage's number.
        name: what else tells this line from others, such as the instrument and the passage's name.
    """

    seed: int
    key: int
    region: int
    passage: int
    name: str = ""

    def number(self, what: str, count: int, turn: int = 0) -> int:
        """Deal a number below a count: another one to each neighbouring key, region and passage and each next turn.

        Args:
            what: what is chosen.
            count: how many choices there are.
            turn: which choice of the kind it is in this line, from 0.
        """
        if count < 2:
            return 0
        order, (by_key, by_region, by_passage, by_turn), lap = _shuffled(self.seed, what, count)
        at = by_key * (self.key % _KEYS % lap) + by_region * self.region + by_passage * self.passage + by_turn * turn
        return order[at % count]

    def choice(self, what: str, choices: Sequence[Choice], turn: int = 0) -> Choice:
        """Deal one of several choices, as `number` does."""
        return choices[self.number(what, len(choices), turn)]

    def chance(self) -> random.Random:
        """Return chance of this line's own, for what no rule decides."""
        return random.Random(f"{self.seed}/{self.key}/{self.region}/{self.passage}/{self.name}")


@lru_cache(maxsize=1024)
def _shuffled(seed: int, what: str, count: int) -> tuple[tuple[int, ...], tuple[int, ...], int]:
    """Return an order of the choices, by how much each number of a place moves on in it, and the keys of a lap.

    Steps have no divisor in common with the count. The circle of fourths is cut into equal laps of at most as many
    keys as there are choices: so G, the last one, differs from C too.
    """
    chance = random.Random(f"{seed}/{what}/{count}")
    order = chance.sample(range(count), count)
    coprime = [step for step in range(1, count) if math.gcd(step, count) == 1]
    lap = max(divisor for divisor in (1, 2, 3, 4, 6, 12) if divisor <= count)
    return tuple(order), tuple(chance.choice(coprime) for _ in range(4)), lap
