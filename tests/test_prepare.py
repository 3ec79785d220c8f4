"""The set-up of a new machine: what it says, and that README and continuous integration do the same."""

import ast
import importlib.util
import re
import runpy
import sys
import tomllib
from pathlib import Path

import pytest

from prepare import environment, system
from prepare.following import follow

HERE = Path(__file__).parent.parent
FIRST = HERE / "prepare" / "__main__.py"


def test_readme_and_continuous_integration_run_the_same_tests() -> None:
    run = (HERE / ".ci" / "run").read_text(encoding="utf-8")
    (command,) = re.findall(r"^python3 -m prepare test.*$", (HERE / "README.md").read_text(encoding="utf-8"), re.M)
    assert run.splitlines()[-3:] == [command, ".venv/bin/ruff check .", ".venv/bin/mypy"]
    assert command in (HERE / "DEVELOPERS.md").read_text(encoding="utf-8")
    assert not re.search(r"\bapt|\binstall", run)


@pytest.mark.parametrize("version", [(2, 7, 18), (3, 6, 15), (3, 10, 13)])
def test_an_old_python_is_told_in_one_sentence_and_nothing_is_installed(
    version: tuple[int, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "version_info", version)
    monkeypatch.setattr(environment, "main", lambda _extras: pytest.fail("goes on"))
    with pytest.raises(
        SystemExit, match=r"needs Python 3\.11 or newer, and this is Python \d\.\d+ .*python3\.11 -m"
    ) as end:
        runpy.run_path(str(FIRST), run_name="__main__")
    assert "\n" not in str(end.value)


def test_what_an_old_python_reads_has_nothing_new() -> None:
    for path in (FIRST, FIRST.with_name("__init__.py")):
        source = path.read_text(encoding="ascii")
        new = (ast.JoinedStr, ast.AnnAssign, ast.NamedExpr, ast.FunctionDef, ast.Match, ast.Starred)
        assert not [node for node in ast.walk(ast.parse(source)) if isinstance(node, new)]


def test_the_lowest_python_is_the_one_that_the_package_names() -> None:
    project = tomllib.loads((HERE / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert f"LOWEST = ({project['requires-python'].removeprefix('>=').replace('.', ', ')})" in FIRST.read_text()
    assert set(environment.COST) == {(), ("test",)}
    assert "test" in project["optional-dependencies"]


@pytest.mark.parametrize("debian", [True, False])
def test_a_python_without_ensurepip_is_told_with_its_remedy(
    debian: bool, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(environment, "_version_in", lambda _python: None)
    monkeypatch.setattr(importlib.util, "find_spec", lambda _name: None)
    monkeypatch.setattr(system, "may_install", lambda: False)
    monkeypatch.setattr(system, "here_is_debian", lambda: debian)
    monkeypatch.setattr(environment, "follow", lambda *_command: pytest.fail("goes on"))
    assert environment.main(["test"]) == 1
    (sentence,) = capsys.readouterr().err.splitlines()
    package = f"python{sys.version_info[0]}.{sys.version_info[1]}-venv"
    assert (f"sudo apt-get install {package}" if debian else "python.org") in sentence


def test_an_unknown_word_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    assert environment.main(["tests"]) == 2
    assert "`prepare test`" in capsys.readouterr().err


def test_a_program_that_is_followed_is_heard_of_and_its_end_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    code = (
        "import time; print('\\x1b[2mfetching\\x1b[22m', flush=True); time.sleep(0.6); print('♭'); raise SystemExit(3)"
    )
    ended = follow((sys.executable, "-X", "utf8", "-c", code), every=0.3)
    assert (ended.status, ended.lines) == (3, ("fetching", "?"))
    assert "s: fetching" in capsys.readouterr().out


def test_a_program_that_takes_too_long_is_ended() -> None:
    assert follow((sys.executable, "-c", "import time; time.sleep(60)"), every=0.1, bound=0.2).status is None
