"""The command line as a user meets it, in a process of its own."""

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import psutil
import pytest

from deckbuilder.deck.check import check_package
from tests.running import run

SMALL = ("--keys", "F", "--regions", "5", "--levels", "2", "--kinds", "locate,identify,spell")

LISTED = (
    *("id", "guid", "fact", "kinds", "level", "key", "region", "index_fret", "function", "colour", "source", "chord"),
    *("symbol", "tones", "degrees", "midi", "places", "prompt", "why", "picture", "clip"),
)


def test_build_check_and_rebuild(tmp_path: Path) -> None:
    done = run(tmp_path, "build", *SMALL, "--workers", "2", SOURCE_DATE_EPOCH="1700000000")
    assert done.returncode == 0, done.stderr
    assert "5 notes, 7 cards, 11 pictures, 5 clips" in done.stdout
    assert "pictures and clips: 16 of 16" in done.stderr
    (deck,) = (tmp_path / "decks").iterdir()
    assert str(deck.relative_to(tmp_path)) in done.stdout
    first = deck.read_bytes()
    again = run(tmp_path, "build", *SMALL, "--workers", "1", SOURCE_DATE_EPOCH="1700000000")
    assert again.returncode == 0
    assert deck.read_bytes() == first
    checked = run(tmp_path, "check", str(deck))
    assert checked.returncode == 0
    assert "0 problems" in checked.stdout


def test_one_and_two_workers_give_the_same_bytes(tmp_path: Path) -> None:
    decks = []
    for workers in ("1", "2"):
        done = run(
            tmp_path,
            "build",
            *SMALL,
            "--out",
            workers,
            "--store",
            f"s{workers}",
            "--workers",
            workers,
            SOURCE_DATE_EPOCH="1",
        )
        assert done.returncode == 0, done.stderr
        decks += [path.read_bytes() for path in (tmp_path / workers).iterdir()]
    assert decks[0] == decks[1]


def test_check_says_what_is_wrong(tmp_path: Path) -> None:
    (tmp_path / "bad.apkg").write_text("no deck")
    done = run(tmp_path, "check", "bad.apkg")
    assert done.returncode == 1
    assert "not a readable package" in done.stderr


def test_list_as_json_has_every_field(tmp_path: Path) -> None:
    done = run(tmp_path, "list", *SMALL, "--json")
    notes = [json.loads(line) for line in done.stdout.splitlines()]
    assert len(notes) == 5
    assert all(set(LISTED) <= set(note) for note in notes)
    note = next(note for note in notes if note["fact"] == "arpeggio" and note["source"] == "third")
    assert (note["chord"], note["symbol"], note["index_fret"]) == ("C7alt", "Bbm7b5", 10)
    assert note["tones"] == ["Bb", "Db", "Fb", "Ab"]
    assert note["degrees"] == ["b7", "b9", "3", "b13"]
    assert len(note["places"]) == len(note["midi"]) == 9
    spelling = next(note for note in notes if note["fact"] == "spelling")
    assert spelling["region"] is spelling["index_fret"] is None
    assert all(note["kinds"] for note in notes)


def test_fields_that_do_not_apply_are_null(tmp_path: Path) -> None:
    done = run(tmp_path, "list", "--keys", "F", "--regions", "5", "--levels", "1", "--kinds", "locate", "--json")
    notes = [json.loads(line) for line in done.stdout.splitlines()]
    scale = next(note for note in notes if note["fact"] == "scale")
    assert scale["function"] is scale["source"] is scale["colour"] is None
    assert {note["colour"] for note in notes if note["function"] in ("ii", "I")} == {None}
    assert {note["colour"] for note in notes if note["function"] == "V"} == {"plain"}


def test_list_as_a_table(tmp_path: Path) -> None:
    done = run(tmp_path, "list", *SMALL)
    assert done.stdout.splitlines()[0].split()[:5] == ["level", "key", "region", "position", "fact"]
    assert "Bb Db Fb Ab" in done.stdout
    assert "5 notes, 7 cards" in done.stdout


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("build", "none.toml"), "none.toml: there is no such file"),
        (("build", "bad.toml"), "bad.toml: this is not TOML"),
        (("build", "unknown.toml"), "unknown.toml: lables: there is no such field; did you mean 'labels'?"),
        (("build", "--keys", "H"), "'H' is not a key"),
        (("build", "--regions", "6"), "there is no region 6"),
        (("build", "--regions", "x"), "no choice of numbers"),
        (("build", "--regions", "3-1"), "'3-1' runs backwards; write 1-3"),
        (("build", "good.toml", "--keys", "H"), "deckbuilder: --keys H: 'H' is not a key"),
        (("build", "--keys", ""), "nothing is selected"),
        (("build", "--kinds", ","), "nothing is selected"),
        (("list", "--levels", "0"), "there is no level 0"),
    ],
)
def test_bad_input_is_told_and_nothing_is_written(tmp_path: Path, arguments: tuple[str, ...], said: str) -> None:
    (tmp_path / "bad.toml").write_text("title = \n")
    (tmp_path / "unknown.toml").write_text('lables = "names"\n')
    (tmp_path / "good.toml").write_text('keys = ["F"]\n')
    before = sorted(path.name for path in tmp_path.iterdir())
    done = run(tmp_path, *arguments)
    assert done.returncode == 2
    assert said in done.stderr
    assert "Traceback" not in done.stderr
    assert sorted(path.name for path in tmp_path.iterdir()) == before


def test_an_output_folder_that_cannot_be_made(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    done = run(tmp_path, "build", *SMALL, "--out", "file/decks")
    assert done.returncode == 2
    assert "this folder cannot be made" in done.stderr
    assert sorted(path.name for path in tmp_path.iterdir()) == ["file"]


def test_an_output_folder_that_cannot_be_written(tmp_path: Path) -> None:
    """A place where no file can be made: even the administrator cannot write there."""
    done = run(tmp_path, "build", *SMALL, "--out", "/proc/self")
    assert done.returncode == 2
    assert "/proc/self" in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("stamp", ["yesterday", "-1", "99999999999999999", "9" * 5000])
def test_a_bad_time_stamp(tmp_path: Path, stamp: str) -> None:
    done = run(tmp_path, "build", *SMALL, SOURCE_DATE_EPOCH=stamp)
    assert done.returncode == 2
    assert f"SOURCE_DATE_EPOCH='{stamp[:30]}" in done.stderr
    assert "is no number of seconds" in done.stderr


@pytest.mark.parametrize("numbers", ["1-999999999999", "x", "1-", ""])
def test_numbers_that_are_none(tmp_path: Path, numbers: str) -> None:
    done = run(tmp_path, "list", "--regions", numbers)
    assert done.returncode == 2
    assert f"{numbers!r} is no choice of numbers" in done.stderr


@pytest.mark.parametrize(("workers", "impatience"), [("1", 0), ("2", 0), ("2", 1), ("2", 3)])
def test_an_interrupted_build_leaves_no_half_deck_and_the_next_goes_on(
    tmp_path: Path, workers: str, impatience: int
) -> None:
    # A shell that starts the tests in the background has interrupts ignored; the program has to get this one.
    code = (
        "import signal; signal.signal(signal.SIGINT, signal.default_int_handler)\n"
        "from deckbuilder.__main__ import main; main()"
    )
    command = [sys.executable, "-c", code, "build", "--keys", "F", "--store", "media/store"]
    process = subprocess.Popen(
        [*command, "--workers", workers], cwd=tmp_path, stderr=subprocess.PIPE, text=True, start_new_session=True
    )
    deadline = time.monotonic() + 60
    while len(list((tmp_path / "media" / "store").glob("neck-*"))) < 5 and time.monotonic() < deadline:
        time.sleep(0.02)
    os.killpg(process.pid, signal.SIGINT)
    for _ in range(impatience):
        time.sleep(0.1)
        os.killpg(process.pid, signal.SIGINT)
    _, said = process.communicate(timeout=60)
    assert process.returncode == 130, said
    assert "the next build goes on" in said
    assert "Traceback" not in said
    assert not (tmp_path / "decks").exists()
    kept = len(list((tmp_path / "media" / "store").glob("neck-*")))
    assert kept >= 5
    done = run(tmp_path, *command[3:])
    assert done.returncode == 0, done.stderr
    (deck,) = (tmp_path / "decks").iterdir()
    assert check_package(deck).problems == ()
    assert not list((tmp_path / "media" / "store").glob(".unfinished-*"))


def test_an_interruption_while_libraries_are_loaded_is_told_in_one_line(tmp_path: Path) -> None:
    code = (
        "import signal; signal.signal(signal.SIGINT, signal.default_int_handler)\n"
        "from deckbuilder.__main__ import main; main()"
    )
    process = subprocess.Popen(
        [sys.executable, "-c", code, "build", "--keys", "F,Bb", "--workers", "2"],
        cwd=tmp_path,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )
    deadline = time.monotonic() + 60
    while len(psutil.Process(process.pid).children(recursive=True)) < 1 and time.monotonic() < deadline:
        time.sleep(0.005)
    os.killpg(process.pid, signal.SIGINT)
    _, said = process.communicate(timeout=60)
    assert process.returncode == 130, said
    assert "Traceback" not in said


def test_output_into_a_file_is_utf_8_whatever_the_system_takes(tmp_path: Path) -> None:
    command = [sys.executable, "-c", "from deckbuilder.__main__ import main; main()", "tunings"]
    done = subprocess.run(
        command, cwd=tmp_path, env={**os.environ, "PYTHONIOENCODING": "cp1252"}, capture_output=True, check=True
    )
    assert "B♭3" in done.stdout.decode("utf-8")


LARGE = {"matplotlib", "numpy", "scipy", "pydantic", "rich", "genanki", "jinja2", "sqlite3", "verovio"}


@pytest.mark.parametrize(
    ("arguments", "unneeded", "told"),
    [
        (["--help"], LARGE, "build"),
        (["list", "--keys", "F", "--regions", "5", "--levels", "1"], LARGE - {"numpy", "pydantic"}, "Gm7"),
    ],
)
def test_a_command_loads_no_large_library_that_it_does_not_need(
    tmp_path: Path, arguments: list[str], unneeded: set[str], told: str
) -> None:
    code = (
        "import sys\nfrom deckbuilder.cli import main\n"
        f"try:\n    main({arguments})\nexcept SystemExit:\n    pass\n"
        f"print(sorted({unneeded} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=tmp_path, capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "[]"
    assert told in done.stdout


@pytest.mark.parametrize("limit", [200_000, 20_000])
def test_a_full_disk_leaves_the_earlier_deck(tmp_path: Path, limit: int) -> None:
    """A small limit on the size of files stands for a full disk: first the deck fails, then the media."""
    first = run(tmp_path, "build", *SMALL, "--store", "one")
    assert first.returncode == 0, first.stderr
    (deck,) = (tmp_path / "decks").iterdir()
    before = deck.read_bytes()
    assert len(before) > limit
    failed = run(tmp_path, "build", *SMALL, "--store", "two", "--workers", "1", largest=limit)
    assert failed.returncode == 2, failed.stderr
    assert "cannot be written (File too large)" in failed.stderr
    assert "Traceback" not in failed.stderr
    assert deck.read_bytes() == before
    assert [path.name for path in (tmp_path / "decks").iterdir()] == [deck.name]
    assert not list((tmp_path / "two").glob(".unfinished-*"))


def test_tunings_are_listed_with_what_they_cost(tmp_path: Path) -> None:
    done = run(tmp_path, "tunings")
    rows = {line.split()[0]: line for line in done.stdout.splitlines()}
    assert "D2 A2 D3 G3 A3 D4" in rows["dadgad"]
    assert rows["standard"].split()[7:12] == ["22", "2948", "340", "0", "0"]


def test_a_table_that_is_not_there(tmp_path: Path) -> None:
    done = run(tmp_path, "build", *SMALL, "--format", "xls")
    assert done.returncode == 2
    assert "choose from apkg, csv, tsv, jsonl" in done.stderr
    assert list(tmp_path.iterdir()) == []
