"""Outputs of progress and plan: together or not at all, and only in the place of what was written here."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from deckbuilder.cli import main
from deckbuilder.deck.marks import is_ours, title_of
from deckbuilder.deck.unfinished import OccupiedError
from deckbuilder.deck.writers import PackageError
from deckbuilder.progress.heatmap import heat_map
from deckbuilder.progress.outputs import OutputError, renewed
from deckbuilder.progress.sheet import practice_sheet
from tests.drawn import drawn_once

WRITTEN = "deckbuilder.progress.written"
DATE = "2024-03-24"
FAMILY = r"focus(-\d+)?\.(toml|apkg)|heat-map-level-\d+\.png"


@pytest.fixture(scope="module", autouse=True)
def few_drawings() -> Iterator[None]:
    """Draw a heat map a level and one sheet for all: here they are files among others."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(f"{WRITTEN}.heat_map", drawn_once(heat_map, lambda level, _cells: level))
        patch.setattr(f"{WRITTEN}.practice_sheet", drawn_once(practice_sheet, lambda *_: None))
        yield


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("store")


def progress(export: Path, out: Path, store: Path, *more: str) -> Result:
    options = ["--date", DATE, "--out", str(out), "--store", str(store), "--workers", "1"]
    return CliRunner().invoke(main, ["progress", str(export), *options, *more])


def tree(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


@pytest.fixture(scope="module")
def written(export: Path, store: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    """Give the files of a report with a small deck of three weak cells."""
    out = tmp_path_factory.mktemp("report")
    told = progress(export, out, store, "--focus", "3")
    assert told.exit_code == 0, told.output
    assert all(is_ours(path) for path in out.iterdir())
    assert {title_of(path) for path in out.glob("*.apkg")} == {"Focus"}
    return tree(out)


def place(folder: Path, files: dict[str, bytes]) -> None:
    folder.mkdir(exist_ok=True)
    for name, data in files.items():
        (folder / name).write_bytes(data)


def test_a_report_takes_the_place_of_an_earlier_one_and_leaves_no_stale_deck(
    export: Path, store: Path, written: dict[str, bytes], tmp_path: Path
) -> None:
    stale = next(name for name in written if name.endswith(".apkg"))
    place(tmp_path / "out", {**written, "notes.txt": b"mine"})
    for name in ("focus-7.apkg", "focus-8.apkg"):
        (tmp_path / "out" / name).write_bytes(written[stale])
    (tmp_path / "out" / "focus-9.apkg").write_bytes(b"mine")
    told = progress(export, tmp_path / "out", store, "--focus", "1")
    assert told.exit_code == 0, told.output
    left = {path.name for path in (tmp_path / "out").iterdir()}
    maps = {name for name in written if name.startswith("heat-map")}
    expected = {"progress.html", "practice-sheet.pdf", "focus.toml", "focus.apkg", *maps}
    assert left == {*expected, "notes.txt", "focus-9.apkg"}


@pytest.mark.parametrize(
    "name", ["progress.html", "heat-map-level-2.png", "practice-sheet.pdf", "focus.toml", "focus.apkg"]
)
def test_a_file_of_the_users_own_is_refused_and_nothing_is_written(
    export: Path, store: Path, tmp_path: Path, name: str
) -> None:
    (tmp_path / name).write_bytes(b"mine")
    told = progress(export, tmp_path, store, "--focus", "1")
    assert told.exit_code == 2
    assert f"{tmp_path / name}: this was not" in told.output
    assert tree(tmp_path) == {name: b"mine"}


def test_a_picture_of_the_users_own_is_not_replaced_by_a_plan(tmp_path: Path) -> None:
    (tmp_path / "quick.toml").write_text('keys = ["F"]\nregions = [5]\nlevels = [1]\n')
    command = ["plan", str(tmp_path / "quick.toml"), "--out", str(tmp_path / "out")]
    assert CliRunner().invoke(main, command).exit_code == 0
    assert CliRunner().invoke(main, command).exit_code == 0
    (tmp_path / "out" / "load.png").write_bytes(b"mine")
    told = CliRunner().invoke(main, command)
    assert told.exit_code == 2
    assert "load.png: this was not written here" in told.output
    assert tree(tmp_path / "out") == {"load.png": b"mine"}


def fail_halfway(path: Path, error: BaseException) -> None:
    path.write_bytes(b"half")
    raise error


@pytest.mark.parametrize("error", [OSError(28, "No space left on device"), PackageError("full"), KeyboardInterrupt()])
def test_a_report_that_fails_halfway_leaves_the_earlier_one(
    written: dict[str, bytes], tmp_path: Path, error: BaseException
) -> None:
    place(tmp_path / "out", written)
    for folder in (tmp_path / "out", tmp_path / "new" / "out"):
        wanted = OutputError if type(error) is OSError else type(error)
        with pytest.raises(wanted), renewed(folder, ["progress.html", "focus.toml"], family=FAMILY) as paths:
            fail_halfway(paths["progress.html"], error)
    assert tree(tmp_path / "out") == written
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


def test_a_deck_of_another_title_is_refused(written: dict[str, bytes], tmp_path: Path) -> None:
    deck = next(name for name in written if name.endswith(".apkg"))
    place(tmp_path, {"focus.apkg": written[deck]})
    with (
        pytest.raises(OccupiedError, match="this is the deck “Focus”"),
        renewed(tmp_path, ["focus.apkg"], title="Other"),
    ):
        pass
