"""Scales: tones in order from a tonic, spelled by intervals and shown without double accidentals.

A scale is a mode of a parent scale. A parent of seven tones spells its modes: each letter once. The altered scale,
whose third its letters would call a fourth, and the modes of the diminished and the whole-tone scale, which have eight
and six tones, are spelled by the degrees that players name. Source of the parents: general music theory; the melodic
minor is the ascending one.
"""

from dataclasses import dataclass, field
from functools import lru_cache
from typing import Final

from deckbuilder.speech import marked, translate
from deckbuilder.theory.tones import Tone, exactly_above, pretty


@dataclass(frozen=True, slots=True)
class Scale:
    """Tones in ascending order, each pitch class once.

    Args:
        name: what players call it without its tonic, such as `major` or `altered`.
        tones: the tones, the tonic first.
    """

    name: str
    tones: tuple[Tone, ...]
    pitch_classes: frozenset[int] = field(init=False, repr=False, compare=False)
    """The tones' pitch classes."""

    def __post_init__(self) -> None:
        object.__setattr__(self, "pitch_classes", frozenset(tone.pitch_class for tone in self.tones))

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
        return scale_label(self.tonic, self.name)


_LABELS: Final = {
    "major": marked("{tonic} major"),
    "natural minor": marked("{tonic} natural minor"),
    "melodic minor": marked("{tonic} melodic minor"),
    "harmonic minor": marked("{tonic} harmonic minor"),
    "diminished": marked("{tonic} diminished"),
    "whole tone": marked("{tonic} whole tone"),
    "ionian": marked("{tonic} ionian"),
    "dorian": marked("{tonic} dorian"),
    "phrygian": marked("{tonic} phrygian"),
    "lydian": marked("{tonic} lydian"),
    "mixolydian": marked("{tonic} mixolydian"),
    "aeolian": marked("{tonic} aeolian"),
    "locrian": marked("{tonic} locrian"),
    "dorian b2": marked("{tonic} dorian ♭2"),
    "lydian augmented": marked("{tonic} lydian augmented"),
    "locrian natural 9": marked("{tonic} locrian natural 9"),
    "altered": marked("{tonic} altered"),
    "phrygian dominant": marked("{tonic} phrygian dominant"),
    "lydian dominant": marked("{tonic} lydian dominant"),
    "mixolydian b6": marked("{tonic} mixolydian ♭6"),
    "half-whole diminished": marked("{tonic} half-whole diminished"),
}
"""Scales by their names, as people call them on a tonic."""


def scale_label(tonic: Tone, name: str) -> str:
    """Name a scale on a tonic, `B♭ altered`; one that has no row above by its own name.

    Args:
        tonic: its first tone.
        name: what players call it without its tonic, ASCII.
    """
    return translate(_LABELS[name]).format(tonic=tonic.label) if name in _LABELS else f"{tonic.label} {pretty(name)}"


PARENT_NAMES = {
    "MajorScale": "major",
    "MinorScale": "natural minor",
    "MelodicMinorScale": "melodic minor",
    "HarmonicMinorScale": "harmonic minor",
    "OctatonicScale": "diminished",
    "WholeToneScale": "whole tone",
}
"""The parent scales that colours and keys draw on, and what players call them; `diminished` is the one that begins with
a whole tone."""

_PARENTS = {
    "MajorScale": ("P1", "M2", "M3", "P4", "P5", "M6", "M7"),
    "MinorScale": ("P1", "M2", "m3", "P4", "P5", "m6", "m7"),
    "MelodicMinorScale": ("P1", "M2", "m3", "P4", "P5", "M6", "M7"),
    "HarmonicMinorScale": ("P1", "M2", "m3", "P4", "P5", "m6", "M7"),
    "OctatonicScale": ("P1", "M2", "m3", "P4", "d5", "m6", "M6", "M7"),
    "WholeToneScale": ("P1", "M2", "M3", "A4", "A5", "A6"),
}
"""Their intervals."""


@lru_cache(maxsize=512)
def parent_tones(parent: str, tonic: Tone) -> tuple[Tone, ...]:
    """Return a parent scale's tones in ascending order, the tonic first, double accidentals kept.

    Args:
        parent: name of the parent, one of `PARENT_NAMES`.
        tonic: the parent's tonic.
    """
    return tuple(exactly_above(tonic, interval) for interval in _PARENTS[parent])


def rotated(tones: tuple[Tone, ...], first: int) -> tuple[Tone, ...]:
    """Return the tones starting from another one of them, double accidentals respelled.

    Args:
        tones: tones of a scale.
        first: index of the new first tone, 0 for the old one.
    """
    return tuple(tone.simplified() for tone in tones[first:] + tones[:first])


@lru_cache(maxsize=1024)
def mode(name: str, root: Tone, parent: str, tonic: str, spelling: tuple[str, ...] = ()) -> Scale:
    """Return a mode of a parent scale.

    Args:
        name: what players call the mode after its root.
        root: the mode's first tone, whose spelling is kept.
        parent: name of the parent, one of `PARENT_NAMES`.
        tonic: interval from the root up to the parent's tonic, `m2`.
        spelling: intervals above the root that spell the mode, where the parent's letters do not.
    """
    if spelling:
        return Scale(name, tuple(root.above(interval) for interval in spelling))
    tones = parent_tones(parent, exactly_above(root, tonic))
    from_root = rotated(tones, [tone.pitch_class for tone in tones].index(root.pitch_class))
    return Scale(name, (root, *from_root[1:]))
