"""Surroundings: no closed, full or broken stream, odd name or setting of another program ends in a traceback."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.running import run

SMALL = ("--keys", "F", "--regions", "5", "--kinds", "locate", "--workers", "2")
LISTED = ("list", "--keys", "F", "--regions", "5", "--levels", "1", "--kinds", "locate")


def shell(folder: Path, line: str) -> "subprocess.CompletedProcess[bytes]":
    """Run a line in which `$deckbuilder` stands for the program."""
    return subprocess.run(
        ["bash", "-c", f"deckbuilder='{sys.executable} -m deckbuilder'; {line}"],
        cwd=folder,
        env={**os.environ, "LISTED": " ".join(LISTED)},
        capture_output=True,
        timeout=120,
        check=False,
    )


@pytest.mark.parametrize(
    ("line", "status", "said"),
    [
        ("$deckbuilder $LISTED > /dev/full", 2, b"deckbuilder: the output cannot be written (No space left on device)"),
        ("$deckbuilder --help > /dev/full", 2, b"deckbuilder: the output cannot be written (No space left on device)"),
        ("$deckbuilder list none.toml 2> /dev/full", 2, b""),
        ("$deckbuilder list none.toml 2>&-", 2, b""),
        ("$deckbuilder $LISTED 2>&- > listed", 0, b""),
        ("$deckbuilder $LISTED >&-", 0, b""),
        ("$deckbuilder $LISTED <&- > listed", 0, b""),
        # The other end of the pipe is closed before the program starts.
        ("exec 3> >(exec true); wait $!; $deckbuilder $LISTED >&3", 141, b""),
        ("$deckbuilder list d\\ud800\\xff.toml".replace("d\\ud800\\xff", "$'d\\xff\\xfe'"), 2, b"d\\udcff\\udcfe.toml"),
        ("PYTHONIOENCODING=ascii $deckbuilder list ♭.toml", 2, "♭.toml: there is no such file".encode()),
        ("LC_ALL=C PYTHONUTF8=0 PYTHONCOERCECLOCALE=0 $deckbuilder list ♭.toml", 2, b".toml: there is no such file"),
    ],
)
def test_streams_and_names_that_are_not_as_usual(tmp_path: Path, line: str, status: int, said: bytes) -> None:
    done = shell(tmp_path, line)
    assert done.returncode == status, done.stderr
    assert said in done.stderr
    assert said or not done.stderr
    assert b"Traceback" not in done.stderr
    assert b"Exception ignored" not in done.stderr


def test_a_build_without_a_stream_for_messages_is_whole(tmp_path: Path) -> None:
    """What is written next must not take the closed stream's number."""
    line = f"SOURCE_DATE_EPOCH=1 $deckbuilder build {' '.join(SMALL)}"
    assert shell(tmp_path, f"{line} --out one 2>&- >&-").returncode == 0
    assert shell(tmp_path, f"{line} --out two 2>/dev/full").returncode == 0
    (one,), (two,) = (tmp_path / "one").iterdir(), (tmp_path / "two").iterdir()
    assert one.read_bytes() == two.read_bytes()


def test_settings_of_other_programs_have_no_say(tmp_path: Path) -> None:
    done = run(tmp_path, "build", *SMALL, MPLBACKEND="bogus", PYTHONWARNINGS="error")
    assert done.returncode == 0, done.stderr
    assert "Warning" not in done.stderr
