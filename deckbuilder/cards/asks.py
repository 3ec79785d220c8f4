"""Ways to ask: one row a kind, with what its cards show and say and what people choose it by.

A row that several facts share stands here once; a fact that asks in its own words takes it with another `line`.
"""

from dataclasses import dataclass
from typing import Final

from deckbuilder.cards.facts import AnyKind, Kind, Slot
from deckbuilder.speech import marked

ANSWER: Final = (Slot.PICTURE, Slot.CLIP, Slot.NOTATION, Slot.SLOW_CLIP)
"""What the usual answer shows."""

TEMPLATES: Final = "deckbuilder.deck"
"""The package that has the templates of this program's kinds."""


@dataclass(frozen=True, slots=True)
class Ask:
    """How a kind asks for a fact.

    Every text is a message that is said with `translate`.

    Args:
        kind: the kind.
        front: the slots that the question shows.
        back: the slots that the answer shows.
        text: the question as plain text, with the note's words and `line` in braces.
        line: a line of the card's own below its question.
        label: the kind in a word, in tables; empty for its name.
        title: what the desk calls it; empty for its name.
        about: what one does, a sentence, on the desk.
        templates: the package in whose folder `templates` the kind's sides lie; they may include this program's. A side
            without a file of its own is the usual one, `front.html` or `back.html`.
    """

    kind: AnyKind
    front: tuple[Slot, ...]
    back: tuple[Slot, ...] = ANSWER
    text: str = "{prompt}"
    line: str = ""
    label: str = ""
    title: str = ""
    about: str = ""
    templates: str = TEMPLATES


LOCATE: Final = Ask(
    Kind.LOCATE,
    (Slot.EMPTY_NECK,),
    text=marked("{prompt}: show it on the neck."),
    line=marked("Show it on the neck. Known: you see every root and guide tone."),
    label=marked("locate"),
    title=marked("Find it on the neck"),
    about=marked("You read what is wanted, such as a scale over V, and see or play where it lies under your hand."),
)
IDENTIFY: Final = Ask(
    Kind.IDENTIFY,
    (Slot.QUESTION_PICTURE,),
    text="{key} · {place}: {line}",
    line=marked("Which of the loop’s arpeggios is this, and over which chord?"),
    label=marked("identify"),
    title=marked("Name what you see"),
    about=marked("You see notes on the neck and say which arpeggio they are, and over which chord."),
)
HEAR: Final = Ask(
    Kind.HEAR,
    (Slot.CLIP,),
    text="{key}: {question}",
    label=marked("hear"),
    title=marked("Name what you hear"),
    about=marked("You hear a chord and what is played over it, and say what it was. No instrument needed."),
)
SPELL: Final = Ask(
    Kind.SPELL,
    (),
    line=marked("Name its tones, from its root up."),
    label=marked("spell"),
    title=marked("Name its notes"),
    about=marked("You say the notes of an arpeggio, from its root up."),
)
CONNECT: Final = Ask(
    Kind.CONNECT,
    (Slot.QUESTION_PICTURE,),
    label=marked("connect"),
    title=marked("From chord to chord"),
    about=marked("You go from the 3rd or 7th of one chord to the nearest 3rd or 7th of the next."),
)
IMPROVISE: Final = Ask(
    Kind.IMPROVISE,
    (Slot.CLIP,),
    (Slot.PICTURE, Slot.EXAMPLE, Slot.NOTATION, Slot.SLOW_CLIP),
    line=marked("Play or sing over the loop, then grade yourself: did you keep to it?"),
    label=marked("improvise"),
    title=marked("Play over a loop"),
    about=marked("A rhythm section plays the chords, and you improvise with one thing to keep to. Instrument needed."),
)
FOLLOW: Final = Ask(
    Kind.FOLLOW,
    (Slot.EMPTY_NECK,),
    line=marked("Known: you see or play each voice through and name its tones, without a stop."),
    label=marked("follow"),
    title=marked("Follow the guide tones"),
    about=marked("You take the line of 3rds and 7ths through all the chords without leaving the place."),
)
READ: Final = Ask(
    Kind.READ,
    (Slot.QUESTION_SCORE,),
    text=marked("{key} · {place}: Which arpeggio does the staff show? Find it on the neck."),
    line=marked("Which arpeggio is this? Find it on the neck."),
    label=marked("read"),
    title=marked("Read it from the staff"),
    about=marked("You read an arpeggio from written music, name it and find it on the neck."),
)
NAME: Final = Ask(
    Kind.NAME,
    (),
    line=marked("Name the chord, or both of a pair. Known: within three seconds."),
    label=marked("name"),
    title=marked("Which chord is it?"),
    about=marked("You read a place in a key, such as V of ii, and name its chord within three seconds."),
)
ANALYSE: Final = Ask(
    Kind.ANALYSE,
    (),
    text="{question}",
    line=marked("Known: you say it within three seconds."),
    label=marked("analyse"),
    title=marked("What does the chord do?"),
    about=marked("You read a chord in a key and say what it does there, such as V of ii, within three seconds."),
)
ENCLOSE: Final = Ask(
    Kind.ENCLOSE,
    (Slot.EMPTY_NECK,),
    line=marked("Known: you see all three tones, in every octave that the hand holds."),
    label=marked("enclose"),
    title=marked("Lead into a note"),
    about=marked("You find a 3rd or 7th with the note above and the note below that lead into it."),
)
VOICE: Final = Ask(
    Kind.VOICE,
    (),
    text="{prompt}. {question}",
    line=marked("Known: you see or play every chord without a stop."),
    label=marked("voice"),
    title=marked("Chords on three strings"),
    about=marked("You play each chord as its 3rd, its 7th and one more note, moving as little as you can."),
)
CROSS: Final = Ask(
    Kind.CROSS,
    (),
    line=marked("An octave each. Known: you find each without a stop, and know its region."),
    label=marked("cross"),
    title=marked("Four ways up the neck"),
    about=marked("You play an arpeggio from its root, 3rd, 5th and 7th, one after the other, up the whole neck."),
)
