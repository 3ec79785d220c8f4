"""Chord scales: what chords that are no dominant may draw on outside the key, by name.

Rows are modes of a parent scale, as in `deckbuilder.theory.colours`. Source of the names: common practice.
"""

from dataclasses import dataclass

from deckbuilder.suggestions import remedy
from deckbuilder.theory.scales import Scale, mode, rotated
from deckbuilder.theory.tones import TheoryError, Tone


@dataclass(frozen=True, slots=True)
class ChordScale:
    """A mode that a chord draws on.

    Args:
        name: its name in changes, ASCII without spaces.
        parent: the parent scale, one of `PARENT_NAMES`.
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
        raise TheoryError(f"{name!r} is not a chord scale; {remedy(name, CHORD_SCALES)}")
    return CHORD_SCALES[name]


def mode_from(root: Tone, scale: Scale) -> Scale:
    """Return a scale from another one of its tones, under the name it has there: F major from G is G dorian.

    Args:
        root: the tone to begin with, one of the scale's.
        scale: the scale, whose spelling is kept.

    Returns:
        The mode; the scale itself where the table above has no name for it from there.
    """
    names = (found.name for found in CHORD_SCALES.values() if found.on(root).pitch_classes == scale.pitch_classes)
    name = next(names, None)
    first = next((at for at, tone in enumerate(scale.tones) if tone.pitch_class == root.pitch_class), None)
    if name is None or first is None or first == 0:
        return scale
    return Scale(name.replace("-", " "), rotated(scale.tones, first))
