"""Which browser the tests take."""

import os
from pathlib import Path

import pytest

from prepare import system
from tests.browser import __main__ as step
from tests.browser.choice import candidates
from tests.browser.running import NoBrowserError


def test_the_named_browser_is_the_only_one() -> None:
    assert candidates({"CHROMIUM": "/mine", "PATH": "/usr/bin"}, "linux", lambda _path: True) == ["/mine"]


def test_linux_takes_chrome_before_chromium_and_playwrights_own_last() -> None:
    there = {"/usr/bin/chromium", "/usr/local/bin/google-chrome", "/snap/bin/chromium"}
    found = candidates({"PATH": "/usr/local/bin:/usr/bin"}, "linux", there.__contains__)
    assert found == ["/usr/local/bin/google-chrome", "/usr/bin/chromium", "/snap/bin/chromium", None]


def test_macos_looks_among_the_applications_of_all_and_of_the_user() -> None:
    edge = "/Users/me/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge"
    assert candidates({"HOME": "/Users/me"}, "darwin", edge.__eq__) == [edge, None]


def test_windows_looks_among_programs() -> None:
    environment = {"PROGRAMFILES": r"C:\Program Files", "PROGRAMFILES(X86)": r"C:\Program Files (x86)"}
    edge = r"C:\Program Files (x86)\Microsoft\Edge\Application\msedge.exe"
    assert candidates(environment, "win32", edge.__eq__) == [edge, None]


def test_where_none_is_playwrights_own_is_left() -> None:
    assert candidates({}, "linux", lambda _path: False) == [None]


@pytest.mark.parametrize(
    ("release", "debian"),
    [
        ("ID=debian\nVERSION_ID=12\n", True),
        ("ID=linuxmint\nID_LIKE='ubuntu debian'\n", True),
        ('ID=fedora\nID_LIKE="rhel"\n', False),
        ("", False),
    ],
)
def test_debian_is_known_by_its_release(release: str, debian: bool) -> None:
    assert system.is_debian(release) is debian


@pytest.mark.parametrize("root", [True, False])
def test_ways_to_a_browser_are_tried_in_turn_and_the_end_says_what_to_install(
    root: bool, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    tried: list[str] = []
    monkeypatch.delenv("CHROMIUM", raising=False)

    def look() -> NoBrowserError:
        tried.append("look")
        return NoBrowserError(["  /x does not start"])

    monkeypatch.setattr(step, "_found", look)
    monkeypatch.setattr(step, "_fetch", lambda: tried.append("fetch"))
    monkeypatch.setattr(step, "_install", lambda: tried.append("install"))
    monkeypatch.setattr(system, "may_install", lambda: root)
    assert step.main() == 1
    assert tried == ["look", "fetch", "look", *(["install", "look"] if root else [])]
    said = capsys.readouterr().err
    assert "install Chrome, Chromium or Edge (Debian, Ubuntu: sudo apt-get install chromium" in said
    assert "/x does not start" in said


def test_a_named_browser_that_does_not_start_is_told_and_nothing_is_fetched(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("CHROMIUM", os.fspath(tmp_path / "none"))
    monkeypatch.setattr(step, "_found", lambda: NoBrowserError([]))
    assert step.main() == 1
    assert f"CHROMIUM={tmp_path / 'none'} is none that starts: name another, or unset it" in capsys.readouterr().err
