"""Builds that are killed, and builds at the same time: what is left is whole, and the next build completes."""

import multiprocessing
import os
import random
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import psutil
import pytest

from deckbuilder.build import build
from deckbuilder.deck.check import check_package
from deckbuilder.deck.store import Store
from deckbuilder.deck.unfinished import PREFIX
from deckbuilder.recipe import parse_recipe

RECIPE = parse_recipe({"keys": ["F"], "regions": [5], "kinds": ["locate", "identify"]}, "test")
SAME = ("--keys", "F", "--regions", "5", "--kinds", "locate,identify")
STAMP = 1_700_000_000
KILLS_IN_PROCESS, KILLS_WITH_WORKERS = 42, 8
SEED = 20


def build_here(folder: Path) -> None:
    build(RECIPE, folder / "deck.apkg", store=Store(folder / "store"), timestamp=STAMP)


def start_build(folder: Path, out: str = "decks") -> "subprocess.Popen[bytes]":
    return subprocess.Popen(
        [
            *(sys.executable, "-c", "from deckbuilder.cli import main; main()", "build", *SAME),
            *("--workers", "2", "--out", out, "--store", "store"),
        ],
        cwd=folder,
        env={**os.environ, "SOURCE_DATE_EPOCH": str(STAMP)},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )


@pytest.fixture(scope="module")
def clean(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """Return the deck of a build that nobody disturbs."""
    folder = tmp_path_factory.mktemp("clean")
    build_here(folder)
    return (folder / "deck.apkg").read_bytes()


def lose_some(store: Path, chance: random.Random) -> None:
    """Take media away, so that the next build has something to render."""
    for path in sorted(store.glob("*-*.*")):
        if not path.name.startswith(PREFIX) and chance.random() < 0.7:
            path.unlink()


def assert_whole(decks: Iterator[Path]) -> None:
    """Check the decks in place; what a killed build has not finished is none."""
    for deck in decks:
        if not deck.name.startswith(PREFIX):
            assert check_package(deck).problems == ()


def assert_all_well(folder: Path, decks: Path, clean: bytes) -> None:
    """No file is unfinished, every medium is whole, and the deck is what an undisturbed build makes."""
    assert list(folder.rglob(f"{PREFIX}*")) == []
    store = Store(folder / "store")
    assert all(store.read(file) is not None for file in store.names().values())
    (deck,) = decks.glob("*.apkg")
    assert deck.read_bytes() == clean


def test_builds_killed_at_any_moment(tmp_path: Path, clean: bytes) -> None:
    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload(["deckbuilder.build", "deckbuilder.picture.render", "deckbuilder.sound.render"])
    chance = random.Random(SEED)
    longest = 0.0
    for _ in range(2):  # the first also waits for libraries to be loaded
        lose_some(tmp_path / "store", chance)
        started = time.monotonic()
        undisturbed = context.Process(target=build_here, args=(tmp_path,))
        undisturbed.start()
        undisturbed.join()
        longest = time.monotonic() - started
    ended_by_kill = most_left = 0
    for _ in range(KILLS_IN_PROCESS):
        lose_some(tmp_path / "store", chance)
        process = context.Process(target=build_here, args=(tmp_path,))
        process.start()
        process.join(chance.uniform(0, longest))
        process.kill()
        process.join()
        ended_by_kill += process.exitcode == -signal.SIGKILL
        most_left = max(most_left, len(list(tmp_path.rglob(f"{PREFIX}*"))))
        assert_whole(tmp_path.glob("*.apkg"))
    assert ended_by_kill >= KILLS_IN_PROCESS / 4, "too few builds were still at work: the test proves little"
    assert most_left <= 2, "unfinished files pile up"
    build_here(tmp_path)
    assert_all_well(tmp_path, tmp_path, clean)


def test_builds_with_workers_killed_at_any_moment(tmp_path: Path, clean: bytes) -> None:
    """Only the program is killed: its workers have to notice and end."""
    chance = random.Random(SEED)
    started = time.monotonic()
    assert start_build(tmp_path).wait() == 0
    longest = time.monotonic() - started
    for _ in range(KILLS_WITH_WORKERS):
        lose_some(tmp_path / "store", chance)
        process = start_build(tmp_path)
        time.sleep(chance.uniform(longest / 3, longest))
        process.kill()
        process.wait()
        assert_ends(process.pid)
        assert_whole((tmp_path / "decks").glob("*.apkg"))
    assert start_build(tmp_path).wait() == 0
    assert_all_well(tmp_path, tmp_path / "decks", clean)


def assert_ends(session: int) -> None:
    """Wait until no process of a session is left."""
    deadline = time.monotonic() + 20
    while left := list(_of_session(session)):
        assert time.monotonic() < deadline, f"still there: {[process.cmdline() for process in left]}"
        time.sleep(0.02)


def _of_session(session: int) -> Iterator[psutil.Process]:
    for process in psutil.process_iter():
        try:
            if os.getsid(process.pid) == session and process.status() != psutil.STATUS_ZOMBIE:
                yield process
        except (ProcessLookupError, psutil.NoSuchProcess):
            continue


def test_two_builds_at_once_share_a_store(tmp_path: Path, clean: bytes) -> None:
    one, other = start_build(tmp_path, "one"), start_build(tmp_path, "other")
    assert (one.wait(), other.wait()) == (0, 0)
    for out in ("one", "other"):
        assert_all_well(tmp_path, tmp_path / out, clean)


def test_media_that_another_build_drops_are_rendered_again(tmp_path: Path, clean: bytes) -> None:
    """The store is emptied after the last medium came to hand, before the deck is packed."""
    store = Store(tmp_path / "store")

    def empty(done: int, total: int) -> None:
        if done == total:
            for path in store.folder.iterdir():
                path.unlink()

    build(RECIPE, tmp_path / "deck.apkg", store=store, timestamp=STAMP, on_progress=empty)
    assert (tmp_path / "deck.apkg").read_bytes() == clean
