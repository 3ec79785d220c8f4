"""Remembered: card types that keep the notes they made, so that a recipe that differs a little costs a little.

What is asked of one chord, pair, passage or key in one place follows from the instrument, the sound and the like, and
from nothing that only says which places, levels and kinds there are. So these fields are left out of what a note is
remembered by. Card types of extensions may look at every field, and theirs are remembered by the whole recipe.
"""

from collections.abc import Callable, Hashable, Iterator
from dataclasses import replace
from threading import Lock
from typing import Any

from deckbuilder.cards.cardtypes import CARD_TYPES, CardType
from deckbuilder.cards.context import Context
from deckbuilder.cards.levels import Level
from deckbuilder.cards.note import Note
from deckbuilder.cards.recipe import Recipe
from deckbuilder.cards.spread import Question
from deckbuilder.neck.regions import Region
from deckbuilder.theory.newcolours import OwnColour

MOST_KEPT = 12_000
"""Answers that are kept, some 250 MB: the default deck has 1,300."""

_MAKERS = ("on_level_anywhere", "on_chord_anywhere", "on_key", "on_chord", "on_pair", "on_passage")
"""Fields of a card type that hold a function which makes notes."""


class OvertakenError(Exception):
    """What was being counted is no longer wanted."""


class Memory:
    """What card types made, the oldest dropped first. Threads may share it.

    Args:
        most: how many answers are kept.
    """

    def __init__(self, most: int = MOST_KEPT) -> None:
        self._most = most
        self._kept: dict[Hashable, tuple[Note, ...]] = {}
        self._numbers: dict[Recipe, int] = {}
        self._lock = Lock()

    def __len__(self) -> int:
        return len(self._kept)

    def number(self, recipe: Recipe) -> int:
        """Return a number that stands for a recipe: it is compared faster."""
        with self._lock:
            return self._numbers.setdefault(recipe, len(self._numbers))

    def get(self, key: Hashable, make: Callable[[], tuple[Note, ...]]) -> tuple[Note, ...]:
        """Return what is kept under a key; where nothing is, make and keep it."""
        found = self._kept.get(key)
        if found is not None:
            return found
        made = make()
        with self._lock:
            self._kept[key] = made
            while len(self._kept) > self._most:
                del self._kept[next(iter(self._kept))]
        return made


def remembering(recipe: Recipe, memory: Memory, wanted: Callable[[], bool] = lambda: True) -> Iterator[CardType]:
    """Yield every card type, its functions exchanged for ones that remember.

    Args:
        recipe: the recipe whose notes they are to make.
        memory: what they remember by.
        wanted: tells whether the notes are still wanted; asked before each answer.

    Raises:
        OvertakenError: by the functions, as soon as the notes are not wanted.
    """
    place = _place_matters(recipe)
    for row in CARD_TYPES.values():
        about = memory.number(place if CARD_TYPES.built_in.get(row.fact) is row else recipe)
        keeper = _Keeper(about, row, memory, wanted)
        makers: dict[str, Any] = {name: keeper.maker(name) for name in _MAKERS if getattr(row, name)}
        yield replace(row, ear=keeper.ear if row.ear else None, **makers)


def _place_matters(recipe: Recipe) -> Recipe:
    """Return a recipe with the defaults of all that does not matter to what is asked in one place."""
    usual = Recipe()
    own = tuple(colour for colour in recipe.colours if isinstance(colour, OwnColour))
    return replace(
        recipe,
        title=usual.title,
        keys=usual.keys,
        regions=tuple(range(1, recipe.instrument.regions + 1)),
        colours=own,
        changes=(),
        levels=usual.levels,
        kinds=usual.kinds,
        breadth=usual.breadth,
        order=usual.order,
        study=usual.study,
        tags=usual.tags,
        new_limit=usual.new_limit,
    )


class _Keeper:
    """Makes the functions of one card type that remember."""

    def __init__(self, about: int, row: CardType, memory: Memory, wanted: Callable[[], bool]) -> None:
        self._about, self._row, self._memory, self._wanted = about, row, memory, wanted

    def maker(self, name: str) -> Callable[..., tuple[Note, ...]]:
        make = getattr(self._row, name)

        def made(context: Context, *asked: Any) -> tuple[Note, ...]:
            return self._kept((name, context, *asked), lambda: tuple(make(context, *asked)))

        return made

    def ear(self, level: Level) -> tuple[Question, ...]:
        questions = self._row.ear(level) if self._row.ear else ()
        return tuple(self._question(level, number, question) for number, question in enumerate(questions))

    def _question(self, level: Level, number: int, question: Question) -> Question:
        def asked(context: Context, region: Region) -> Note:
            (note,) = self._kept((level, number, context, region), lambda: (question(context, region),))
            return note

        return asked

    def _kept(self, asked: tuple[Any, ...], make: Callable[[], tuple[Note, ...]]) -> tuple[Note, ...]:
        if not self._wanted():
            raise OvertakenError
        return self._memory.get((self._about, self._row.fact, *map(_comparable, asked)), make)


def _comparable(part: Any) -> Hashable:
    if isinstance(part, Context):
        return part.key, part.level
    return tuple(part) if isinstance(part, list) else part
