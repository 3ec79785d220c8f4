"""Values that no app writes, and more of a kind than any deck has: one clear error, or a report of usual size."""

import os
import random
import sqlite3
import tracemalloc
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from deckbuilder.cards.levels import LEVELS
from deckbuilder.cli import main
from deckbuilder.progress.analysis import Analysis, analyse
from deckbuilder.progress.archive import HistoryError
from deckbuilder.progress.axes import MOST_VALUES, OTHER, grouped_values
from deckbuilder.progress.cells import AXES
from deckbuilder.progress.records import Answer, Card, History
from deckbuilder.progress.study import study_of
from deckbuilder.progress.terminal import lines
from tests.progress.exports import CREATED, DAY, Log, StudiedCard, StudiedNote, write_collection, write_export
from tests.progress.read import read_history

NOW = CREATED + 30.5 * DAY
TAGS = {"level": 1, "key": "F", "region": 5, "fact": "arpeggio", "tuning": "standard"}
LOG = tuple(Log(CREATED + day * DAY + 3600, 3) for day in (0, 1, 3))
NOTE = StudiedNote("E2-A2-D3-G3-B3-E4/arpeggio/F/region-5-of-5/ii/root", TAGS, (StudiedCard(1, LOG),))
LATE = 253_402_300_799_000
"""The end of the year 9999, ms since 1970."""


def changed(path: Path, sql: str) -> Path:
    """Write an export in which something was changed."""
    write_collection(path, [NOTE])
    connection = sqlite3.connect(path)
    connection.executescript(sql)
    connection.commit()
    connection.close()
    return path


def run(*arguments: str | Path) -> Result:
    return CliRunner().invoke(main, [str(argument) for argument in arguments])


@pytest.mark.parametrize(
    ("sql", "said"),
    [
        (f"update cards set ivl = '{'9' * 400}'", "table cards, card 1: ivl = "),
        ("update cards set ivl = 1e308", "table cards, card 1: ivl = 1e+308, which no app writes"),
        (f"update cards set lapses = '{'9' * 5000}'", "table cards, card 1: lapses = "),
        ("update cards set lapses = -1e308", "table cards, card 1: lapses = -1e+308"),
        ("update cards set due = 9e999", "table cards, card 1: due = inf"),
        ("update cards set due = 'tomorrow'", "table cards, card 1: due = 'tomorrow'"),
        ("update cards set ivl = x'ff'", "table cards, card 1: ivl = b'\\xff'"),
        (
            f"update revlog set id = {LATE} where id = (select max(id) from revlog)",
            f"table revlog, card 1: id = {LATE}",
        ),
        ("update revlog set time = 1e15", "table revlog, card 1: time = "),
        ("update revlog set cid = '\x1b[2J'", "table revlog, card \\u001b[2J: cid = "),
        ("update col set crt = 1e18", "table col: crt = "),
        ("update notes set flds = x'ff'", "table notes, note 1: flds is no text"),
        ("update notes set tags = x'ff'", "table notes, note 1: tags is no text"),
        ("""update col set models = '{"1": {"flds": [{"ord": 1e99}]}}'""", "table col, note type 1: ord = "),
    ],
)
def test_what_no_app_writes_is_told_by_table_and_card(tmp_path: Path, sql: str, said: str) -> None:
    path = changed(tmp_path / "collection.anki2", sql)
    with pytest.raises(HistoryError) as told:
        read_history(path, LATE / 1000)
    (line,) = told.value.lines
    assert said in line
    assert line.endswith("; export it again")
    assert len(line) < 300 + len(str(path))
    result = run("progress", path, "--date", "9999-12-31")
    assert (result.exit_code, type(result.exception)) == (2, SystemExit)


@pytest.mark.parametrize(
    "sql",
    [
        "update cards set data = '" + "[" * 100_000 + "'",
        """update cards set data = '{"s": 1e999, "decay": -1e999}'""",
        f"""update cards set data = '{{"s": {"9" * 400}, "decay": 0.5}}'""",
        "update cards set ivl = -60, due = 4000000000, odid = 9223372036854775807, odue = -5",
        "update col set crt = 4294967296",
    ],
)
def test_odd_values_that_an_app_might_write_are_taken(tmp_path: Path, sql: str) -> None:
    for date in ("2024-01-01", "9999-12-31"):
        result = run("progress", changed(tmp_path / date, sql), "--date", date)
        assert (result.exit_code, result.exception) == (0, None), result.output


@pytest.mark.parametrize("number", ["9" * 5000, "99", "0", "1e3"])
def test_a_region_count_or_a_capo_that_no_neck_has_is_passed_over(tmp_path: Path, number: str) -> None:
    notes = [
        replace(NOTE, id=f"E2-A2-D3-G3-B3-E4+capo-{number}/arpeggio/F/region-5-of-{number}/{source}")
        for source in ("root", "third")
    ]
    path = write_export(tmp_path / "export.apkg", notes, "anki21b")
    result = run("progress", path, "--date", "2023-12-20", "--focus", "1", "--out", tmp_path / "out")
    assert (result.exit_code, result.exception) == (0, None), result.output
    assert len(result.output) < 10_000


def card(note: str, kind: str, axes: dict[str, str]) -> Card:
    answers = tuple(Answer(CREATED + day * DAY, day, 3, 4.0) for day in (0, 1, 4))
    return Card(note, {"fact": "arpeggio", "tuning": "standard", **axes}, kind, 3, 20, 0, None, answers)


def history(cards: list[Card]) -> History:
    return History("standard", "E2-A2-D3-G3-B3-E4", 5, 30, NOW, tuple(cards))


def test_memory_grows_with_answers_and_not_with_kinds_times_cards() -> None:
    many = history([card(f"note {number}", f"kind-{number % 1500}", {}) for number in range(3000)])
    study_of(many)  # what is loaded for the first time is not counted
    tracemalloc.start()
    study = study_of(many)
    trials, successes = study.counts([0, 1])
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert trials.sum() == successes.sum() == 4
    assert study.counts()[0].sum() == 6000
    # A table of cards by strata would take 3,000 × 1,500 × 6 × 8 bytes.
    assert peak < 20e6


def test_the_rarest_of_very_many_values_are_taken_together() -> None:
    common = [f"kind-{number}" for number in range(MOST_VALUES)]
    called = grouped_values([*common * 3, *(f"rare-{number}" for number in range(500))])
    assert all(called[value] == value for value in common)
    assert {called[f"rare-{number}"] for number in range(500)} == {OTHER}
    assert dict(grouped_values(common)) == {value: value for value in common}


def test_invented_axes_make_a_report_of_usual_size(tmp_path: Path) -> None:
    chance = random.Random(3)
    notes = []
    for number in range(400):
        axes = {axis: f"{axis}{chance.randrange(200)}" for axis in ("function", "colour", "source", "fact")}
        axes |= {"tuning": "standard", "level": str(number % 151), "region": str(number % 90), "key": "F"}
        notes.append(StudiedNote(f"E2/{number}/region-1-of-5", axes, (StudiedCard(0, LOG),)))
    path = write_export(tmp_path / "export.apkg", notes, "anki2")
    found = analyse(read_history(path, NOW))
    assert set(found.levels) <= set(LEVELS)
    assert all(len(table) <= MOST_VALUES + 1 for _, table in found.axes)
    assert {axis.title for axis, _ in found.axes} >= {"Level", "Region", "Colour"}
    assert len(list(lines(found))) < len(AXES) * (MOST_VALUES + 5)


def test_many_tunings_are_listed_as_a_few_and_a_number(analysis: Analysis) -> None:
    others = tuple(f"tuning-{number}" for number in range(700))
    study = replace(analysis.study, history=replace(analysis.history, other_tunings=others))
    told = list(lines(replace(analysis, study=study)))[-1]
    assert told.endswith("tuning-4 and 695 more (choose with --tuning)")


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda path: path.mkdir(), "this is a folder, not a plain file"),
        (os.mkfifo, "this is a pipe or a device, not a plain file"),
        (lambda path: path.symlink_to(path), "cannot be read (Too many levels of symbolic links)"),
        (lambda path: None, "there is no such file"),
    ],
)
def test_what_is_no_plain_file_is_told(tmp_path: Path, make: Callable[[Path], object], said: str) -> None:
    path = tmp_path / "export"
    make(path)
    result = run("progress", path)
    assert result.exit_code == 2
    assert result.output == f"deckbuilder: {path}: {said}; name what your app exported\n"


def test_a_name_that_is_too_long_is_told_and_one_that_is_nearly_so_is_read(tmp_path: Path) -> None:
    result = run("progress", tmp_path / ("x" * 300))
    assert result.exit_code == 2
    assert "File name too long" in result.output
    path = write_collection(tmp_path / "export", [NOTE]).rename(tmp_path / ("x" * 253))
    assert run("progress", path, "--date", "2023-12-20").exit_code == 0


def test_ids_reach_the_terminal_written_out(tmp_path: Path) -> None:
    path = changed(tmp_path / "\x1b[31m\nsafe\u202e", "update cards set due = '\x1b[2J\n'")
    result = run("progress", path)
    assert result.exit_code == 2
    assert not {"\x1b", "\u202e"} & set(result.output)
    assert result.output.count("\n") == 1
