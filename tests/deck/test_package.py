"""A built package read back: notes, cards, fields, tags, subdecks, order and media are what the recipe says."""

import errno
import io
import json
import os
import re
import sqlite3
import zipfile
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest
from PIL import Image

from deckbuilder.build import build, notes_of
from deckbuilder.cards.choices import Labels, Order
from deckbuilder.cards.facts import Kind
from deckbuilder.cards.note import Note
from deckbuilder.deck.fields import fields_of
from deckbuilder.deck.guids import guid_of
from deckbuilder.deck.package import CAUTION, write_package
from deckbuilder.deck.store import Store
from deckbuilder.deck.unfinished import finished_together
from deckbuilder.deck.writers import PackageError
from deckbuilder.recipe import Recipe, parse_recipe
from tests.deck.reading import Package, read_package

RECIPE = parse_recipe(
    {"title": "Two keys", "keys": ["F", "B"], "regions": [1, 5], "kinds": ["locate", "identify", "spell"]}, "test"
)
STAMP = 1_700_000_000.0


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Store:
    return Store(tmp_path_factory.mktemp("store"))


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory, store: Store) -> Path:
    target = tmp_path_factory.mktemp("built") / "two.apkg"
    build(RECIPE, target, store=store, timestamp=STAMP)
    return target


@pytest.fixture(scope="module")
def package(built: Path) -> Package:
    return read_package(built)


@pytest.fixture(scope="module")
def notes() -> tuple[Note, ...]:
    return notes_of(RECIPE)


def test_every_note_is_there_once(package: Package, notes: tuple[Note, ...]) -> None:
    assert sorted(row.guid for row in package.rows) == sorted(guid_of(note) for note in notes)
    assert len({row.guid for row in package.rows}) == len(notes) == 2 * (13 * 2 + 10)


def test_cards_are_the_kinds_that_are_asked(package: Package, notes: tuple[Note, ...]) -> None:
    by_guid = {row.guid: row for row in package.rows}
    for note in notes:
        row = by_guid[guid_of(note)]
        assert tuple(template for template, _, _ in row.cards) == tuple(kind.value for kind in note.kinds)


def test_fields_are_the_facts(package: Package, notes: tuple[Note, ...]) -> None:
    by_guid = {row.guid: row for row in package.rows}
    for note in notes:
        row, fields = by_guid[guid_of(note)], fields_of(note)
        assert row.fields == {name: fields.get(name, "") for name in row.fields}
        assert row.fields["Prompt"] == note.words.prompt
        assert row.fields["Id"] == note.id


def test_tags_and_subdecks(package: Package, notes: tuple[Note, ...]) -> None:
    by_guid = {row.guid: row for row in package.rows}
    for note in notes:
        row = by_guid[guid_of(note)]
        assert set(row.tags) == set(note.tags)
        assert {deck for _, deck, _ in row.cards} == {f"Two keys::{note.lap}"}
    assert sorted(package.decks) == [f"Two keys::{lap}" for lap in dict.fromkeys(note.lap for note in notes)]


def test_new_cards_come_in_the_order_of_study(package: Package, notes: tuple[Note, ...]) -> None:
    position = {row.guid: row.cards[0][2] for row in package.rows}
    assert [position[guid_of(note)] for note in notes] == sorted(position.values())


def test_media_are_whole_and_all_named(package: Package) -> None:
    named = set()
    for row in package.rows:
        for text in row.fields.values():
            named |= {*re.findall(r'src="([^"]+)"', text), *re.findall(r"\[sound:([^\]]+)\]", text)}
    assert named == set(package.media)
    for name, data in package.media.items():
        assert re.fullmatch(r"(neck|score|clip)-[0-9a-f]{24}\.(png|svg|mp3)", name)
        if name.endswith(".png"):
            assert Image.open(io.BytesIO(data)).size[0] == 720


def test_pictures_have_alternative_text(package: Package) -> None:
    for row in package.rows:
        for name in ("Picture", "Bare picture", "Notation"):
            if row.fields[name]:
                assert re.search(r'alt="[^"]{20,}"', row.fields[name])


def test_the_stamp_is_on_the_notes(package: Package) -> None:
    assert {row.modified for row in package.rows} == {int(STAMP)}


def test_note_types_have_every_template_and_flag(package: Package) -> None:
    arpeggio = next(model for model in package.models.values() if model["name"] == "Neck: arpeggio in a region")
    assert [template["name"] for template in arpeggio["tmpls"]] == ["locate", "identify", "hear"]
    assert {"Ask locate", "Ask identify", "Ask hear"} <= {field["name"] for field in arpeggio["flds"]}


def test_the_caution_is_with_every_subdeck() -> None:
    for word in ("quietly", "earphones low", "rest", "pain", "professional", "driving"):
        assert word in CAUTION


def test_a_daily_limit_stands_in_the_description_of_every_subdeck(tmp_path: Path) -> None:
    limited = replace(RECIPE, new_limit=7, kinds=(Kind.SPELL,))
    for recipe, said in ((limited, True), (replace(limited, new_limit=None), False)):
        build(recipe, tmp_path / "one.apkg", store=Store(tmp_path / "store"), timestamp=STAMP)
        with zipfile.ZipFile(tmp_path / "one.apkg") as archive, closing(sqlite3.connect(":memory:")) as collection:
            collection.deserialize(archive.read("collection.anki2"))
            decks = json.loads(collection.execute("select decks from col").fetchone()[0])
        about = [deck["desc"] for deck in decks.values() if deck["name"].startswith("Two keys::")]
        assert about
        assert all(("Meant for 7 new cards a day" in text) is said and CAUTION in text for text in about)


def test_the_same_build_gives_the_same_bytes(tmp_path: Path, built: Path, store: Store) -> None:
    again = tmp_path / "again.apkg"
    build(RECIPE, again, store=store, timestamp=STAMP)
    assert again.read_bytes() == built.read_bytes()


def test_a_later_build_keeps_ids_and_moves_the_stamp(tmp_path: Path, package: Package, store: Store) -> None:
    later = tmp_path / "later.apkg"
    changed = replace(RECIPE, labels=Labels.NAMES, order=Order.KEY_FIRST)
    build(changed, later, store=store, timestamp=STAMP + 60)
    rows = read_package(later).rows
    assert {row.guid for row in rows} == {row.guid for row in package.rows}
    assert all(row.modified > int(STAMP) for row in rows)


def test_text_is_escaped() -> None:
    note = notes_of(Recipe(keys=("F",), regions=(1,)))[0]
    odd = replace(note, words=replace(note.words, why='<script>alert("x")</script> & more'))
    assert fields_of(odd)["Why"] == "&lt;script&gt;alert(&quot;x&quot;)&lt;/script&gt; &amp; more"


class _FullDisk(dict[str, bytes]):
    """Media whose writing fails half way, as on a full disk."""

    def __getitem__(self, name: str) -> bytes:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def test_a_failed_write_leaves_the_earlier_deck(tmp_path: Path, built: Path, notes: tuple[Note, ...]) -> None:
    target = tmp_path / "two.apkg"
    target.write_bytes(built.read_bytes())
    with pytest.raises(PackageError, match=r"two\.apkg: the deck cannot be written \(No space left"):
        write_package(target, "Two keys", notes, _FullDisk({"only.png": b""}), STAMP)
    assert target.read_bytes() == built.read_bytes()
    assert [path.name for path in tmp_path.iterdir()] == ["two.apkg"]


def test_a_deck_that_waits_for_its_place_is_called_by_its_own_name(tmp_path: Path, notes: tuple[Note, ...]) -> None:
    with (
        pytest.raises(PackageError) as told,
        finished_together([tmp_path / "two.apkg"]) as (unfinished,),
    ):
        write_package(unfinished, "Two keys", notes, _FullDisk({"only.png": b""}), STAMP)
    assert str(told.value).startswith(f"{tmp_path / 'two.apkg'}: the deck cannot be written (No space left")
    assert list(tmp_path.iterdir()) == []
