"""An instrument: a tuning on a neck of so many frets, perhaps with a capo.

Convention: frets are counted from the nut, also with a capo. A capo at fret c makes the instrument whose open strings
are c semitones higher and whose neck is c frets shorter; a note at fret c is its open string. So with a capo, regions,
fingerings and fingers are those of that instrument, moved up by c.
"""

import re
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, field, replace
from functools import lru_cache

from deckbuilder.neck.closeposition import close_position
from deckbuilder.neck.fingering import Fingering, fingering
from deckbuilder.neck.hand import Hand
from deckbuilder.neck.regions import DEFAULT_REGIONS, FEWEST_FRETS, Region, regions
from deckbuilder.neck.tuning import NeckError, Tuning, parse_tuning
from deckbuilder.neck.tunings import USUAL_FRETS

MOST_FRETS = 36
_CAPO = "+capo-"
_PITCH = re.compile(r"[A-G]b?-?[0-9]+")
_FRET = re.compile(r"[0-9]{1,2}")


@dataclass(frozen=True, slots=True)
class Instrument:
    """A tuned neck.

    Args:
        tuning: the open strings without a capo.
        frets: the highest fret, counted from the nut, 12 to 36.
        capo: the fret the capo sits behind, 0 for none; at least twelve frets are left above it.

    Raises:
        NeckError: the neck is too short or too long, or the capo leaves too little of it.
    """

    tuning: Tuning
    frets: int = USUAL_FRETS
    capo: int = 0
    id: str = field(init=False, compare=False, repr=False)
    """Lasting name, made of the open strings' pitches: `E2-A2-D3-G3-B3-E4`, perhaps with `+capo-2`."""

    def __post_init__(self) -> None:
        if not FEWEST_FRETS <= self.frets <= MOST_FRETS:
            raise NeckError(f"{self.frets} frets; a neck here has {FEWEST_FRETS} to {MOST_FRETS}")
        if not 0 <= self.capo <= self.frets - FEWEST_FRETS:
            raise NeckError(
                f"capo at fret {self.capo} of {self.frets}: give 0 for none or a fret up to "
                f"{self.frets - FEWEST_FRETS}, so that {FEWEST_FRETS} frets are left above it"
            )
        object.__setattr__(self, "id", "-".join(self.tuning.pitch_names) + self._capo_part)

    def __hash__(self) -> int:
        return hash(self.id)

    @property
    def name(self) -> str:
        """Name in tags: the tuning's, and the capo if there is one, `standard+capo-2`."""
        return self.tuning.name + self._capo_part

    @property
    def _capo_part(self) -> str:
        return f"{_CAPO}{self.capo}" if self.capo else ""

    @property
    def sounding(self) -> Tuning:
        """The open strings as they sound, above the capo if there is one."""
        return self.tuning.raised(self.capo) if self.capo else self.tuning

    @property
    def hand(self) -> Hand:
        """The hand that plays it."""
        return self.tuning.hand

    @classmethod
    def of_id(cls, text: str) -> "Instrument":
        """Return the instrument that an `id` names, with the frets that its tuning usually has.

        Raises:
            NeckError: the text names no instrument.
        """
        pitches, _, capo = text.partition(_CAPO)
        if capo and not _FRET.fullmatch(capo):
            raise NeckError(f"{text!r} is no instrument; a capo is told as {_CAPO}2")
        tuning = parse_tuning(",".join(_PITCH.findall(pitches)))
        return cls(tuning, tuning.usual_frets, int(capo or 0))

    def regions(self, tonic: int, count: int = DEFAULT_REGIONS) -> tuple[Region, ...]:
        """Return a major key's regions, numbered from the nut or the capo.

        Args:
            tonic: the key's pitch class.
            count: number of regions, 3 to 7.

        Raises:
            NeckError: no set of so many regions covers the octave on this neck.
        """
        return _regions(self, tonic, count)

    def fingering(self, pitch_classes: AbstractSet[int], index_fret: int) -> Fingering:
        """Finger a scale in one hand position.

        Args:
            pitch_classes: the scale's pitch classes.
            index_fret: the fret under the first finger, from the capo on.
        """
        return _fingered(self, frozenset(pitch_classes), index_fret)

    def close_position(self, chord: tuple[int, ...]) -> Fingering:
        """Finger a chord's tones within an octave from its root, at the hand position nearest the nut or the capo.

        Args:
            chord: the chord's pitch classes, root first, each above the one before.
        """
        return _moved(close_position(self.sounding, chord, frets=self.frets - self.capo), self.capo)


@lru_cache(maxsize=1024)
def _regions(instrument: Instrument, tonic: int, count: int) -> tuple[Region, ...]:
    """Return a key's regions; kept, because each of them is asked for by itself."""
    capo = instrument.capo
    found = regions(instrument.sounding, tonic, count, frets=instrument.frets - capo)
    return tuple(Region(region.number, region.index_fret + capo, capo) for region in found)


@lru_cache(maxsize=4096)
def _fingered(instrument: Instrument, pitch_classes: frozenset[int], index_fret: int) -> Fingering:
    """Finger a scale; kept, because many notes of a region, and the lines there, ask for the same one."""
    capo = instrument.capo
    found = fingering(instrument.sounding, pitch_classes, index_fret - capo, frets=instrument.frets - capo)
    return _moved(found, capo)


def _moved(found: Fingering, capo: int) -> Fingering:
    """Return a fingering with its frets counted from the nut instead of the capo."""
    notes = (replace(note, place=replace(note.place, fret=note.place.fret + capo)) for note in found.notes)
    return replace(found, index_fret=found.index_fret + capo, notes=tuple(notes)) if capo else found
