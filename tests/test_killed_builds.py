"""Builds that are killed, and builds at the same time: what is left is whole, and the next build completes.

A build is killed as it does something with a file for the N-th time, N drawn with a seed; nothing depends on a clock.
"""

import multiprocessing
import os
import random
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from deckbuilder.build import build
from deckbuilder.deck.check import check_package
from deckbuilder.deck.store import Store
from deckbuilder.deck.unfinished import PREFIX
from deckbuilder.recipe import parse_recipe
from tests.deck.test_unfinished import Killed, end_the_writer, kill_at
from tests.moments import events_of, run_until

RECIPE = parse_recipe({"keys": ["F"], "regions": [5], "kinds": ["locate", "identify"]}, "test")
SAME = ("--keys", "F", "--regions", "5", "--kinds", "locate,identify")
STAMP = 1_700_000_000
KILLS_IN_PROCESS, KILLS_WITH_WORKERS = 20, 4
FILES = ("open", "os.rename", "os.remove", "os.mkdir", "os.rmdir")
"""What a killed build may have left half done."""
SEED = 20


def build_here(folder: Path) -> None:
    build(RECIPE, folder / "deck.apkg", store=Store(folder / "store"), timestamp=STAMP)


def build_until(folder: Path, last: int, counted: "multiprocessing.Queue[int]") -> None:
    """Build, and end the process at its `last` event of `FILES`; 0 for none, which tells how many there are."""
    seen = 0

    def count(event: str, _arguments: tuple[object, ...]) -> None:
        nonlocal seen
        if event in FILES:
            seen += 1
            if seen == last:
                os.kill(os.getpid(), signal.SIGKILL)

    sys.addaudithook(count)
    build_here(folder)
    counted.put(seen)


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
    counted = context.Queue()
    undisturbed = context.Process(target=build_until, args=(tmp_path, 0, counted))
    undisturbed.start()
    most = counted.get()
    undisturbed.join()
    ended_by_kill = most_left = 0
    for _ in range(KILLS_IN_PROCESS):
        lose_some(tmp_path / "store", chance)
        process = context.Process(target=build_until, args=(tmp_path, chance.randint(1, most), counted))
        process.start()
        process.join()
        ended_by_kill += process.exitcode == -signal.SIGKILL
        most_left = max(most_left, len(list(tmp_path.rglob(f"{PREFIX}*"))))
        assert_whole(tmp_path.glob("*.apkg"))
    assert ended_by_kill >= KILLS_IN_PROCESS / 3, "too few builds were still at work: the test proves little"
    assert most_left <= 2, "unfinished files pile up"
    build_here(tmp_path)
    assert_all_well(tmp_path, tmp_path, clean)


def test_builds_with_workers_killed_at_any_moment(tmp_path: Path, clean: bytes) -> None:
    """Only the program is killed. Its workers have to notice and end: a run is over when nobody holds its streams."""
    chance = random.Random(SEED)
    command = ("build", *SAME, "--workers", "2", "--store", "store")
    undisturbed = run_until(tmp_path, *command, first=0, SOURCE_DATE_EPOCH=str(STAMP))
    assert undisturbed.returncode == 0, undisturbed.stderr
    for _ in range(KILLS_WITH_WORKERS):
        lose_some(tmp_path / "store", chance)
        moment = chance.randint(events_of(undisturbed) // 2, events_of(undisturbed))
        done = run_until(tmp_path, *command, first=moment, number=signal.SIGKILL, to="os.kill(me, {number})")
        assert done.returncode in (-signal.SIGKILL, 0), done.stderr
        assert_whole((tmp_path / "decks").glob("*.apkg"))
    assert start_build(tmp_path).wait() == 0
    assert_all_well(tmp_path, tmp_path / "decks", clean)


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


def test_what_a_kill_had_moved_aside_is_brought_back_by_the_next_build(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The tables are moved out of the way, and the new ones not yet in their place."""
    store, target, tables = Store(tmp_path / "store"), tmp_path / "deck.apkg", tmp_path / "deck-tables"
    build(RECIPE, target, store=store, timestamp=STAMP, formats=["apkg", "csv"])
    before = (tables / "cards.csv").read_bytes()
    with monkeypatch.context() as patched:
        kill_at(patched, 2)
        with pytest.raises(Killed):
            build(RECIPE, target, store=store, timestamp=STAMP, formats=["apkg", "csv"])
    assert not tables.exists()
    end_the_writer(tmp_path)
    build_here(tmp_path)
    assert (tables / "cards.csv").read_bytes() == before
    assert not list(tmp_path.glob(f"{PREFIX}*"))
