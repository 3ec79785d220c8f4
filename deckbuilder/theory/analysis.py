"""Analysis: what each chord of a form does in its key, and the scale it draws on.

A chord is read together with the next chord on another root; after the last comes the first, since a form goes round.
Where several readings are fair, the first of these rules that applies decides:

1. What the writer says: a chord applied to another (`V/ii`, `subV`), a colour or a scale in braces.
2. A dominant seventh is, in this order, the V of the key; the I7 or IV7 of a blues (a key whose tonic chord is
   always a dominant seventh and whose IV is no major one), unless it is altered; a secondary dominant, if the next root
   lies a fifth below; a tritone substitute, if it lies a semitone below; diatonic, if its tones lie in the key (♭VII7
   in minor); the backdoor ♭VII7, if the tonic follows; else a dominant that does not resolve.
3. The tonic of a minor key draws on the melodic minor scale, unless its minor seventh is written.
4. A chord whose tones all lie in the key is diatonic and draws on the key's scale; in a minor key on the natural minor,
   else on the melodic minor, if that has them all.
5. A minor seventh or half-diminished chord before a secondary dominant or a tritone substitute a fourth above is its
   related ii.
6. A minor sixth or minor with major seventh draws on its own melodic minor scale, a diminished seventh on the
   whole-half diminished one.
7. A chord whose tones all lie in the parallel key is borrowed from there (modal interchange) and draws on its scale.
8. Any other chord draws on the usual scale of its quality: a major seventh on lydian, a minor one on dorian, a
   half-diminished one on locrian, a suspended one on mixolydian, a major seventh with raised fifth on lydian augmented.

A triad is taken for the seventh that its place gives it; the tonic of a minor key gets its major seventh. A bass after
a slash changes neither function nor scale, unless it is a triad's seventh. A dominant's
colour is, of those that hold its tensions, the one with the fewest tones outside the key; colours of seven tones with a
perfect fifth go before the others, so that altered, diminished and whole-tone are taken where they are written.
After its half-diminished ii that key is the minor one of what it leads to, and where a secondary dominant leads out of
the key, the key of the chord it leads to. Where their tensions allow it, a tritone substitute is lydian dominant (the
tones of the altered scale it stands for), and the dominant of a dominant and both dominants of a blues are plain.
Source of the readings: common practice of jazz harmony texts, no single source.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from deckbuilder.theory.chordscales import CHORD_SCALES
from deckbuilder.theory.chordtypes import ChordType
from deckbuilder.theory.colours import COLOURS, Colour, colour_scale
from deckbuilder.theory.completion import completed
from deckbuilder.theory.forms import Form, FormChord
from deckbuilder.theory.functions import Harmony, function_on, harmony
from deckbuilder.theory.keys import Key, parallel_scale
from deckbuilder.theory.scales import Scale
from deckbuilder.theory.steps import Step, roman_label
from deckbuilder.theory.tones import TheoryError, Tone

_FOURTH, _FIFTH, _SEMITONE_BELOW = 5, 7, 11
_TONIC, _FOURTH_STEP, _DOMINANT_STEP, _SUBSTITUTE_STEP = Step(1), Step(4), Step(5), Step(2, -1)
_USUAL = {
    "maj7": "lydian",
    "6": "lydian",
    "m7": "dorian",
    "m7b5": "locrian",
    "7sus4": "mixolydian",
    "maj7#5": "lydian-augmented",
    "mMaj7": "melodic-minor",
    "m6": "melodic-minor",
    "dim7": "diminished",
}
"""Chord scale of a quality outside the key."""
_OWN = {"mMaj7", "m6", "dim7"}
"""Qualities that keep their usual scale even where the parallel key has their tones."""


class Rule(StrEnum):
    """Which rule read a chord."""

    WRITTEN = "written"
    DIATONIC = "diatonic"
    BLUES = "blues"
    SECONDARY = "secondary dominant"
    SUBSTITUTE = "tritone substitute"
    BACKDOOR = "backdoor dominant"
    UNRESOLVED = "unresolved dominant"
    MINOR_TONIC = "minor tonic"
    RELATED_II = "related ii"
    OWN_SCALE = "own scale"
    BORROWED = "modal interchange"
    USUAL = "usual scale"


@dataclass(frozen=True, slots=True)
class AnalysedChord:
    """A chord of a form, read in its context.

    Args:
        chord: the chord at its place.
        harmony: its function, colour, sounding chord and scale.
        rule: the rule that read it.
        reading: what it does, ASCII: `ii`, `V/ii`, `subV/I`, `ii/IV`, `bVII7`.
    """

    chord: FormChord
    harmony: Harmony
    rule: Rule
    reading: str

    @property
    def label(self) -> str:
        """What it does, for people: `V/ii`, `♭VII7`."""
        return roman_label(self.reading)


@dataclass(frozen=True, slots=True)
class _Context:
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
        return self.chord.type

    @property
    def key(self) -> Key:
        return self.chord.key

    @property
    def rise(self) -> int:
        """Semitones from its root up to the next one."""
        return _rise(self.chord, self.after)

    @property
    def after_step(self) -> Step:
        """Where the next root lies in this chord's key."""
        return self.after.step if self.after.key == self.key else Step.of(self.after.root, self.key)

    def lies_in(self, scale: Scale) -> bool:
        """Whether all its tones lie in a scale."""
        root = self.chord.root.pitch_class
        return all((root + step) % 12 in scale.pitch_classes for step in self.type.semitones)


def analyse(form: Form) -> tuple[AnalysedChord, ...]:
    """Read every chord of a form in its context.

    Args:
        form: the changes.

    Returns:
        One reading for each chord, in the order in which they are played.

    Raises:
        TheoryError: no scale holds a chord's tones; the message names bar and chord.
    """
    chords = form.chords
    nexts, befores = ([_neighbour(chords, number, way) for number in range(len(chords))] for way in (1, -1))
    rises = [_rise(chord, chords[after]) for chord, after in zip(chords, nexts, strict=True)]
    full = [replace(chord, type=completed(chord, rise)) for chord, rise in zip(chords, rises, strict=True)]
    blues = {key for key in {chord.key for chord in full} if _is_blues(key, full)}
    contexts = [
        _Context(chord, full[before], full[after], rises[after], chord.key in blues)
        for chord, before, after in zip(full, befores, nexts, strict=True)
    ]
    return tuple(_read(context, written) for context, written in zip(contexts, chords, strict=True))


def _read(context: _Context, written: FormChord) -> AnalysedChord:
    chord, kind = context.chord, context.type
    function = function_on(chord.step, kind.quality)
    if kind.is_dominant:
        rule, reading = _dominant(context)
        sounding = harmony(chord.key, function, _colour(context, rule))
        return AnalysedChord(written, sounding.over(chord.bass_tone), rule, reading or function.name)
    rule, reading, scale = _other(context)
    if chord.choice:
        scale = CHORD_SCALES[chord.choice].on(chord.root)
    if chord.target is not None:
        rule = Rule.WRITTEN
    sounding = harmony(chord.key, function, scale=scale)
    return AnalysedChord(written, sounding.over(chord.bass_tone), rule, reading or function.name)


def _dominant(context: _Context) -> tuple[Rule, str]:
    """Return the rule and the reading (empty: the function's name) of a dominant."""
    chord, step = context.chord, context.chord.step
    if chord.target is not None:
        return _applied(context, chord.target)
    if step == _DOMINANT_STEP:
        return Rule.DIATONIC, "V"
    if context.blues and step in (_TONIC, _FOURTH_STEP) and "plain" in context.type.colours:
        return Rule.BLUES, ""
    target = context.after_step
    if context.rise == _FOURTH:
        return Rule.SECONDARY, f"V/{_numeral(context, target)}"
    if context.rise == _SEMITONE_BELOW:
        return Rule.SUBSTITUTE, f"subV/{_numeral(context, target)}"
    if context.lies_in(context.key.scale):
        return Rule.DIATONIC, ""
    if step == Step(7, -1) and target == _TONIC:
        return Rule.BACKDOOR, ""
    return Rule.UNRESOLVED, ""


def _applied(context: _Context, target: Step) -> tuple[Rule, str]:
    """Read a dominant whose target is written."""
    step = context.chord.step
    if step == _SUBSTITUTE_STEP.above(target):
        return Rule.SUBSTITUTE, f"subV/{_numeral(context, target)}"
    if step == _DOMINANT_STEP.above(target):
        if target == _TONIC:
            return Rule.DIATONIC, "V"
        return Rule.SECONDARY, f"V/{_numeral(context, target)}"
    return Rule.WRITTEN, ""


def _colour(context: _Context, rule: Rule) -> Colour:
    chord, kind = context.chord, context.type
    if chord.choice:
        return COLOURS[chord.choice]
    wanted = None
    if rule is Rule.SUBSTITUTE:
        wanted = "lydian-dominant"
    elif rule is Rule.BLUES or (rule is Rule.SECONDARY and context.after.type.is_dominant):
        wanted = "plain"
    if wanted in kind.colours:
        return COLOURS[wanted]
    key = _key_of_colour(context, rule)
    ranked = sorted((COLOURS[name] for name in kind.colours), key=lambda colour: _foreign(colour, chord.root, key))
    return ranked[0]


def _key_of_colour(context: _Context, rule: Rule) -> Key:
    """Return the key whose tones a dominant's colour keeps."""
    before, after = context.before, context.after
    if before.type.quality.suffix == "m7b5" and _rise(before, context.chord) == _FOURTH:
        return Key.on(_FOURTH_STEP.tone_in(Key.on(context.chord.root)), minor=True)
    if rule is Rule.SECONDARY and context.rise == _FOURTH and not context.after_step.is_in(context.key):
        return Key.on(after.root, minor=after.type.quality.is_minor)
    return context.key


def _foreign(colour: Colour, root: Tone, key: Key) -> tuple[bool, int]:
    """Rank a colour: those of seven tones with a perfect fifth first, then by the tones that the key has not."""
    classes = colour_scale(root, colour).pitch_classes
    usual = len(classes) == 7 and (root.pitch_class + _FIFTH) % 12 in classes
    return not usual, len(classes - key.scale.pitch_classes)


def _other(context: _Context) -> tuple[Rule, str, Scale | None]:
    """Return the rule, the reading (empty: the function's name) and the scale of a chord that is no dominant."""
    key, quality = context.key, context.type.quality.suffix
    if key.minor and context.chord.step == _TONIC and quality in ("mMaj7", "m6"):
        return Rule.MINOR_TONIC, "", _usual_scale(context)
    if context.lies_in(key.scale):
        return Rule.DIATONIC, "", None
    if key.minor and context.lies_in(_melodic_minor(key)):
        return Rule.DIATONIC, "", _melodic_minor(key)
    if quality in ("m7", "m7b5") and _is_related_ii(context):
        return Rule.RELATED_II, _related(context), _usual_scale(context)
    if quality in _OWN:
        leads = quality == "dim7" and context.rise == 1
        reading = f"viidim7/{_numeral(context, context.after_step)}" if leads else ""
        return Rule.OWN_SCALE, reading, _usual_scale(context)
    parallel = parallel_scale(key)
    if context.lies_in(parallel):
        return Rule.BORROWED, "", parallel
    return Rule.USUAL, "", _usual_scale(context)


def _melodic_minor(key: Key) -> Scale:
    return CHORD_SCALES["melodic-minor"].on(key.tonic)


def _is_related_ii(context: _Context) -> bool:
    """Whether a dominant a fourth above follows and resolves; the key's own V has a borrowed ii, not a related one."""
    if context.rise != _FOURTH or not context.after.type.is_dominant or context.after_step == _DOMINANT_STEP:
        return False
    return context.after.target is not None or context.after_rise in (_FOURTH, _SEMITONE_BELOW)


def _related(context: _Context) -> str:
    ii = "iim7b5" if context.type.quality.suffix == "m7b5" else "ii"
    if context.after_rise == _SEMITONE_BELOW:
        return f"{ii}/subV"
    return f"{ii}/{_diatonic_numeral(_FOURTH_STEP.above(context.after_step), context.key)}"


def _usual_scale(context: _Context) -> Scale:
    """Return the usual scale of a chord's quality, or the first other one that holds its tensions too."""
    kind = context.type
    wanted = kind.semitones | frozenset(kind.quality.semitones)
    usual = _USUAL[kind.quality.suffix]
    for name in (usual, *CHORD_SCALES):
        if wanted <= CHORD_SCALES[name].on(Tone("C")).pitch_classes:
            return CHORD_SCALES[name].on(context.chord.root)
    chord = context.chord
    raise TheoryError(f"bar {chord.bar}: no scale here holds all tones of {chord.written!r}; leave out a tension")


def _numeral(context: _Context, target: Step) -> str:
    """Name a step by the chord that follows there, else by the chord that the key has there."""
    after = context.after
    if after.root.pitch_class != target.tone_in(context.key).pitch_class:
        return _diatonic_numeral(target, context.key)
    return target.numeral_of(minor=after.type.quality.is_minor)


def _diatonic_numeral(step: Step, key: Key) -> str:
    third = (step.tone_in(key).pitch_class + 3) % 12
    return step.numeral_of(minor=step.is_in(key) and third in key.scale.pitch_classes)


def _is_blues(key: Key, chords: Sequence[FormChord]) -> bool:
    tonics = [chord.type for chord in chords if chord.key == key and chord.step == _TONIC]
    fourths = [chord.type for chord in chords if chord.key == key and chord.step == _FOURTH_STEP]
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


def _rise(chord: FormChord, other: FormChord) -> int:
    return (other.root.pitch_class - chord.root.pitch_class) % 12
