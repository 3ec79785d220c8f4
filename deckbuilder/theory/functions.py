"""Functions: what a chord does in its key, with the scale it draws on.

The cadence is ii–V–I; the turnaround adds VI, the dominant of ii (common practice, no source). A function's step
counts from the major scale on the key's tonic, in a minor key too: III there is ♭III.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

from deckbuilder.theory.chords import ALTERED_FIFTHS, DOMINANT, QUALITIES, Chord, Quality
from deckbuilder.theory.chordscales import mode_from
from deckbuilder.theory.colours import Colour, colour_scale
from deckbuilder.theory.degrees import degree
from deckbuilder.theory.keys import Key
from deckbuilder.theory.scales import Scale
from deckbuilder.theory.steps import Step, roman_label
from deckbuilder.theory.tones import TheoryError, Tone, pretty


@dataclass(frozen=True, slots=True)
class Function:
    """A chord's place in a key.

    Args:
        name: Roman numeral, `ii`, with the quality where the numeral alone would mean another: `I7`, `iim7b5`.
        step: step of the chord's root in the major scale on the tonic, 1 to 7.
        quality: the chord's quality.
        alteration: semitones the step is raised (negative: lowered).
    """

    name: str
    step: int
    quality: Quality
    alteration: int = 0

    @property
    def label(self) -> str:
        """Name for people, `♭VII7`."""
        return roman_label(self.name)

    @property
    def is_dominant(self) -> bool:
        """Whether the chord is a dominant seventh, which has a colour."""
        return self.quality == DOMINANT


FUNCTIONS: dict[str, Function] = {
    function.name: function
    for function in (
        Function("ii", 2, QUALITIES["m7"]),
        Function("V", 5, DOMINANT),
        Function("I", 1, QUALITIES["maj7"]),
        Function("VI", 6, DOMINANT),
    )
}
"""The functions of the cadence and the turnaround."""


_MAJOR_SEVENTH_STEPS = {Step(1), Step(4)}
_DOMINANT_STEPS = {Step(5), Step(6), Step(2), Step(3), Step(7)}


def function_on(step: Step, quality: Quality) -> Function:
    """Return the function of any chord, named as in `FUNCTIONS`.

    A small numeral alone is a minor seventh; a capital one is a major seventh on I and IV and a dominant on the other
    steps of the major scale; every other quality is written out.

    Args:
        step: where the chord's root lies.
        quality: the chord's quality.
    """
    numeral = step.numeral_of(minor=quality.is_minor)
    understood = quality == QUALITIES["m7"]
    understood |= quality == QUALITIES["maj7"] and step in _MAJOR_SEVENTH_STEPS
    understood |= quality == DOMINANT and step in _DOMINANT_STEPS
    name = numeral if understood else numeral + quality.suffix
    return Function(name, step.number, quality, step.alteration)


@dataclass(frozen=True)
class Harmony:
    """A chord as it sounds in a key.

    Args:
        key: the key.
        function: the chord's function in it.
        colour: a dominant's colour, None for other chords.
        chord: the chord that sounds.
        scale: the scale it draws on.
        bass: the tone under it; None for its root. It changes neither scale nor arpeggios.
    """

    key: Key
    function: Function
    colour: Colour | None
    chord: Chord
    scale: Scale
    bass: Tone | None = None

    def __hash__(self) -> int:
        # What tells chords apart is enough, and takes a tenth of the time: chords are what most is kept by.
        root, tonic = self.chord.root, self.key.tonic
        return hash((root.letter, root.accidental, self.function.name, self.scale.name, tonic.letter, tonic.accidental))

    @property
    def symbol(self) -> str:
        """ASCII symbol with the colour, `C7alt`, and the bass, `C7/E`."""
        return self.chord.root.name + self._suffix + (f"/{self.bass.name}" if self.bass else "")

    @property
    def label(self) -> str:
        """Symbol for people, `B♭7alt`, `B♭7/D`."""
        return self.chord.root.label + pretty(self._suffix) + (f"/{self.bass.label}" if self.bass else "")

    @property
    def upper(self) -> "Harmony":
        """The chord without its bass, whose scale and arpeggios it has."""
        return replace(self, bass=None) if self.bass else self

    def over(self, bass: Tone | None) -> "Harmony":
        """Return the chord over a bass, spelled as the chord or its scale spells that tone.

        Args:
            bass: the tone; the root or None for no bass of its own.
        """
        if bass is None or bass.pitch_class == self.chord.root.pitch_class:
            return self.upper
        return replace(self, bass=self.spelled(bass))

    def spelled(self, tone: Tone) -> Tone:
        """Return a tone by the name that the chord has for it, else its scale; by its own where neither holds it."""
        return self.names.get(tone.pitch_class, tone)

    @cached_property
    def names(self) -> Mapping[int, Tone]:
        """The chord's tones, else those of its scale, by pitch class."""
        return {own.pitch_class: own for own in (*self.scale.tones, *self.chord.tones)}

    @cached_property
    def own_scale(self) -> Scale | None:
        """The scale, where key, function and colour alone would give other tones; None where they give these."""
        usual = harmony(self.key, self.function, self.colour).scale
        return None if usual.pitch_classes == self.scale.pitch_classes else self.scale

    @cached_property
    def mode(self) -> Scale:
        """Its scale from the chord's own root, by the name it has there: G dorian for Gm7 in F."""
        return mode_from(self.chord.root, self.scale)

    @property
    def without_dorian(self) -> "Harmony":
        """The chord on the key's scale where it is one of the key's minor sevenths, read as a related ii; else itself.

        Both have the same chord tones: what is about these alone is the same in both readings.
        """
        dorian = self.scale.name == "dorian" and self.scale.tonic == self.chord.root
        if dorian and self.chord.pitch_classes <= self.key.scale.pitch_classes:
            return replace(self, scale=self.key.scale)
        return self

    @cached_property
    def stable_tones(self) -> tuple[Tone, ...]:
        """Tones of the sounding chord that its scale keeps, with the altered fifth of a symbol such as `C7#5`.

        A fifth that the colour alters and the symbol does not name is left out: a `C7alt` has none.
        """
        quality = ALTERED_FIFTHS.get(self._suffix)
        chord = Chord.stacked(self.chord.root, quality) if quality else self.chord
        return tuple(tone for tone in chord.tones if tone.pitch_class in self.scale.pitch_classes)

    @property
    def _suffix(self) -> str:
        return self.colour.suffix if self.colour else self.chord.quality.suffix

    def degree_of(self, tone: Tone) -> str:
        """Return what a tone is to the sounding chord, ASCII."""
        return self._degrees[(tone.pitch_class - self.chord.root.pitch_class) % 12]

    @cached_property
    def _degrees(self) -> tuple[str, ...]:
        return _degrees(self.chord.root.pitch_class, self.chord.quality.semitones, self.scale.pitch_classes)


@lru_cache(maxsize=1024)
def _degrees(root: int, semitones: tuple[int, ...], pitch_classes: frozenset[int]) -> tuple[str, ...]:
    """Return what each of twelve steps from a chord's root up is to the chord, on a scale of these pitch classes."""
    scale = {(pitch_class - root) % 12 for pitch_class in pitch_classes}
    # An altered chord keeps its guide tones, not its fifth: its scale decides what the tritone is called.
    chord = {step for step in semitones if step in scale}
    return tuple(degree(step, chord, scale) for step in range(12))


@lru_cache(maxsize=4096)
def harmony(key: Key, function: Function, colour: Colour | None = None, scale: Scale | None = None) -> Harmony:
    """Return a function's chord in a key.

    Args:
        key: the key.
        function: the function.
        colour: the colour of a dominant; None for any other chord.
        scale: the scale that a chord which is no dominant draws on; None for the key's.

    Raises:
        TheoryError: a dominant without a colour, or a colour for a chord that is no dominant.
    """
    if function.is_dominant != (colour is not None):
        needed = "needs a colour" if function.is_dominant else "takes no colour: it is no dominant"
        raise TheoryError(f"the chord on {function.name} {needed}")
    root = Step(function.step, function.alteration).tone_in(key)
    if colour is not None:
        scale = key.scale if _is_diatonic(key, function, colour) else colour_scale(root, colour)
    return Harmony(key, function, colour, Chord.stacked(root, function.quality), scale or key.scale)


def _is_diatonic(key: Key, function: Function, colour: Colour) -> bool:
    return function.name == "V" and colour.name == "plain" and not key.minor
