"""Which decks the shelf has, and that they are one deck in pieces."""

from functools import lru_cache

from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.build import notes_of
from deckbuilder.cards.note import Note
from deckbuilder.cards.recipe import Recipe
from deckbuilder.recipe import parse_recipe
from deckbuilder.shelf.parts import Part, Shape, parts

KEYS = ("C", "F", "Bb", "F#")


def recipe_of(keys: tuple[str, ...], regions: tuple[int, ...], levels: tuple[int, ...], order: str) -> Recipe:
    given = {"keys": list(keys), "regions": list(regions), "levels": list(levels), "order": order}
    return parse_recipe({**given, "sound": {"silent": True}}, "test")


@lru_cache
def cut(
    keys: tuple[str, ...], regions: tuple[int, ...], levels: tuple[int, ...], order: str
) -> tuple[tuple[Note, ...], tuple[Part, ...]]:
    recipe = recipe_of(keys, regions, levels, order)
    notes = notes_of(recipe)
    return notes, parts(recipe, notes)


def ids(part: Part) -> list[str]:
    return [note.id for note in part.notes]


@given(
    keys=st.lists(st.sampled_from(KEYS), min_size=1, max_size=3, unique=True).map(tuple),
    regions=st.lists(st.integers(1, 5), min_size=1, max_size=2, unique=True).map(sorted).map(tuple),
    levels=st.sampled_from([(1,), (1, 2), (4,)]),
    order=st.sampled_from(["region-first", "key-first"]),
)
def test_every_part_is_cut_from_the_whole_and_none_comes_twice(
    keys: tuple[str, ...], regions: tuple[int, ...], levels: tuple[int, ...], order: str
) -> None:
    notes, made = cut(keys, regions, levels, order)
    whole = [note.id for note in notes]
    for part in made:
        assert part.notes
        assert ids(part) == [one for one in whole if one in set(ids(part))]
    assert len({tuple(ids(part)) for part in made}) == len(made)
    assert len({part.file for part in made}) == len(made)
    # Whatever was left out as a twin is there under another name.
    assert any(ids(part) == whole for part in made)


def test_laps_make_the_whole_and_so_do_keys() -> None:
    notes, made = cut(("C", "F", "Bb"), (1, 2, 3), (1, 2), "region-first")
    whole = sorted(note.id for note in notes)
    for shape in (Shape.LAP, Shape.KEY):
        pieces = [part for part in made if part.shape is shape]
        assert len(pieces) == 3
        assert sorted(one for part in pieces for one in ids(part)) == whole


def test_a_start_is_f_in_two_regions_at_every_level() -> None:
    _, made = cut(("C", "F", "Bb"), (1, 2, 3), (1, 2), "region-first")
    start = made[0]
    assert (start.shape, start.name, start.file) == (Shape.START, "F", "start-f")
    assert {note.identity.key for note in start.notes} == {"F"}
    assert {note.identity.region for note in start.notes} == {None, 1, 2}
    assert {note.level for note in start.notes} == {1, 2}


def test_without_f_a_start_is_made_in_the_first_key() -> None:
    _, made = cut(("F#", "C"), (1,), (1,), "region-first")
    assert (made[0].name, made[0].file) == ("F♯", "start-f-sharp")


def test_a_key_has_its_minor_too() -> None:
    _, made = cut(("C", "Bb"), (1,), (4,), "region-first")
    assert {part.name: {note.identity.key for note in part.notes} for part in made if part.shape is Shape.KEY}[
        "B♭"
    ] == {"Bbm"}


def test_own_changes_are_laps_of_their_own() -> None:
    changes = [{"name": "Two chords", "key": "F", "transpose": False, "bars": ["| F7 | Bb7 |"]}]
    recipe = parse_recipe({"keys": ["F"], "regions": [1], "levels": [1], "changes": changes}, "test")
    made = parts(recipe, notes_of(recipe))
    (own,) = (part for part in made if part.shape is Shape.LAP and "Two chords" in part.name)
    assert all(note.changes == ("Two chords",) for note in own.notes)
