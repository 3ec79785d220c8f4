"""Acting: recipes and searches hold exactly the weak cells; the sheet shares out minutes as promised."""

import re
import tomllib
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.build import notes_of
from deckbuilder.cards.facts import Kind
from deckbuilder.neck.tuning import NeckError
from deckbuilder.picture.description import NeckPicture
from deckbuilder.progress.analysis import Analysis
from deckbuilder.progress.archive import HistoryError
from deckbuilder.progress.cells import Cell
from deckbuilder.progress.focus import base_recipe, blocks, focus_recipe, notes_to_practise, search_expression
from deckbuilder.progress.paper import printed
from deckbuilder.progress.practice import MOST, hardest_note, rotation
from deckbuilder.progress.sheet import practice_sheet
from deckbuilder.progress.work import Place, work
from deckbuilder.recipe import Recipe, parse_recipe, read_recipe
from deckbuilder.recipe.writing import recipe_toml
from deckbuilder.theory.keys import DEFAULT_KEYS
from tests.noted import picture_of

cells = st.builds(Cell, st.integers(1, 3), st.sampled_from(DEFAULT_KEYS), st.integers(1, 5))


@given(st.sets(cells, min_size=1, max_size=20))
def test_blocks_cover_the_cells_exactly_and_once(chosen: set[Cell]) -> None:
    covered = [
        Cell(level, key, region)
        for block in blocks(chosen)
        for level in block.levels
        for key in block.keys
        for region in block.regions
    ]
    assert sorted(covered) == sorted(chosen)


def test_a_block_of_cells_is_one_recipe() -> None:
    chosen = [Cell(level, key, region) for level in (1, 2) for key in ("Gb", "Db") for region in (3, 4)]
    assert blocks(chosen) == ((("Db", "Gb"), (3, 4), (1, 2)),)


def matches(expression: str, tags: set[str]) -> bool:
    """Evaluate a search by tags: words beside each other must all hold."""
    tokens = re.findall(r"\(|\)|[^\s()]+", expression)

    def either(start: int) -> tuple[bool, int]:
        value, place = both(start)
        while place < len(tokens) and tokens[place] == "or":
            other, place = both(place + 1)
            value = value or other
        return value, place

    def both(start: int) -> tuple[bool, int]:
        value, place = True, start
        while place < len(tokens) and tokens[place] not in (")", "or"):
            if tokens[place] == "(":
                one, place = either(place + 1)
                assert tokens[place] == ")"
                place += 1
            else:
                one, place = tokens[place].removeprefix("tag:") in tags, place + 1
            value = value and one
        return value, place

    value, end = either(0)
    assert end == len(tokens)
    return value


@given(st.sets(cells, min_size=1, max_size=12))
def test_the_search_finds_exactly_the_cells(analysis: Analysis, chosen: set[Cell]) -> None:
    expression = search_expression(analysis.history, chosen)
    for level in range(1, 4):
        for key in DEFAULT_KEYS:
            for region in range(1, 6):
                tags = {f"level::{level}", f"key::{key}", f"region::{region}", "tuning::standard"}
                assert matches(expression, tags) == (Cell(level, key, region) in chosen)


def test_recipes_hold_the_cells_notes_and_no_more(analysis: Analysis) -> None:
    chosen = analysis.weak[:5]
    recipe = focus_recipe(analysis.history, read_recipe(None), chosen)
    assert len(recipe.study) == len(blocks(chosen)) > 1
    places = {
        Cell(note.level, note.identity.key, note.identity.region or 0)
        for note in notes_of(recipe)
        if note.identity.region
    }
    assert places == set(chosen)
    assert set(recipe.kinds) <= {"locate", "identify"}


def test_a_recipe_written_is_the_recipe_read(tmp_path: Path, analysis: Analysis) -> None:
    base = parse_recipe({"title": "x", "sound": {"tempo": 90.5}, "instrument": {"frets": 24}, "labels": "names"}, "x")
    for count in (1, 4):
        recipe = focus_recipe(analysis.history, base, analysis.weak[:count])
        path = tmp_path / f"{count}.toml"
        path.write_text(recipe_toml(recipe), encoding="utf-8")
        assert read_recipe(path) == recipe
        assert tomllib.loads(recipe_toml(recipe))["sound"] == {"tempo": 90.5}


def test_changes_of_ones_own_stay_out_of_a_focus_deck(analysis: Analysis) -> None:
    changes = [{"name": "Mine", "key": "F", "bars": "| ii | V7alt | Imaj7 | VI7alt |"}]
    base = parse_recipe({"changes": changes, "levels": []}, "x")
    recipe = focus_recipe(analysis.history, base, analysis.weak[:2])
    assert recipe.changes == ()
    assert recipe.levels


def test_a_recipe_for_another_instrument_is_refused(analysis: Analysis) -> None:
    fewer_regions = [Recipe(keys=("C",), regions=(1,), levels=(1,), kinds=(Kind.SPELL,), title="x")]
    history = analysis.history
    strangers = [card for card in history.cards if card.axes["key"] == "B"]
    with pytest.raises(HistoryError, match="--recipe"):
        notes_to_practise(replace(history, cards=tuple(strangers)), fewer_regions)


def test_the_recipe_of_a_history_has_its_neck(analysis: Analysis) -> None:
    """Seven regions, another tuning and a capo are the history's own, and no reason to ask for a recipe."""
    for regions, instrument in ((7, "E2-A2-D3-G3-B3-E4"), (5, "E2-A2-D3-G3-C4-F4"), (5, "E2-A2-D3-G3-B3-E4+capo-2")):
        history = replace(analysis.history, instrument=instrument, region_count=regions)
        base = base_recipe(history)
        assert (base.instrument.neck.id, base.instrument.regions) == (instrument, regions)
        cell = Cell(1, "C", regions)
        recipe = focus_recipe(history, base, [cell])
        ids = {note.id for note in notes_of(recipe)}
        assert all(f"region-{regions}-of-{regions}" in name for name in ids)
        studied = tuple(replace(card, note=min(ids)) for card in history.cards[:1])
        assert notes_to_practise(replace(history, cards=studied), [recipe]).keys() == ids


def test_a_recipe_for_another_neck_is_told_with_both(analysis: Analysis) -> None:
    history = replace(analysis.history, region_count=7)
    with pytest.raises(HistoryError, match=r"in 7 regions, the recipe of E2-A2-D3-G3-B3-E4 in 5; name .* --recipe"):
        focus_recipe(history, read_recipe(None), [Cell(1, "C", 6)])


@pytest.mark.parametrize("instrument", ["nothing", "E2-A2", "E2-A2-D3+capo-" + "9" * 5000, "+capo-1"])
def test_a_history_of_no_instrument_is_told(analysis: Analysis, instrument: str) -> None:
    with pytest.raises(NeckError):
        base_recipe(replace(analysis.history, instrument=instrument))


@given(st.integers(1, MOST))
def test_the_rotation_keeps_its_rules(count: int) -> None:
    plan = rotation(count)
    turns = [block for block in plan if block.cell is not None]
    assert [block.start for block in plan] == [sum(before.minutes for before in plan[:n]) for n in range(len(plan))]
    assert {block.cell for block in turns} == set(range(count))
    assert all(block.minutes <= 2 for block in plan)
    for one, other in pairwise(plan):
        assert one.cell != other.cell
    played = 0
    for block in plan:
        played = 0 if block.cell is None else played + block.minutes
        assert played <= 10
    assert plan[-1].cell is not None


def test_the_sheet_is_one_page_with_its_words_and_pictures(analysis: Analysis) -> None:
    chosen = analysis.weak[:MOST]
    notes = notes_to_practise(analysis.history, [focus_recipe(analysis.history, read_recipe(None), chosen)])
    parts = work(analysis, MOST)
    sheet = practice_sheet(analysis, parts, notes)
    assert sheet.startswith(b"%PDF-")
    assert len(re.findall(rb"/Type /Page\b", sheet)) == 1
    # A4 in points.
    assert re.search(rb"/MediaBox \[ 0 0 595\.27\d* 841\.88\d* \]", sheet)
    assert sheet.count(b"/Subtype /Image") == len(chosen)
    assert sheet == practice_sheet(analysis, parts, notes)


def test_the_note_shown_is_the_one_forgotten_most(analysis: Analysis) -> None:
    cell = Cell(2, "C", 1)
    notes = notes_to_practise(analysis.history, [focus_recipe(analysis.history, read_recipe(None), [cell])])
    hardest = hardest_note(analysis.study, Place(cell), notes)
    assert hardest is not None
    # In this learner's truth, altered arpeggios from the third are the weak ones.
    assert hardest.identity.source == "third"
    assert hardest_note(analysis.study, Place(cell), {}) is None


def test_a_picture_for_paper_keeps_accents_and_lightens_the_ground(analysis: Analysis) -> None:
    notes = notes_of(parse_recipe({"keys": ["F"], "regions": [5], "levels": [1]}, "x"))
    picture = next(picture_of(note) for note in notes if note.identity.region)
    assert isinstance(picture, NeckPicture)
    paper = printed(picture)
    assert paper.mean() > 190
    for accent in ((0xA0, 0x59, 0x00), (0x0D, 0x6B, 0xA0)):
        assert (paper == accent).all(axis=-1).any()
