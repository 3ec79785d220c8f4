"""Target notes: a chord is named and sounds, then one tone, whose degree is asked.

Guide tones come first, over the cadence; then the tensions of its altered dominant; then both, over the turnaround's.
"""

from functools import partial

from deckbuilder.cards import words
from deckbuilder.cards.context import Context
from deckbuilder.cards.facts import Fact
from deckbuilder.cards.heard import Heard, ascending, heard_note
from deckbuilder.cards.levels import Lesson, Level
from deckbuilder.cards.note import Note
from deckbuilder.cards.spread import Question
from deckbuilder.neck.fingering import FingeredNote
from deckbuilder.neck.regions import Region
from deckbuilder.speech import _, marked, translate
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.keys import Key
from deckbuilder.theory.tones import Tone, pretty

_HOW_TO_HEAR = {
    "b9": marked("{tone} is a semitone above the root, leaning down to it."),
    "#9": marked("{tone} is a minor third above the root, rubbing against the 3rd."),
    "b3": marked("{tone} is a minor third above the root, the dark one of the two thirds."),
    "3": marked("{tone} is a major third above the root, the bright one of the two thirds."),
    "b5": marked("{tone} is a tritone from the root, halfway through its octave."),
    "b13": marked("{tone} is a minor sixth above the root, leaning down."),
    "b7": marked("{tone} is a whole step below the root’s octave."),
    "7": marked("{tone} is a semitone below the root’s octave, leaning up to it."),
}

HEARD_DEGREES = tuple(_HOW_TO_HEAR)
"""Degrees that the ear can be asked for, those that it is told how to hear."""

_ANY_KEY = Key.parse("C")
"""Degrees are the same in every key."""


def target_questions(level: Level) -> tuple[Question, ...]:
    """Return the questions of a level: each of its degrees over each chord it adds."""
    return tuple(
        partial(_note, lesson, degree, alternatives)
        for lesson in level.lessons
        for alternatives in [tuple(name for name in level.targets if name in _tones(lesson.harmony(_ANY_KEY)))]
        if len(alternatives) > 1
        for degree in alternatives
    )


def _note(lesson: Lesson, degree: str, alternatives: tuple[str, ...], context: Context, region: Region) -> Note:
    chord = lesson.harmony(context.key)
    tone = _tones(chord)[degree]
    run = _above_the_chord(context, region, chord, tone)
    midi = tuple(note.midi for note in run) or ascending([tone], max(context.shell(chord.chord)))
    named, listed = words.tone_name(tone, chord), words.one_of(map(pretty, alternatives))
    return heard_note(
        context,
        region,
        Heard(
            fact=Fact.TARGET,
            harmony=chord,
            question=_("Over {chord}, one tone: which degree, {degrees}?", chord=chord.label, degrees=listed),
            task=_("Over {chord}, one tone: which degree?", chord=chord.label),
            answer=degree,
            label=pretty(degree),
            over=words.joined(named, words.over(chord, context.key)),
            why=translate(_HOW_TO_HEAR[degree]).format(tone=named),
            symbol=tone.name,
            tones=(tone,),
            roots=frozenset({chord.chord.root.pitch_class}),
            clip=context.question_clip(chord.chord, midi),
            plays=_("Play the chord and the tone"),
            item=degree,
            run=run,
            beside=(chord.chord.root,),
        ),
    )


def _tones(chord: Harmony) -> dict[str, Tone]:
    """Return the tones of a chord's scale by their degrees."""
    return {chord.degree_of(tone): tone for tone in chord.scale.tones}


def _above_the_chord(context: Context, region: Region, chord: Harmony, tone: Tone) -> tuple[FingeredNote, ...]:
    """Return the tone's lowest place in the region above the chord, else its highest; nothing where it has none."""
    notes = context.fingering(chord.scale, region).run({tone.pitch_class})
    top = max(context.shell(chord.chord))
    return tuple(note for note in notes if note.midi > top)[:1] or notes[-1:]
