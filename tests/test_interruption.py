"""Interruptions at any moment: one sentence, status 130, nothing half-written; a bounded sample, drawn with a seed."""

import random
import shutil
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from deckbuilder import interruption
from tests.moments import events_of, run_until

SEED = 11
SMALL = ("--keys", "F", "--regions", "5", "--kinds", "locate")
SENTENCE = "deckbuilder: interrupted; what is finished is kept, and the next build goes on from there\n"
BEGIN = 0.97
"""Of a command's events, those before it ends: what comes after the last is no interruption of it."""


def assert_told(done: "subprocess.CompletedProcess[str]") -> None:
    assert done.returncode == interruption.STATUS, done.stderr
    assert done.stderr.count(SENTENCE) == 1, done.stderr
    assert "Traceback" not in done.stderr, done.stderr
    assert "Exception ignored" not in done.stderr, done.stderr


@pytest.mark.parametrize(
    ("arguments", "moments"),
    [
        (("list", *SMALL), 6),
        (("build", *SMALL, "--workers", "1"), 3),
        (("build", *SMALL, "--workers", "2"), 5),
    ],
)
def test_an_interruption_at_any_moment_is_told(tmp_path: Path, arguments: tuple[str, ...], moments: int) -> None:
    chance = random.Random(SEED)
    undisturbed = run_until(tmp_path, *arguments, first=0)
    assert undisturbed.returncode == 0, undisturbed.stderr
    for moment in (1, *(chance.randint(2, int(events_of(undisturbed) * BEGIN)) for _ in range(moments))):
        folder = tmp_path / str(moment)
        folder.mkdir()
        assert_told(
            run_until(
                folder,
                *arguments,
                first=moment,
                times=chance.choice((1, 1, 3, 300)),
            )
        )
        assert not list(folder.rglob(".unfinished-*")), moment
        assert not (folder / "decks").exists() or list((folder / "decks").iterdir()), moment
        shutil.rmtree(folder)


@pytest.mark.parametrize(("event", "first"), [("socket.bind", 1), ("socket.connect", 1), ("socket.connect", 2)])
@pytest.mark.parametrize("times", [1, 3])
def test_an_interruption_while_workers_start_is_not_lost(tmp_path: Path, event: str, first: int, times: int) -> None:
    """It comes as the fork server's socket is made, and as the first and the second worker are asked for."""
    command = ("build", "--keys", "F", "--regions", "5", "--workers", "2")
    assert_told(run_until(tmp_path, *command, first=first, times=times, events=(event,)))
    assert not (tmp_path / "decks").exists()


def interrupted(done: list[str]) -> None:
    signal.raise_signal(signal.SIGINT)
    done.append("the block")


def test_a_deferred_interruption_comes_when_the_block_has_ended() -> None:
    handler = signal.signal(signal.SIGINT, signal.default_int_handler)
    done: list[str] = []
    try:
        with pytest.raises(KeyboardInterrupt), interruption.deferred():
            interrupted(done)
    finally:
        signal.signal(signal.SIGINT, handler)
    assert done == ["the block"]


def test_a_deferred_interruption_is_ignored_where_interruptions_are() -> None:
    handler = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        with interruption.deferred():
            signal.raise_signal(signal.SIGINT)
        assert signal.getsignal(signal.SIGINT) is signal.SIG_IGN
    finally:
        signal.signal(signal.SIGINT, handler)


HANDLED = """
import signal
from deckbuilder import interruption
signal.signal(signal.SIGINT, signal.default_int_handler)
interruption.watch()

class Swallows:
    def __del__(self):
        signal.raise_signal(signal.SIGINT)

del_me = Swallows()
del del_me
try:
    interruption.raise_if_missed()
except KeyboardInterrupt:
    signal.raise_signal(signal.SIGINT)  # breaks nothing off
    print("missed and raised")
interruption.raise_if_missed()
try:
    signal.raise_signal(signal.SIGINT)
except KeyboardInterrupt:
    print("and again")
interruption.end_watch()
signal.raise_signal(signal.SIGINT)
print("came", interruption.came())
"""


def test_an_interruption_that_no_exception_tells_is_raised_later() -> None:
    done = subprocess.run([sys.executable, "-c", HANDLED], capture_output=True, text=True, check=True)
    assert done.stdout.split("\n") == ["missed and raised", "and again", "came True", ""]
    assert done.stderr == ""
