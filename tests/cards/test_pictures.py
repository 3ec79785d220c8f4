"""How pictures look, as a recipe asks: their ground, large letters, and an instrument that is held turned over."""

from dataclasses import replace

import pytest

from deckbuilder.build import notes_of
from deckbuilder.cards.cardtypes import shown
from deckbuilder.cards.facts import Fact, Kind, Slot
from deckbuilder.cards.note import Note
from deckbuilder.deck.fields import fields_of
from deckbuilder.picture.description import Ground, NeckPicture, NeckSheet, Size
from deckbuilder.picture.geometry import lay_out, lay_out_on_sheet
from deckbuilder.recipe import Recipe, parse_recipe
from deckbuilder.recipe.writing import recipe_toml

ASKED = {"keys": ["F"], "regions": [1, 5], "kinds": [kind.value for kind in Kind]}


def made(**fields: object) -> tuple[Note, ...]:
    return notes_of(parse_recipe({**ASKED, **fields}, "test"))


def pictures(notes: tuple[Note, ...]) -> list[NeckPicture]:
    found: list[NeckPicture] = []
    for note in notes:
        for each in shown(note).values():
            picture = each.description
            found += picture.pictures if isinstance(picture, NeckSheet) else ()
            found += (picture,) if isinstance(picture, NeckPicture) else ()
    return found


@pytest.mark.parametrize("ground", Ground)
def test_every_picture_has_the_ground_that_is_asked_for(ground: Ground) -> None:
    notes = made(picture={"ground": ground.value})
    assert {picture.ground for picture in pictures(notes)} == {ground}
    for note in notes:
        for name in ("Picture", "Bare picture", "Empty neck"):
            html = fields_of(note).get(name, "")
            assert ('class="follows"' in html) == (ground is Ground.FOLLOW and bool(html))
        assert 'class="follows"' not in fields_of(note).get("Notation", "")


def test_how_a_picture_looks_is_in_no_id_and_in_no_other_medium() -> None:
    plain = made()
    for fields in (
        {"picture": {"ground": "light", "size": "large"}},
        {"instrument": {"hand": "left"}},
        {"instrument": {"hand": "left", "strung": "right"}},
    ):
        other = made(**fields)
        assert [note.id for note in other] == [note.id for note in plain]
        for one, two in zip(plain, other, strict=True):
            for slot in (Slot.CLIP, Slot.NOTATION, Slot.EXAMPLE):
                assert one.media.get(slot) == two.media.get(slot), "tablature is as it is printed"
            assert one.words == two.words
            alts = [{slot: each.alt for slot, each in note.media.items()} for note in (one, two)]
            assert alts[0] == alts[1], "strings keep their numbers"


def test_large_letters_show_a_spelling_in_two_halves() -> None:
    usual, large = (
        {note.id: note for note in made(picture={"size": size.value}) if note.identity.fact is Fact.SPELLING}
        for size in Size
    )
    assert usual.keys() == large.keys()
    assert usual
    for name, note in large.items():
        whole, halves = usual[name].media[Slot.PICTURE].description, note.media[Slot.PICTURE].description
        assert isinstance(whole, NeckPicture)
        assert isinstance(halves, NeckSheet)
        assert [(half.first_fret, half.last_fret) for half in halves.pictures] == [(0, 6), (7, 12)]
        assert set(halves.marks) == set(whole.marks)
        assert not halves.titles


@pytest.mark.parametrize(
    ("tuning", "capo"),
    [
        ("standard", 0),
        ("standard", 3),
        ("bass-4", 0),
        ("mandolin", 0),
        ("mandolin", 3),
        ("seven-string", 0),
        ("ukulele", 0),
    ],
)
def test_large_letters_have_room_on_every_picture(tuning: str, capo: int) -> None:
    asked = {**ASKED, "instrument": {"tuning": tuning, "capo": capo}, "picture": {"size": "large"}}
    for note in notes_of(parse_recipe(asked, "test")):
        for each in shown(note).values():
            picture = each.description
            if isinstance(picture, NeckSheet):
                assert all(lay_out_on_sheet(part.window).size.number >= 32 for part in picture.pictures)
            elif isinstance(picture, NeckPicture):
                assert lay_out(picture.window).size.number >= 32


@pytest.mark.parametrize(
    ("instrument", "nut_on_the_right", "low_string_at_the_top"),
    [
        ({}, False, False),
        ({"hand": "left"}, True, False),
        ({"hand": "left", "strung": "left"}, True, False),
        ({"hand": "left", "strung": "right"}, True, True),
        ({"hand": "right", "strung": "left"}, False, True),
        ({"strung": "right"}, False, False),
    ],
)
def test_a_neck_looks_as_its_player_sees_it(
    instrument: dict[str, str], nut_on_the_right: bool, low_string_at_the_top: bool
) -> None:
    """A right-handed player who looks down sees the nut on the left and the lowest string nearest, at the bottom.

    A left-handed player sees the mirror image. Whoever turns an instrument over that is strung for the other hand has
    the nut where the own hand asks for it, and the lowest string next to the floor (the player's own view; no source).
    """
    for picture in pictures(made(instrument=instrument)):
        layout = lay_out(picture.window)
        frets = sorted(layout.columns)
        left_to_right = layout.columns[frets[0]] < layout.columns[frets[-1]]
        assert left_to_right is not nut_on_the_right
        lowest = picture.strings
        assert (layout.centre(lowest, frets[0])[1] < layout.centre(1, frets[0])[1]) is low_string_at_the_top


def test_these_fields_are_written_only_where_they_differ() -> None:
    recipe = parse_recipe({"picture": {"ground": "light"}, "instrument": {"hand": "left", "strung": "right"}}, "test")
    assert recipe_toml(recipe) == '[instrument]\nhand = "left"\nstrung = "right"\n\n[picture]\nground = "light"\n'
    assert replace(Recipe(), picture=recipe.picture, instrument=recipe.instrument) == recipe


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"picture": {"ground": "drak"}}, r'picture.ground = "drak".*dark'),
        ({"picture": {"size": "huge"}}, r'picture.size = "huge".*usual.*large'),
        ({"picture": {"colour": "red"}}, r"picture.colour: there is no such field"),
        ({"instrument": {"strung": "up"}}, r'instrument.strung = "up".*right.*left'),
    ],
)
def test_a_mistake_is_told(fields: dict[str, object], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        parse_recipe(fields, "test")
