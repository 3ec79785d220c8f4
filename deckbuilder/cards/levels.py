"""Levels: which chords, colours and scales each stage of study adds.

Level 1 is the cadence, level 2 its dominant altered, level 3 the turnaround, whose second altered dominant closes the
loop back to ii.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from deckbuilder.theory.colours import COLOURS
from deckbuilder.theory.functions import FUNCTIONS, Harmony, harmony
from deckbuilder.theory.keys import Key


@dataclass(frozen=True, slots=True)
class Lesson:
    """One chord that a level adds.

    Args:
        function: its function's name.
        colour: a dominant's colour; None for other chords.
        with_scale: whether the chord brings a scale of its own, to be learned beside its arpeggios.
    """

    function: str
    colour: str | None = None
    with_scale: bool = False

    def harmony(self, key: Key) -> Harmony:
        """Return the chord in a key."""
        return harmony(key, FUNCTIONS[self.function], COLOURS[self.colour] if self.colour else None)


@dataclass(frozen=True, slots=True)
class Level:
    """One stage of study.

    Args:
        number: 1, 2, …
        title: what the subdeck is called.
        lessons: the chords it adds.
        loop: name of its changes.
        changes: the chords of its loop, in order.
        key_scale: whether it brings the key's own scale.
    """

    number: int
    title: str
    lessons: tuple[Lesson, ...]
    loop: str
    changes: tuple[Lesson, ...]
    key_scale: bool = False


_II, _V, _I = Lesson("ii"), Lesson("V", "plain"), Lesson("I")
_V_ALTERED, _VI_ALTERED = Lesson("V", "altered", with_scale=True), Lesson("VI", "altered", with_scale=True)

LEVELS: dict[int, Level] = {
    level.number: level
    for level in (
        Level(1, "The cadence", (_II, _V, _I), "cadence", (_II, _V, _I), key_scale=True),
        Level(2, "The altered dominant", (_V_ALTERED,), "altered-cadence", (_II, _V_ALTERED, _I)),
        Level(3, "The turnaround", (_VI_ALTERED,), "turnaround", (_II, _V_ALTERED, _I, _VI_ALTERED)),
    )
}


def lessons(numbers: tuple[int, ...]) -> Iterator[tuple[Level, Lesson]]:
    """Yield the lessons of some levels, each chord once, at its lowest level.

    Args:
        numbers: level numbers, ascending.
    """
    seen: set[tuple[str, str | None]] = set()
    for number in numbers:
        for lesson in LEVELS[number].lessons:
            if (lesson.function, lesson.colour) not in seen:
                seen.add((lesson.function, lesson.colour))
                yield LEVELS[number], lesson
