"""Focus: from weak cells to something to study — recipes that hold them and no more, and a search by tags.

A recipe asks for keys × regions × levels. Cells that are no such block are covered by several, which are its blocks of
study.
"""

from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import replace
from typing import Any, NamedTuple

from deckbuilder.build import EmptySelectionError, notes_of
from deckbuilder.cards.cardtypes import known_kinds
from deckbuilder.cards.choices import StudyBlock
from deckbuilder.cards.identity import axis_of
from deckbuilder.cards.note import Note
from deckbuilder.neck.instrument import Instrument
from deckbuilder.progress.archive import HistoryError
from deckbuilder.progress.cells import NECK, Cell, any_tag, cell_of, keys_in_order
from deckbuilder.progress.records import History
from deckbuilder.recipe import Recipe, parse_recipe
from deckbuilder.speech import current, marked, translate
from deckbuilder.theory.colours import COLOURS
from deckbuilder.theory.keys import Key

_PLAIN = "plain"
TITLE = marked("Focus")
"""Title of the small deck."""


class CellBlock(NamedTuple):
    """Cells that make a block: every key in every region at every level."""

    keys: tuple[str, ...]
    regions: tuple[int, ...]
    levels: tuple[int, ...]


def blocks(cells: Iterable[Cell]) -> tuple[CellBlock, ...]:
    """Cover some cells, exactly and each once, by few blocks.

    Args:
        cells: the cells.
    """
    cells = sorted(set(cells))
    return min((_regions_first(cells), _keys_first(cells)), key=len)


def _regions_first(cells: Sequence[Cell]) -> tuple[CellBlock, ...]:
    """Join regions of a key and level, then keys with the same regions, then levels with the same of both."""
    regions = _gathered(((cell.level, cell.key), cell.region) for cell in cells)
    keys = _gathered(((level, places), key) for (level, key), places in regions.items())
    levels = _gathered(((names, places), level) for (level, places), names in keys.items())
    return tuple(CellBlock(keys_in_order(names), places, numbers) for (names, places), numbers in levels.items())


def _keys_first(cells: Sequence[Cell]) -> tuple[CellBlock, ...]:
    keys = _gathered(((cell.level, cell.region), cell.key) for cell in cells)
    regions = _gathered(((level, names), region) for (level, region), names in keys.items())
    levels = _gathered(((names, places), level) for (level, names), places in regions.items())
    return tuple(CellBlock(keys_in_order(names), places, numbers) for (names, places), numbers in levels.items())


def _gathered(pairs: Iterable[tuple[Any, Any]]) -> dict[Any, tuple[Any, ...]]:
    """Return for each first member of some pairs all its second members, sorted."""
    found: dict[Any, list[Any]] = {}
    for one, other in pairs:
        found.setdefault(one, []).append(other)
    return {one: tuple(sorted(others)) for one, others in found.items()}


def base_recipe(history: History) -> Recipe:
    """Return the default recipe for the neck of a history: its instrument, as many regions, and its colours.

    Args:
        history: what was studied.

    Raises:
        NeckError: its notes name no instrument.
        RecipeError: they name one that no recipe has.
    """
    instrument = Instrument.of_id(history.instrument)
    fields = {
        "tuning": ",".join(instrument.tuning.pitch_names),
        "capo": instrument.capo,
        "regions": history.region_count,
    }
    # The recipe's pitches have English names whatever names people read.
    speech, recipe = current(), parse_recipe({"instrument": fields}, "the recipe of this history (--recipe)")
    return replace(recipe, language=speech.language, names=speech.names, colours=_colours(history) or recipe.colours)


def _colours(history: History) -> tuple[str, ...]:
    """Return the colours in which the dominants of levels 2 and 3 were studied, as far as they are known."""
    met = {card.axes.get("colour") for card in history.cards if card.axes.get("level") in ("2", "3")}
    # Its dominants are plain where a cadence leads on, whatever the recipe says.
    return tuple(name for name in COLOURS if name in met and (name != _PLAIN or len(met & set(COLOURS)) == 1))


def focus_recipe(history: History, base: Recipe, cells: Iterable[Cell], tags: Sequence[str] = ()) -> Recipe:
    """Return the recipe of a small deck that holds some cells, asked in the ways that they were studied in.

    Args:
        history: whose cells they are.
        base: the recipe of the deck that was studied, for the neck and the sound.
        cells: the cells, one at least, all on the neck or none.
        tags: what the notes bear of which it holds no others; empty for all notes of the cells.

    Raises:
        HistoryError: the recipe is for another neck.
    """
    neck, regions = base.instrument.neck, base.instrument.regions
    if (neck.id, regions) != (history.instrument, history.region_count):
        raise HistoryError(
            f"the history is of {history.instrument} in {history.region_count} regions, the recipe of {neck.id} in "
            f"{regions}; name the recipe that the deck was built from with --recipe"
        )
    cells = tuple(cells)
    on_neck = all(cell.region != NECK for cell in cells)
    studied = {card.kind for card in history.cards if (cell_of(card) is not None) == on_neck}
    kinds = tuple(kind for kind in known_kinds() if kind.value in studied)
    found = [
        StudyBlock(_asked_for(block.keys), block.regions if on_neck else base.regions, block.levels)
        for block in blocks(cells)
    ]
    return replace(
        base,
        title=translate(TITLE),
        keys=tuple(dict.fromkeys(key for block in found for key in block.keys)),
        regions=tuple(sorted({region for block in found for region in block.regions})),
        levels=tuple(sorted({level for block in found for level in block.levels})),
        kinds=kinds,
        # Cells are places of levels: changes of one's own are no part of them.
        changes=(),
        study=tuple(found) if len(found) > 1 else (),
        tags=(*(tag for tag in base.tags if axis_of(tag) not in map(axis_of, tags)), *tags),
    )


def borne(history: History, base: Recipe, cells: Iterable[Cell], tags: Sequence[str]) -> tuple[str, ...]:
    """Return tags that some notes of some cells bear as they are asked, or none where no note does.

    Of a colour that is weak by ear no card may be left: asked of it alone, which colour sounds is no question. All of
    the place is worked on then.

    Args:
        history: whose cells they are.
        base: the recipe of the deck that was studied.
        cells: the cells.
        tags: what the notes are to bear.
    """
    if not tags:
        return ()
    try:
        notes_of(focus_recipe(history, base, cells, tags))
    except EmptySelectionError:
        return ()
    return tuple(tags)


def _asked_for(keys: Iterable[str]) -> tuple[str, ...]:
    """Return keys as a recipe asks for them: a minor key by the major one on its tonic."""
    return tuple(dict.fromkeys(Key.on(Key.parse_either(key).tonic).name for key in keys))


def notes_to_practise(history: History, recipes: Iterable[Recipe]) -> dict[str, Note]:
    """Return the notes of some recipes by their ids.

    Args:
        history: what was studied.
        recipes: from `focus_recipe`.

    Raises:
        HistoryError: the recipes make none of its notes.
    """
    notes: dict[str, Note] = {}
    for recipe in recipes:
        with suppress(EmptySelectionError):  # Told below, if it is so of all.
            notes |= {note.id: note for note in notes_of(recipe)}
    if not notes.keys() & {card.note for card in history.cards}:
        raise HistoryError(
            f"no card of the history (tuning {history.tuning}) is one that the recipe makes of these cells; "
            "name the recipe that the deck was built from with --recipe"
        )
    return notes


def search_expression(history: History, cells: Iterable[Cell]) -> str:
    """Return a search by tags that finds some cells' cards, in the form that apps with hierarchical tags understand.

    Args:
        history: whose cells they are.
        cells: the cells.
    """
    return in_tuning(history, found_in(cells))


def found_in(cells: Iterable[Cell]) -> str:
    """Return the same for cards of any tuning.

    Args:
        cells: the cells.
    """
    return either(map(_found_by, blocks(cells)))


def either(searches: Iterable[str]) -> str:
    """Return a search that finds what one of several finds.

    Args:
        searches: one at least.
    """
    found = tuple(searches)
    return found[0] if len(found) == 1 else f"({' or '.join(f'({words})' for words in found)})"


def _found_by(block: CellBlock) -> str:
    found = [any_tag("level", block.levels), any_tag("key", block.keys)]
    return " ".join(found if NECK in block.regions else (*found, any_tag("region", block.regions)))


def in_tuning(history: History, words: str) -> str:
    """Return a search that finds only cards of the history’s own tuning.

    Args:
        history: whose cards are meant.
        words: the search for cards of any tuning.
    """
    return f"tag:tuning::{history.tuning} {words}" if history.other_tunings else words
