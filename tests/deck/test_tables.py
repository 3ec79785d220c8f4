"""Open tables: RFC 4180 CSV, TSV and JSON Lines say what the package says."""

import csv
import json
from pathlib import Path

import pandas as pd
import pytest

from deckbuilder.build import build
from deckbuilder.deck.store import Store
from deckbuilder.deck.tables import COLUMNS
from deckbuilder.deck.unfinished import OccupiedError
from deckbuilder.deck.writers import refuse_foreign
from deckbuilder.recipe import parse_recipe
from tests.deck.reading import Package, read_package

RECIPE = parse_recipe({"title": 'A "quoted", title', "keys": ["F"], "regions": [5], "levels": [2]}, "test")


@pytest.fixture(scope="module")
def deck(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("tables")
    target = folder / "deck.apkg"
    build(RECIPE, target, store=Store(folder / "store"), timestamp=1.7e9, formats=["apkg", "csv", "tsv", "jsonl"])
    return target


@pytest.fixture(scope="module")
def package(deck: Path) -> Package:
    return read_package(deck)


def tables_folder(deck: Path) -> Path:
    return deck.with_name(f"{deck.stem}-tables")


def _rows(path: Path, delimiter: str) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, delimiter=delimiter))


def test_csv_follows_rfc_4180(deck: Path) -> None:
    """RFC 4180, section 2: CRLF after every record, one header, as many fields in each record."""
    data = (tables_folder(deck) / "cards.csv").read_bytes()
    assert data.endswith(b"\r\n")
    assert data.count(b"\n") == data.count(b"\r\n")
    assert data.decode().splitlines()[0] == ",".join(COLUMNS)
    assert b'"A ""quoted"", title::Lap 1 ' in data


@pytest.mark.parametrize(("name", "delimiter"), [("cards.csv", ","), ("cards.tsv", "\t")])
def test_a_row_for_every_card_with_the_packages_ids_and_tags(
    deck: Path, package: Package, name: str, delimiter: str
) -> None:
    rows = _rows(tables_folder(deck) / name, delimiter)
    told = sorted((row["guid"], row["card"], row["deck"], row["position"], tuple(row["tags"].split())) for row in rows)
    held = sorted(
        (row.guid, template, deck_name, str(due), row.tags)
        for row in package.rows
        for template, deck_name, due in row.cards
    )
    assert [entry[:4] for entry in told] == [entry[:4] for entry in held]
    assert [set(entry[4]) for entry in told] == [set(entry[4]) for entry in held]


def test_an_independent_reader_reads_the_same(deck: Path) -> None:
    for name, delimiter in (("cards.csv", ","), ("cards.tsv", "\t")):
        path = tables_folder(deck) / name
        frame = pd.read_csv(path, sep=delimiter, dtype=str, keep_default_na=False)
        assert frame.to_dict("records") == _rows(path, delimiter)


def test_every_medium_that_a_row_names_is_there(deck: Path, package: Package) -> None:
    folder = tables_folder(deck)
    named = set()
    for row in _rows(folder / "cards.csv", ","):
        for column in ("front_picture", "front_clip", "back_picture", "back_clip"):
            if row[column]:
                named.add(row[column])
        assert row["back_picture"]
        assert row["back_clip"]
        assert row["front"]
    for name in named:
        assert (folder / name).read_bytes() == package.media[Path(name).name]
    assert {path.name for path in (folder / "media").iterdir()} == set(package.media)


def test_json_lines_hold_everything(deck: Path, package: Package) -> None:
    lines = (tables_folder(deck) / "notes.jsonl").read_text(encoding="utf-8").splitlines()
    notes = [json.loads(line) for line in lines]
    assert {note["guid"] for note in notes} == {row.guid for row in package.rows}
    assert all(set(note["fronts"]) == set(note["kinds"]) for note in notes)
    assert [note["position"] for note in notes] == list(range(1, len(notes) + 1))


def test_building_again_replaces_the_folder(deck: Path) -> None:
    folder = tables_folder(deck)
    build(RECIPE, deck, store=Store(deck.parent / "store"), timestamp=1.7e9, formats=["apkg", "csv"])
    assert sorted(path.name for path in folder.iterdir()) == ["cards.csv", "media"]
    assert not list(deck.parent.glob(".unfinished-*"))
    build(RECIPE, deck, store=Store(deck.parent / "store"), timestamp=1.7e9, formats=["apkg", "csv", "tsv", "jsonl"])


@pytest.mark.parametrize("foreign", ["mine.txt", "media/mine.png", "media/neck-x.png", "more/cards.csv"])
def test_what_was_not_written_here_is_refused_before_anything_is_rendered(tmp_path: Path, foreign: str) -> None:
    own = tmp_path / "deck-tables" / foreign
    own.parent.mkdir(parents=True)
    own.write_text("mine")
    with pytest.raises(OccupiedError, match="move it away"):
        build(RECIPE, tmp_path / "deck.apkg", store=Store(tmp_path / "store"), timestamp=1.7e9, formats=["apkg", "csv"])
    assert own.read_text() == "mine"
    assert [path.name for path in tmp_path.iterdir()] == ["deck-tables"]


def test_a_file_or_a_link_in_the_folders_place_is_refused(tmp_path: Path) -> None:
    file, link, elsewhere = tmp_path / "file", tmp_path / "link", tmp_path / "elsewhere"
    file.write_text("mine")
    elsewhere.mkdir()
    link.symlink_to(elsewhere)
    for place in (file, link):
        place.rename(tmp_path / "deck-tables")
        with pytest.raises(OccupiedError, match="this is no part of it"):
            refuse_foreign(tmp_path / "deck.apkg", ["csv"], "x")
        (tmp_path / "deck-tables").unlink()


def test_no_folder_an_empty_one_and_an_earlier_one_are_free(tmp_path: Path, deck: Path) -> None:
    (tmp_path / "empty").mkdir()
    (tmp_path / "empty").rename(tmp_path / "empty-tables")
    for target in (tmp_path / "none.apkg", tmp_path / "empty.apkg", deck):
        refuse_foreign(target, ["csv"], "x")
