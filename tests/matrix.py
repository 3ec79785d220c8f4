"""The core on every Python that is here and with the oldest packages: `.venv/bin/python -m tests.matrix`.

On every Python from 3.11 to 3.14 the built wheel is installed, the core's tests run, and a small deck is built in a
folder elsewhere: the same bytes everywhere, its media in the user's cache folder. Then once more, on the oldest
Python, with the lowest versions that pyproject.toml allows. About ten minutes and 600 MB a Python, which are given
back. It needs no browser.
"""

import hashlib
import os
import re
import shutil
import subprocess
import sys
import tempfile
import tomllib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from prepare.following import follow

HERE = Path(__file__).parent.parent
MINORS = range(11, 15)
"""Of the Pythons 3.x that are tried."""
CORE = (
    *("tests/theory", "tests/neck", "tests/picture", "tests/sound", "tests/cards", "tests/deck"),
    *("tests/test_recipe.py", "tests/test_recipe_changes.py", "tests/test_places.py", "tests/test_identity.py"),
    *("tests/test_names.py", "tests/test_mistakes.py"),
)
"""Tests of what makes a deck."""
TOOLS = ("babel", "hypothesis", "imageio-ffmpeg", "miniaudio", "music21", "pandas", "pyloudnorm", "pytest", "soundfile")
"""Packages that these tests need beside the program's own."""
DECK = ("build", "--keys", "F", "--regions", "5", "--kinds", "locate,identify,hear,spell,connect,improvise")


class MatrixError(Exception):
    """A Python on which something fails; the message says what."""


@dataclass(frozen=True)
class Trial:
    """A Python, and the versions that its packages are held to; none for the newest."""

    name: str
    python: Path
    constraints: tuple[str, ...] = ()


def main() -> int:
    """Try everything; return the exit status."""
    pythons = found_pythons()
    missing = [f"3.{minor}" for minor in MINORS if minor not in pythons]
    if missing:
        print(f"matrix: not on this machine, so not tried: Python {', '.join(missing)}", flush=True)
    if not pythons:
        return 1
    trials = [Trial(f"Python 3.{minor}", python) for minor, python in pythons.items()]
    oldest = next(iter(pythons))
    lowest = Trial(f"Python 3.{oldest}, lowest versions", pythons[oldest], lowest_versions())
    with tempfile.TemporaryDirectory(prefix="matrix-") as name:
        try:
            wheel = _built(Path(name))
            decks = {trial.name: _tried(trial, wheel, Path(name, str(number))) for number, trial in enumerate(trials)}
            _tried(lowest, wheel, Path(name, "lowest"))
        except MatrixError as error:
            print(f"matrix: {error}", file=sys.stderr)
            return 1
    if len(set(decks.values())) > 1:
        print(f"matrix: the decks differ: {decks}", file=sys.stderr)
        return 1
    print(f"matrix: all well on {', '.join(decks)} and with the lowest versions; the decks are the same", flush=True)
    return 0


def found_pythons() -> dict[int, Path]:
    """Return the Pythons of this machine by their minor version, the one that runs this first."""
    found: dict[int, Path] = {}
    for python in _places():
        minor = _minor(python)
        if minor is not None and minor in MINORS:
            found.setdefault(minor, python)
    return dict(sorted(found.items()))


def _places() -> Iterator[Path]:
    """Yield Pythons that may be here: this one, those on PATH, those of pyenv."""
    yield Path(sys.executable)
    for minor in MINORS:
        if on_path := shutil.which(f"python3.{minor}"):
            yield Path(on_path)
    root = Path(os.environ.get("PYENV_ROOT") or Path.home() / ".pyenv")
    yield from sorted(root.glob("versions/3.*/bin/python"), reverse=True)


def _minor(python: Path) -> int | None:
    """Return the minor version of a Python that starts and makes virtual environments; None if it does not."""
    ask = "import ensurepip, sys; print(sys.version_info[1])"
    answer = subprocess.run([python, "-c", ask], capture_output=True, text=True, check=False)
    return int(answer.stdout) if answer.returncode == 0 else None


def lowest_versions() -> tuple[str, ...]:
    """Return what pins every package that pyproject.toml names to the lowest version that it allows."""
    project = tomllib.loads((HERE / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    bounds = [re.match(r"([\w-]+)>=([\w.]+)", asked) for asked in project["dependencies"]]
    return tuple(f"{bound[1]}=={bound[2]}" for bound in bounds if bound)


def _built(folder: Path) -> Path:
    """Build sdist and wheel, the wheel from the sdist; return the wheel."""
    _run("the source package and the wheel", (sys.executable, "-m", "build", "--outdir", folder / "dist", HERE))
    (wheel,) = (folder / "dist").glob("*.whl")
    return wheel


def _tried(trial: Trial, wheel: Path, folder: Path) -> str:
    """Install the wheel, run the core's tests and build a deck; return the deck's digest."""
    python = folder / "environment" / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    elsewhere, cache = folder / "elsewhere", folder / "cache"
    elsewhere.mkdir(parents=True)
    pins = folder / "constraints.txt"
    pins.write_text("\n".join(trial.constraints), encoding="utf-8")
    _run(f"{trial.name}: environment", (trial.python, "-m", "venv", folder / "environment"))
    pip = (python, "-m", "pip", "install", "--disable-pip-version-check", "--progress-bar", "off")
    _run(f"{trial.name}: packages", (*pip, "--constraint", pins, wheel, *TOOLS))
    fixed = {"SOURCE_DATE_EPOCH": "1700000000", "XDG_CACHE_HOME": os.fspath(cache)}
    _run(f"{trial.name}: a deck", (python, "-m", "deckbuilder", *DECK), elsewhere, fixed)
    left = [path.name for path in elsewhere.iterdir()]
    if left != ["decks"] or not list((cache / "deckbuilder" / "media").glob("neck-*")):
        raise MatrixError(f"{trial.name}: media are not in the cache folder; beside the deck lies {left}")
    (deck,) = (elsewhere / "decks").iterdir()
    digest = hashlib.sha256(deck.read_bytes()).hexdigest()
    _run(f"{trial.name}: tests", (python, "-m", "pytest", "-q", "-o", "addopts=", *CORE), HERE)
    shutil.rmtree(folder)
    return digest


def _run(
    what: str, command: Sequence[str | Path], folder: Path | None = None, variables: dict[str, str] | None = None
) -> None:
    print(f"matrix: {what}", flush=True)
    environment = {**os.environ, **(variables or {})}
    ended = follow([os.fspath(word) for word in command], folder=folder, environment=environment, every=30.0)
    if ended.status != 0:
        raise MatrixError(f"{what}: failed\n{ended.last_words}")
    print(f"  {ended.lines[-1][:100] if ended.lines else 'done'}", flush=True)


if __name__ == "__main__":
    sys.exit(main())
