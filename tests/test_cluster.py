"""Rendering on a cluster of real worker processes: once a medium, whatever becomes of a worker, and the same bytes."""

import os
import signal
import sys
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import Executor, Future
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from distributed import Client, LocalCluster

import deckbuilder.cluster
from deckbuilder.build import media_of
from deckbuilder.cli.group import main
from deckbuilder.cluster import ClusterError, connected
from deckbuilder.deck.store import Store
from deckbuilder.medium import Medium
from deckbuilder.rendering import BATCH
from deckbuilder.teaching.making import Made, Planned, make, media_of_all, planned
from deckbuilder.teaching.roster import read_class

pytestmark = pytest.mark.xdist_group("cluster")

TUNINGS = ("standard", "dadgad", "drop-d", "bass-4")
STAMP = 1.7e9


@pytest.fixture(scope="module")
def cluster(tmp_path_factory: pytest.TempPathFactory) -> Iterator[LocalCluster]:
    folder = str(tmp_path_factory.mktemp("cluster"))
    options = {"host": "127.0.0.1", "dashboard_address": None, "local_directory": folder}
    with LocalCluster(n_workers=2, threads_per_worker=1, processes=True, **options) as made:
        yield made


@pytest.fixture(scope="module")
def address(cluster: LocalCluster) -> str:
    return str(cluster.scheduler_address)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a folder with a class of twelve, three on each tuning, and its decks as this process alone makes them."""
    folder = tmp_path_factory.mktemp("twelve")
    common = "[recipe]\nkeys = ['F']\nregions = [5]\nlevels = [1]\nkinds = ['locate', 'spell']\n"
    rows = (
        f"[[students]]\nname = 'S{number:02}'\n[students.instrument]\ntuning = '{TUNINGS[number % len(TUNINGS)]}'\n"
        for number in range(12)
    )
    (folder / "class.toml").write_text(f"title = 'Class'\n{common}{''.join(rows)}")
    decks = of_class(folder, folder / "alone")
    assert all(isinstance(one, Made) for one in make(decks, store=Store(folder / "store"), timestamp=STAMP))
    return folder


def of_class(folder: Path, out: Path) -> list[Planned]:
    out.mkdir(exist_ok=True)
    decks, refused = planned(read_class(folder / "class.toml"), out)
    assert not refused
    return decks


def assert_same_decks(folder: Path, out: Path) -> None:
    names = sorted(path.name for path in (folder / "alone").iterdir())
    assert sorted(path.name for path in out.iterdir()) == names
    assert len(names) == 12
    for name in names:
        assert (out / name).read_bytes() == (folder / "alone" / name).read_bytes(), name


class Counting(Executor):
    """Hands work on, and counts the media in it."""

    def __init__(self, inner: Executor) -> None:
        self.inner = inner
        self.media = Counter[str]()

    def submit(self, fn: Any, /, *args: Any, **kwargs: Any) -> Future[Any]:
        batch: list[Medium] = args[1]
        assert len(batch) <= BATCH
        self.media.update(medium.name for medium in batch)
        return self.inner.submit(fn, *args, **kwargs)


def test_twelve_students_on_four_tunings_need_each_medium_once(address: str, folder: Path, tmp_path: Path) -> None:
    decks = of_class(folder, tmp_path / "out")
    with connected(address, tmp_path / "store") as executor:
        counting = Counting(executor)
        made = list(make(decks, store=Store(tmp_path / "store"), timestamp=STAMP, executor=counting))
    assert len(made) == 12
    wanted = {medium.name for medium in media_of_all(decks)}
    assert counting.media == Counter(dict.fromkeys(wanted, 1))
    shown = Counter(medium.name for one in decks for medium in media_of(one.notes))
    assert min(shown.values()) == 3
    assert_same_decks(folder, tmp_path / "out")


def test_a_worker_that_is_killed_costs_nothing_but_time(address: str, folder: Path, tmp_path: Path) -> None:
    decks = of_class(folder, tmp_path / "out")
    with Client(address, set_as_default=False) as client:
        victim = next(iter(client.run(os.getpid).values()))
    killed: list[int] = []

    def kill_one(done: int, total: int) -> None:
        if 0 < done < total and not killed:
            os.kill(victim, signal.SIGKILL)
            killed.append(done)

    with connected(address, tmp_path / "store") as executor:
        made = list(
            make(decks, store=Store(tmp_path / "store"), timestamp=STAMP, executor=executor, on_progress=kill_one)
        )
    assert killed
    assert len(made) == 12
    assert_same_decks(folder, tmp_path / "out")


def test_the_command_builds_on_it(address: str, folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", str(int(STAMP)))
    places = ["--out", str(tmp_path / "out"), "--store", str(tmp_path / "store")]
    run = CliRunner().invoke
    told = run(main, ["class", str(folder / "class.toml"), "--cluster", address, *places])
    assert told.exit_code == 0, told.output
    assert_same_decks(folder, tmp_path / "out")
    both = run(main, ["class", str(folder / "class.toml"), "--cluster", address, "--workers", "2", *places])
    assert both.exit_code == 2
    assert "leave it out, or --cluster" in both.stderr


def test_a_store_that_workers_do_not_see_is_told(address: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    elsewhere = deckbuilder.cluster.fitness
    monkeypatch.setattr(deckbuilder.cluster, "fitness", lambda token: elsewhere(token.with_name("not-there")))
    with (
        pytest.raises(ClusterError, match=r"does not see the store .*; name a folder that all machines share"),
        connected(address, tmp_path / "store"),
    ):
        pass


@pytest.mark.parametrize("address", ["tcp://127.0.0.1:9", "nonsense", "ftp://127.0.0.1:9"])
def test_a_cluster_that_does_not_answer_is_one_clear_error(
    address: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(deckbuilder.cluster, "CONNECT_SECONDS", 0.5)
    places = ["--out", str(tmp_path / "out"), "--store", str(tmp_path / "store")]
    told = CliRunner().invoke(main, ["build", "--keys", "F", "--cluster", address, *places])
    assert told.exit_code == 2
    assert told.stderr.startswith(f"deckbuilder: --cluster {address}: no scheduler answers there (")
    assert told.stderr.count("\n") == 1
    assert list(tmp_path.iterdir()) == []


def test_without_the_library_it_says_what_to_install(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(ClusterError, match=r"pip install 'deckbuilder\[dask\]'"), connected("tcp://x:1", tmp_path):
        pass
