"""The media store: whole files or none."""

import os
import subprocess
import sys
import time
from pathlib import Path

import psutil
import pytest

from deckbuilder.build import media_of, notes_of
from deckbuilder.deck.store import Store, StoreError
from deckbuilder.deck.unfinished import finished
from deckbuilder.recipe import parse_recipe
from deckbuilder.rendering import render_missing

SMALL = parse_recipe({"keys": ["F"], "regions": [5], "levels": [2], "kinds": ["locate"]}, "test")


def test_what_is_put_is_read(tmp_path: Path) -> None:
    store = Store(tmp_path / "new")
    file = store.put("neck-1.png", b"data")
    assert store.names() == {"neck-1.png": file}
    assert store.read(file) == b"data"


def test_an_unmade_store_is_empty(tmp_path: Path) -> None:
    assert Store(tmp_path / "none").names() == {}


@pytest.mark.parametrize("name", ["neck-1.png", "neck-1.png.0123456789abcdef", "neck-1.png.0123456X", "01234567"])
def test_what_is_called_otherwise_is_no_medium(tmp_path: Path, name: str) -> None:
    (tmp_path / name).write_bytes(b"data")
    assert Store(tmp_path).names() == {}


@pytest.mark.parametrize("damage", [b"", b"dat", b"datb", b"data and more"])
def test_a_damaged_file_is_dropped(tmp_path: Path, damage: bytes) -> None:
    store = Store(tmp_path)
    file = store.put("clip-1.mp3", b"data")
    (tmp_path / file).write_bytes(damage)
    assert store.read(file) is None
    assert store.names() == {}


def test_a_damaged_medium_is_rendered_again(tmp_path: Path) -> None:
    store = Store(tmp_path)
    wanted = media_of(notes_of(SMALL))
    first = render_missing(store, wanted, None, lambda _count: None)
    for name, file in store.names().items():
        path = tmp_path / file
        path.write_bytes(path.read_bytes()[:-20] if name.endswith(".png") else b"noise")
    assert render_missing(store, wanted, None, lambda _count: None) == first
    assert render_missing(store, wanted, None, lambda _count: None) == first


def test_unfinished_files_of_dead_builds_are_swept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with finished(tmp_path / "neck-1.png") as alive:
        alive.write_bytes(b"half")
        dead = alive.with_name(alive.name.replace(f"-{os.getpid()}-", "-999999999-"))
        far = tmp_path / ".unfinished-elsewhere-1-x-neck-2.png"
        for path in (dead, far):
            path.write_bytes(b"half")
        store = Store(tmp_path)
        assert store.names() == {}
        store.sweep()
        assert sorted(tmp_path.iterdir()) == sorted((alive, far))
        in_two_days = time.time() + 2 * 24 * 3600
        monkeypatch.setattr(time, "time", lambda: in_two_days)
        store.sweep()
        assert list(tmp_path.iterdir()) == [alive]
    assert [path.name for path in tmp_path.iterdir()] == ["neck-1.png"]


def test_an_ended_process_that_nobody_asked_after_does_not_count_as_running(tmp_path: Path) -> None:
    ended = subprocess.Popen([sys.executable, "-c", ""], stdout=subprocess.PIPE)
    assert ended.stdout is not None
    ended.stdout.read()  # it has ended, and is a zombie until somebody waits for it
    with finished(tmp_path / "neck-1.png") as alive:
        alive.write_bytes(b"half")
        left = alive.with_name(alive.name.replace(f"-{os.getpid()}-", f"-{ended.pid}-"))
        left.write_bytes(b"half")
        deadline = time.monotonic() + 10
        while left.exists() and time.monotonic() < deadline:  # pipes close a little before the end
            Store(tmp_path).sweep()
        assert list(tmp_path.iterdir()) == [alive]
    ended.wait()


def test_a_process_that_took_over_a_number_keeps_nothing_of_the_former(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with finished(tmp_path / "neck-1.png") as mine:
        former = mine.with_name(mine.name.replace("neck-1", "neck-2"))
        former.write_bytes(b"half")
        Store(tmp_path).sweep()
        assert list(tmp_path.iterdir()) == [former]
        began = time.time() + 3600
        monkeypatch.setattr(psutil.Process, "create_time", lambda _process: began)
        Store(tmp_path).sweep()
        assert list(tmp_path.iterdir()) == []
        mine.write_bytes(b"whole")


def test_a_file_server_with_a_clock_of_its_own_loses_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with finished(tmp_path / "neck-1.png") as mine:
        mine.write_bytes(b"whole")
        began = time.time() + 60
        monkeypatch.setattr(psutil.Process, "create_time", lambda _process: began)
        Store(tmp_path).sweep()
    assert (tmp_path / "neck-1.png").read_bytes() == b"whole"


@pytest.mark.parametrize("process", ["²", "9" * 30, "", "x"])
def test_files_with_odd_names_are_left_alone(tmp_path: Path, process: str) -> None:
    with finished(tmp_path / "neck-1.png") as mine:
        mine.write_bytes(b"whole")
        odd = tmp_path / mine.name.replace(f"-{os.getpid()}-", f"-{process}-")
        odd.write_bytes(b"half")
        Store(tmp_path).sweep()
        assert odd.exists()


def test_what_fails_leaves_the_earlier_file(tmp_path: Path) -> None:
    (tmp_path / "deck").write_bytes(b"earlier")

    def fail() -> None:
        with finished(tmp_path / "deck") as path:
            path.write_bytes(b"half")
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        fail()
    assert [path.read_bytes() for path in tmp_path.iterdir()] == [b"earlier"]


def test_a_store_that_cannot_be_made_says_so(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(StoreError, match="cannot be written"):
        Store(tmp_path / "file" / "store").put("neck-1.png", b"data")
