"""`deckbuilder class`, from a file to decks."""

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from deckbuilder.cli.group import main

CLASS = """
title = "Class"
[recipe]
keys = ["F"]
regions = [5]
levels = [1]
kinds = ["spell"]
[[students]]
name = "A. B."
[[students]]
name = "C. D."
keys = ["H"]
[[students]]
name = "E. F."
"""


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "class.toml"
    path.write_text(CLASS)
    return path


def run(file: Path, *options: str) -> Result:
    out = ["--out", str(file.parent / "out"), "--store", str(file.parent / "store"), "--workers", "1"]
    return CliRunner().invoke(main, ["class", str(file), *out, *options])


def test_a_bad_row_is_told_and_the_others_are_built(file: Path) -> None:
    result = run(file)
    assert result.exit_code == 2
    assert [path.name for path in sorted((file.parent / "out").iterdir())] == ["class-a-b.apkg", "class-e-f.apkg"]
    header, one, other, *_ = (line for line in result.stdout.splitlines())
    assert header.split() == ["student", "notes", "cards", "size", "at", "15", "minutes", "a", "day", "deck"]
    assert one.split()[:4] == ["A.", "B.", "6", "6"]
    assert other.split()[:2] == ["E.", "F."]
    assert "class.toml: students 2 (C. D.): keys = [\"H\"]: 'H' is not a key" in result.stderr


def test_only_some(file: Path) -> None:
    result = run(file, "--only", "E. F.")
    assert result.exit_code == 0, result.output
    assert [path.name for path in (file.parent / "out").iterdir()] == ["class-e-f.apkg"]
    assert run(file, "--only", "X").exit_code == 2


def test_a_name_is_found_however_its_accents_are_written(file: Path) -> None:
    file.write_text(CLASS.replace("E. F.", "Zo\u00eb"), encoding="utf-8")
    result = run(file, "--only", "Zoe\u0308", "--dry-run")
    assert result.exit_code == 0, result.output
    assert "1 day " in result.stdout


def test_a_long_name_is_cut_on_the_terminal(file: Path) -> None:
    file.write_text(CLASS.replace("E. F.", "Z" * 300), encoding="utf-8")
    assert max(map(len, run(file, "--dry-run").stdout.splitlines())) < 300


def test_a_day_without_exports_is_refused(file: Path) -> None:
    result = run(file, "--date", "2024-03-24")
    assert result.exit_code == 2
    assert "--date: only a week has one; name the folder of exports with --histories" in result.stderr


def test_a_dry_run_tells_the_same_and_writes_nothing(file: Path) -> None:
    before = sorted(file.parent.iterdir())
    result = run(file, "--dry-run")
    assert result.exit_code == 2
    assert sorted(file.parent.iterdir()) == before
    assert "A. B.    6      6" in result.stdout
    assert "pictures and clips for all of them, " in result.stdout
    assert "students 2 (C. D.)" in result.stderr
    run(file)
    assert ", 0 to be rendered. Nothing was written." in run(file, "--dry-run").stdout


def test_a_class_of_bad_rows_alone(file: Path) -> None:
    file.write_text('[[students]]\nname = "A"\nkeys = []\n')
    result = run(file)
    assert result.exit_code == 2
    assert not (file.parent / "out").exists()


def test_the_help_says_where_the_data_stay() -> None:
    assert "stay on this computer" in " ".join(CliRunner().invoke(main, ["class", "--help"]).output.split())
