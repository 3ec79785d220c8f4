"""Regions: the hand positions that cover the neck in a key.

Rule: a region set is N hand positions that together go round twelve frets, neighbours an even share apart (2 or 3
frets for five), at the least total cost of fingering the major scale. The set is chosen once per tuning relative to
the root's fret on the lowest string, with fretted notes only, so that every key has the same shapes, moved. Of equal
sets the one with the lower frets above the root wins. Index frets are then taken modulo 12 and numbered from the nut.
Source: this project's design; in standard tuning the rule gives the five positions of common practice.
"""

from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations

from deckbuilder.neck.fingering import Fingering, fingering
from deckbuilder.neck.tuning import NeckError, Tuning

OCTAVE = 12
MAJOR = frozenset({0, 2, 4, 5, 7, 9, 11})
"""Pitch classes of the major scale on C."""
MISSING = 100
"""Cost of a tone that the hand cannot reach: dearer than any fingering that has them all."""
DEFAULT_REGIONS = 5

_ROMAN = ("open", "I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX", "X", "XI")


@dataclass(frozen=True, slots=True)
class Region:
    """One hand position of a key.

    Args:
        number: 1 for the region nearest the nut.
        index_fret: the fret under the first finger, 0 to 11.
    """

    number: int
    index_fret: int

    @property
    def position(self) -> str:
        """Position number as players write it: `IX`, or `open` at the nut."""
        return _ROMAN[self.index_fret]


@lru_cache(maxsize=256)
def relative_index_frets(tuning: Tuning, count: int = DEFAULT_REGIONS) -> tuple[int, ...]:
    """Return the index frets of a tuning's regions above the root's fret on the lowest string, ascending, 0 to 11.

    Args:
        tuning: the open strings.
        count: number of regions.

    Raises:
        NeckError: no set of so many regions covers the octave.
    """
    costs = [_relative_cost(tuning, offset) for offset in range(OCTAVE)]
    narrow, wide = OCTAVE // count, -(-OCTAVE // count)
    sets = [chosen for chosen in combinations(range(OCTAVE), count) if _evenly_spread(chosen, narrow, wide)]
    if not sets:
        raise NeckError(f"{count} regions do not cover twelve frets; choose 3 to 7")
    return min(sets, key=lambda chosen: (sum(costs[offset] for offset in chosen), chosen))


def regions(tuning: Tuning, tonic: int, count: int = DEFAULT_REGIONS) -> tuple[Region, ...]:
    """Return a major key's regions, numbered from the nut.

    Args:
        tuning: the open strings.
        tonic: the key's pitch class.
        count: number of regions.

    Raises:
        NeckError: no set of so many regions covers the octave.
    """
    root_fret = (tonic - tuning.open_midi[0]) % OCTAVE
    index_frets = sorted((root_fret + offset) % OCTAVE for offset in relative_index_frets(tuning, count))
    return tuple(Region(number, fret) for number, fret in enumerate(index_frets, start=1))


def _evenly_spread(chosen: tuple[int, ...], narrow: int, wide: int) -> bool:
    gaps = [(after - before) % OCTAVE or OCTAVE for before, after in zip(chosen, (*chosen[1:], chosen[0]), strict=True)]
    return all(narrow <= gap <= wide for gap in gaps)


def _relative_cost(tuning: Tuning, offset: int) -> int:
    """Return what the major scale costs at an index fret above the root's, on a neck without a nut."""
    # Two octaves up, no place of the hand touches the nut.
    root_fret = 2 * OCTAVE
    tonic = tuning.open_midi[0] + root_fret
    classes = frozenset((tonic + step) % OCTAVE for step in MAJOR)
    found = fingering(tuning, classes, root_fret + offset, frets=4 * OCTAVE, lowest_fret=1)
    return _cost_with_missing(found)


def _cost_with_missing(found: Fingering) -> int:
    return found.cost + MISSING * len(found.missing)
