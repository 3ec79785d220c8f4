"""Composing: a line through changes in one region, from what is dealt to its place.

First comes the rhythm (`deckbuilder.lines.rhythm`), then the figures: how each arrival is approached, which cells stand
between, where the line lies (`deckbuilder.lines.plan`). Then two bars after two bars are found by dynamic programming
(`deckbuilder.lines.search`): the cheapest way that does what was dealt and keeps the laws (`deckbuilder.lines.ground`).
Two bars that answer take up the moves of the two bars that ask, from another tone. What is dealt gives way to laws.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby

import numpy as np

from deckbuilder.lines.dealing import Dealer
from deckbuilder.lines.grid import Coming, Window
from deckbuilder.lines.ground import UNREACHED, Ground, Mask, compass, ground, moves
from deckbuilder.lines.notes import BEAT, EIGHTH, LineNote
from deckbuilder.lines.palette import UNLAWFUL, palette
from deckbuilder.lines.plan import Demand, answering, demands, heights
from deckbuilder.lines.position import Position
from deckbuilder.lines.reading import Played, read
from deckbuilder.lines.rhythm import Speed, rhythm
from deckbuilder.lines.search import Costs, cheapest, distances
from deckbuilder.lines.slots import Changes, Slot, begins_of, is_new, slots
from deckbuilder.neck.tuning import NeckError

NO_LINE = "no line keeps its task here; choose another region or tuning"

_LUCK = 1.5
_LIE = 0.1  # a semitone from where the line is to lie
_PERMITTED = 0.1
_REPEATED = 1e4
_LOOK_AHEAD, _LOOK_BACK = 2, 3  # notes
_AIM, _AIMLESS = 0.8, 1.5  # an arrival aims at a guide tone or a tension, at least at a tone of its chord


@dataclass(frozen=True, slots=True)
class Rules:
    """What a task asks of a line.

    Args:
        windows: where it plays, in order.
        allowed: for each chord the only pitch classes to play; None for its scale and chromatic tones.
        landing: for each chord the pitch classes of which the first note over it is one; None for any.
        coming: how the line comes to each chord.
    """

    windows: tuple[Window, ...]
    allowed: tuple[frozenset[int] | None, ...]
    landing: tuple[frozenset[int] | None, ...]
    coming: Coming = Coming.FREE


def compose(changes: Changes, position: Position, rules: Rules, dealer: Dealer) -> tuple[LineNote, ...]:
    """Compose a line.

    Args:
        changes: the chords.
        position: the hand in its region.
        rules: what the line keeps to.
        dealer: deals what it is made of.

    Returns:
        Its notes in order.

    Raises:
        NeckError: the hand reaches too little to keep the rules.
    """
    tonic = _blues_tonic(changes)
    palettes = tuple(
        palette(harmony, allowed, tonic if harmony.function.name in _BLUES else None)
        for (harmony, _), allowed in zip(changes, rules.allowed, strict=True)
    )
    turns = all(allowed is None for allowed in rules.allowed)
    tied = turns and rules.coming in (Coming.FREE, Coming.EARLY)
    begins = begins_of(changes)
    struck = frozenset(
        begins[chord] // BEAT
        for chord in range(len(changes))
        if rules.coming is not Coming.FREE and (not chord or is_new(changes, chord))
    )
    times = rhythm(rules.windows, begins[-1] // BEAT, struck, rules.coming, dealer, tied=tied, turns=turns)
    placed = slots(changes, times, tied=tied)
    pitches = compass(position, palettes)
    grounds = [ground(each, position, pitches) for each in palettes]
    found = _Composer(changes, placed, grounds, rules, dealer).composed()
    return read(changes, [_played(slot, index, grounds) for slot, index in zip(placed, found, strict=True)], palettes)


_BLUES = ("I7", "IV7")


def _blues_tonic(changes: Changes) -> int | None:
    """Return the tonic of a blues, where every chord on the tonic of a major key is a dominant; None elsewhere."""
    tonics = [harmony for harmony, _ in changes if (harmony.function.step, harmony.function.alteration) == (1, 0)]
    if tonics and all(harmony.function.is_dominant and not harmony.key.minor for harmony in tonics):
        return tonics[0].key.tonic.pitch_class
    return None


def _played(slot: Slot, index: int, grounds: Sequence[Ground]) -> Played:
    place = grounds[slot.chord].places[index]
    if place is None:
        raise NeckError(NO_LINE)
    return Played(slot, grounds[slot.chord].pitches[index], place)


class _Composer:
    """Finds the pitches of a line's slots, unit after unit."""

    def __init__(
        self, changes: Changes, placed: Sequence[Slot], grounds: Sequence[Ground], rules: Rules, dealer: Dealer
    ) -> None:
        self.changes, self.slots, self.grounds, self.rules = changes, placed, grounds, rules
        self.dealer = dealer
        self.count = len(grounds[0].pitches)
        self.loop = _loops(placed, begins_of(changes)[-1])
        self.demands = demands(
            placed, [each.palette for each in grounds], dealer, self.loop, enclosed=rules.coming is Coming.ENCLOSED
        )
        self.kept = {at for at, demand in self.demands.items() if demand.weight >= UNLAWFUL}
        chance = dealer.chance()
        luck = np.array([chance.random() for _ in range(self.count * len(placed))])
        self.luck = _LUCK * luck.reshape(len(placed), self.count)
        lie = np.array(heights(placed, dealer)) * (self.count - 1)
        self.lie = _LIE * np.abs(np.arange(self.count) - lie[:, None])
        self.found: list[int] = []

    def composed(self) -> list[int]:
        """Return the index of each note's pitch."""
        units = [list(group) for _, group in groupby(range(len(self.slots)), key=lambda at: self.slots[at].unit)]
        for number, unit in enumerate(units):
            wanted = self.demands
            if number % 2:
                asked = [self.found[at] for at in units[number - 1]]
                moved = answering(self.slots, units[number - 1], unit, asked, self.dealer)
                wanted = {**self.demands, **{at: demand for at, demand in moved.items() if at not in self.kept}}
            self._find(unit, wanted)
        return self.found

    def _find(self, unit: Sequence[int], wanted: dict[int, Demand]) -> None:
        known = len(self.found)
        first = max(0, known - _LOOK_BACK)
        last = min(len(self.slots), unit[-1] + 1 + _LOOK_AHEAD)
        nodes = [self._fixed(self.found[at]) if at < known else self._node(at, wanted) for at in range(first, last)]
        edges = [self._edge(at, wanted) for at in range(first + 1, last)]
        if self.loop and last == len(self.slots) and self.found:
            nodes.append(self._fixed(self.found[0]))
            edges.append(self._edge(last, wanted))
        way = cheapest(nodes, edges)
        chosen = way[known - first : unit[-1] + 1 - first]
        if any(nodes[at - first][way[at - first]] >= UNREACHED for at in range(known, unit[-1] + 1)):
            raise NeckError(NO_LINE)
        self.found += chosen

    def _fixed(self, index: int) -> Costs:
        costs = np.full(self.count, 100 * UNREACHED)
        costs[index] = 0.0
        return costs

    def _node(self, at: int, wanted: dict[int, Demand]) -> Costs:
        """Return what each pitch costs in a slot."""
        slot = self.slots[at]
        ground, demand = self.grounds[slot.chord], wanted.get(at)
        palette = ground.palette
        if slot.strong or (slot.arrives and slot.off_beat):
            costs = ground.strong.copy()
        else:
            costs = ground.weak.copy()
            if not slot.off_beat or slot.length > EIGHTH:
                costs += _REPEATED * ground.chromatic * palette.free
        if demand is not None and demand.chromatic and not slot.strong and slot.length <= EIGHTH:
            allowed = ground.chromatic & ground.among(demand.steps) if demand.steps else ground.chromatic
            costs = np.where(allowed & (ground.weak < UNREACHED), np.minimum(costs, _PERMITTED), costs)
        if slot.arrives:
            aims = frozenset(palette.guides) | palette.tensions
            costs += _AIM * ~ground.among(aims) + _AIMLESS * ~ground.among(aims | palette.chord)
            landing = self.rules.landing[slot.chord]
            if landing is not None:
                steps = frozenset(palette.step_of(pitch_class) for pitch_class in landing)
                costs += UNREACHED * ~ground.among(steps)
        if slot.ends:
            costs += _REPEATED * ~ground.among(palette.endings)
        if demand is not None and demand.steps:
            costs += demand.weight * ~ground.among(demand.steps)
        if demand is not None and demand.near is not None:
            costs += demand.weight * np.minimum(np.abs(np.arange(self.count) - demand.near), 6) / 8
        return np.asarray(costs + self.lie[at] + self.luck[at])

    def _edge(self, at: int, wanted: dict[int, Demand]) -> Costs:
        """Return what each move into a slot costs; the slot after the last one is the first."""
        before, slot = self.slots[at - 1], self.slots[at % len(self.slots)]
        rested = slot.begins and at < len(self.slots)
        costs = moves(self.grounds[before.chord], self.grounds[slot.chord], rested).copy()
        if (before.length < BEAT and not before.off_beat) or before.speed is not Speed.EVEN:
            costs.ravel()[:: self.count + 1] = _REPEATED
        demand = wanted.get(at)
        if demand is not None and demand.moves:
            costs += demand.weight * _unwanted(demand.moves, self.count)
        return costs


@lru_cache(maxsize=1024)
def _unwanted(wanted: frozenset[int], count: int) -> Mask:
    """Return for each move between so many pitches whether it is none of some: [from, to]."""
    return ~np.isin(distances(count), list(wanted))


def _loops(placed: Sequence[Slot], end: int) -> bool:
    """Whether the last note leads into the first one, on the first beat of the next chorus."""
    return (
        bool(placed) and placed[0].onset == 0 and placed[-1].onset + placed[-1].length == end and placed[-1].chord != 0
    )
