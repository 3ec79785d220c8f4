"""Level 4: the minor cadence in twelve minor keys, the same facts as those of a tune in minor."""

from collections import Counter

import pytest

from deckbuilder.cards.choices import Breadth, Breadths
from deckbuilder.cards.facts import Fact, Kind
from deckbuilder.cards.levels import DEFAULT_LEVELS, LEVELS
from deckbuilder.cards.note import Note
from deckbuilder.cards.recipe import Recipe
from deckbuilder.cards.syllabus import syllabus
from deckbuilder.cards.tunes import Tune
from deckbuilder.theory.keys import DEFAULT_KEYS, Key
from deckbuilder.theory.minor import DEFAULT_MINOR_KEYS
from tests.noted import region_of

EVERYWHERE = Breadths(*[Breadth.EVERY_REGION] * 5)
KINDS = (Kind.LOCATE, Kind.SPELL, Kind.CONNECT, Kind.FOLLOW)
ARPEGGIOS = {
    ("iim7b5", None, "root"): "Gm7b5",
    ("iim7b5", None, "third"): "Bbm7",
    ("V", "plain", "root"): "C7",
    ("V", "harmonic-minor", "third"): "Edim7",
    ("V", "altered", "root"): "Gb7",
    ("V", "altered", "third"): "Bbm7b5",
    ("im6", None, "root"): "Fm6",
    ("im6", None, "third"): "Abmaj7#5",
    ("imMaj7", None, "root"): "FmMaj7",
    ("imMaj7", None, "third"): "Abmaj7#5",
}
"""Arpeggios over iiø, V and i in F minor, as handbooks on minor harmony have them (from memory)."""


def asked(levels: tuple[int, ...] = (4,), **fields: tuple[str, ...]) -> Recipe:
    return Recipe(levels=levels, kinds=KINDS, breadth=EVERYWHERE, **fields)  # type: ignore[arg-type]


@pytest.fixture(scope="module")
def notes() -> tuple[Note, ...]:
    return syllabus(asked())


def test_it_is_off_by_default() -> None:
    assert Recipe().levels == DEFAULT_LEVELS == (1, 2, 3)
    assert [level.number for level in LEVELS.built_in.values() if level.minor] == [4]


def test_it_stands_in_twelve_minor_keys_in_their_own_regions(notes: tuple[Note, ...]) -> None:
    assert list(dict.fromkeys(note.identity.key for note in notes)) == list(DEFAULT_MINOR_KEYS)
    assert {note.level for note in notes} == {4}
    for note in notes:
        if note.identity.region:
            relative = note.music.key.relative_major
            assert region_of(note) == Recipe().region(relative, note.identity.region)


def test_each_place_has_the_same(notes: tuple[Note, ...]) -> None:
    per_place = {Fact.SCALE: 5, Fact.ARPEGGIO: 10, Fact.GUIDE_LINES: 1}
    counts = Counter(note.identity.fact for note in notes)
    assert {fact: counts[fact] for fact in per_place} == {fact: 60 * count for fact, count in per_place.items()}


def test_arpeggios_are_those_of_common_practice(notes: tuple[Note, ...]) -> None:
    found = {
        (note.identity.function, note.identity.colour, note.identity.source): note.music.symbol
        for note in notes
        if note.identity.fact is Fact.ARPEGGIO and note.identity.key == "Fm" and note.identity.region == 1
    }
    assert found == ARPEGGIOS


def test_a_tune_in_minor_has_the_same_facts() -> None:
    bars = ("| iiø | V7b9b13 | im6 | imMaj7 |", "| iiø | V7alt | im6 | % |")
    tune = Tune("Minor", "Cm", bars=bars)
    levels = {note.id for note in syllabus(asked(keys=("C",)))}
    kinds = (Kind.LOCATE,)
    form = syllabus(Recipe(levels=(), keys=("C",), kinds=kinds, changes=(tune,), breadth=EVERYWHERE))
    assert form
    assert {note.id for note in form} <= levels


@pytest.mark.parametrize("key", DEFAULT_KEYS)
def test_every_key_of_a_recipe_has_its_minor(key: str) -> None:
    home = LEVELS[4].home(Key.parse(key))
    assert home.minor
    assert home.tonic.pitch_class == Key.parse(key).tonic.pitch_class
    assert LEVELS[1].home(Key.parse(key)) == Key.parse(key)


def test_other_colours_of_the_levels_leave_it_as_it_is() -> None:
    plain = {note.id for note in syllabus(asked(keys=("C",)))}
    assert {note.id for note in syllabus(asked(keys=("C",), colours=("whole-tone",)))} == plain


def test_both_fives_of_a_key_are_there_with_the_levels_in_major() -> None:
    both = syllabus(asked(levels=(1, 2, 4), keys=("C",)))
    keys = {note.identity.key for note in both if note.identity.colour == "altered"}
    assert keys == {"C", "Cm"}
