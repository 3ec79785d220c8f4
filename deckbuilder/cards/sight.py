"""At sight: which chord a function is in a key, and which function a chord has; words alone, no place on the neck.

Every answer is the only one: no chord comes twice in a key, and a pair of chords asks for its key where it stands in
no other. Left out are functions that have two names, as ♭VII7, which is also the substitute of V of vi.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from deckbuilder.cards import words
from deckbuilder.cards.context import Context
from deckbuilder.cards.facts import Fact
from deckbuilder.cards.levels import Level
from deckbuilder.cards.music import Music, guide_tones
from deckbuilder.cards.note import Note
from deckbuilder.cards.wording import Said
from deckbuilder.speech import _, marked, translate
from deckbuilder.theory.colours import COLOURS
from deckbuilder.theory.functions import Harmony, function_on, harmony
from deckbuilder.theory.keys import Key
from deckbuilder.theory.numerals import Numeral
from deckbuilder.theory.steps import Step, roman_label


@dataclass(frozen=True, slots=True)
class Asked:
    """A function that is asked at sight.

    Args:
        name: part of the note's id, ASCII.
        numerals: its chord, or the chords of a pair, as `Numeral` reads them.
        label: what a player calls it, a message that is said with `translate`.
        leads_to: numeral of the chord that it leads to or stands for; empty where it needs none to be explained.
        level: the level that brings it.
        minor: whether it is asked of minor keys.
    """

    name: str
    numerals: tuple[str, ...]
    label: str
    leads_to: str = ""
    level: int = 1
    minor: bool = False


SUBSTITUTE = "subV"

ASKED = (
    Asked("ii", ("ii7",), "ii"),
    Asked("iii", ("iii7",), "iii"),
    Asked("IV", ("IVmaj7",), "IV"),
    Asked("V", ("V7",), "V"),
    Asked("vi", ("vi7",), "vi"),
    Asked("vii", ("viiø7",), "viiø"),
    Asked("ii-V", ("ii7", "V7"), "ii–V", "Imaj7"),
    Asked(SUBSTITUTE, ("subV7",), marked("the tritone substitute of V"), "V7", level=2),
    Asked("V-of-ii", ("V7/ii",), marked("V of ii"), "ii7", level=3),
    Asked("V-of-iii", ("V7/iii",), marked("V of iii"), "iii7", level=3),
    Asked("V-of-IV", ("V7/IV",), marked("V of IV"), "IVmaj7", level=3),
    Asked("V-of-V", ("V7/V",), marked("V of V"), "V7", level=3),
    Asked("V-of-vi", ("V7/vi",), marked("V of vi"), "vi7", level=3),
    Asked("ii", ("iiø7",), "iiø", level=4, minor=True),
    Asked("bIII", ("bIIImaj7",), "♭III", level=4, minor=True),
    Asked("iv", ("iv7",), "iv", level=4, minor=True),
    Asked("bVI", ("bVImaj7",), "♭VI", level=4, minor=True),
    Asked("ii-V", ("iiø7", "V7"), "iiø–V", "im6", level=4, minor=True),
    Asked(SUBSTITUTE, ("subV7",), marked("the tritone substitute of V"), "V7", level=4, minor=True),
    Asked("V-of-iv", ("V7/iv",), marked("V of iv"), "iv7", level=4, minor=True),
    Asked("V-of-V", ("V7/V",), marked("V of V"), "V7", level=4, minor=True),
)
"""Functions in the order of study (common practice, no source)."""


def sight_notes(context: Context, level: Level) -> Iterator[Note]:
    """Make the notes of the functions that a level asks at sight in a key.

    Args:
        context: key, instrument and level.
        level: the level.
    """
    for asked in ASKED:
        if asked.level == level.number and asked.minor == context.key.minor:
            yield _note(context, asked)


def chords_of(asked: Asked, key: Key) -> tuple[Harmony, ...]:
    """Return the chord of a function in a key, or the chords of a pair."""
    return tuple(_chord(numeral, key) for numeral in asked.numerals)


def _chord(numeral: str, key: Key) -> Harmony:
    read = Numeral.parse(numeral)
    function = function_on(read.step, read.type.quality)
    return harmony(key, function, COLOURS["plain"] if function.is_dominant else None)


def _note(context: Context, asked: Asked) -> Note:
    key, chords = context.key, chords_of(asked, context.key)
    symbols = "–".join(chord.chord.label for chord in chords)
    single = chords if len(chords) == 1 else ()
    tones = tuple(tone for chord in single for tone in chord.chord.tones)
    identity = context.identity(Fact.SIGHT, None, chords[0], item=asked.name)
    label = translate(asked.label)
    if single:
        question = _("In {key}: what is {chord}?", key=key.label, chord=symbols)
        prompt = _("{function}: which chord?", function=label)
    elif key.minor:
        question = _("{chords}: {functions} of which minor key?", chords=symbols, functions=label)
        prompt = _("{functions}: which chords?", functions=label)
    else:
        question = _("{chords}: {functions} of which major key?", chords=symbols, functions=label)
        prompt = _("{functions}: which chords?", functions=label)
    return context.note(
        # A colour is none of its matters.
        replace(identity, colour=None, scale=None),
        Music(
            key,
            chords,
            "-".join(chord.chord.symbol for chord in chords),
            None,
            tones,
            tuple(chord.degree_of(tone) for chord in single for tone in chord.chord.tones),
            frozenset().union(*map(guide_tones, single)),
        ),
        Said(
            asks=(prompt,),
            task=label,
            question=question,
            label=symbols,
            over=_("{place} in {key}", place=label, key=key.label),
            why=_why(asked, chords, key),
        ),
        {},
    )


def _why(asked: Asked, chords: tuple[Harmony, ...], key: Key) -> str:
    """Say in one line where the answer comes from, and its other name, which is right too."""
    (first, *_others), goal = chords, _chord(asked.leads_to, key) if asked.leads_to else None
    if goal is None:
        return _(
            "{tone} is the {step} of {key}; thirds of the key’s scale stacked on it make {chord}.",
            tone=first.chord.root.label,
            step=_step(first),
            key=key.label,
            chord=first.chord.label,
        )
    if len(chords) > 1:
        return _(
            "{first} is the {step} and {second} the {next_step} of {key}; both chords lead to {goal}.",
            first=first.chord.root.label,
            step=_step(first),
            second=chords[1].chord.root.label,
            next_step=_step(chords[1]),
            key=key.label,
            goal=goal.chord.label,
        )
    numeral = roman_label(Step(first.function.step, first.function.alteration).numeral)
    also = _("By its step it is {name}: that name is right too.", name=f"{numeral}{first.chord.quality.suffix}")
    named = {"chord": goal.chord.label, "function": goal.function.label, "key": key.label}
    if asked.name == SUBSTITUTE:
        guides = words.listed(tone.label for tone in first.chord.guide_tones)
        why = _(
            "It lies a tritone from {chord}, {function} of {key}, with the same guide tones, {guides}.",
            guides=guides,
            **named,
        )
    else:
        why = _("It lies a fifth above {chord}, {function} of {key}, and leads there.", **named)
    return f"{why} {also}"


_STEPS = (
    marked("1st step"),
    marked("2nd step"),
    marked("3rd step"),
    marked("4th step"),
    marked("5th step"),
    marked("6th step"),
    marked("7th step"),
)


def _step(chord: Harmony) -> str:
    return translate(_STEPS[chord.function.step - 1])
