"""Recipes: those that are included and those in the desk's folder, opened and saved as the files that commands read."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from deckbuilder.cards.slug import slug
from deckbuilder.deck.marks import marked_recipe, refuse_foreign_files
from deckbuilder.deck.unfinished import OccupiedError, finished
from deckbuilder.desk.answers import body_of, refused
from deckbuilder.desk.builds import recipe_in
from deckbuilder.desk.state import desk_of
from deckbuilder.desk.words import RECIPES
from deckbuilder.errors import UserError
from deckbuilder.recipe import Recipe, RecipeError, parse_recipe, read_recipe
from deckbuilder.recipe.included import included
from deckbuilder.recipe.toml import parse_toml
from deckbuilder.recipe.writing import recipe_toml, tables_of
from deckbuilder.speech import Names, translate

_LONGEST_NAME = 100
"""Characters of a recipe's file name."""
_TEXT = "the recipe"
"""What errors call a text that a page sends."""


class UnsavedError(UserError, OSError):
    """A recipe that cannot be saved."""


@dataclass(frozen=True, slots=True)
class Known:
    """A recipe that can be opened.

    Args:
        path: its file.
        own: whether it lies in the desk's folder.
    """

    path: Path
    own: bool


def known(folder: Path) -> Mapping[str, Known]:
    """Return every recipe that can be opened, by name; one in the folder takes the place of one that is included.

    Args:
        folder: the desk's.
    """
    along = {name: Known(path, own=False) for name, path in included().items()}
    try:
        own = {path.stem: Known(path, own=True) for path in sorted(folder.glob("*.toml")) if path.is_file()}
    except OSError:
        own = {}
    return along | own


def listed(folder: Path) -> list[dict[str, Any]]:
    """List every recipe that can be opened: name, title, a sentence, whether it is one's own.

    Args:
        folder: the desk's.
    """
    return [_row(name, found) for name, found in known(folder).items()]


def starts(names: Names) -> list[dict[str, Any]]:
    """Return the changes of the included recipes, for one's own to begin with.

    Args:
        names: how notes are named in them.
    """
    return list(_starts(names))


@cache
def _starts(names: Names) -> tuple[dict[str, Any], ...]:
    found = (tables_of(replace(read_recipe(path), names=names)) for path in included().values())
    return tuple(tune for tables in found for tune in tables.get("changes", []))


def saved(folder: Path, name: str, recipe: Recipe) -> str:
    """Save a recipe into the desk's folder.

    Args:
        folder: the folder; it is made.
        name: what the player calls it.
        recipe: the recipe.

    Returns:
        The file's name without its ending.

    Raises:
        OccupiedError: a file that was not written here, or was changed by hand, lies in the way.
        UnsavedError: the name is none, or the folder cannot be written.
    """
    stem = slug(name)[:_LONGEST_NAME].strip("-")
    if not stem:
        raise UnsavedError("a recipe needs a name with a letter or a digit, by which its file is called")
    path = folder / f"{stem}.toml"
    text = marked_recipe(recipe_toml(recipe))
    try:
        folder.mkdir(parents=True, exist_ok=True)
        refuse_foreign_files([path], folder)
        with finished(path) as unfinished:
            unfinished.write_text(text, encoding="utf-8", newline="\n")
    except OSError as error:
        raise UnsavedError(
            f"{path}: this cannot be written ({error.strerror}); free the disk or change its rights"
        ) from error
    return stem


def _row(name: str, found: Known) -> dict[str, Any]:
    sentence = translate(RECIPES[name]) if not found.own and name in RECIPES else ""
    try:
        title = read_recipe(found.path).title if found.own else _title_along(found.path)
        return {"name": name, "title": title, "sentence": sentence, "own": found.own}
    except RecipeError as error:
        return {"name": name, "title": name, "sentence": str(error), "own": found.own, "broken": True}


@cache
def _title_along(path: Path) -> str:
    return read_recipe(path).title


def _opened(folder: Path, name: str) -> dict[str, Any]:
    found = known(folder).get(name)
    if found is None:
        raise HTTPException(404, f"there is no recipe “{name}” here; choose one of the list")
    return {"name": name, "recipe": tables_of(read_recipe(found.path))}


def _read(folder: Path, text: str) -> dict[str, Any]:
    recipe = parse_recipe(parse_toml(text.encode(), _TEXT), _TEXT, {}, folder)
    return {"name": recipe.title, "recipe": tables_of(recipe)}


async def _list(request: Request) -> Response:
    return JSONResponse(await run_in_threadpool(listed, desk_of(request).folder))


async def _open(request: Request) -> Response:
    body, folder = await body_of(request), desk_of(request).folder
    match body:
        case {"name": str(name)}:
            return JSONResponse(await run_in_threadpool(_opened, folder, name))
        case {"text": str(text)}:
            return JSONResponse(await run_in_threadpool(_read, folder, text))
    raise HTTPException(400, "say which recipe to open: its name, or its text")


async def _save(request: Request) -> Response:
    body, desk = await body_of(request), desk_of(request)
    recipe, name = await run_in_threadpool(recipe_in, body, desk), body.get("name")
    if not isinstance(name, str):
        raise HTTPException(400, "say what the recipe is to be called")
    try:
        return JSONResponse({"name": await run_in_threadpool(saved, desk.folder, name, recipe)})
    except OccupiedError:
        return refused(
            f"{slug(name)}.toml is a file of yours that was not saved here, or that was changed since, and would be "
            "lost; choose another name",
            409,
        )


async def _renamed(request: Request) -> Response:
    body, desk = await body_of(request), desk_of(request)
    recipe = await run_in_threadpool(recipe_in, body, desk)
    try:
        names = Names(body.get("names", ""))
    except ValueError:
        raise HTTPException(400, "say how notes are to be named: one of the names of the choices") from None
    return JSONResponse({"recipe": tables_of(replace(recipe, names=names))})


async def _download(request: Request) -> Response:
    folder, name = desk_of(request).folder, request.path_params["name"]
    found = (await run_in_threadpool(known, folder)).get(name)
    if found is None:
        raise HTTPException(404, f"there is no recipe “{name}” here; choose one of the list")
    data = await run_in_threadpool(found.path.read_bytes)
    return Response(
        data,
        media_type="application/toml",
        headers={"Content-Disposition": f'attachment; filename="{slug(name)}.toml"'},
    )


ROUTES = (
    Route("/api/recipes", _list),
    Route("/api/recipes/open", _open, methods=["POST"]),
    Route("/api/recipes/save", _save, methods=["POST"]),
    Route("/api/recipes/renamed", _renamed, methods=["POST"]),
    Route("/api/recipes/{name}.toml", _download),
)
