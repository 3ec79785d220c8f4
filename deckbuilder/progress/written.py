"""Written: the files that are made of a history – its report, and what works on its weak cells."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from deckbuilder.build import Summary
from deckbuilder.deck.marks import marked_recipe
from deckbuilder.errors import UserError
from deckbuilder.progress.advice import recipe_for
from deckbuilder.progress.analysis import Analysis
from deckbuilder.progress.data import FORMATS
from deckbuilder.progress.focus import base_recipe, notes_to_practise
from deckbuilder.progress.heatmap import heat_map
from deckbuilder.progress.outputs import renewed
from deckbuilder.progress.report import report_html
from deckbuilder.progress.sheet import practice_sheet
from deckbuilder.progress.trend import trend
from deckbuilder.progress.work import Part, recipes
from deckbuilder.recipe import Recipe
from deckbuilder.recipe.writing import recipe_toml
from deckbuilder.speech import _

_PAGE, _MAP, _SHEET, _CHECK_UP = "progress.html", "heat-map-level-{}.png", "practice-sheet.pdf", "check-up.toml"
_DATA = "progress.{}"
_OF_REPORT = r"heat-map-level-\d+\.png|check-up\.toml|progress\.(json|csv)"
_OF_FOCUS = r"focus(-\d+)?\.(toml|apkg)"
"""Files of which an earlier report, or an earlier focus, may have more."""


@dataclass(frozen=True, slots=True)
class Writing:
    """What is to be written.

    Args:
        files: bytes of files by their names.
        decks: recipes of decks by the names of their files.
        family: pattern of the names of earlier outputs that go when they are not among these.
    """

    files: Mapping[str, bytes]
    decks: Mapping[str, Recipe]
    family: str

    def __or__(self, other: "Writing") -> "Writing":
        """Join two."""
        return Writing({**self.files, **other.files}, {**self.decks, **other.decks}, f"{self.family}|{other.family}")


def report_page(analysis: Analysis, maps: Mapping[int, bytes], beside: Mapping[str, str] | None = None) -> str:
    """Return the report.

    Args:
        analysis: what was measured.
        maps: from `heat_maps`.
        beside: files beside it that it leads to, by what they are called.
    """
    return report_html(analysis, maps, trend(analysis.study), beside)


def heat_maps(analysis: Analysis) -> dict[int, bytes]:
    """Draw a heat map of each level that has cells, PNG.

    Args:
        analysis: what was measured.
    """
    return {level: heat_map(level, analysis.cells) for level in analysis.levels}


def report(analysis: Analysis, base: Recipe | None, focused: Writing | None = None) -> Writing:
    """Return the report as files, with the recipe of what a check-up found weak, if there is one.

    Args:
        analysis: what was measured.
        base: the recipe of the deck that was studied, None for the default of its neck.
        focused: what is written beside it for work on weak cells, to which it leads.
    """
    maps = heat_maps(analysis)
    beside = {_("The sheet for the music stand"): _SHEET} if focused else {}
    beside |= (
        {_("A small deck of the weak places: {file}", file=name): name for name in focused.decks} if focused else {}
    )
    files = {_PAGE: report_page(analysis, maps, beside).encode()}
    files |= {_MAP.format(level): picture for level, picture in maps.items()}
    if (recipe := _of_check_up(analysis, base)) is not None:
        files[_CHECK_UP] = _toml(recipe)
    return Writing(files, {}, _OF_REPORT)


def figures(analysis: Analysis, formats: Sequence[str]) -> Writing:
    """Return the figures as files for other programs.

    Args:
        analysis: what was measured.
        formats: names of `deckbuilder.progress.data.FORMATS`.
    """
    return Writing({_DATA.format(name): FORMATS[name](analysis) for name in formats}, {}, _OF_REPORT)


def focus(analysis: Analysis, parts: Sequence[Part], base: Recipe | None) -> Writing:
    """Return recipes and decks of what is worked on, and its practice sheet.

    Args:
        analysis: what was measured.
        parts: what is worked on, and where; one at least.
        base: the recipe of the deck that was studied, None for the default of its neck.

    Raises:
        HistoryError: the recipe is not that of the deck that was studied.
        NeckError, RecipeError: none is given, and the history's neck is one that no recipe has.
    """
    made = recipes(analysis.history, base or base_recipe(analysis.history), parts)
    names = ["focus"] if len(made) == 1 else [f"focus-{number}" for number in range(1, len(made) + 1)]
    files = {_SHEET: practice_sheet(analysis, parts, notes_to_practise(analysis.history, made))}
    files |= {f"{name}.toml": _toml(recipe) for name, recipe in zip(names, made, strict=True)}
    decks = {f"{name}.apkg": recipe for name, recipe in zip(names, made, strict=True)}
    return Writing(files, decks, _OF_FOCUS)


def write(
    folder: Path, writing: Writing, build: Callable[[Recipe, Path], Summary]
) -> Iterator[tuple[Path, Summary | None]]:
    """Write all into a folder, or nothing; yield each file, and what its deck came to where it is one.

    Args:
        folder: where they go; it is made.
        writing: what is to be written.
        build: makes a deck at a path.

    Raises:
        OccupiedError: a file that was not written here lies in the way.
        OutputError: the files cannot be written; what was there is untouched.
    """
    title = next((recipe.deck_title for recipe in writing.decks.values()), "")
    names = [*writing.files, *writing.decks]
    with renewed(folder, names, family=writing.family, title=title) as paths:
        for name, data in writing.files.items():
            paths[name].write_bytes(data)
            yield folder / name, None
        for name, recipe in writing.decks.items():
            yield folder / name, build(recipe, paths[name])


def _toml(recipe: Recipe) -> bytes:
    return marked_recipe(recipe_toml(recipe)).encode()


def _of_check_up(analysis: Analysis, base: Recipe | None) -> Recipe | None:
    """Return the recipe of what a check-up found weak, if there is one."""
    weak = analysis.checkup.weak
    if weak and base is None:
        with suppress(UserError):  # A history of a neck that no recipe has goes without.
            base = base_recipe(analysis.history)
    return recipe_for(analysis.history, base, weak) if weak and base is not None else None
