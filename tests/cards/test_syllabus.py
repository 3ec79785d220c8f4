"""Which notes follow from an recipe, and in which order."""

from hypothesis import given, settings
from hypothesis import strategies as st

from deckbuilder.cards.facts import Fact, Kind
from deckbuilder.cards.recipe import Labels, Order, Recipe
from deckbuilder.cards.syllabus import syllabus
from deckbuilder.theory.keys import DEFAULT_KEYS, KEY_NAMES
from tests.noted import shown_in

NECK_KINDS = (Kind.LOCATE, Kind.IDENTIFY, Kind.SPELL)


def test_key_first_brings_one_key_after_the_other() -> None:
    notes = syllabus(Recipe(keys=("F", "Bb"), kinds=NECK_KINDS))
    keys = [note.identity.key for note in notes]
    assert keys == ["F"] * 75 + ["Bb"] * 75
    regions = [note.identity.region for note in notes[:75] if note.identity.region]
    assert regions == sorted(regions)


def test_region_first_brings_one_region_after_the_other() -> None:
    notes = syllabus(Recipe(keys=("F", "Bb"), order=Order.REGION_FIRST, kinds=NECK_KINDS))
    order = [(note.identity.region or 0, note.identity.key) for note in notes]
    places = [place for place in dict.fromkeys(order) if place[0]]
    assert places == [(region, key) for region in range(1, 6) for key in ("F", "Bb")]


def test_the_name_comes_before_the_place() -> None:
    notes = syllabus(Recipe(keys=("F",), kinds=NECK_KINDS))
    assert [note.identity.fact for note in notes[:10]] == [Fact.SPELLING] * 10


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
    whole = {note.id: note for note in syllabus(Recipe(keys=tuple(keys), kinds=NECK_KINDS))}
    for note in syllabus(part):
        assert note == whole[note.id]


def test_enharmonic_keys_are_keys_of_their_own() -> None:
    sharp, flat = (syllabus(Recipe(keys=(key,), regions=(1,), kinds=NECK_KINDS)) for key in ("F#", "Gb"))
    assert [note.music.midi for note in sharp if note.music.region] == [
        note.music.midi for note in flat if note.music.region
    ]
    assert not {note.id for note in sharp} & {note.id for note in flat}


def test_the_default_outline_names_the_twelve_keys() -> None:
    assert Recipe().keys == DEFAULT_KEYS
