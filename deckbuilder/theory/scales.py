"""Scales: seven tones in order from a tonic, spelled by music21 and shown without double accidentals.

Source of the scales: the major and the ascending melodic minor of general music theory, as music21 gives them.
"""

from dataclasses import dataclass
from functools import lru_cache

from deckbuilder.theory.tones import Tone, from_music21, to_music21


@dataclass(frozen=True, slots=True)
class Scale:
    """Tones in ascending order, each pitch class once.

    Args:
        name: what players call it without its tonic, such as `major` or `altered`.
        tones: the tones, the tonic first.
    """

    name: str
    tones: tuple[Tone, ...]

    @property
    def tonic(self) -> Tone:
        """The first tone."""
        return self.tones[0]

    @property
    def symbol(self) -> str:
        """ASCII name with the tonic, `C altered`."""
        return f"{self.tonic.name} {self.name}"

    @property
    def label(self) -> str:
        """Name for people with the tonic, `B♭ altered`."""
        return f"{self.tonic.label} {self.name}"

    @property
    def pitch_classes(self) -> frozenset[int]:
        """The tones' pitch classes."""
        return frozenset(tone.pitch_class for tone in self.tones)


PARENT_NAMES = {"MajorScale": "major", "MelodicMinorScale": "melodic minor"}
"""The music21 scale classes that colours and keys draw on, and what players call them."""


@lru_cache(maxsize=512)
def parent_tones(parent: str, tonic: Tone) -> tuple[Tone, ...]:
    """Return a parent scale's tones in ascending order, the tonic first, double accidentals kept.

    Args:
        parent: name of a music21 scale class, one of `PARENT_NAMES`.
        tonic: the parent's tonic.
    """
    from music21 import scale

    concrete = getattr(scale, parent)(to_music21(tonic))
    pitches = concrete.getPitches(direction=scale.Direction.ASCENDING)
    return tuple(from_music21(pitch) for pitch in pitches[:-1])


def rotated(tones: tuple[Tone, ...], first: int) -> tuple[Tone, ...]:
    """Return the tones starting from another one of them, double accidentals respelled.

    Args:
        tones: tones of a scale.
        first: index of the new first tone, 0 for the old one.
    """
    return tuple(tone.single() for tone in tones[first:] + tones[:first])
