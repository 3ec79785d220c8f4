"""Regions: the hand positions that cover the neck in a key.

Rule: a region set is N hand positions that together go round twelve frets, neighbours an even share apart (2 or 3
frets for five), at the least total cost of fingering the major scale. The set is chosen once per tuning relative to
the root's fret on the first string of the tuning's list, with fretted notes only, so that every key has the same
shapes, moved. Of equal sets the one with the lower frets above the root wins; but first, where a finger has two
frets, the one that has the first finger at the index fret itself on most strings: a violinist's positions are
numbered by the step of the scale that the first finger stops. Index frets are then taken modulo 12 and numbered from
the nut. Where a short neck ends before such a hand, the key's set is instead the cheapest of those whose hands all
lie on the neck.
Source: this project's design; in standard tuning the rule gives the five positions of common practice.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations, pairwise

from deckbuilder.neck.fingering import fingering
from deckbuilder.neck.hand import FINGERS
from deckbuilder.neck.tuning import NeckError, Tuning
from deckbuilder.neck.tunings import USUAL_FRETS

OCTAVE = 12
MAJOR = frozenset({0, 2, 4, 5, 7, 9, 11})
"""Pitch classes of the major scale on C."""
MISSING = 100
"""Cost of a tone that the hand cannot reach: dearer than any fingering that has them all."""
DEFAULT_REGIONS = 5
FEWEST_REGIONS, MOST_REGIONS = 3, 7
"""With fewer the hands leave gaps; with more they hardly move."""
FEWEST_FRETS = 12
"""Frets that a neck needs from the nut or the capo on: the octave that regions go round."""
NARROWEST_COMPASS = OCTAVE - FINGERS
"""Semitones between the lowest and the highest open string with which one hand spans an octave, wherever it lies."""

_ROMAN_TENS = ("", "X", "XX", "XXX")
_ROMAN_ONES = ("", "I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX")


@dataclass(frozen=True, slots=True)
class Region:
    """One hand position of a key.

    Args:
        number: 1 for the region nearest the nut.
        index_fret: the fret under the first finger, 0 to 11 above the capo.
        capo: the fret the capo sits behind, 0 for none.
    """

    number: int
    index_fret: int
    capo: int = 0

    @property
    def is_open(self) -> bool:
        """Whether it lies at the nut or the capo."""
        return self.index_fret == self.capo

    @property
    def position(self) -> str:
        """Position number as players write it: `IX`, or `open` at the nut or the capo."""
        if self.is_open:
            return "open"
        return _ROMAN_TENS[self.index_fret // 10] + _ROMAN_ONES[self.index_fret % 10]


@lru_cache(maxsize=256)
def relative_index_frets(tuning: Tuning, count: int = DEFAULT_REGIONS) -> tuple[int, ...]:
    """Return the index frets of a tuning's regions above the root's fret on the lowest string, ascending, 0 to 11.

    Args:
        tuning: the open strings.
        count: number of regions.

    Raises:
        NeckError: no set of so many regions covers the octave, or the strings lie too close together for one.
    """
    check_compass(tuning)
    sets = _even_sets(count, OCTAVE)
    # Two octaves up, no place of the hand touches the nut.
    root_fret = 2 * OCTAVE
    scale = _major(tuning.open_midi[0] + root_fret)
    costs = [
        _cost(tuning, scale, fret, frets=4 * OCTAVE, lowest_fret=1) for fret in range(root_fret, root_fret + OCTAVE)
    ]
    return _cheapest(sets, costs)


def regions(
    tuning: Tuning, tonic: int, count: int = DEFAULT_REGIONS, *, frets: int = USUAL_FRETS
) -> tuple[Region, ...]:
    """Return a major key's regions, numbered from the nut.

    Args:
        tuning: the open strings.
        tonic: the key's pitch class.
        count: number of regions.
        frets: the highest fret of the neck.

    Raises:
        NeckError: no set of so many regions covers the octave, the neck is too short for it, or the strings lie too
            close together.
    """
    root_fret = (tonic - tuning.open_midi[0]) % OCTAVE
    index_frets = sorted((root_fret + offset) % OCTAVE for offset in relative_index_frets(tuning, count))
    if index_frets[-1] > frets - tuning.hand.span + 1:
        index_frets = list(_on_short_neck(tuning, tonic, count, frets))
    return tuple(Region(number, fret) for number, fret in enumerate(index_frets, start=1))


def check_compass(tuning: Tuning) -> None:
    """Check that one hand spans an octave.

    Args:
        tuning: the open strings.

    Raises:
        NeckError: the strings lie too close together.
    """
    compass = max(tuning.open_midi) - min(tuning.open_midi)
    if compass < NARROWEST_COMPASS:
        raise NeckError(
            f"the open strings {' '.join(tuning.pitch_names)} lie within {compass} semitones, so that one hand spans "
            f"less than an octave; tune some string at least {NARROWEST_COMPASS} semitones from another"
        )


def _even_sets(count: int, positions: int) -> list[tuple[int, ...]]:
    """Return every set of index frets below a limit that goes round the octave in even steps."""
    if not FEWEST_REGIONS <= count <= MOST_REGIONS:
        raise NeckError(f"the octave is not divided into {count} regions; choose {FEWEST_REGIONS} to {MOST_REGIONS}")
    return [chosen for chosen in combinations(range(positions), count) if _evenly_spread(chosen)]


def _evenly_spread(chosen: tuple[int, ...]) -> bool:
    narrow, wide = OCTAVE // len(chosen), -(-OCTAVE // len(chosen))
    gaps = [after - before for before, after in pairwise((*chosen, chosen[0] + OCTAVE))]
    return all(narrow <= gap <= wide for gap in gaps)


def _cheapest(sets: list[tuple[int, ...]], costs: Sequence[tuple[int, int]]) -> tuple[int, ...]:
    def total(chosen: tuple[int, ...]) -> tuple[int, int]:
        return sum(costs[fret][0] for fret in chosen), sum(costs[fret][1] for fret in chosen)

    return min(sets, key=lambda chosen: (total(chosen), chosen))


def _on_short_neck(tuning: Tuning, tonic: int, count: int, frets: int) -> tuple[int, ...]:
    """Choose among the hands that lie on the neck, at what they cost there."""
    if frets < FEWEST_FRETS:
        raise NeckError(f"{frets} frets have no room for regions; {FEWEST_FRETS} are needed, an octave")
    # A hand wider than its fingers may end with the neck, if no set has room for all its frets.
    rooms = sorted({frets - tuning.hand.span + 2, frets - FINGERS + 2})
    sets = next((sets for room in rooms if (sets := _even_sets(count, room))), [])
    if not sets:
        fitting = [other for other in range(FEWEST_REGIONS, MOST_REGIONS + 1) if _even_sets(other, rooms[-1])]
        raise NeckError(f"{frets} frets have no room for {count} regions; choose {fitting[0]} to {fitting[-1]}")
    scale = _major(tonic)
    costs = [_cost(tuning, scale, fret, frets=frets) for fret in range(rooms[-1])]
    return _cheapest(sets, costs)


def _major(tonic: int) -> frozenset[int]:
    return frozenset((tonic + step) % OCTAVE for step in MAJOR)


def _cost(
    tuning: Tuning, scale: frozenset[int], index_fret: int, *, frets: int, lowest_fret: int = 0
) -> tuple[int, int]:
    """Return what a scale costs in a hand position, and on how many strings the index fret has nothing to do.

    The latter is 0 for a hand that has a finger for each fret: there the index fret is the first finger's anyway.
    """
    found = fingering(tuning, scale, index_fret, frets=frets, lowest_fret=lowest_fret)
    return found.cost + MISSING * len(found.missing), _idle(tuning, scale, index_fret)


def _idle(tuning: Tuning, scale: frozenset[int], index_fret: int) -> int:
    if not tuning.hand.shares_frets:
        return 0
    first = tuning.hand.frets(index_fret).start
    return sum((midi + first) % OCTAVE not in scale for midi in tuning.open_midi)
