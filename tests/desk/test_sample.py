"""One card of a deck, as the app will show it, and what is on it."""

import re
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.build import media_of, notes_of
from deckbuilder.cards.note import Note
from deckbuilder.deck.notetypes import style
from deckbuilder.deck.store import Store
from deckbuilder.desk.gallery import Gallery
from deckbuilder.desk.sample import place_of, shuffled
from deckbuilder.medium import Medium
from deckbuilder.preview.cards import cards_of
from deckbuilder.recipe import parse_recipe
from tests.desk.asking import Answer, Asker

SMALL: dict[str, Any] = {"keys": ["F"], "regions": [5], "levels": [1]}
MEDIA = re.compile(r'(?:src|data-clip)="(media/[^"]+)"')


def sampled(asker: Asker, **body: object) -> Answer:
    return asker.post("/api/sample", {"recipe": SMALL, "wait": True, **body})


@pytest.fixture(scope="module")
def notes() -> Sequence[Note]:
    return notes_of(parse_recipe(SMALL, "test"))


def test_numbers_go_through_every_card_once_and_round_again(asker: Asker, notes: Sequence[Note]) -> None:
    first = sampled(asker, number=0).json
    seen = [sampled(asker, number=number).json for number in range(first["of"])]
    wanted = {(card.front, card.back) for card in cards_of(notes)}
    assert {(card["front"], card["back"]) for card in seen} == wanted
    assert len({card["name"] for card in seen}) == len(seen) == sum(len(note.kinds) for note in notes)
    assert sampled(asker, number=first["of"]).json == first


def test_a_card_is_found_again_by_its_name_in_another_deck(asker: Asker) -> None:
    card = sampled(asker, number=3).json
    wider = {**SMALL, "levels": [1, 2]}
    again = asker.post("/api/sample", {"recipe": wider, "wait": True, "number": 0, "name": card["name"]}).json
    assert (again["name"], again["front"]) == (card["name"], card["front"])
    assert again["of"] > card["of"]


def test_cards_of_one_kind_can_be_asked_for(asker: Asker) -> None:
    kinds = {sampled(asker, number=number, kind="locate").json["kind"] for number in range(5)}
    assert kinds == {"locate"}
    assert sampled(asker, kind="read").status == 404


def test_cards_keep_their_order_when_others_come(notes: Sequence[Note]) -> None:
    some = [card.name for card in shuffled(notes[::2])]
    assert some == [card.name for card in shuffled(notes) if card.name in set(some)]
    assert some != [f"{note.id}/{kind}" for note in notes[::2] for kind in note.kinds]


@given(number=st.one_of(st.integers(), st.none(), st.text(), st.floats()))
def test_any_number_means_some_card(notes: Sequence[Note], number: object) -> None:
    cards = shuffled(notes)
    assert 0 <= place_of(cards, number, None) < len(cards)


def test_media_of_a_card_that_was_shown_can_be_looked_at_and_no_others(asker: Asker, notes: Sequence[Note]) -> None:
    card = next(
        card
        for number in range(99)
        if "data-clip" in (card := sampled(asker, number=number).json)["front"] + card["back"]
    )
    asked = MEDIA.findall(card["front"] + card["back"])
    types = set()
    for path in asked:
        answer = asker.get(f"/{path}")
        assert answer.status == 200
        types.add(answer.headers["content-type"])
    assert types >= {"image/png", "audio/mpeg"}
    shown = next(made for made in media_of(notes) if asked[0].endswith(made.name))
    assert asker.get(f"/{asked[0]}").body == shown.description.render()
    other = media_of(notes_of(parse_recipe({**SMALL, "keys": ["G"]}, "test")))[0]
    for path in (f"/media/{other.name}", "/media/nothing.png", "/media/../card.css", "/media/%2e%2e%2fdesk.css"):
        assert asker.get(path).status in (400, 404)


def test_a_clip_can_be_asked_for_in_parts(asker: Asker) -> None:
    card = next(card for number in range(99) if "data-clip" in (card := sampled(asker, number=number).json)["back"])
    path = next(path for path in MEDIA.findall(card["back"]) if path.endswith(".mp3"))
    whole = asker.get(f"/{path}").body
    part = asker.get(f"/{path}", range="bytes=10-29")
    assert (part.status, part.body) == (206, whole[10:30])


def test_the_style_is_that_of_the_deck(asker: Asker) -> None:
    answer = asker.get(sampled(asker).json["style"])
    assert answer.headers["content-type"].startswith("text/css")
    assert answer.body.decode() == style()


def picture(notes: Sequence[Note]) -> Medium:
    return next(made for made in media_of(notes) if made.name.endswith(".png"))


def test_media_are_made_again_where_the_store_has_lost_them(notes: Sequence[Note], tmp_path: Path) -> None:
    gallery, made = Gallery(Store(tmp_path)), picture(notes)
    assert gallery.show([made.description]) == [made.name]
    path = gallery.get(made.name)
    assert isinstance(path, Path)
    data = path.read_bytes()
    path.write_bytes(b"damaged")
    again = gallery.get(made.name)
    assert isinstance(again, Path)
    assert again.read_bytes() == data


def test_media_are_shown_where_the_store_cannot_be_written(notes: Sequence[Note], tmp_path: Path) -> None:
    (tmp_path / "store").write_bytes(b"a file, no folder")
    gallery, made = Gallery(Store(tmp_path / "store")), picture(notes)
    gallery.show([made.description])
    assert gallery.get(made.name) == made.description.render()
    assert gallery.get("neck-0123.png") is None


def test_a_card_and_a_count_speak_as_the_recipe_does(asker: Asker) -> None:
    german = {**SMALL, "language": "german"}
    recipe = parse_recipe(german, "test")
    card = asker.post("/api/sample", {"recipe": german, "wait": True, "kind": "locate"}).json
    with recipe.in_force():
        assert (card["front"], card["back"]) in {(made.front, made.back) for made in cards_of(notes_of(recipe))}
    told = asker.post("/api/summary", {"recipe": german, "wait": True}).json
    assert told["by_level"][0]["title"] != "The cadence"
