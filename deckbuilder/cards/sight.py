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
        label: what a player calls it.
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
    Asked(SUBSTITUTE, ("subV7",), "the tritone substitute of V", "V7", level=2),
    Asked("V-of-ii", ("V7/ii",), "V of ii", "ii7", level=3),
    Asked("V-of-iii", ("V7/iii",), "V of iii", "iii7", level=3),
    Asked("V-of-IV", ("V7/IV",), "V of IV", "IVmaj7", level=3),
    Asked("V-of-V", ("V7/V",), "V of V", "V7", level=3),
    Asked("V-of-vi", ("V7/vi",), "V of vi", "vi7", level=3),
    Asked("ii", ("iiø7",), "iiø", level=4, minor=True),
    Asked("bIII", ("bIIImaj7",), "♭III", level=4, minor=True),
    Asked("iv", ("iv7",), "iv", level=4, minor=True),
    Asked("bVI", ("bVImaj7",), "♭VI", level=4, minor=True),
    Asked("ii-V", ("iiø7", "V7"), "iiø–V", "im6", level=4, minor=True),
    Asked(SUBSTITUTE, ("subV7",), "the tritone substitute of V", "V7", level=4, minor=True),
    Asked("V-of-iv", ("V7/iv",), "V of iv", "iv7", level=4, minor=True),
    Asked("V-of-V", ("V7/V",), "V of V", "V7", level=4, minor=True),
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
    mode = "minor" if key.minor else "major"
    question = f"In {key.label}: what is {symbols}?" if single else f"{symbols}: {asked.label} of which {mode} key?"
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
            asks=(f"{asked.label}: which {'chord' if single else 'chords'}?",),
            task=asked.label,
            question=question,
            label=symbols,
            over=f"{asked.label} in {key.label}",
            why=_why(asked, chords, key),
        ),
        {},
    )


def _why(asked: Asked, chords: tuple[Harmony, ...], key: Key) -> str:
    """Say in one line where the answer comes from, and its other name, which is right too."""
    steps = [f"the {words.ordinal(str(chord.function.step))}" for chord in chords]
    (first, *_), roots = chords, words.listed(chord.chord.root.label for chord in chords)
    if not asked.leads_to:
        return f"{roots} is {steps[0]} step of {key.label}; the key’s scale stacks {first.chord.label} on it."
    goal = _chord(asked.leads_to, key)
    if len(chords) > 1:
        return f"{roots} are {words.listed(steps)} step of {key.label}; both chords lead to {goal.chord.label}."
    numeral = roman_label(Step(first.function.step, first.function.alteration).numeral)
    also = f"By its step it is {numeral}{first.chord.quality.suffix}: that name is right too."
    goal_in_key = f"{goal.chord.label}, {goal.function.label} of {key.label}"
    if asked.name == SUBSTITUTE:
        guides = words.listed(tone.label for tone in first.chord.guide_tones)
        return f"A tritone from {goal_in_key}, with the same guide tones, {guides}. {also}"
    return f"A fifth above {goal_in_key}, and it leads there. {also}"
