"""Contexts: a chord of a form with its neighbours.

A chord is read together with the next chord on another root; after the last comes the first, since a form goes round.
A triad is taken for the seventh that its place gives it; the tonic of a minor key gets its major seventh.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from deckbuilder.theory.chordtypes import ChordType
from deckbuilder.theory.completion import completed
from deckbuilder.theory.forms import Form, FormChord
from deckbuilder.theory.keys import Key
from deckbuilder.theory.scales import Scale
from deckbuilder.theory.steps import Step

FOURTH, SEMITONE_BELOW = 5, 11
"""Semitones up to the next root where a dominant resolves, by a fifth down or as a tritone substitute."""
TONIC, FOURTH_STEP, DOMINANT_STEP, SUBSTITUTE_STEP = Step(1), Step(4), Step(5), Step(2, -1)


@dataclass(frozen=True, slots=True)
class Context:
    """What a chord is read from.

    Args:
        chord: the chord, with a seventh where a triad is written.
        before: the nearest chord before it on another root.
        after: the nearest chord after it on another root.
        after_rise: semitones from that root up to the one that follows it.
        blues: whether the key is a blues.
    """

    chord: FormChord
    before: FormChord
    after: FormChord
    after_rise: int
    blues: bool

    @property
    def type(self) -> ChordType:
        """Its quality and tensions."""
        return self.chord.type

    @property
    def key(self) -> Key:
        """The key it stands in."""
        return self.chord.key

    @property
    def rise(self) -> int:
        """Semitones from its root up to the next one."""
        return rise(self.chord, self.after)

    @property
    def after_step(self) -> Step:
        """Where the next root lies in this chord's key."""
        return self.after.step if self.after.key == self.key else Step.of(self.after.root, self.key)

    def lies_in(self, scale: Scale) -> bool:
        """Whether all its tones lie in a scale."""
        root = self.chord.root.pitch_class
        return all((root + step) % 12 in scale.pitch_classes for step in self.type.semitones)

    @property
    def is_diatonic(self) -> bool:
        """Whether all its tones lie in its key."""
        return self.lies_in(self.key.scale)

    def numeral(self, target: Step) -> str:
        """Name a step by the chord that follows there, else by the chord that the key has there."""
        if self.after.root.pitch_class != target.tone_in(self.key).pitch_class:
            return diatonic_numeral(target, self.key)
        return target.numeral_of(minor=self.after.type.quality.is_minor)


def contexts(form: Form) -> tuple[Context, ...]:
    """Return every chord of a form with its neighbours, in the order in which they are played.

    Args:
        form: the changes.
    """
    chords = form.chords
    nexts, befores = ([_neighbour(chords, number, way) for number in range(len(chords))] for way in (1, -1))
    rises = [rise(chord, chords[after]) for chord, after in zip(chords, nexts, strict=True)]
    full = [replace(chord, type=completed(chord, up)) for chord, up in zip(chords, rises, strict=True)]
    blues = {key for key in {chord.key for chord in full} if _is_blues(key, full)}
    return tuple(
        Context(chord, full[before], full[after], rises[after], chord.key in blues)
        for chord, before, after in zip(full, befores, nexts, strict=True)
    )


def rise(chord: FormChord, other: FormChord) -> int:
    """Return the semitones from a chord's root up to another's, 0 to 11."""
    return (other.root.pitch_class - chord.root.pitch_class) % 12


def diatonic_numeral(step: Step, key: Key) -> str:
    """Name a step by the chord that a key has there.

    Args:
        step: the step.
        key: the key.
    """
    third = (step.tone_in(key).pitch_class + 3) % 12
    return step.numeral_of(minor=step.is_in(key) and third in key.scale.pitch_classes)


def _is_blues(key: Key, chords: Sequence[FormChord]) -> bool:
    tonics = [chord.type for chord in chords if chord.key == key and chord.step == TONIC]
    fourths = [chord.type for chord in chords if chord.key == key and chord.step == FOURTH_STEP]
    dominant_tonic = bool(tonics) and all(kind.is_dominant for kind in tonics)
    return dominant_tonic and all(kind.is_dominant or kind.quality.is_minor for kind in fourths)


def _neighbour(chords: Sequence[FormChord], number: int, direction: int) -> int:
    """Return the index of the nearest chord on another root, round the form; the chord's own where there is none."""
    root = chords[number].root.pitch_class
    for distance in range(1, len(chords)):
        other = (number + direction * distance) % len(chords)
        if chords[other].root.pitch_class != root:
            return other
    return number
