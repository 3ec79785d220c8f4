"""The desk's life: opened by the command, one address, and an end that leaves nothing."""

import gc
import os
import pty
import signal
import socket
import sys
from http.client import HTTPConnection
from pathlib import Path

import pytest
from click.testing import CliRunner

from deckbuilder.cli import main
from deckbuilder.desk.listening import LOOPBACK
from tests.desk.asking import PATIENCE, until
from tests.desk.commands import PROGRAM, TAKING_SIGNALS, listened_to, started
from tests.running import run


def enter(url: str) -> int:
    """Return the status that opening an address gives."""
    _, _, host, path = url.split("/", 3)
    connection = HTTPConnection(host, timeout=PATIENCE)
    try:
        connection.request("GET", f"/{path}")
        return connection.getresponse().status
    finally:
        connection.close()


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
def test_it_is_closed_like_this(tmp_path: Path, number: signal.Signals) -> None:
    """By Ctrl-C, by a request to end, and by the end of its terminal: status 0, and nothing is left."""
    with started(tmp_path, "--no-browser") as (process, url):
        assert enter(url) == 303
        port = int(url.split(":")[2].partition("/")[0])
        assert listened_to(process.pid) == {(LOOPBACK, port)}
        process.send_signal(number)
        out, err = process.communicate(timeout=PATIENCE)
    assert process.returncode == 0
    assert out == ""
    assert err.startswith("deckbuilder: the desk is open until")
    assert "Traceback" not in err
    assert sorted(path.name for path in tmp_path.iterdir()) == []


def test_it_is_closed_with_its_terminal(tmp_path: Path) -> None:
    """A terminal of its own, whose other end is closed: the system tells it, and it can say nothing any more."""
    process, terminal = pty.fork()
    if process == 0:
        os.chdir(tmp_path)
        os.execv(
            sys.executable, [sys.executable, "-c", TAKING_SIGNALS + PROGRAM, "desk", "--no-browser", "--store", "store"]
        )
    url = b""
    while not url.endswith(b"\n"):
        url += os.read(terminal, 1)
    assert enter(url.decode().strip()) == 303
    os.close(terminal)
    _, status = os.waitpid(process, 0)
    assert os.waitstatus_to_exitcode(status) == 0
    with pytest.raises(OSError, match="refused"):
        enter(url.decode().strip())


def test_a_desk_that_is_open_for_days_gathers_no_garbage(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Commands that end soon do without a collector."""
    collected: list[bool] = []
    monkeypatch.setattr("deckbuilder.desk.server.serve", lambda *_arguments: collected.append(gc.isenabled()))
    done = CliRunner().invoke(main, ["desk", "--no-browser", "--folder", str(tmp_path)])
    assert (done.exit_code, collected) == (0, [True])


def test_a_signal_that_was_to_be_ignored_closes_nothing(tmp_path: Path) -> None:
    """As `nohup` asks."""
    ignoring = "signal.signal(signal.SIGHUP, signal.SIG_IGN)\n"
    with started(tmp_path, "--no-browser", before=ignoring) as (process, url):
        process.send_signal(signal.SIGHUP)
        assert enter(url) == 303
        process.send_signal(signal.SIGTERM)
        process.communicate(timeout=PATIENCE)
    assert process.returncode == 0


def test_two_desks_at_once(tmp_path: Path) -> None:
    with started(tmp_path, "--no-browser") as (_, one), started(tmp_path, "--no-browser") as (_, other):
        assert one.split("/")[2] != other.split("/")[2]
        assert (enter(one), enter(other)) == (303, 303)
        crossed = f"http://{other.split('/')[2]}/enter/{one.rpartition('/')[2]}"
        assert enter(crossed) == 403


def test_a_port_that_is_taken_is_told(tmp_path: Path) -> None:
    with socket.create_server((LOOPBACK, 0)) as taken:
        port = taken.getsockname()[1]
        done = run(tmp_path, "desk", "--no-browser", "--port", str(port))
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith(f"deckbuilder: --port {port}: this cannot be listened on (")
    assert done.stderr.count("\n") == 1


def test_a_port_that_was_just_let_go_is_taken_again(tmp_path: Path) -> None:
    with started(tmp_path, "--no-browser") as (process, url):
        enter(url)
        port = url.split(":")[2].partition("/")[0]
        process.send_signal(signal.SIGTERM)
        process.wait(PATIENCE)
    with started(tmp_path, "--no-browser", "--port", port) as (_, again):
        assert again.startswith(f"http://127.0.0.1:{port}/enter/")
        assert enter(again) == 303


@pytest.mark.parametrize("port", ["0", "65536", "x", "-1"])
def test_a_number_that_is_no_port_is_told(tmp_path: Path, port: str) -> None:
    done = run(tmp_path, "desk", "--port", port)
    assert done.returncode == 2
    assert "--port" in done.stderr


def test_a_folder_that_cannot_be_made_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    done = run(tmp_path, "desk", "--no-browser", "--folder", "file/decks")
    assert done.returncode == 2
    assert "--folder file/decks: this folder cannot be made" in done.stderr


def test_a_browser_is_opened_unless_told_not_to(tmp_path: Path) -> None:
    """The browser is a script that writes down what it is to open."""
    browser = tmp_path / "browser"
    browser.write_text(f'#!/bin/sh\necho "$1" > {tmp_path / "opened"}\n')
    browser.chmod(0o755)
    asked = f"import os; os.environ['BROWSER'] = {str(browser)!r}\n"
    with started(tmp_path, before=asked) as (process, url):
        assert enter(url) == 303
        opened = tmp_path / "opened"
        until(lambda: opened.exists() and opened.read_text() != "")
        assert enter(given := opened.read_text().strip()) == 303
        assert given != url, "others may see what a browser is started with"
        assert enter(given) == 403, "so it lets in once"
        process.send_signal(signal.SIGINT)
        process.wait(PATIENCE)
