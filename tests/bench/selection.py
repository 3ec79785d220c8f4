"""What is measured: the default deck with every way to ask, and decks of as many notes as one likes."""

from collections.abc import Iterator

from deckbuilder.build import notes_of
from deckbuilder.cards.facts import Kind
from deckbuilder.cards.note import Note
from deckbuilder.neck.tuning import TUNINGS
from deckbuilder.recipe import Recipe, parse_recipe

KINDS = tuple(kind.value for kind in Kind)


def everything(tuning: str = "standard") -> Recipe:
    """Return the default recipe with every way to ask, for a tuning."""
    return parse_recipe({"kinds": list(KINDS), "instrument": {"tuning": tuning}}, "bench")


def notes_of_many_tunings(count: int) -> tuple[Note, ...]:
    """Return so many notes: the default deck of one tuning after another, as a publisher would build them."""
    every = _notes()
    return tuple(note for note, _ in zip(every, range(count), strict=False))


def _notes() -> Iterator[Note]:
    for tuning in TUNINGS:
        yield from notes_of(everything(tuning))
