"""A simulated class: every weak spot that was put in stands on its page, and nothing else."""

import csv
import json
import re
import shutil
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from io import StringIO
from pathlib import Path

import pypdfium2
import pytest
from click.testing import CliRunner, Result
from playwright.sync_api import Browser

from deckbuilder.cli.group import main
from deckbuilder.progress.heatmap import heat_map
from deckbuilder.progress.records import DAY
from deckbuilder.progress.words import moment
from deckbuilder.teaching.classpage import COLUMNS
from deckbuilder.teaching.diary import Entry
from deckbuilder.teaching.matching import owners
from deckbuilder.teaching.roster import read_class
from deckbuilder.teaching.week import Week, entry_of
from deckbuilder.teaching.weekfiles import read_week
from deckbuilder.teaching.weeksheet import week_sheet
from tests.drawn import drawn_once
from tests.pdf import boxes, words_of
from tests.policy import assert_nothing_foreign, policy_of
from tests.progress.exports import write_export
from tests.teaching.simulated import ALTERED, DATE, EMPTY, PUPILS, Pupil, history, write_class

DATE_OF = date.fromisoformat(DATE)

pytestmark = pytest.mark.xdist_group("class")


LOOKED_AT = ("Tuesdays · Ben", "Tuesdays · Di", "Tuesdays · Ida <b>&")
"""Whose sheets are drawn; the others have the first one's."""


@pytest.fixture(scope="module", autouse=True)
def few_drawings() -> Iterator[None]:
    """Draw a heat map a level and a sheet a paper for most students: nine tenths of a week's time are drawings."""
    with pytest.MonkeyPatch.context() as patch:
        of_level = drawn_once(heat_map, lambda level, _cells: level)
        of_some = drawn_once(week_sheet, lambda title, _now, _plan, paper: (title if title in LOOKED_AT else "", paper))
        patch.setattr("deckbuilder.progress.written.heat_map", of_level)
        patch.setattr("deckbuilder.teaching.weekfiles.week_sheet", of_some)
        yield


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("class")
    write_class(folder)
    return folder


def run(folder: Path, *options: str) -> Result:
    arguments = ["class", str(folder / "class.toml"), "--histories", str(folder / "exports"), "--date", DATE]
    return CliRunner().invoke(main, [*arguments, "--out", str(folder / "week"), *options])


@pytest.fixture(scope="module")
def told(folder: Path) -> Result:
    return run(folder)


@pytest.fixture(scope="module")
def week(folder: Path, told: Result) -> Path:
    assert told.exit_code == 2, told.output  # one row of the class is bad
    return folder / "week"


@pytest.fixture(scope="module")
def page(week: Path) -> str:
    return (week / "class.html").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def table(week: Path) -> list[dict[str, str]]:
    return list(csv.DictReader(StringIO((week / "class.csv").read_bytes().decode(), newline=""), strict=True))


def test_every_spot_that_was_put_in_is_told_and_nothing_else(table: list[dict[str, str]]) -> None:
    assert [row["student"] for row in table] == [pupil.name for pupil in PUPILS]
    assert [row["deck"] for row in table] == [pupil.deck for pupil in PUPILS]
    for pupil, row in zip(PUPILS, table, strict=True):
        assert [row[f"weak_{number}"] for number in (1, 2, 3)] == [pupil.spot, "", ""], pupil.name
        if pupil.spot:
            assert float(row["certainty_1"]) > 0.95


def test_what_several_share_is_counted(page: str, told: Result) -> None:
    names = ", ".join(pupil.name for pupil in PUPILS if pupil.spot == ALTERED)
    assert f'<b>3 of 10: {ALTERED}</b> <span class="quiet">{names}</span>' in page
    assert page.count("<b>3 of") == page.count(" of 10: ") == 1
    assert f"3 of 10: {ALTERED}" in told.stdout


def test_figures_of_the_week_are_those_of_the_exports(table: list[dict[str, str]]) -> None:
    for number, (pupil, row) in enumerate(zip(PUPILS, table, strict=True)):
        if not pupil.container or pupil.name == EMPTY:
            assert row["last_studied"] == row["answers_week"] == ""
            continue
        logs = [log for note in history(pupil, number) for card in note.cards for log in card.log]
        now = moment(DATE_OF)
        recent = [log for log in logs if now - 7 * DAY < log.at <= now]
        assert int(row["answers_week"]) == len(recent)
        assert float(row["minutes_week"]) == pytest.approx(sum(log.seconds for log in recent) / 60, abs=0.06)
        assert row["last_studied"] == "2024-03-23"


def test_what_is_missing_or_of_no_use_is_listed_with_its_reason(page: str, told: Result) -> None:
    listed = dict(re.findall(r"<li><b>([^<]+)</b>: ([^<]+)</li>", page))
    assert set(listed) == {"Jo", "Kim", "damaged.apkg", "foreign.apkg", "shopping.txt", "stranger.apkg"}
    assert (
        listed["Jo"]
        == "an export without an answer: nothing was studied yet, or the export is without its study history"
    )
    assert listed["Kim"] == "no export with a deck of this title"
    assert "damaged" in listed["damaged.apkg"]
    assert "no note in it was made by deckbuilder" in listed["foreign.apkg"]
    assert listed["stranger.apkg"] == "no student of this class has its deck; there is: Fridays · Zoe"
    for name in ("damaged.apkg", "foreign.apkg", "shopping.txt", "stranger.apkg"):
        assert f"{name}: " in told.stdout
    assert "students 13 (Lou): keys = [\"J\"]: 'J' is not a key" in told.stderr


def test_the_table_keeps_to_rfc_4180(week: Path, table: list[dict[str, str]]) -> None:
    data = (week / "class.csv").read_bytes()
    assert data.endswith(b"\r\n")
    assert data.count(b"\r\n") == data.count(b"\n") == len(PUPILS) + 1
    assert tuple(table[0]) == COLUMNS
    assert all(None not in row and None not in row.values() for row in table)


def test_the_page_asks_for_nothing_and_escapes_what_it_is_told(page: str) -> None:
    policy = policy_of(page)
    assert_nothing_foreign(policy)
    assert "script-src" not in policy
    assert "img-src" not in policy
    assert "Ida &lt;b&gt;&amp;" in page
    for deck in ("Tuesdays · Ada", "Ada from the hill"):
        assert f"<h3>Ada ({deck})</h3>" in page
    assert "Ida <b>" not in page
    assert "stay on this computer" in page


def test_its_links_lead_to_files_and_every_student_who_studied_has_them(week: Path, page: str) -> None:
    targets = re.findall(r'href="([^"]+)"', page)
    assert all((week / target).is_file() for target in targets)
    assert len(targets) == 3 * 10
    named = {"class.html", "class.csv", "diary.json"}
    assert {path.name for path in week.iterdir()} == {*targets, *named}


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_it_fits_a_phone(week: Path, browser: Browser, scheme: str) -> None:
    context = browser.new_context(color_scheme=scheme, viewport={"width": 360, "height": 800})  # type: ignore[arg-type]
    shown = context.new_page()
    shown.goto((week / "class.html").as_uri())
    assert shown.evaluate("document.documentElement.scrollWidth") == 360
    assert shown.locator(".students > li").count() == 10
    context.close()


@pytest.mark.parametrize(("paper", "size"), [("a4", (595.3, 841.9)), ("letter", (612.0, 792.0))])
def test_each_sheet_is_one_page_named_and_dated_and_its_lines_keep_to_their_room(
    week: Path, paper: str, size: tuple[float, float]
) -> None:
    """ISO 216 and ANSI/ASME Y14.1: A4 is 210 × 297 mm, Letter 8.5 × 11 in; a point is 1/72 in."""
    with pypdfium2.PdfDocument(week / f"tuesdays-ben-week-{paper}.pdf") as document:
        assert len(document) == 1
        assert document[0].get_size() == pytest.approx(size, abs=0.1)
        assert document.get_metadata_dict()["Title"] == "Tuesdays · Ben: week from 24 March 2024"
        said = words_of(document[0])
        lines = boxes(document[0])
    assert "Tuesdays · Ben" in said
    assert "24 March 2024" in said
    for wanted in ("Next places", "Tempo", "Tune: ", "Hands: "):
        assert wanted in said
    assert len(re.findall(r"B♭ · region \d", said)) == 5
    for left, bottom, right, top in lines:
        assert 0 < left < right < size[0] - 20
        assert 0 < bottom < top < size[1]
        # No line of the left column comes into the right one.
        assert left > size[0] / 2 or right < size[0] / 2 + 4 or top < 260 or bottom > size[1] - 75


def test_a_sheet_shows_what_is_weak_everywhere_in_five_places(week: Path) -> None:
    with pypdfium2.PdfDocument(week / "tuesdays-di-week-a4.pdf") as document:
        said = words_of(document[0])
    assert len(re.findall("weak: altered from the third everywhere", said)) == 5
    assert len(re.findall("altered · arpeggio from the third of", said)) == 5


def test_a_report_is_named(week: Path) -> None:
    report = (week / "tuesdays-di-report.html").read_text(encoding="utf-8")
    assert "Tuesdays · Di" in report
    assert "altered from the third" in report


def small(folder: Path) -> Week:
    return read_week(read_class(folder / "class.toml"), folder / "exports", moment(DATE_OF), folder / "none")[0]


def two(folder: Path, pupil: Pupil = PUPILS[0]) -> None:
    """Leave two students and the export of the first, who studies as a pupil does."""
    (folder / "exports").mkdir()
    (folder / "class.toml").write_text("title = 'Tuesdays'\n[[students]]\nname = 'Ada'\n[[students]]\nname = 'Ben'\n")
    write_export(folder / "exports" / "a.apkg", history(pupil, 3), "anki2", deck="Guitar::Tuesdays · Ada::Lap 1")


def test_the_next_week_tells_what_changed(tmp_path: Path) -> None:
    two(tmp_path, PUPILS[3])
    assert run(tmp_path).exit_code == 0
    diary = json.loads((tmp_path / "week" / "diary.json").read_text())
    (entry,) = diary["students"]["Tuesdays · Ada"]
    assert (entry["spots"], entry["day"], entry["tempo"]) == ([ALTERED], DATE, 72)
    # As if the last week had been another one.
    entry |= {"day": "2024-03-17", "at": entry["at"] - 7 * DAY, "spots": ["region 5"], "recalled": 0.5, "seen": 400}
    (tmp_path / "week" / "diary.json").write_text(json.dumps(diary, indent=1))
    assert run(tmp_path).exit_code == 0
    page = (tmp_path / "week" / "class.html").read_text(encoding="utf-8")
    assert f"Since 2024-03-17: new: {ALTERED}; no more weak: region 5; recalled 50% → 73%; 40 more cards seen." in page
    days = json.loads((tmp_path / "week" / "diary.json").read_text())["students"]["Tuesdays · Ada"]
    assert [one["day"] for one in days] == ["2024-03-17", DATE]


def test_a_student_reads_their_own_language_and_the_teacher_that_of_the_class(tmp_path: Path) -> None:
    two(tmp_path, PUPILS[3])
    students = "[[students]]\nname = 'Ada'\nlanguage = 'german'\n[[students]]\nname = 'Ben'\n"
    (tmp_path / "class.toml").write_text(f"title = 'Tuesdays'\n{students}")
    assert run(tmp_path).exit_code == 0
    page, report = (
        (tmp_path / "week" / name).read_text(encoding="utf-8") for name in ("class.html", "tuesdays-ada-report.html")
    )
    assert ">Sheet for the week (A4)<" in page
    assert ALTERED in page
    assert ">Blatt für die Woche (A4)<" in report
    assert "alteriert, von der Terz" in report
    assert ALTERED not in report


def test_what_is_not_ours_is_not_replaced_and_a_damaged_diary_is_told(tmp_path: Path) -> None:
    two(tmp_path)
    week = tmp_path / "week"
    week.mkdir()
    for name, said in (
        ("diary.json", "diary.json: what earlier weeks said cannot be read (it is damaged); move it away"),
        ("class.csv", "this was not written here"),
    ):
        (week / name).write_bytes(b"{")
        result = run(tmp_path)
        assert result.exit_code == 2
        assert said in result.stderr
        assert [path.name for path in week.iterdir()] == [name]
        assert (week / name).read_bytes() == b"{"
        (week / name).unlink()


def test_two_exports_of_one_student_count_once(tmp_path: Path) -> None:
    two(tmp_path)
    one = small(tmp_path).standings[0]
    shutil.copy(tmp_path / "exports" / "a.apkg", tmp_path / "exports" / "tablet.apkg")
    again = small(tmp_path).standings[0]
    assert len(again.files) == 2
    assert (again.answers, again.minutes) == (one.answers, one.minutes)
    first, second = entry_of(one), entry_of(again)
    assert isinstance(first, Entry)
    assert first == second


def test_an_export_of_several_students_is_nobodys(tmp_path: Path) -> None:
    two(tmp_path)
    write_export(
        tmp_path / "exports" / "a.apkg", history(PUPILS[0], 0)[:3], "anki2", deck="Tuesdays · Ada::Tuesdays · Ben"
    )
    week = small(tmp_path)
    assert week.studied == ()
    assert week.unused[0].reason.startswith("it holds decks of several students (Ada, Ben); export one")
    assert replace(week, unused=()).shared == ()


def test_a_title_is_found_in_any_deck_above_and_in_any_spelling() -> None:
    decks = ["Guitar::Tuesdays · Zoe\u0308::Lap 1"]
    assert owners(decks, ["Tuesdays · Zo\u00eb", "Tuesdays", "Lap 2"]) == [0]


def test_a_folder_that_is_none_is_told(tmp_path: Path) -> None:
    two(tmp_path)
    shutil.rmtree(tmp_path / "exports")
    result = run(tmp_path)
    assert result.exit_code == 2
    assert "cannot be looked into" in result.stderr
    assert "a week tells of the whole class" in run(tmp_path, "--only", "Ada").stderr


def test_the_week_of_another_class_is_not_replaced(tmp_path: Path) -> None:
    two(tmp_path)
    week = tmp_path / "week"
    assert run(tmp_path).exit_code == 0
    before = {path.name: path.read_bytes() for path in week.iterdir()}
    file = tmp_path / "class.toml"
    file.write_text(file.read_text(encoding="utf-8").replace("Tuesdays", "Thursdays"), encoding="utf-8")
    result = run(tmp_path)
    assert result.exit_code == 2
    said = "week: this is the week of the class “Tuesdays”, and that of “Thursdays” would take its place; move it away"
    assert said in result.stderr
    assert {path.name: path.read_bytes() for path in week.iterdir()} == before


def test_where_no_export_is_of_the_class_the_last_week_stays(tmp_path: Path) -> None:
    two(tmp_path)
    assert run(tmp_path).exit_code == 0
    before = {path.name: path.read_bytes() for path in (tmp_path / "week").iterdir()}
    for path in (tmp_path / "exports").iterdir():
        path.unlink()
    result = run(tmp_path)
    assert result.exit_code == 2
    assert "no export here is of a student of this class, so nothing was written" in result.stderr
    assert {path.name: path.read_bytes() for path in (tmp_path / "week").iterdir()} == before


def test_a_sheet_says_why_its_places_are_practised(week: Path) -> None:
    for name, has in (("tuesdays-di", True), ("tuesdays-gus", False)):
        with pypdfium2.PdfDocument(week / f"{name}-week-letter.pdf") as document:
            said = words_of(document[0]).replace("\r\n", " ")
        assert ("Why these places" in said) == has
        assert (f"Needs work: {ALTERED} everywhere. " in said) == has
