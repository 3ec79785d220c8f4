"""Chord scales: what chords that are no dominant may draw on outside the key, by name.

Rows are modes of a parent scale, as in `deckbuilder.theory.colours`. Source of the names: common practice.
"""

from dataclasses import dataclass

from deckbuilder.theory.scales import Scale, mode
from deckbuilder.theory.tones import TheoryError, Tone


@dataclass(frozen=True, slots=True)
class ChordScale:
    """A mode that a chord draws on.

    Args:
        name: its name in changes, ASCII without spaces.
        parent: music21's class of the parent scale.
        tonic: interval from the chord's root up to the parent's tonic.
        spelling: intervals above the root that spell the scale, where the parent has not seven tones.
    """

    name: str
    parent: str
    tonic: str
    spelling: tuple[str, ...] = ()

    def on(self, root: Tone) -> Scale:
        """Return the scale from a chord's root."""
        return mode(self.name.replace("-", " "), root, self.parent, self.tonic, self.spelling)


CHORD_SCALES: dict[str, ChordScale] = {
    scale.name: scale
    for scale in (
        ChordScale("ionian", "MajorScale", "P1"),
        ChordScale("dorian", "MajorScale", "m7"),
        ChordScale("phrygian", "MajorScale", "m6"),
        ChordScale("lydian", "MajorScale", "P5"),
        ChordScale("mixolydian", "MajorScale", "P4"),
        ChordScale("aeolian", "MajorScale", "m3"),
        ChordScale("locrian", "MajorScale", "m2"),
        ChordScale("melodic-minor", "MelodicMinorScale", "P1"),
        ChordScale("dorian-b2", "MelodicMinorScale", "m7"),
        ChordScale("lydian-augmented", "MelodicMinorScale", "M6"),
        ChordScale("locrian-natural-9", "MelodicMinorScale", "m3"),
        ChordScale("harmonic-minor", "HarmonicMinorScale", "P1"),
        ChordScale(
            "diminished",
            "OctatonicScale",
            "P1",
            ("P1", "M2", "m3", "P4", "d5", "m6", "d7", "M7"),
        ),
    )
}
"""Every scale that a chord in changes can be given, unless it is a dominant seventh, which has a colour."""


def chord_scale_named(name: str) -> ChordScale:
    """Return a chord scale by its name.

    Raises:
        TheoryError: no chord scale has this name.
    """
    if name not in CHORD_SCALES:
        raise TheoryError(f"{name!r} is not a chord scale; choose from {', '.join(CHORD_SCALES)}")
    return CHORD_SCALES[name]
