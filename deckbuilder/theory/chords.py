"""Chords: a root, a quality and the tones that stacking its intervals gives.

Conventions: a chord as it sounds here has four tones, and its second and fourth are its guide tones. In a sixth chord
the sixth stands for the seventh, in a suspended one the fourth for the third (common practice, no source). A quality's
intervals are counted in semitones from the root. Symbols are ASCII in `symbol` and carry ♭ and ♯ in `label`.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache

from deckbuilder.theory.tones import Tone, exactly_above, pretty, usual_names


@dataclass(frozen=True, slots=True)
class Quality:
    """A kind of chord.

    Args:
        suffix: what follows the root in a symbol, `m7b5`; empty for a major triad.
        stack: names of the intervals above the root, the root's `P1` first.
        semitones: the same in semitones.
    """

    suffix: str
    stack: tuple[str, ...]
    semitones: tuple[int, ...]

    def __hash__(self) -> int:
        return hash(self.suffix)

    @property
    def is_minor(self) -> bool:
        """Whether its third is minor."""
        return 3 in self.semitones


def _by_suffix(*qualities: Quality) -> dict[str, Quality]:
    return {quality.suffix: quality for quality in qualities}


QUALITIES: dict[str, Quality] = _by_suffix(
    Quality("maj7", ("P1", "M3", "P5", "M7"), (0, 4, 7, 11)),
    Quality("7", ("P1", "M3", "P5", "m7"), (0, 4, 7, 10)),
    Quality("m7", ("P1", "m3", "P5", "m7"), (0, 3, 7, 10)),
    Quality("m7b5", ("P1", "m3", "d5", "m7"), (0, 3, 6, 10)),
    Quality("mMaj7", ("P1", "m3", "P5", "M7"), (0, 3, 7, 11)),
    Quality("maj7#5", ("P1", "M3", "A5", "M7"), (0, 4, 8, 11)),
    Quality("dim7", ("P1", "m3", "d5", "d7"), (0, 3, 6, 9)),
)
"""The sevenths that stacking thirds gives in the major, melodic minor and harmonic minor scales."""

DOMINANT = QUALITIES["7"]

ALTERED_FIFTHS: dict[str, Quality] = _by_suffix(
    Quality("7#5", ("P1", "M3", "A5", "m7"), (0, 4, 8, 10)),
    Quality("7b5", ("P1", "M3", "d5", "m7"), (0, 4, 6, 10)),
)
"""Sevenths of a scale that has none of `QUALITIES`, the whole-tone scale."""

SIXTHS_AND_SUSPENDED: dict[str, Quality] = _by_suffix(
    Quality("6", ("P1", "M3", "P5", "M6"), (0, 4, 7, 9)),
    Quality("m6", ("P1", "m3", "P5", "M6"), (0, 3, 7, 9)),
    Quality("7sus4", ("P1", "P4", "P5", "m7"), (0, 5, 7, 10)),
)
"""Chords of four tones that are no stack of thirds."""

SUSPENDED = SIXTHS_AND_SUSPENDED["7sus4"]

TRIADS: dict[str, Quality] = _by_suffix(
    Quality("", ("P1", "M3", "P5"), (0, 4, 7)),
    Quality("m", ("P1", "m3", "P5"), (0, 3, 7)),
    Quality("dim", ("P1", "m3", "d5"), (0, 3, 6)),
    Quality("aug", ("P1", "M3", "A5"), (0, 4, 8)),
    Quality("sus4", ("P1", "P4", "P5"), (0, 5, 7)),
)
"""Chords of three tones, as symbols may write them; what sounds is a seventh or a sixth."""


@dataclass(frozen=True)
class Chord:
    """A chord of four tones.

    Args:
        root: its root.
        quality: its quality.
        tones: its tones, the root first, spelled as they are shown.
    """

    root: Tone
    quality: Quality
    tones: tuple[Tone, ...]

    @classmethod
    def stacked(cls, root: Tone, quality: Quality) -> "Chord":
        """Spell a chord by stacking its intervals on the root, respelling double accidentals."""
        return cls(root, quality, tuple(root.above(interval) for interval in quality.stack))

    @property
    def readable(self) -> "Chord":
        """The chord as a plain stack of its intervals, under another name of its root where its own gives none.

        E♭m7♭5 would need a B♭♭ and is D♯m7♭5. Where every name in use needs a double accidental, the chord as it is.
        """
        for root in usual_names(self.root):
            stack = tuple(exactly_above(root, interval) for interval in self.quality.stack)
            if all(tone.simplified() == tone for tone in stack):
                return Chord(root, self.quality, stack)
        return self

    @property
    def symbol(self) -> str:
        """ASCII symbol, `Bbm7b5`."""
        return self.root.name + self.quality.suffix

    @property
    def label(self) -> str:
        """Symbol for people, `B♭m7♭5`."""
        return self.root.label + pretty(self.quality.suffix)

    @cached_property
    def pitch_classes(self) -> frozenset[int]:
        """The tones' pitch classes."""
        return frozenset(tone.pitch_class for tone in self.tones)

    @property
    def guide_tones(self) -> tuple[Tone, Tone]:
        """The third and the seventh, or what stands for them."""
        return self.tones[1], self.tones[3]


@lru_cache(maxsize=1024)
def sevenths_within(tones: tuple[Tone, ...]) -> tuple[Chord, ...]:
    """Return the seventh chords whose tones all lie in a scale, spelled by the scale.

    They are those of `QUALITIES`. Only a scale that has none of them, the whole-tone scale, gives those of
    `ALTERED_FIFTHS`: elsewhere an altered fifth is heard as a tension of a plainer chord.

    Args:
        tones: a scale's tones, each pitch class once.
    """
    return _within(tones, QUALITIES) or _within(tones, ALTERED_FIFTHS)


def _within(tones: tuple[Tone, ...], qualities: Mapping[str, Quality]) -> tuple[Chord, ...]:
    by_class = {tone.pitch_class: tone for tone in tones}
    found = []
    for root in tones:
        for quality in qualities.values():
            wanted = [(root.pitch_class + step) % 12 for step in quality.semitones]
            if by_class.keys() >= set(wanted):
                found.append(Chord(root, quality, tuple(by_class[pitch_class] for pitch_class in wanted)))
    return tuple(found)


def stacked_sevenths(tones: tuple[Tone, ...]) -> tuple[Chord, ...]:
    """Return the sevenths of `QUALITIES` that stacking every other tone of a scale gives.

    Args:
        tones: a scale's tones in ascending order.
    """
    by_semitones = {quality.semitones: quality for quality in QUALITIES.values()}
    found = []
    for first, root in enumerate(tones):
        stack = tuple(tones[(first + above) % len(tones)] for above in (0, 2, 4, 6))
        quality = by_semitones.get(tuple((tone.pitch_class - root.pitch_class) % 12 for tone in stack))
        if quality is not None:
            found.append(Chord(root, quality, stack))
    return tuple(found)
