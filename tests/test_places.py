"""Where rendered media are kept when no option says it."""

from pathlib import Path

import pytest
from platformdirs import user_cache_path

from deckbuilder.cli import places
from tests.running import run


def test_in_the_projects_own_folder_the_store_is_there(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(Path(__file__).parent.parent)
    assert places.default_store() == Path("media/store")


def test_elsewhere_the_store_is_in_the_users_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "pyproject.toml").write_text("")
    assert places.default_store() == user_cache_path("deckbuilder", appauthor=False) / "media"


def test_an_installed_package_takes_no_folder_for_the_projects(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(places, "_SOURCE", tmp_path)
    assert places.default_store() == places.cache()


def test_a_build_elsewhere_leaves_nothing_but_the_deck_where_one_stands(tmp_path: Path) -> None:
    cache, here = tmp_path / "cache", tmp_path / "here"
    here.mkdir()
    done = run(here, "build", "--keys", "F", "--regions", "5", "--levels", "1", XDG_CACHE_HOME=str(cache))
    assert done.returncode == 0, done.stderr
    assert [path.name for path in here.iterdir()] == ["decks"]
    assert list((cache / "deckbuilder" / "media").glob("neck-*"))


def test_help_names_the_folder(tmp_path: Path) -> None:
    said = run(tmp_path, "preview", "--help", XDG_CACHE_HOME="/somewhere", COLUMNS="200").stdout
    assert "/somewhere/deckbuilder/media" in " ".join(said.split())
