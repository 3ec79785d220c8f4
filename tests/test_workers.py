"""Workers where the system allows none, and what they leave behind when they are killed."""

import os
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

import psutil
import pytest

from deckbuilder import workers
from deckbuilder.deck.check import check_package
from deckbuilder.interruption import is_to_stop
from tests.moments import run_until
from tests.running import run

SMALL = ("build", "--keys", "F", "--regions", "5", "--kinds", "locate", "--workers", "2")
NO_SEMAPHORES = """
import _multiprocessing
class SemLock(_multiprocessing.SemLock):
    def __new__(cls, *_arguments):
        raise FileNotFoundError(2, "No such file or directory")
_multiprocessing.SemLock = SemLock
"""
"""What a machine without /dev/shm answers."""
FEW = "import resource; resource.setrlimit(resource.RLIMIT_NOFILE, (30, 30))\n"


@pytest.mark.parametrize(
    "error", [OSError(24, "Too many open files"), EOFError(), ImportError("no semaphores"), NotImplementedError("none")]
)
def test_without_processes_a_thread_does_the_work_and_that_is_said(
    monkeypatch: pytest.MonkeyPatch, error: Exception
) -> None:
    def fail(_number: int) -> None:
        raise error

    monkeypatch.setattr(workers, "_pool", fail)
    told: list[str] = []
    with workers.processes(2, told.append) as executor:
        assert executor is not None
        assert executor.submit(os.getpid).result() == os.getpid()
        assert executor.submit(pow, 2, 3).result() == 8
    assert len(told) == 1
    assert "so it renders alone" in told[0]


def work_without_end(begun: str) -> str:
    """Say that it has begun, and work until nobody wants it."""
    Path(begun).touch()
    while not is_to_stop():
        time.sleep(0.01)
    return "left"


def test_work_that_nobody_wants_any_longer_is_left(tmp_path: Path) -> None:
    with workers.processes(1, print, aside=True) as executor:
        assert executor is not None
        futures = [executor.submit(work_without_end, str(tmp_path / str(number))) for number in range(3)]
        while not (tmp_path / "0").exists():
            time.sleep(0.01)
        executor.stop()
        assert [future.result() for future in futures] == ["left"] * 3
    assert not is_to_stop()


@pytest.mark.parametrize(
    ("before", "temporary", "reason"),
    [
        (NO_SEMAPHORES, "", "No such file or directory"),
        (FEW, "", "there are only 30 file handles"),
        ("", "x" * 110, "AF_UNIX path too long"),
    ],
)
def test_a_deck_is_built_where_the_system_allows_no_processes(
    tmp_path: Path, before: str, temporary: str, reason: str
) -> None:
    folder = tmp_path / "tmp" / temporary
    folder.mkdir(parents=True)
    done = run(tmp_path, *SMALL, before=before, TMPDIR=str(folder))
    assert done.returncode == 0, done.stderr
    assert f"no processes can be started beside this one ({reason}), so it renders alone" in done.stderr
    assert "Traceback" not in done.stderr
    (deck,) = (tmp_path / "decks").iterdir()
    assert check_package(deck).problems == ()
    assert list(folder.iterdir()) == []


@pytest.fixture
def short() -> Iterator[Path]:
    """Give a folder whose name is short enough for a socket in it."""
    with tempfile.TemporaryDirectory() as folder:
        yield Path(folder)


KILL_SERVER = "os.kill(forkserver._forkserver._forkserver_pid, {number})"


def test_a_fork_server_that_is_killed_as_the_first_worker_is_asked_for(tmp_path: Path) -> None:
    done = run_until(tmp_path, *SMALL, first=1, events=("socket.connect",), number=signal.SIGKILL, to=KILL_SERVER)
    assert done.returncode == 0, done.stderr
    assert "so it renders alone" in done.stderr
    assert "Traceback" not in done.stderr
    (deck,) = (tmp_path / "decks").iterdir()
    assert check_package(deck).problems == ()


def test_a_fork_server_that_is_killed_while_workers_render_is_told(tmp_path: Path) -> None:
    process = subprocess.Popen(
        [sys.executable, "-m", "deckbuilder", "build", "--keys", "F,Bb", "--workers", "2"],
        cwd=tmp_path,
        env={**os.environ, "XDG_CACHE_HOME": str(tmp_path / "cache")},
        stderr=subprocess.PIPE,
        text=True,
    )
    while not list((tmp_path / "cache").rglob("*.png.*")):
        assert process.poll() is None, process.stderr
    for child in psutil.Process(process.pid).children():
        if "forkserver" in " ".join(child.cmdline()):
            child.kill()
    _, said = process.communicate(timeout=120)
    assert process.returncode == 2, said
    assert "deckbuilder: a process that renders was ended from outside" in said
    assert "Traceback" not in said


def test_what_a_killed_build_leaves_in_the_temporary_folder_is_swept(tmp_path: Path, short: Path) -> None:
    temporary = short / "tmp"
    (temporary / "pymp-of-another-program").mkdir(parents=True)
    killed = run_until(
        *(tmp_path, *SMALL),
        first=2,
        events=("socket.connect",),
        number=signal.SIGKILL,
        to="os.kill(me, {number})",
        TMPDIR=str(temporary),
    )
    assert killed.returncode == -signal.SIGKILL
    assert len(list(temporary.iterdir())) == 2
    assert run(tmp_path, *SMALL[:-1], "1", TMPDIR=str(temporary)).returncode == 0
    assert [path.name for path in temporary.iterdir()] == ["pymp-of-another-program"]
