"""What is released: sdist and wheel, built here, installed in a fresh environment and used from an empty folder.

The fresh environment has the wheel alone in it and looks up what the wheel needs in the environment of the tests, so
that nothing is fetched. `tests.matrix` fetches the newest and the lowest versions instead.
"""

import os
import re
import shutil
import subprocess
import sys
import tarfile
import tomllib
import venv
import zipfile
from dataclasses import dataclass
from pathlib import Path

import pytest

from deckbuilder.speech import CODES, Language

HERE = Path(__file__).parent.parent
PROJECT = tomllib.loads((HERE / "pyproject.toml").read_text(encoding="utf-8"))["project"]
SOURCE = ("pyproject.toml", "README.md", "deckbuilder")

pytestmark = pytest.mark.xdist_group("wheel")


@dataclass(frozen=True)
class Release:
    """What was built, and a fresh environment with it."""

    sdist: Path
    wheel: Path
    environment: Path

    def command(self) -> Path:
        """Return the installed program."""
        scripts = self.environment / ("Scripts" if os.name == "nt" else "bin")
        return next(scripts.glob("deckbuilder*"))


@pytest.fixture(scope="module")
def release(tmp_path_factory: pytest.TempPathFactory) -> Release:
    folder = tmp_path_factory.mktemp("release")
    tree = folder / "tree"
    tree.mkdir()
    for name in SOURCE:
        if (HERE / name).is_dir():
            shutil.copytree(HERE / name, tree / name, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy(HERE / name, tree / name)
    _run(sys.executable, "-m", "build", "--no-isolation", "--outdir", str(folder / "dist"), str(tree))
    ((wheel,), (sdist,)) = (tuple((folder / "dist").glob(ending)) for ending in ("*.whl", "*.tar.gz"))
    environment = folder / "environment"
    venv.create(environment, with_pip=False)
    python = environment / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    packages = Path(_run(str(python), "-c", "import sysconfig; print(sysconfig.get_path('purelib'))").strip())
    known = [path for path in sys.path if Path(path).name in ("site-packages", "dist-packages")]
    (packages / "of-the-tests.pth").write_text("\n".join(known), encoding="utf-8")
    _run(sys.executable, "-m", "pip", "--python", str(python), "install", "--no-deps", "--no-index", str(wheel))
    return Release(sdist, wheel, environment)


def _run(*command: str, folder: Path | None = None, status: int = 0) -> str:
    variables = {**os.environ, "PIP_DISABLE_PIP_VERSION_CHECK": "1"}
    if folder is not None:
        variables["XDG_CACHE_HOME"] = str(folder / "cache")
    done = subprocess.run(command, capture_output=True, text=True, check=False, cwd=folder, env=variables)
    assert done.returncode == status, done.stdout[-3000:] + done.stderr[-3000:]
    return done.stdout


def _shipped() -> set[str]:
    """Return every file of the package, as archives name it."""
    return {
        path.relative_to(HERE).as_posix()
        for path in (HERE / "deckbuilder").rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }


def test_the_wheel_has_every_file_of_the_package_and_no_other(release: Release) -> None:
    with zipfile.ZipFile(release.wheel) as archive:
        found = {name for name in archive.namelist() if ".dist-info/" not in name}
    assert found == _shipped()
    assert {"deckbuilder/recipes/default.toml", "deckbuilder/desk/static/main.js", "deckbuilder/py.typed"} <= found
    for language in set(Language) - {Language.ENGLISH}:
        assert f"deckbuilder/languages/{CODES[language]}/LC_MESSAGES/deckbuilder.mo" in found


def test_the_source_package_has_every_file_too(release: Release) -> None:
    with tarfile.open(release.sdist) as archive:
        found = {name.partition("/")[2] for name in archive.getnames()}
    assert _shipped() | {"pyproject.toml", "README.md"} <= found


def test_the_installed_program_builds_and_checks_a_deck_in_an_empty_folder(release: Release, tmp_path: Path) -> None:
    here = tmp_path / "here"
    here.mkdir()
    program = str(release.command())
    assert PROJECT["version"] in _run(program, "--version", folder=here)
    ask = "import deckbuilder; print(deckbuilder.__file__)"
    where = _run(str(release.command().with_name("python")), "-c", ask, folder=here)
    assert Path(where.strip()).is_relative_to(release.environment)
    chosen = ("--keys", "F", "--regions", "5", "--levels", "1", "--kinds", "spell,improvise")
    told = _run(program, "build", *chosen, "--format", "apkg,page", "--workers", "1", folder=here)
    decks = [path for path in (here / "decks").iterdir() if path.suffix == ".apkg"]
    assert len(decks) == 1, told
    assert "0 problems" in _run(program, "check", str(decks[0]), folder=here)
    assert {path.name for path in here.iterdir()} == {"decks", "cache"}
    assert list((here / "cache" / "deckbuilder" / "media").glob("neck-*"))


@pytest.mark.parametrize(
    "words",
    [
        "list blues --keys F --regions 5",
        "list --names german --keys H --levels 1 --kinds spell",
        "tunings",
        "plan quick --minutes 60",
        *(f"{name} --help" for name in ("build", "preview", "progress", "desk", "shelf")),
    ],
)
def test_every_command_starts_in_an_empty_folder(words: str, release: Release, tmp_path: Path) -> None:
    assert _run(str(release.command()), *words.split(), folder=tmp_path)
    assert not [path for path in tmp_path.iterdir() if path.name != "cache"]


def test_the_changelog_begins_with_the_version() -> None:
    text = (HERE / "CHANGELOG.md").read_text(encoding="utf-8")
    versions = re.findall(r"^## (\d+\.\d+\.\d+)", text, re.M)
    assert versions[0] == PROJECT["version"]
    assert versions == sorted(versions, key=lambda name: [int(part) for part in name.split(".")], reverse=True)
