"""Card types: one row a fact, with everything that is said of it in one place.

Note types, tables, the preview, lists of media and progress read this table. A further fact is a module that makes its
notes and a row here. Every row has all its kinds from the first day: a recipe switches them on and off.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from deckbuilder.cards.across import across_notes
from deckbuilder.cards.arpeggio import arpeggio_notes
from deckbuilder.cards.asks import (
    ANALYSE,
    CONNECT,
    CROSS,
    ENCLOSE,
    FOLLOW,
    HEAR,
    IDENTIFY,
    IMPROVISE,
    LOCATE,
    NAME,
    READ,
    SPELL,
    VOICE,
    Ask,
)
from deckbuilder.cards.colour import colour_questions
from deckbuilder.cards.connection import connection_notes
from deckbuilder.cards.context import Context
from deckbuilder.cards.enclosure import enclosure_notes
from deckbuilder.cards.facts import AnyFact, AnyKind, Fact, Kind, Slot
from deckbuilder.cards.function import function_questions
from deckbuilder.cards.guideline import guide_line_notes
from deckbuilder.cards.improvisation import improvisation_notes
from deckbuilder.cards.levels import Level
from deckbuilder.cards.note import Attachment, Note
from deckbuilder.cards.passage import Passage
from deckbuilder.cards.reading import reading_notes
from deckbuilder.cards.scale import chord_scale_notes, key_scale_notes
from deckbuilder.cards.shell import shell_notes
from deckbuilder.cards.sight import sight_notes
from deckbuilder.cards.source import source_questions
from deckbuilder.cards.spelling import spelling_notes
from deckbuilder.cards.spread import Question
from deckbuilder.cards.target import target_questions
from deckbuilder.cards.words import region_name
from deckbuilder.neck.regions import Region
from deckbuilder.registry import Registry
from deckbuilder.speech import marked, translate
from deckbuilder.theory.functions import Harmony


@dataclass(frozen=True, slots=True)
class CardType:
    """Everything that is said of a fact.

    Args:
        fact: the fact.
        note_type: the fixed id of its note type: an importer knows it by that.
        name: what a user sees in the list of note types.
        asks: its kinds, in the order of its card templates.
        label: the fact in a word or two, in tables, a message that is said with `translate`; empty for its name.
        reserved: those of its kinds that no recipe asks yet.
        own_slots: slots that only its note type had from the first day.
        on_level_anywhere: makes notes of a level in a key, about no region.
        on_chord_anywhere: makes notes of a chord wherever it lies.
        on_key: makes notes of a key in a region, from the chords that are played there and the changes' name.
        on_chord: makes notes of a chord in a region.
        on_pair: makes notes of two neighbouring chords in a region.
        on_passage: makes notes of changes to improvise over in a region.
        ear: gives a level's questions for the ear.
        ear_number: this type's number among those for the ear; keys and regions of its questions hang on it.
    """

    fact: AnyFact
    note_type: int
    name: str
    asks: tuple[Ask, ...]
    label: str = ""
    reserved: tuple[AnyKind, ...] = ()
    own_slots: tuple[Slot, ...] = ()
    on_level_anywhere: Callable[[Context, Level], Iterable[Note]] | None = None
    on_chord_anywhere: Callable[[Context, Harmony], Iterable[Note]] | None = None
    on_key: Callable[[Context, Region, Sequence[Harmony], str], Iterable[Note]] | None = None
    on_chord: Callable[[Context, Region, Harmony], Iterable[Note]] | None = None
    on_pair: Callable[[Context, Region, Harmony, Harmony], Iterable[Note]] | None = None
    on_passage: Callable[[Context, Region, Passage], Iterable[Note]] | None = None
    ear: Callable[[Level], tuple[Question, ...]] | None = None
    ear_number: int = 0

    def asked(self, kinds: Iterable[AnyKind]) -> tuple[AnyKind, ...]:
        """Return those of its kinds that are among some."""
        wanted = set(kinds)
        return tuple(ask.kind for ask in self.asks if ask.kind in wanted and ask.kind not in self.reserved)


_ROWS = (
    CardType(
        Fact.SCALE,
        1_406_530_101,
        "Neck: scale in a region",
        (LOCATE, replace(IDENTIFY, line=marked("Which scale is this, and over what is it played?")), HEAR),
        marked("scale"),
        # The header names the key: the shape of its scale would tell nothing.
        reserved=(Kind.HEAR, Kind.IDENTIFY),
        on_key=key_scale_notes,
        on_chord=chord_scale_notes,
    ),
    CardType(
        Fact.ARPEGGIO,
        1_406_530_102,
        "Neck: arpeggio in a region",
        (LOCATE, IDENTIFY, HEAR),
        marked("arpeggio"),
        on_chord=arpeggio_notes,
    ),
    CardType(
        Fact.SPELLING,
        1_406_530_103,
        "Neck: spelling of an arpeggio",
        (SPELL,),
        marked("spelling"),
        on_chord_anywhere=spelling_notes,
    ),
    CardType(
        Fact.COLOUR,
        1_406_530_104,
        "Ear: colour of a dominant",
        (HEAR,),
        marked("colour"),
        ear=colour_questions,
        ear_number=2,
    ),
    CardType(
        Fact.SOURCE,
        1_406_530_105,
        "Ear: where an arpeggio starts",
        (HEAR,),
        marked("source"),
        ear=source_questions,
        ear_number=0,
    ),
    CardType(
        Fact.TARGET,
        1_406_530_106,
        "Ear: one tone over a chord",
        (HEAR,),
        marked("target"),
        ear=target_questions,
        ear_number=1,
    ),
    CardType(
        Fact.FUNCTION,
        1_406_530_107,
        "Ear: a chord of the loop",
        (HEAR,),
        marked("function"),
        ear=function_questions,
        ear_number=3,
    ),
    CardType(
        Fact.IMPROVISATION,
        1_406_530_108,
        "Improvisation over a loop",
        (IMPROVISE,),
        marked("improvisation"),
        own_slots=(Slot.EXAMPLE,),
        on_passage=improvisation_notes,
    ),
    CardType(
        Fact.CONNECTION,
        1_406_530_109,
        "Neck: from chord to chord",
        (CONNECT,),
        marked("connection"),
        on_pair=connection_notes,
    ),
    CardType(
        Fact.GUIDE_LINES,
        1_406_530_110,
        "Neck: guide-tone lines",
        (FOLLOW,),
        marked("guide-tone lines"),
        on_passage=guide_line_notes,
    ),
    CardType(
        Fact.READING,
        1_406_530_111,
        "Staff: an arpeggio in a region",
        (READ,),
        marked("reading"),
        own_slots=(Slot.QUESTION_SCORE,),
        on_chord=reading_notes,
    ),
    CardType(
        Fact.SIGHT,
        1_406_530_112,
        "At sight: chords and their functions",
        (NAME, ANALYSE),
        marked("sight"),
        on_level_anywhere=sight_notes,
    ),
    CardType(
        Fact.ENCLOSURE,
        1_406_530_113,
        "Neck: a guide tone enclosed",
        (ENCLOSE,),
        marked("enclosure"),
        on_chord=enclosure_notes,
    ),
    CardType(
        Fact.SHELL,
        1_406_530_114,
        "Neck: shells on three strings",
        (VOICE,),
        marked("shell"),
        on_level_anywhere=shell_notes,
    ),
    CardType(
        Fact.INVERSIONS,
        1_406_530_115,
        "Neck: four inversions across the neck",
        (CROSS,),
        marked("inversions"),
        on_chord_anywhere=across_notes,
    ),
)


CARD_TYPES: Registry[AnyFact, CardType] = Registry("fact", {row.fact: row for row in _ROWS})
"""Every card type by its fact."""


def known_kinds() -> dict[AnyKind, Ask]:
    """Return every kind that some card type asks, those of this program first, each as the first of them asks it."""
    asks = [ask for row in CARD_TYPES.values() for ask in row.asks]
    first = {ask.kind: ask for ask in reversed(asks)}
    return {kind: first[kind] for kind in (*Kind, *(ask.kind for ask in asks))}


def switched_on(note: Note, kinds: Iterable[AnyKind]) -> Note:
    """Return a note with those of its fact's kinds that are among some, and that it has a question for."""
    asked = CARD_TYPES[note.identity.fact].asked(kinds)
    switched = tuple(kind for kind in asked if kind is not Kind.HEAR or note.words.question)
    return note if switched == note.kinds else replace(note, kinds=switched)


def ask_of(note: Note, kind: AnyKind) -> Ask:
    """Return how a kind asks for a note."""
    return next(ask for ask in CARD_TYPES[note.identity.fact].asks if ask.kind is kind)


def front_text(note: Note, kind: AnyKind) -> str:
    """Return a card's question as plain text.

    Args:
        note: the fact.
        kind: how it is asked.
    """
    words, region, ask = note.words, note.music.region, ask_of(note, kind)
    return translate(ask.text).format(
        prompt=words.prompt,
        key=words.key,
        question=words.question,
        place=region_name(region) if region else words.where,
        line=translate(ask.line),
    )


def shown(note: Note) -> dict[Slot, Attachment]:
    """Return the media that a note's cards show, on either side."""
    asks = [ask_of(note, kind) for kind in note.kinds]
    slots = dict.fromkeys(slot for ask in asks for slot in (*ask.front, *ask.back))
    return {slot: note.media[slot] for slot in slots if slot in note.media}
