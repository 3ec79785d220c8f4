"""Colour notes: changes go by, and their dominant is plain or altered.

Level 2 asks it of V in the cadence, level 3 of VI in the turnaround. The clips of the two answers differ in that
chord's added tone alone: the shell is the same.
"""

from functools import partial

from deckbuilder.cards import words
from deckbuilder.cards.comping import change, loop_harmonies, voiced_tones
from deckbuilder.cards.context import Context
from deckbuilder.cards.facts import Fact
from deckbuilder.cards.heard import Heard, heard_note
from deckbuilder.cards.levels import Level
from deckbuilder.cards.note import Note
from deckbuilder.cards.spread import Question
from deckbuilder.neck.regions import Region
from deckbuilder.sound.cadence import cadence_clip
from deckbuilder.sound.voice_leading import recoloured, voice_led
from deckbuilder.speech import _, marked, translate
from deckbuilder.theory.colours import COLOURS, colour_label
from deckbuilder.theory.functions import FUNCTIONS, Harmony, harmony
from deckbuilder.theory.tones import pretty

ANSWERS = ("plain", "altered")
"""Colours that are told apart."""

_TENSIONS = {
    "b9": marked(
        "Over the guide tones lies the {degree}, {tone}: it rubs against the root, and that tension is the altered "
        "sound."
    ),
    "#9": marked(
        "Over the guide tones lies the {degree}, {tone}: it rubs against the 3rd, and that tension is the altered "
        "sound."
    ),
    "b13": marked(
        "Over the guide tones lies the {degree}, {tone}: it takes the place of the fifth, and that tension is the "
        "altered sound."
    ),
    "b5": marked(
        "Over the guide tones lies the {degree}, {tone}: it takes the place of the fifth, and that tension is the "
        "altered sound."
    ),
}
"""What an altered tone does in its chord."""
_NATURAL = marked(
    "Over the guide tones lies the {degree}, {tone}: neither raised nor lowered, it sits easily in the chord."
)

_BEATS = 12
"""Quarter notes of a clip, shared by its chords."""


def colour_questions(level: Level) -> tuple[Question, ...]:
    """Return the questions of a level: one for each answer, where the level alters a dominant of its changes."""
    altered = [lesson.function for lesson in level.lessons if lesson.colour == "altered"]
    return tuple(partial(_note, level, function, answer) for function in altered for answer in ANSWERS)


def _note(level: Level, function: str, answer: str, context: Context, region: Region) -> Note:
    key = context.key
    asked = harmony(key, FUNCTIONS[function], COLOURS[answer])
    chords = loop_harmonies(level, key)
    beats = _BEATS // len(chords)
    changes = [change(chord, beats) for chord in chords]
    voicings = list(voice_led(changes))
    place = [chord.function.name for chord in chords].index(function)
    # Led as altered and changed afterwards, so that the rest of the clip is the same whichever colour sounds.
    changes[place] = change(asked, beats)
    voicings[place] = recoloured(voicings[place], changes[place])
    tones = voiced_tones(asked, voicings[place])
    recipe = context.recipe
    return heard_note(
        context,
        region,
        Heard(
            fact=Fact.COLOUR,
            harmony=asked,
            question=_(
                "{changes}: is {function} plain or altered?",
                changes=words.changes_in_order(chords),
                function=asked.function.label,
            ),
            task=_("Is {function} plain or altered?", function=asked.function.label),
            answer=answer,
            label=colour_label(answer),
            over=words.over(asked, key),
            why=_why(asked, tuple(asked.degree_of(tone) for tone in tones)),
            symbol=asked.symbol,
            tones=tones,
            roots=frozenset({asked.chord.root.pitch_class}),
            clip=cadence_clip(changes, tempo=recipe.sound.tempo, a4=recipe.sound.a4, voicings=voicings),
            plays=_("Play the changes"),
        ),
    )


def _why(asked: Harmony, degrees: tuple[str, ...]) -> str:
    """Say which tone tells the colour."""
    shell = {asked.degree_of(tone) for tone in (asked.chord.root, *asked.chord.guide_tones)}
    added = next(tone for tone in asked.scale.tones if asked.degree_of(tone) in set(degrees) - shell)
    degree = asked.degree_of(added)
    return translate(_TENSIONS.get(degree, _NATURAL)).format(degree=pretty(degree), tone=added.label)
