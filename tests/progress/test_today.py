"""The report begins with what to do and folds its tables; other tools get the figures; sheets keep to their room."""

import csv
import json
import re
from dataclasses import replace
from io import StringIO
from pathlib import Path

import pypdfium2
import pytest
from click.testing import CliRunner, Result
from playwright.sync_api import Browser

from deckbuilder.cli import main
from deckbuilder.progress.analysis import Analysis, analyse
from deckbuilder.progress.data import COLUMNS, progress_csv, progress_json
from deckbuilder.progress.drawing import measured, wrapped
from deckbuilder.progress.focus import base_recipe, focus_recipe, notes_to_practise, search_expression
from deckbuilder.progress.sheet import practice_sheet
from deckbuilder.progress.spots import spots
from deckbuilder.progress.today import PLACES, today
from deckbuilder.progress.words import verdict
from deckbuilder.progress.work import Part, Place
from deckbuilder.progress.written import heat_maps, report_page
from tests.pdf import boxes, words_of
from tests.progress.learner import Axes, history_of, studied

TITLE = "A deck with a name that is rather long for the top of a sheet of paper, as names of decks may well be"


@pytest.fixture(scope="module")
def named(analysis: Analysis) -> Analysis:
    history = replace(analysis.history, title=TITLE)
    return replace(analysis, study=replace(analysis.study, history=history))


@pytest.fixture(scope="module")
def page(named: Analysis) -> str:
    return report_page(named, heat_maps(named), {"The sheet": "practice-sheet.pdf"})


def test_what_to_do_comes_first_then_the_map_then_the_rest(page: str, named: Analysis) -> None:
    search = search_expression(named.history, named.weak[:PLACES])
    order = [page.index(word) for word in (search, TITLE + "</b>", "practice-sheet.pdf", "Heat map of", "In common")]
    assert order == sorted(order)
    assert f"<title>{TITLE}: " in page


def test_every_table_is_folded(page: str) -> None:
    outside = re.sub(r"<details>.*?</details>", "", page, flags=re.DOTALL)
    assert "<table>" in page
    assert "<table>" not in outside


def test_a_phone_shows_it_in_less_than_two_thirds_of_what_it_was(page: str, browser: Browser, tmp_path: Path) -> None:
    """It was 8,700 CSS pixels high at a width of 360, before its tables were folded."""
    (tmp_path / "page.html").write_text(page, encoding="utf-8")
    shown = browser.new_context(viewport={"width": 360, "height": 800}).new_page()
    shown.goto((tmp_path / "page.html").as_uri())
    assert shown.evaluate("document.documentElement.scrollWidth") == 360
    assert shown.evaluate("document.documentElement.scrollHeight") < 5800
    first = shown.locator("code").first.bounding_box()
    assert first is not None
    assert first["y"] + first["height"] < 800
    shown.context.close()


def test_without_weak_cells_it_is_the_next_check_up(analysis: Analysis) -> None:
    steady = analyse(history_of(studied(lambda _axes, _kind: 0.9, 2, days=40, keys=("F",)), 40))
    assert steady.weak == ()
    assert today(steady).search == "tag:round::1"
    due = sum(bool(card.answers) and card.due is not None and card.due <= 40 for card in steady.history.cards)
    assert today(steady).due == due


def test_what_is_weak_everywhere_is_told_first_where_no_single_place_is() -> None:
    def share(axes: Axes, _kind: str) -> float:
        return 0.55 if axes.get("colour") == "altered" and axes["source"] == "third" else 0.93

    spread = analyse(history_of(studied(share, 3, days=130, keys=("F", "Bb", "Eb", "Ab")), 130))
    assert spread.weak == ()
    assert today(spread).search.endswith(" tag:colour::altered tag:source::third")
    assert "altered from the third everywhere" in today(spread).what
    assert "altered from the third everywhere" in verdict(spread)


def test_figures_for_other_tools_are_those_of_the_report(named: Analysis) -> None:
    said = json.loads(progress_json(named))
    assert said["title"] == TITLE
    assert said["all"]["recalls"] == named.overall.recalls
    weak = {(cell["level"], cell["key"], cell["region"]) for cell in said["cells"] if cell["verdict"] == "weak"}
    assert weak == set(named.weak)
    assert [spot["what"] for spot in said["spots"]] == [spot.words for spot in spots(named)]
    data = progress_csv(named)
    assert data.count(b"\r\n") == data.count(b"\n")
    rows = list(csv.DictReader(StringIO(data.decode(), newline=""), strict=True))
    assert tuple(rows[0]) == COLUMNS
    cells = [row for row in rows if row["axis"] == "cell"]
    assert len(cells) == len(said["cells"]) == len(named.cells)
    for row, cell in zip(cells, said["cells"], strict=True):
        assert (int(row["level"]), row["key"], int(row["recalled"])) == (cell["level"], cell["key"], cell["recalled"])
    assert {row["axis"] for row in rows} == {"all", "cell", *said["axes"]}


def test_they_are_written_or_printed_as_they_are_asked_for(export: Path, tmp_path: Path) -> None:
    def run(*options: str) -> Result:
        return CliRunner().invoke(main, ["progress", str(export), "--date", "2024-03-24", *options])

    printed = run("--format", "json")
    assert json.loads(printed.stdout)["generator"] == "deckbuilder"
    written = run("--format", "json,csv", "--out", str(tmp_path / "out"))
    assert written.exit_code == 0, written.output
    assert (tmp_path / "out" / "progress.json").read_text(encoding="utf-8") == printed.stdout
    assert (tmp_path / "out" / "progress.csv").is_file()
    assert (tmp_path / "out" / "progress.html").is_file()
    # What an earlier run left goes when it is no longer asked for.
    assert run("--out", str(tmp_path / "out")).exit_code == 0
    assert not (tmp_path / "out" / "progress.csv").exists()
    for options, told in (
        (["--format", "csv"], "only json can be printed; name a folder for the files with --out"),
        (["--format", "jsno"], "--format jsno: there is no such format; did you mean"),
    ):
        refused = run(*options)
        assert refused.exit_code == 2
        assert told in refused.stderr


def test_lines_of_the_practice_sheet_keep_to_their_column(named: Analysis) -> None:
    """Long tasks, such as arpeggios of the tritone substitute, ran over into the next column."""
    cells = sorted(named.weak, key=lambda cell: -cell.level)[:6]
    recipe = focus_recipe(named.history, base_recipe(named.history), cells)
    notes = notes_to_practise(named.history, [recipe])
    with pypdfium2.PdfDocument(practice_sheet(named, [Part(None, tuple(map(Place, cells)), True)], notes)) as document:
        assert len(document) == 1
        assert document.get_metadata_dict()["Title"] == f"Practice sheet: {TITLE}"
        width, height = document[0].get_size()
        said, lines = words_of(document[0]), boxes(document[0])
    assert "of the tritone" in said
    assert TITLE in said.replace("\r\n", " ")
    assert "24 March 2024" in said
    gutter = width / 2
    in_cells = [box for box in lines if 270 < box[1] < height - 75]
    assert len(in_cells) > 20
    for left, bottom, right, top in in_cells:
        assert right < gutter or left > gutter
        assert (left > 0, right < width - 30, bottom < top) == (True, True, True)
    for one in in_cells:
        for other in in_cells:
            apart = one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]
            assert apart or one is other


def test_lines_are_wrapped_by_their_length_on_paper() -> None:
    words = "V altered · arpeggio from the third of the tritone substitute · B♭m7♭5"
    lines = wrapped(words, 3.2, 60)
    assert " ".join(lines) == words
    assert len(lines) == 2
    assert all(measured(line, 3.2) <= 60 for line in lines)
    whole = wrapped("W" * 90, 3.2, 60)
    assert "".join(whole) == "W" * 90
    assert all(measured(line, 3.2) <= 60 for line in whole)
    assert wrapped("", 3.2, 60) == []
