"""Roster: a class in one file, each student with a recipe of their own.

`title` names the class, the table `recipe` has what all recipes build on, and each of `[[students]]` has a `name` and
whatever fields of a recipe are the student's own; one that `extends` another recipe builds on that instead.
"""

import unicodedata
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields
from pathlib import Path

from deckbuilder.build import deck_name
from deckbuilder.cards.recipe import Recipe
from deckbuilder.errors import UserError
from deckbuilder.recipe.checks import cut, deck_word, shown, shown_key, suggestion
from deckbuilder.recipe.extending import EXTENDS, Layer, layers
from deckbuilder.recipe.reading import parse_recipe
from deckbuilder.recipe.toml import RecipeError, read_toml, refuse_endless
from deckbuilder.speech import Speech

_FIELDS = ("title", "recipe", "students")
_EXAMPLE = 'write [[students]] and below it name = "A. B."'
_REMEDY = "name the file of a class"


class ClassError(UserError, ValueError):
    """A class of which nothing can be made, or students of whom nothing can; each line names file, student, key."""


@dataclass(frozen=True, slots=True)
class Student:
    """A student.

    Args:
        name: as the class's file has it.
        recipe: what they study.
    """

    name: str
    recipe: Recipe


@dataclass(frozen=True, slots=True)
class Refused:
    """A row of which no deck can be made.

    Args:
        name: the student's name; empty where there is none.
        lines: what is wrong, each a sentence with file, student, key and remedy.
    """

    name: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Roster:
    """A class.

    Args:
        title: its name.
        students: those whose recipes are in order, as the file has them.
        refused: the others.
        speech: how it is told of all together: as the recipe for all asks.
    """

    title: str
    students: tuple[Student, ...]
    refused: tuple[Refused, ...]
    speech: Speech

    def only(self, names: Collection[str]) -> "Roster":
        """Return the class with some of its students alone; all where none is named.

        Args:
            names: of students.

        Raises:
            ClassError: nobody is called so.
        """
        if not names:
            return self
        known = [*(one.name for one in self.students), *(row.name for row in self.refused if row.name)]
        wanted = {plain(name): name for name in names}
        for one, name in wanted.items():
            if one not in map(plain, known):
                raise ClassError(f"--only {cut(name)}: no student of this class is called so{suggestion(name, known)}")
        return Roster(
            self.title,
            tuple(student for student in self.students if plain(student.name) in wanted),
            tuple(row for row in self.refused if plain(row.name) in wanted),
            self.speech,
        )


def plain(name: str) -> str:
    """Return a name or a title in the one spelling in which all its spellings are compared (Unicode, form C).

    Args:
        name: as somebody or some app wrote it.
    """
    return unicodedata.normalize("NFC", name).strip()


def read_class(path: Path) -> Roster:
    """Read a class.

    Args:
        path: its file.

    Raises:
        ClassError: it names no students, or has a mistake that concerns all of them.
        RecipeError: it cannot be read, or what all recipes build on has a mistake.
    """
    tables = read_toml(path, _REMEDY)
    refuse_endless(tables, str(path))
    if "students" not in tables and tables.keys() & {*(each.name for each in fields(Recipe)), EXTENDS} - {*_FIELDS}:
        raise ClassError(
            f"{path}: this is no class, since it has no [[students]]; {_EXAMPLE}, or build one deck of it: "
            "deckbuilder build FILE"
        )
    for field in tables:
        if field not in _FIELDS:
            raise ClassError(
                f"{path}: {shown_key(field)}: a class has no such field{suggestion(field, _FIELDS)}; fields of recipes "
                "stand under [recipe] for all, and under [[students]] for one"
            )
    try:
        title = deck_word(_text(tables.get("title", path.stem)), "a class's title")
    except ValueError as error:
        raise ClassError(f"{path}: title = {shown(tables['title'])}: {error}") from None
    common, rows = tables.get("recipe", {}), tables.get("students", [])
    if not isinstance(common, Mapping):
        raise ClassError(f"{path}: recipe = {shown(common)}: this has to be a table of its own: write [recipe]")
    if not isinstance(rows, list) or not rows:
        raise ClassError(f"{path}: students: there are none; {_EXAMPLE}")
    for_all = f"{path}: recipe"
    speech = parse_recipe(common, for_all, folder=path.parent).speech
    read = tuple(_rows(rows, path, title, layers(common, for_all, path.parent)))
    students, refused = _told_apart([row for row in read if not isinstance(row, Refused)])
    return Roster(title, students, (*(row for row in read if isinstance(row, Refused)), *refused), speech)


def _text(value: object) -> str:
    if not isinstance(value, str):
        raise ValueError("this has to be a text in quotes")
    return value


_Read = tuple[str, Student]
"""What errors call a row, and the student."""


def _rows(rows: Sequence[object], path: Path, title: str, common: Sequence[Layer]) -> Iterator[_Read | Refused]:
    for number, row in enumerate(rows, start=1):
        place = f"{path}: students {number}"
        if not isinstance(row, Mapping):
            yield Refused("", (f"{place} = {shown(row)}: this has to be a table; {_EXAMPLE}",))
        elif "name" not in row:
            yield Refused("", (f'{place}.name is missing; write name = "A. B."',))
        else:
            yield _row(row, place, path.parent, title, common)


def _row(row: Mapping[str, object], place: str, folder: Path, title: str, common: Sequence[Layer]) -> _Read | Refused:
    try:
        name = deck_word(_text(row["name"]), "a student's name")
    except ValueError as error:
        return Refused("", (f"{place}.name = {shown(row['name'])}: {error}",))
    called = f"{place} ({cut(name)})"
    own = {field: value for field, value in row.items() if field != "name"}
    try:
        recipe = parse_recipe({"title": f"{title} · {name}", **own}, called, folder=folder, under=common)
    except RecipeError as error:
        return Refused(name, error.lines)
    return called, Student(name, recipe)


def _told_apart(read: Sequence[_Read]) -> tuple[tuple[Student, ...], tuple[Refused, ...]]:
    """Refuse students whose decks could not be told from those of an earlier one."""
    first: dict[str, str] = {}
    students: list[Student] = []
    refused: list[Refused] = []
    for called, student in read:
        other = first.setdefault(deck_name(student.recipe), called)
        if other == called:
            students.append(student)
        else:
            same = f"its deck would be called as that of {other.rpartition(': ')[2]}"
            given = f"{called}: title = {shown(student.recipe.title)}"
            line = f"{given}: {same}; add an initial to the name, or give a title of its own"
            refused.append(Refused(student.name, (line,)))
    return tuple(students), tuple(refused)
