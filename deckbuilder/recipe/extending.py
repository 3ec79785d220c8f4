"""Extending: a recipe that builds on another says `extends = "school.toml"`, and only what differs.

Tables are merged, name by name; lists and single values take the place of the other's. A file that is named in a
recipe lies beside the recipe that names it; included recipes are known by name.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from deckbuilder.cards.choices import InstrumentChoice
from deckbuilder.recipe.checks import shown
from deckbuilder.recipe.included import found, other_file
from deckbuilder.recipe.instrument import same_tuning
from deckbuilder.recipe.toml import RecipeError, read_toml, refuse_endless

EXTENDS = "extends"
"""The field that names the recipe on which another builds."""
MOST = 8
"""Recipes that build on each other: a school, a class and a student are three."""

Tables = Mapping[str, object]


@dataclass(frozen=True, slots=True)
class Layer:
    """What one file of a recipe says.

    Args:
        name: what errors call it.
        tables: its fields.
    """

    name: str
    tables: Tables


def layers(
    given: Tables, name: str, folder: Path, path: Path | None = None, under: Sequence[Layer] = ()
) -> tuple[Layer, ...]:
    """Read all that a recipe builds on, the recipe itself first.

    Args:
        given: its own fields.
        name: what errors call it.
        folder: where the files lie that it names.
        path: its file, if it is one.
        under: what it builds on where it names nothing.

    Raises:
        RecipeError: a file is missing or is none, they build on each other in a circle, or there are too many.
    """
    _refuse_class(given, name)
    if EXTENDS not in given:
        return (Layer(name, _own(given, folder, folder)), *under)
    read = [Layer(name, _own(given, folder, folder))]
    seen = [path.resolve()] if path else []
    names = [name]
    tables, place = given, folder
    while EXTENDS in tables:
        where = f"{names[-1]}: {EXTENDS} = {shown(tables[EXTENDS])}"
        file, real = _named(tables[EXTENDS], place, where)
        names.append(str(file))
        if real in seen:
            raise RecipeError(f"{where}: these recipes build on each other in a circle: {' → '.join(names)}; end it")
        if len(names) > MOST:
            raise RecipeError(f"{where}: more than {MOST} recipes build on each other; put some of them together")
        try:
            tables = read_toml(file, other_file(file))
            _refuse_class(tables, str(file))
        except RecipeError as error:
            raise RecipeError(*(f"{where}: {line}" for line in error.lines)) from None
        refuse_endless(tables, str(file))
        seen.append(real)
        place = file.parent
        read.append(Layer(str(file), _own(tables, place, folder)))
    return tuple(read)


def _refuse_class(given: Tables, name: str) -> None:
    """Refuse the file of a class, which may seem to be one recipe.

    Args:
        given: the fields of a file.
        name: what errors call it.

    Raises:
        RecipeError: it names students.
    """
    if "students" in given:
        raise RecipeError(f"{name}: this is the file of a class; its decks are built by: deckbuilder class FILE")


def _named(value: object, place: Path, where: str) -> tuple[Path, Path]:
    """Return a recipe's file as it is named, seen from the one that names it, and without links."""
    if not isinstance(value, str) or not value.strip():
        raise RecipeError(f'{where}: this has to be a text in quotes, the name of a recipe: "school.toml"')
    try:
        file = found(Path(value), place)
        return file, file.resolve()
    except (OSError, ValueError, RuntimeError) as error:
        raise RecipeError(f"{where}: no file can be called so ({error}); name a recipe beside this one") from None


def _own(tables: Tables, place: Path, folder: Path) -> Tables:
    """Return a file's fields, `extends` apart, with the name of its SoundFont as it is seen from a folder."""
    fields = {name: value for name, value in tables.items() if name != EXTENDS}
    sound = fields.get("sound")
    if place != folder and isinstance(sound, Mapping) and isinstance(sound.get("soundfont"), str):
        fields["sound"] = {**sound, "soundfont": str((place / sound["soundfont"]).absolute())}
    return fields


def extended(found: Sequence[Layer]) -> dict[str, object]:
    """Merge what the files of a recipe say, the first with the last word.

    Args:
        found: the recipe, what it builds on, and so on.
    """
    said: dict[str, object] = {}
    for layer in reversed(found):
        said = merged(without_other_frets(said, layer.tables), layer.tables)
    return said


def merged(given: Tables, others: Tables) -> dict[str, Any]:
    """Put fields in the place of others, table by table; what should be a table and is none stays to be refused.

    Args:
        given: the fields.
        others: those with the last word.
    """
    said = dict(given)
    for name, value in others.items():
        if not isinstance(value, Mapping):
            said[name] = value
        elif isinstance(table := said.get(name, {}), Mapping):
            said[name] = merged(table, value)
    return said


def without_other_frets(given: Tables, others: Tables) -> Tables:
    """Leave out the frets of a neck that another one takes the place of.

    Args:
        given: the fields.
        others: those with the last word.
    """
    former, chosen = given.get("instrument"), others.get("instrument")
    if not isinstance(former, Mapping) or not isinstance(chosen, Mapping) or "tuning" not in chosen:
        return given
    if same_tuning(former.get("tuning", InstrumentChoice.tuning), chosen["tuning"]):
        return given
    return {**given, "instrument": {name: value for name, value in former.items() if name != "frets"}}


def said_in(found: Sequence[Layer], location: Sequence[int | str]) -> str:
    """Return the name of the file that a field comes from, as errors call it.

    Args:
        found: the recipe, what it builds on, and so on.
        location: names of tables and of the field; numbers of tables in a list.
    """
    for layer in found:
        value: object = layer.tables
        for part in location:
            if isinstance(value, Mapping) and part in value:
                value = value[str(part)]
            else:
                # Lists are one file's, whatever lies in them.
                break
        else:
            return layer.name
        if isinstance(value, list | tuple):
            return layer.name
    return found[0].name
