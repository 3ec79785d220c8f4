"""Dominants of a form: what each does (`deckbuilder.theory.rules`, the second rule) and its colour.

A dominant's colour is, of those that hold its tensions, the one with the fewest tones outside the key; colours of seven
tones with a perfect fifth go before the others, so that altered, diminished and whole-tone are taken where they are
written. After its half-diminished ii that key is the minor one of what it leads to, and where a secondary dominant
leads out of the key, the key of the chord it leads to. Where their tensions allow it, a tritone substitute is lydian
dominant (the tones of the altered scale it stands for), and the dominant of a dominant and both dominants of a blues
are plain.
"""

from deckbuilder.theory.colours import COLOURS, Colour, colour_scale
from deckbuilder.theory.contexts import (
    DOMINANT_STEP,
    FOURTH,
    FOURTH_STEP,
    SEMITONE_BELOW,
    SUBSTITUTE_STEP,
    TONIC,
    Context,
    rise,
)
from deckbuilder.theory.keys import Key
from deckbuilder.theory.rules import Rule
from deckbuilder.theory.steps import Step
from deckbuilder.theory.tones import Tone

_FIFTH = 7


def dominant(context: Context) -> tuple[Rule, str]:
    """Return the rule and the reading (empty: the function's name) of a dominant.

    Args:
        context: the chord.
    """
    chord, step = context.chord, context.chord.step
    if chord.target is not None:
        return _applied(context, chord.target)
    if step == DOMINANT_STEP:
        return Rule.DIATONIC, "V"
    if context.blues and step in (TONIC, FOURTH_STEP) and "plain" in context.type.colours:
        return Rule.BLUES, ""
    target = context.after_step
    if context.rise == FOURTH:
        return Rule.SECONDARY, f"V/{context.numeral(target)}"
    if context.rise == SEMITONE_BELOW:
        return Rule.SUBSTITUTE, f"subV/{context.numeral(target)}"
    if context.is_diatonic:
        return Rule.DIATONIC, ""
    if step == Step(7, -1) and target == TONIC:
        return Rule.BACKDOOR, ""
    return Rule.UNRESOLVED, ""


def _applied(context: Context, target: Step) -> tuple[Rule, str]:
    """Read a dominant whose target is written."""
    step = context.chord.step
    if step == SUBSTITUTE_STEP.above(target):
        return Rule.SUBSTITUTE, f"subV/{context.numeral(target)}"
    if step == DOMINANT_STEP.above(target):
        if target == TONIC:
            return Rule.DIATONIC, "V"
        return Rule.SECONDARY, f"V/{context.numeral(target)}"
    return Rule.WRITTEN, ""


def colour(context: Context, rule: Rule) -> Colour:
    """Return the colour of a dominant: the written one, else the first that holds its tensions.

    Args:
        context: the chord.
        rule: the rule that read it.
    """
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
    # Colours that others add come only where they are named, so that no chord changes with what is installed.
    fitting = (COLOURS[name] for name in kind.colours if name in COLOURS.built_in)
    return min(fitting, key=lambda colour: _foreign(colour, chord.root, key))


def _key_of_colour(context: Context, rule: Rule) -> Key:
    """Return the key whose tones a dominant's colour keeps."""
    before, after = context.before, context.after
    if before.type.quality.suffix == "m7b5" and rise(before, context.chord) == FOURTH:
        return Key.on(FOURTH_STEP.tone_in(Key.on(context.chord.root)), minor=True)
    if rule is Rule.SECONDARY and context.rise == FOURTH and not context.after_step.is_in(context.key):
        return Key.on(after.root, minor=after.type.quality.is_minor)
    return context.key


def _foreign(colour: Colour, root: Tone, key: Key) -> tuple[bool, int]:
    """Rank a colour: those of seven tones with a perfect fifth first, then by the tones that the key has not."""
    classes = colour_scale(root, colour).pitch_classes
    usual = len(classes) == 7 and (root.pitch_class + _FIFTH) % 12 in classes
    return not usual, len(classes - key.scale.pitch_classes)
