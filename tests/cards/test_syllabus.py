"""Which notes follow from a recipe, and in which order."""

from collections import Counter, defaultdict
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from deckbuilder.cards.choices import Breadth, Breadths, Labels, Order
from deckbuilder.cards.facts import Fact, Kind
from deckbuilder.cards.note import Note
from deckbuilder.cards.recipe import Recipe
from deckbuilder.cards.syllabus import syllabus
from deckbuilder.theory.keys import DEFAULT_KEYS, KEY_NAMES
from tests.noted import shown_in

EVERYWHERE = Breadths(*(Breadth.EVERY_REGION for _ in range(5)))
NECK_KINDS = (Kind.LOCATE, Kind.IDENTIFY, Kind.SPELL)


def asked_alike(one: Note, other: Note) -> bool:
    return (one.music.chord, one.music.symbol) == (other.music.chord, other.music.symbol)


def test_key_first_brings_one_key_after_the_other() -> None:
    notes = syllabus(Recipe(keys=("F", "Bb"), order=Order.KEY_FIRST, kinds=NECK_KINDS))
    keys = [note.identity.key for note in notes]
    assert keys == ["F"] * 75 + ["Bb"] * 75
    regions = [note.identity.region for note in notes[:75] if note.identity.region]
    assert regions == sorted(regions)
    assert [note.lap for note in notes] == ["Lap 1 · Key of F"] * 75 + ["Lap 2 · Key of B♭"] * 75


def test_region_first_brings_one_region_after_the_other() -> None:
    notes = syllabus(Recipe(keys=("F", "Bb"), order=Order.REGION_FIRST, kinds=NECK_KINDS))
    order = [(note.identity.region or 0, note.identity.key) for note in notes]
    places = [place for place in dict.fromkeys(order) if place[0]]
    assert places == [(region, key) for region in range(1, 6) for key in ("F", "Bb")]
    assert {note.lap for note in notes if note.identity.region == 2} == {"Lap 2 · Region 2"}


@pytest.mark.parametrize("order", Order)
def test_in_a_place_level_follows_level(order: Order) -> None:
    notes = syllabus(Recipe(keys=("F", "Bb"), order=order))
    levels = defaultdict(list)
    for note in notes:
        levels[note.identity.key, note.identity.region].append(note.level)
    assert all(found == sorted(found) for found in levels.values())
    assert {level for (_, region), found in levels.items() if region for level in found} == {1, 2, 3}


def test_laps_sort_as_they_are_studied() -> None:
    laps = list(dict.fromkeys(note.lap for note in syllabus(Recipe(order=Order.KEY_FIRST, kinds=(Kind.LOCATE,)))))
    assert laps == sorted(laps)
    assert laps[0] == "Lap 01 · Key of C"
    assert len(laps) == 12


def test_the_default_deck_holds_what_is_worth_the_minutes() -> None:
    notes = syllabus(Recipe())
    kinds = Counter(kind for note in notes for kind in note.kinds)
    assert kinds[Kind.LOCATE] == 13 * 60
    assert kinds[Kind.IDENTIFY] == 120
    assert kinds[Kind.IMPROVISE] == 3 * 60
    assert 1450 <= sum(kinds.values()) <= 1550


@given(st.lists(st.integers(1, 5), min_size=1, unique=True))
def test_what_is_asked_once_a_key_is_asked_in_each_deck_that_has_the_key(regions: list[int]) -> None:
    recipe = Recipe(keys=("F",), regions=tuple(sorted(regions)), kinds=(Kind.IDENTIFY, Kind.HEAR))
    arpeggios = [note for note in syllabus(recipe) if note.identity.fact is Fact.ARPEGGIO]
    for kind in recipe.kinds:
        asked = [(note.music.chord, note.identity.source) for note in arpeggios if kind in note.kinds]
        assert len(asked) == len(set(asked)) == 10
    whole = {note.id: note for note in syllabus(Recipe(keys=("F",), kinds=recipe.kinds))}
    for note in arpeggios:
        assert set(whole[note.id].kinds if note.id in whole else ()) <= set(note.kinds)


def test_what_is_asked_once_a_key_is_spread_over_the_regions() -> None:
    for kind in (Kind.IDENTIFY, Kind.HEAR):
        notes = [note for note in syllabus(Recipe(kinds=(kind,))) if note.identity.fact is Fact.ARPEGGIO]
        regions = Counter(note.identity.region for note in notes)
        assert set(regions) == {1, 2, 3, 4, 5}
        assert max(regions.values()) <= 36


def test_a_chord_that_two_keys_share_is_spelled_once() -> None:
    notes = syllabus(Recipe(kinds=(Kind.SPELL,)))
    asked = [(note.music.chord, note.music.symbol, note.identity.source) for note in notes]
    assert len(asked) == len(set(asked)) < 120
    every = syllabus(Recipe(keys=("F", "Eb"), kinds=(Kind.SPELL,)))
    assert len([note for note in every if note.music.chord == "C7alt"]) == 2


def test_the_name_comes_before_the_place() -> None:
    facts = [note.identity.fact for note in syllabus(Recipe(keys=("F",), kinds=NECK_KINDS))]
    assert facts[:6] == [Fact.SPELLING] * 6
    assert facts[6:8] == [Fact.SCALE, Fact.ARPEGGIO]


def test_labels_change_pictures_and_no_id() -> None:
    by_degree = syllabus(Recipe(keys=("F",), regions=(5,)))
    by_name = syllabus(Recipe(keys=("F",), regions=(5,), labels=Labels.NAMES))
    assert [note.id for note in by_degree] == [note.id for note in by_name]
    assert shown_in(by_degree[-1]) != shown_in(by_name[-1])


def test_kinds_that_ask_nothing_leave_notes_out() -> None:
    notes = syllabus(Recipe(keys=("F",), kinds=(Kind.SPELL,)))
    assert {note.identity.fact for note in notes} == {Fact.SPELLING}


@settings(max_examples=20, deadline=None)
@given(
    keys=st.lists(st.sampled_from(KEY_NAMES), min_size=1, max_size=2, unique=True),
    regions=st.lists(st.integers(1, 5), min_size=1, max_size=2, unique=True),
    levels=st.lists(st.integers(1, 3), min_size=1, unique=True),
)
def test_a_part_is_a_part_of_the_whole(keys: list[str], regions: list[int], levels: list[int]) -> None:
    part = Recipe(keys=tuple(keys), regions=tuple(sorted(regions)), levels=tuple(sorted(levels)), kinds=NECK_KINDS)
    whole = {note.id: note for note in syllabus(Recipe(keys=tuple(keys), kinds=NECK_KINDS, breadth=EVERYWHERE))}
    for note in syllabus(part):
        if note.id not in whole:  # a chord that two keys share is spelled by the first that has it
            assert note.identity.fact is Fact.SPELLING
            assert any(asked_alike(note, other) for other in whole.values())
            continue
        assert replace(note, kinds=(), lap="") == replace(whole[note.id], kinds=(), lap="")


def test_enharmonic_keys_are_keys_of_their_own() -> None:
    sharp, flat = (syllabus(Recipe(keys=(key,), regions=(1,), kinds=NECK_KINDS)) for key in ("F#", "Gb"))
    assert [note.music.midi for note in sharp if note.music.region] == [
        note.music.midi for note in flat if note.music.region
    ]
    assert not {note.id for note in sharp} & {note.id for note in flat}


def test_the_default_outline_names_the_twelve_keys() -> None:
    assert Recipe().keys == DEFAULT_KEYS
