"""Blocks of study: what two of them ask is one note, in the ways of both, where it first comes."""

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from deckbuilder.cards.choices import Breadth, Breadths, Order, StudyBlock
from deckbuilder.cards.facts import Fact, Kind
from deckbuilder.cards.recipe import Recipe
from deckbuilder.cards.syllabus import syllabus
from deckbuilder.cards.tunes import Tune

EVERYWHERE = Breadths(*(Breadth.EVERY_REGION for _ in range(5)))
NECK = (Kind.LOCATE, Kind.IDENTIFY)
TUNE = Tune("Blues", "F", True, ("| I7 | IV7 | V7 | I7 |",))

BLOCKS = st.lists(
    st.builds(
        StudyBlock,
        keys=st.sampled_from([(), ("F",), ("Bb", "F"), ("C",)]),
        regions=st.sampled_from([(), (1,), (2, 4)]),
        levels=st.sampled_from([(), (1,), (2,), (1, 2)]),
        kinds=st.sampled_from([(), (Kind.LOCATE,), (Kind.IDENTIFY, Kind.SPELL), (Kind.HEAR,)]),
    ),
    min_size=1,
    max_size=3,
)
BASE = Recipe(keys=("F", "C"), regions=(1, 2), levels=(1,), kinds=NECK)


@settings(max_examples=25, deadline=None)
@given(BLOCKS, st.sampled_from([(), (TUNE,)]))
def test_blocks_hold_what_each_of_them_would_hold_alone(blocks: list[StudyBlock], tunes: tuple[Tune, ...]) -> None:
    recipe = replace(BASE, study=tuple(blocks), changes=tunes)
    notes = syllabus(recipe)
    alone = [note for part in recipe.parts for note in syllabus(part)]
    found = {note.id: note for note in notes}
    assert len(found) == len(notes)
    # A chord that two keys share is spelled once, and a shape that two chords have is recognised once.
    lost = {note.id for note in alone} - set(found)
    assert all(
        note.identity.fact is Fact.SPELLING or note.kinds == (Kind.IDENTIFY,) for note in alone if note.id in lost
    )
    for note in notes:
        same = [other for other in alone if other.id == note.id]
        wanted = {kind for other in same for kind in other.kinds}
        assert set(note.kinds) <= wanted
        assert wanted - set(note.kinds) <= {Kind.IDENTIFY}
        assert note.identity == same[0].identity
    order = list(dict.fromkeys(note.id for note in alone if note.id in found and note.kinds))
    assert [note.id for note in notes] == order


def test_the_blocks_of_the_teachers_example() -> None:
    blocks = (StudyBlock(keys=("F",), levels=(1,)), StudyBlock(("Bb",), (2,), (2,)))
    notes = syllabus(Recipe(study=blocks, kinds=(Kind.LOCATE,)))
    places = {(note.identity.key, note.identity.region, note.level) for note in notes}
    assert places == {("F", region, 1) for region in range(1, 6)} | {("Bb", 2, 2)}
    laps = list(dict.fromkeys(note.lap for note in notes))
    assert laps == [*(f"Lap {n} · Region {n} in F" for n in range(1, 6)), "Lap 6 · Region 2 in B♭"]


def test_what_two_blocks_ask_comes_once_with_the_kinds_of_both_at_its_first_place() -> None:
    first = StudyBlock(("F",), (1, 2), (1,), (Kind.LOCATE,))
    second = StudyBlock(("F",), (2, 3), (1,), (Kind.IDENTIFY,))
    notes = syllabus(Recipe(study=(first, second), breadth=EVERYWHERE))
    shared = [note for note in notes if note.identity.region == 2 and note.identity.fact is Fact.ARPEGGIO]
    assert shared
    assert {note.kinds for note in shared} == {(Kind.LOCATE, Kind.IDENTIFY)}
    assert {note.lap for note in shared} == {"Lap 2 · Region 2 in F"}


def test_one_block_is_the_recipe_without_it() -> None:
    recipe = Recipe(keys=("F", "Bb", "Eb", "Ab"), regions=(2, 3), levels=(1, 2), order=Order.KEY_FIRST)
    block = StudyBlock(recipe.keys, recipe.regions, recipe.levels, recipe.kinds)
    assert syllabus(Recipe(study=(block,), order=Order.KEY_FIRST)) == syllabus(recipe)


def test_own_changes_follow_the_blocks_with_the_recipes_own_keys() -> None:
    recipe = Recipe(keys=("G",), changes=(TUNE,), study=(StudyBlock(("F",), (1,), (1,)),), kinds=(Kind.LOCATE,))
    notes = syllabus(recipe)
    assert {note.identity.key for note in notes if note.changes} == {"G"}
    assert notes[-1].lap == "Lap 2 · Blues"
    whole = syllabus(replace(recipe, study=(), levels=()))
    assert {note.id for note in whole} == {note.id for note in notes if note.changes}
