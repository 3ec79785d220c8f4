"""Analysis: what each chord of a form does in its key, and the scale it draws on.

A chord is read in its context (`deckbuilder.theory.contexts`) by rules (`deckbuilder.theory.rules`), a dominant as
`deckbuilder.theory.dominants` has it. A bass after a slash changes neither function nor scale, unless it is a triad's
seventh.
"""

from dataclasses import dataclass

from deckbuilder.theory.changes import ChangesError
from deckbuilder.theory.chordscales import CHORD_SCALES
from deckbuilder.theory.contexts import (
    DOMINANT_STEP,
    FOURTH,
    FOURTH_STEP,
    SEMITONE_BELOW,
    TONIC,
    Context,
    contexts,
    diatonic_numeral,
)
from deckbuilder.theory.dominants import colour, dominant
from deckbuilder.theory.forms import Form, FormChord
from deckbuilder.theory.functions import Harmony, function_on, harmony
from deckbuilder.theory.keys import Key, parallel_scale
from deckbuilder.theory.rules import Rule
from deckbuilder.theory.scales import Scale
from deckbuilder.theory.steps import roman_label
from deckbuilder.theory.tones import TheoryError, Tone

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


def analyse(form: Form) -> tuple[AnalysedChord, ...]:
    """Read every chord of a form in its context.

    Args:
        form: the changes.

    Returns:
        One reading for each chord, in the order in which they are played.

    Raises:
        TheoryError: no scale holds a chord's tones; the message names bar and chord.
    """
    read = readings(form)
    for found in read:
        if isinstance(found, TheoryError):
            raise found
    return tuple(found for found in read if isinstance(found, AnalysedChord))


def readings(form: Form) -> tuple[AnalysedChord | TheoryError, ...]:
    """Read every chord of a form in its context, as far as it can be read.

    Args:
        form: the changes; bars may have no chords.

    Returns:
        For each chord, in the order in which they are played, its reading or why there is none.
    """
    return tuple(map(_tried, contexts(form), form.chords)) if form.chords else ()


def _tried(context: Context, written: FormChord) -> AnalysedChord | TheoryError:
    try:
        return _read(context, written)
    except TheoryError as error:
        return error


def _read(context: Context, written: FormChord) -> AnalysedChord:
    chord, kind = context.chord, context.type
    function = function_on(chord.step, kind.quality)
    if kind.is_dominant:
        rule, reading = dominant(context)
        sounding = harmony(chord.key, function, colour(context, rule))
        return AnalysedChord(written, sounding.over(chord.bass_tone), rule, reading or function.name)
    rule, reading, scale = _other(context)
    if chord.choice:
        scale = CHORD_SCALES[chord.choice].on(chord.root)
    if chord.target is not None:
        rule = Rule.WRITTEN
    sounding = harmony(chord.key, function, scale=scale)
    return AnalysedChord(written, sounding.over(chord.bass_tone), rule, reading or function.name)


def _other(context: Context) -> tuple[Rule, str, Scale | None]:
    """Return the rule, the reading (empty: the function's name) and the scale of a chord that is no dominant."""
    key, quality = context.key, context.type.quality.suffix
    minor_tonic = key.minor and context.chord.step == TONIC
    if minor_tonic and quality in ("mMaj7", "m6"):
        return Rule.MINOR_TONIC, "", _usual_scale(context)
    related = quality in ("m7", "m7b5") and not minor_tonic and _is_related_ii(context)
    if context.is_diatonic and not (related and quality == "m7" and _leaves_the_key(context)):
        return Rule.DIATONIC, "", None
    if key.minor and context.lies_in(_melodic_minor(key)):
        return Rule.DIATONIC, "", _melodic_minor(key)
    if related:
        return Rule.RELATED_II, _related(context), _usual_scale(context)
    if quality in _OWN:
        leads = quality == "dim7" and context.rise == 1
        reading = f"viidim7/{context.numeral(context.after_step)}" if leads else ""
        return Rule.OWN_SCALE, reading, _usual_scale(context)
    parallel = parallel_scale(key)
    if context.lies_in(parallel):
        return Rule.BORROWED, "", parallel
    return Rule.USUAL, "", _usual_scale(context)


def _melodic_minor(key: Key) -> Scale:
    return CHORD_SCALES["melodic-minor"].on(key.tonic)


def _is_related_ii(context: Context) -> bool:
    """Whether a dominant a fourth above follows and resolves; the key's own V has a borrowed ii, not a related one."""
    if context.rise != FOURTH or not context.after.type.is_dominant or context.after_step == DOMINANT_STEP:
        return False
    return context.after.target is not None or context.after_rise in (FOURTH, SEMITONE_BELOW)


def _leaves_the_key(context: Context) -> bool:
    """Whether the dominant that follows is none of the key's own chords, as ♭VII7 of a minor key is."""
    own, root = context.key.scale.pitch_classes, context.after.root.pitch_class
    return any((root + step) % 12 not in own for step in context.after.type.quality.semitones)


def _related(context: Context) -> str:
    ii = "iim7b5" if context.type.quality.suffix == "m7b5" else "ii"
    if context.after_rise == SEMITONE_BELOW:
        return f"{ii}/subV"
    return f"{ii}/{diatonic_numeral(FOURTH_STEP.above(context.after_step), context.key)}"


def _usual_scale(context: Context) -> Scale:
    """Return the usual scale of a chord's quality, or the first other one that holds its tensions too."""
    kind = context.type
    wanted = kind.semitones | frozenset(kind.quality.semitones)
    usual = _USUAL[kind.quality.suffix]
    for name in (usual, *CHORD_SCALES):
        if wanted <= CHORD_SCALES[name].on(Tone("C")).pitch_classes:
            return CHORD_SCALES[name].on(context.chord.root)
    chord = context.chord
    raise ChangesError(f"no scale here holds all tones of {chord.written!r}; leave out a tension", chord.bar)
