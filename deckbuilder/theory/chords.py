"""Seventh chords: a root, a quality and the tones that stacking its thirds gives.

Convention: a quality's intervals are counted in semitones from the root. Symbols are ASCII in `symbol` and carry
♭ and ♯ in `label`.
"""

from dataclasses import dataclass

from deckbuilder.theory.tones import Tone, pretty


@dataclass(frozen=True, slots=True)
class Quality:
    """A kind of seventh chord.

    Args:
        suffix: what follows the root in a symbol, `m7b5`.
        stack: names of the intervals above the root, the root's `P1` first.
        semitones: the same in semitones.
    """

    suffix: str
    stack: tuple[str, ...]
    semitones: tuple[int, ...]


QUALITIES: dict[str, Quality] = {
    quality.suffix: quality
    for quality in (
        Quality("maj7", ("P1", "M3", "P5", "M7"), (0, 4, 7, 11)),
        Quality("7", ("P1", "M3", "P5", "m7"), (0, 4, 7, 10)),
        Quality("m7", ("P1", "m3", "P5", "m7"), (0, 3, 7, 10)),
        Quality("m7b5", ("P1", "m3", "d5", "m7"), (0, 3, 6, 10)),
        Quality("mMaj7", ("P1", "m3", "P5", "M7"), (0, 3, 7, 11)),
        Quality("maj7#5", ("P1", "M3", "A5", "M7"), (0, 4, 8, 11)),
        Quality("dim7", ("P1", "m3", "d5", "d7"), (0, 3, 6, 9)),
    )
}
"""The sevenths that stacking thirds gives in the major, melodic minor and harmonic minor scales."""

DOMINANT = QUALITIES["7"]


@dataclass(frozen=True, slots=True)
class Chord:
    """A seventh chord.

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
        """Spell a chord by stacking its thirds on the root, respelling double accidentals."""
        return cls(root, quality, tuple(root.above(interval) for interval in quality.stack))

    @property
    def symbol(self) -> str:
        """ASCII symbol, `Bbm7b5`."""
        return self.root.name + self.quality.suffix

    @property
    def label(self) -> str:
        """Symbol for people, `B♭m7♭5`."""
        return self.root.label + pretty(self.quality.suffix)

    @property
    def pitch_classes(self) -> frozenset[int]:
        """The tones' pitch classes."""
        return frozenset(tone.pitch_class for tone in self.tones)

    @property
    def guide_tones(self) -> tuple[Tone, Tone]:
        """The third and the seventh."""
        return self.tones[1], self.tones[3]


def sevenths_within(tones: tuple[Tone, ...]) -> tuple[Chord, ...]:
    """Return every seventh chord of `QUALITIES` whose tones all lie in a scale, spelled by the scale.

    Args:
        tones: a scale's tones, each pitch class once.
    """
    by_class = {tone.pitch_class: tone for tone in tones}
    found = []
    for root in tones:
        for quality in QUALITIES.values():
            wanted = [(root.pitch_class + step) % 12 for step in quality.semitones]
            if by_class.keys() >= set(wanted):
                found.append(Chord(root, quality, tuple(by_class[pitch_class] for pitch_class in wanted)))
    return tuple(found)
