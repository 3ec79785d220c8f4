"""Levels: which chords, colours and scales each stage of study adds.

Level 1 is the cadence, level 2 its dominant altered, level 3 the turnaround, whose second altered dominant closes the
loop back to ii. A recipe may have levels 2 and 3 in other colours, or in several. Level 4, the cadence in minor, is
there for the asking: it stands in the minor key on the tonic of each key of the recipe, with that key's own regions.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from deckbuilder.registry import Registry
from deckbuilder.speech import marked
from deckbuilder.theory.colours import COLOURS
from deckbuilder.theory.functions import FUNCTIONS, Harmony, harmony
from deckbuilder.theory.keys import Key
from deckbuilder.theory.minor import DEFAULT_MINOR_KEYS, MINOR_COLOURS, minor_harmony

ALTERED = "altered"
"""The colour in which the table below has its altered dominants."""


@dataclass(frozen=True, slots=True)
class Lesson:
    """One chord that a level adds.

    Args:
        function: its function's name.
        colour: a dominant's colour; None for other chords.
    """

    function: str
    colour: str | None = None

    def harmony(self, key: Key) -> Harmony:
        """Return the chord in a key, a minor one for a lesson of the minor cadence."""
        colour = COLOURS[self.colour] if self.colour else None
        if key.minor:
            return minor_harmony(key, self.function, colour)
        return harmony(key, FUNCTIONS[self.function], colour)


@dataclass(frozen=True, slots=True)
class Level:
    """One stage of study.

    Args:
        number: 1, 2, …
        title: what a player calls it, a message that is said with `translate`.
        lessons: the chords it adds.
        loop: name of its changes.
        changes: the chords of its loop, in order.
        pairs: neighbouring chords that it connects.
        key_scale: whether it brings the key's own scale.
        targets: degrees that the ear is asked for, of every chord that the level adds and that has them.
        minor: whether it stands in minor keys; the colours of its dominants are its own, whatever the recipe's are.
    """

    number: int
    title: str
    lessons: tuple[Lesson, ...]
    loop: str
    changes: tuple[Lesson, ...]
    pairs: tuple[tuple[Lesson, Lesson], ...]
    key_scale: bool = False
    targets: tuple[str, ...] = ()
    minor: bool = False

    def home(self, key: Key) -> Key:
        """Return the key in which the level stands: a recipe's, or the minor key on the same tonic.

        A♭ has G♯ minor, which has fewer accidentals (`deckbuilder.theory.minor.DEFAULT_MINOR_KEYS`).

        Args:
            key: a key of the recipe.
        """
        if not self.minor:
            return key
        minors = map(Key.parse_either, DEFAULT_MINOR_KEYS)
        return next(minor for minor in minors if minor.tonic.pitch_class == key.tonic.pitch_class)


_II, _V, _I, _VI = Lesson("ii"), Lesson("V", "plain"), Lesson("I"), Lesson("VI", "plain")
_V_ALTERED, _VI_ALTERED = Lesson("V", ALTERED), Lesson("VI", ALTERED)
_II_MINOR, _V_MINOR, _I_MINOR = Lesson("iim7b5"), Lesson("V", MINOR_COLOURS[0]), Lesson("im6")

_ROWS = (
    Level(
        1,
        marked("The cadence"),
        (_II, _V, _I),
        "cadence",
        (_II, _V, _I),
        ((_II, _V), (_V, _I)),
        key_scale=True,
        targets=("b3", "3", "b7", "7"),
    ),
    Level(
        2,
        marked("The altered dominant"),
        (_V_ALTERED,),
        "altered-cadence",
        (_II, _V_ALTERED, _I),
        ((_II, _V_ALTERED), (_V_ALTERED, _I)),
        targets=("b9", "#9", "b5", "b13"),
    ),
    Level(
        3,
        marked("The turnaround"),
        (_VI_ALTERED,),
        "turnaround",
        (_II, _V_ALTERED, _I, _VI_ALTERED),
        ((_I, _VI), (_VI, _II), (_I, _VI_ALTERED), (_VI_ALTERED, _II)),
        targets=("b9", "#9", "3", "b5", "b13", "b7"),
    ),
    Level(
        4,
        marked("The minor cadence"),
        (_II_MINOR, _V_MINOR, _V_ALTERED, _I_MINOR, Lesson("imMaj7")),
        "minor-cadence",
        (_II_MINOR, _V_MINOR, _I_MINOR),
        ((_II_MINOR, _V_MINOR), (_V_MINOR, _I_MINOR), (_II_MINOR, _V_ALTERED), (_V_ALTERED, _I_MINOR)),
        key_scale=True,
        minor=True,
    ),
)

DEFAULT_LEVELS = (1, 2, 3)
"""Levels that are studied where a recipe names none."""

LEVELS: Registry[int, Level] = Registry("level", {level.number: level for level in _ROWS})
"""Every level by its number."""


def stages(numbers: Iterable[int], colours: Iterable[str] = (ALTERED,)) -> Iterator[Level]:
    """Yield levels, one that alters a dominant once for each colour.

    Args:
        numbers: level numbers, ascending.
        colours: names of dominant colours.
    """
    chosen = tuple(colours)
    for number in numbers:
        level = LEVELS[number]
        if level.minor or all(lesson.colour != ALTERED for lesson in level.lessons):
            yield level
        else:
            yield from (_in_colour(level, colour) for colour in chosen)


def lessons(levels: Iterable[Level]) -> Iterator[tuple[Level, Lesson]]:
    """Yield the lessons of some levels, each chord once, at its lowest level.

    Args:
        levels: the levels, ascending.
    """
    seen: set[tuple[bool, str, str | None]] = set()
    for level in levels:
        for lesson in level.lessons:
            if (level.minor, lesson.function, lesson.colour) not in seen:
                seen.add((level.minor, lesson.function, lesson.colour))
                yield level, lesson


def _in_colour(level: Level, colour: str) -> Level:
    """Put another colour in the place of altered; its loop has another name, since its id follows from that."""
    if colour == ALTERED:
        return level

    def recoloured(lesson: Lesson) -> Lesson:
        return replace(lesson, colour=colour) if lesson.colour == ALTERED else lesson

    return replace(
        level,
        lessons=tuple(map(recoloured, level.lessons)),
        loop=f"{colour}-{level.loop.removeprefix(ALTERED).lstrip('-')}",
        changes=tuple(map(recoloured, level.changes)),
        pairs=tuple((recoloured(one), recoloured(other)) for one, other in level.pairs),
    )
