"""`check` finds what is wrong with a package."""

import json
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

from deckbuilder.build import build
from deckbuilder.deck.check import check_package
from deckbuilder.deck.store import Store
from deckbuilder.recipe import parse_recipe

RECIPE = parse_recipe({"keys": ["F"], "regions": [5], "levels": [2], "kinds": ["locate", "identify"]}, "test")
Members = dict[str, bytes]


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("whole")
    build(RECIPE, folder / "whole.apkg", store=Store(folder / "store"), timestamp=1.7e9)
    return folder / "whole.apkg"


def _number(members: Members, suffix: str) -> str:
    listed: dict[str, str] = json.loads(members["media"])
    return next(number for number, name in listed.items() if name.endswith(suffix))


def _cut_picture(members: Members) -> None:
    number = _number(members, ".png")
    members[number] = members[number][:-200]


def _fake_clip(members: Members) -> None:
    members[_number(members, ".mp3")] = b"RIFF and no frames"


def _lose_medium(members: Members) -> None:
    del members[_number(members, ".png")]


def _unlist_medium(members: Members) -> None:
    listed = json.loads(members["media"])
    del listed[_number(members, ".mp3")]
    members["media"] = json.dumps(listed).encode()


def _add_medium(members: Members) -> None:
    listed = json.loads(members["media"])
    picture = members[_number(members, ".png")]
    listed["9999"] = "spare.png"
    members["media"], members["9999"] = json.dumps(listed).encode(), picture


def _no_collection(members: Members) -> None:
    del members["collection.anki2"]


def _broken_collection(members: Members) -> None:
    members["collection.anki2"] = b"this is no database" * 100


def _broken_list(members: Members) -> None:
    members["media"] = b"{"


def test_a_whole_package_has_no_problem(whole: Path) -> None:
    findings = check_package(whole)
    assert findings.problems == ()
    assert (findings.notes, findings.cards, findings.pictures, findings.clips) == (3, 6, 7, 3)


@pytest.mark.parametrize(
    ("damage", "said"),
    [
        (_cut_picture, "not a whole PNG picture"),
        (_fake_clip, "not a whole MP3 clip"),
        (_lose_medium, "is missing"),
        (_unlist_medium, "a note names it, but it is not in the package"),
        (_add_medium, "no note names it"),
        (_no_collection, "the archive holds no such member"),
        (_broken_collection, "not a readable collection"),
        (_broken_list, "media:"),
    ],
)
def test_damage_is_named(whole: Path, tmp_path: Path, damage: Callable[[Members], None], said: str) -> None:
    with zipfile.ZipFile(whole) as archive:
        members = {name: archive.read(name) for name in archive.namelist()}
    damage(members)
    broken = tmp_path / "broken.apkg"
    with zipfile.ZipFile(broken, "w") as archive:
        for name, data in members.items():
            archive.writestr(name, data)
    assert any(said in problem for problem in check_package(broken).problems)


def test_no_archive_and_no_file(tmp_path: Path) -> None:
    path = tmp_path / "text.apkg"
    path.write_text("not a package")
    assert "not a readable package" in check_package(path).problems[0]
    assert "no such file" in check_package(tmp_path / "none.apkg").problems[0]
