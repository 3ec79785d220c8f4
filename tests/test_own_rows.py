"""A player's own tunings and colours, as tables of a recipe."""

import tomllib
from typing import Any

import pytest

from deckbuilder.build import notes_of
from deckbuilder.cards.facts import Fact
from deckbuilder.cards.recipe import Recipe
from deckbuilder.neck.tuning import TUNINGS
from deckbuilder.recipe import RecipeError, parse_recipe
from deckbuilder.recipe.writing import recipe_toml
from deckbuilder.theory.colours import COLOURS

SMALL: dict[str, Any] = {"keys": ["F"], "regions": [1], "levels": [2], "kinds": ["locate"]}
TUNING = {"name": "low-c", "pitches": "C2 G2 C3 F3 A3 D4", "description": "a low one"}
COLOUR = {"name": "lydian-flat-nine", "degrees": "1 ♭9 3 ♯11 5 13 ♭7"}


def read(**fields: Any) -> Recipe:
    return parse_recipe({**SMALL, **fields}, "mine.toml")


def refused(**fields: Any) -> str:
    with pytest.raises(RecipeError) as error:
        read(**fields)
    return error.value.lines[0]


def test_a_tuning_of_ones_own_is_asked_for_by_its_name() -> None:
    recipe = read(tunings=[TUNING], instrument={"tuning": "low-c"})
    assert recipe.instrument.neck.tuning.pitch_labels == ("C2", "G2", "C3", "F3", "A3", "D4")
    assert recipe.deck_title == "The whole neck (low-c)"
    named = notes_of(recipe)
    assert {tag for note in named for tag in note.tags if tag.startswith("tuning")} == {"tuning::low-c"}
    typed = notes_of(read(instrument={"tuning": TUNING["pitches"]}))
    assert [note.id for note in named] == [note.id for note in typed]
    assert "low-c" not in TUNINGS


def test_a_colour_of_ones_own_gives_scale_and_arpeggios() -> None:
    notes = notes_of(read(colours=[COLOUR]))
    (scale,) = (note for note in notes if note.identity.fact is Fact.SCALE)
    assert [tone.name for tone in scale.music.tones] == ["C", "Db", "E", "F#", "G", "A", "Bb"]
    assert scale.music.degrees == ("1", "b9", "3", "#11", "5", "13", "b7")
    assert "♭9 and ♯11" in scale.words.why
    arpeggios = {note.identity.source: note for note in notes if note.identity.fact is Fact.ARPEGGIO}
    assert [tone.name for tone in arpeggios["third"].music.tones] == ["E", "G", "Bb", "Db"]
    # It holds the chord's own arpeggio, which is that of the plain dominant.
    assert {source: note.identity.colour for source, note in arpeggios.items()} == {
        "root": "plain",
        "third": "lydian-flat-nine",
    }
    assert "lydian-flat-nine" not in COLOURS


def test_own_and_known_colours_stand_side_by_side_and_own_changes_may_name_them() -> None:
    changes = {"name": "Mine", "key": "F", "bars": "| ii7 | V7{lydian-flat-nine} | Imaj7 |"}
    recipe = read(colours=["altered", COLOUR], changes=[changes])
    colours = {note.identity.colour for note in notes_of(recipe)}
    assert {"altered", "lydian-flat-nine"} <= colours


def test_they_come_back_from_a_written_recipe() -> None:
    recipe = read(tunings=[TUNING], colours=["altered", COLOUR], instrument={"tuning": "low-c"})
    assert parse_recipe(tomllib.loads(recipe_toml(recipe)), "again") == recipe


@pytest.mark.parametrize(
    ("fields", "told"),
    [
        (
            {"tunings": [{**TUNING, "name": "dadgad"}]},
            'tunings 1.name = "dadgad": there is a tuning',
        ),
        ({"tunings": [{**TUNING, "name": "Low C"}]}, "is no name for a tuning; write small letters"),
        (
            {"tunings": [{**TUNING, "pitches": "E2 A2 D3 G3 B3 E4"}]},
            "is the tuning 'standard'; ask for it by",
        ),
        ({"tunings": [{**TUNING, "pitches": "E2 A2"}]}, "2 strings; give the pitches of 3 to 10"),
        ({"tunings": [{**TUNING, "pitches": "E2 A2 H3"}]}, "'H3' is not a pitch"),
        ({"tunings": [{**TUNING, "frets": 3}]}, "3 frets; a neck here has 12 to 36"),
        ({"tunings": [{**TUNING, "patch": "organ"}]}, "no instrument 'organ' sounds here; choose from guitar"),
        ({"tunings": [{"name": "low-c"}]}, 'tunings 1.pitches is missing; write pitches = "C2 G2 D3 G3 B3 D4"'),
        ({"tunings": [{**TUNING, "string": 1}]}, "tunings 1.string: there is no such field"),
        ({"tunings": [TUNING, {**TUNING, "pitches": "D2 G2 C3 F3 A3 D4"}]}, "there is a tuning 'low-c' already"),
        (
            {"colours": [{**COLOUR, "name": "altered"}]},
            'colours 1.name = "altered": there is a scale',
        ),
        (
            {"colours": [{**COLOUR, "degrees": "1 3 5 b7 9 14"}]},
            "'14' is no degree of a dominant's scale; choose",
        ),
        ({"colours": [{**COLOUR, "degrees": "1 9 3 5 13"}]}, "this one has no b7; add it"),
        ({"colours": [{**COLOUR, "degrees": ["1", "3", "3", "b7"]}]}, "'3' is there twice"),
        ({"colours": [{**COLOUR, "degrees": "1 3 #11 b5 b7"}]}, "♯11 and ♭5 are the same tone"),
        ({"colours": [{"name": "my"}]}, 'colours 1.degrees is missing; write degrees = "1 b9 3 #11 5 13 b7"'),
        ({"colours": [{**COLOUR, "scale": 1}]}, "colours 1.scale: there is no such field"),
        ({"colours": ["lydian-flat-nine"]}, "'lydian-flat-nine' is not one of them"),
    ],
)
def test_mistakes_are_told_with_key_value_and_remedy(fields: dict[str, Any], told: str) -> None:
    line = refused(**fields)
    assert line.startswith("mine.toml: ")
    assert told in line
