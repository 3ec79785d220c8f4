"""Overruling: a colour or a chord scale that a writer wants for a chord, instead of what follows from its context."""

from deckbuilder.theory.chords import DOMINANT
from deckbuilder.theory.chordscales import chord_scale_named
from deckbuilder.theory.chordtypes import ChordType
from deckbuilder.theory.colours import COLOURS, colour_named
from deckbuilder.theory.tones import TheoryError, Tone


def overruled(token: str, kind: ChordType, choice: str) -> ChordType:
    """Check a choice against its chord and return the chord's type; a major triad with a colour is a dominant.

    Args:
        token: the chord as written, for errors.
        kind: its type.
        choice: the colour or chord scale that is wanted; empty for none.

    Raises:
        TheoryError: there is no such colour or scale, or it does not hold the chord's tones.
    """
    if not choice:
        return kind
    if choice in COLOURS and not kind.quality.suffix:
        kind = ChordType(DOMINANT, kind.tensions)
    if kind.is_dominant:
        colour_named(choice)
        if not kind.allows(choice):
            raise TheoryError(f"{token!r} has a tension that {choice} does not hold; choose from {_listed(kind)}")
        return kind
    if choice in COLOURS and choice != "harmonic-minor":
        raise TheoryError(f"{token!r} cannot be {choice}: only a dominant seventh has a colour")
    scale = chord_scale_named(choice).on(Tone("C"))
    if not kind.semitones | set(kind.quality.semitones) <= scale.pitch_classes:
        raise TheoryError(f"{token!r} has a tone that the {choice} scale does not hold")
    return kind


def _listed(kind: ChordType) -> str:
    return ", ".join(name for name in COLOURS if kind.allows(name))
