"""The house: imports point one way, from the doors inwards."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

import deckbuilder
from deckbuilder.neck import tuning
from deckbuilder.notation import description
from deckbuilder.picture import validation

HOUSE = Path(deckbuilder.__file__).parent
ROOMS: dict[str, frozenset[str]] = {}
"""Every room with the rooms that it may know, its own included; what a row names may know all that it knows."""

for _room, _knows in (
    ("errors", ()),
    ("printable", ()),
    ("inputs", ("errors",)),
    ("interruption", ()),
    ("medium", ("errors",)),
    ("registry", ()),
    ("speech", ()),
    ("pages", ("speech",)),
    ("suggestions", ("errors",)),
    ("theory", ("errors", "registry", "speech", "suggestions")),
    ("neck", ("theory",)),
    ("lines", ("neck",)),
    ("picture", ("errors", "medium")),
    ("sound", ("errors", "medium")),
    ("notation", ("errors", "medium")),
    ("cards", ("lines", "picture", "sound", "notation")),
    ("recipe", ("cards", "inputs")),
    ("deck", ("cards", "inputs", "printable")),
    ("extensions", ("deck",)),
    ("rendering", ("deck", "interruption")),
    ("cluster", ("deck",)),
    ("workers", ("deck", "interruption")),
    ("build", ("recipe", "rendering")),
    ("preview", ("deck", "pages")),
    ("progress", ("build", "pages")),
    ("shelf", ("progress",)),
    ("teaching", ("progress",)),
    ("desk", ("preview", "progress", "workers")),
    ("cli", ("desk", "shelf", "teaching", "cluster")),
    ("__main__", ("cli",)),
):
    ROOMS[_room] = frozenset({_room}).union(*(ROOMS[known] for known in _knows))

PURE = ("theory", "neck", "lines", "sound", "notation", "cards")
"""Rooms that touch no file, process or clock; `picture` and `notation` read the letters that matplotlib
brings, `sound` the SoundFont that a recipe names."""
ENDS = {"os", "pathlib", "subprocess", "multiprocessing", "tempfile", "shutil", "time", "sqlite3", "zipfile", "socket"}


def imports(path: Path) -> Iterator[str]:
    """Yield the modules that a module imports, wherever in it."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: relative import"
            yield node.module or ""
        elif isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)


def modules_of(room: str) -> list[Path]:
    return sorted((HOUSE / room).glob("**/*.py")) or [HOUSE / f"{room}.py"]


def test_every_room_is_listed() -> None:
    found = {path.stem for path in HOUSE.iterdir() if (path.suffix == ".py" or (path / "__init__.py").exists())}
    assert found - {"__init__"} == set(ROOMS)


@pytest.mark.parametrize("room", ROOMS)
def test_a_room_knows_only_what_lies_further_in(room: str) -> None:
    for path in modules_of(room):
        known = {name.split(".")[1] for name in imports(path) if name.startswith("deckbuilder.")}
        assert known <= ROOMS[room], path


@pytest.mark.parametrize("room", PURE)
def test_pure_rooms_touch_no_file_process_or_clock(room: str) -> None:
    for path in modules_of(room):
        assert not {name.split(".")[0] for name in imports(path)} & ENDS, path


def test_rooms_that_know_nothing_of_each_other_agree_how_many_strings_there_are() -> None:
    """Pictures and written music are drawn from descriptions alone, so each says for itself what it can draw."""
    limits = {(room.FEWEST_STRINGS, room.MOST_STRINGS) for room in (tuning, validation, description)}
    assert limits == {(3, 10)}
