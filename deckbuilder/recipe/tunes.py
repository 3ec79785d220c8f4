"""The tables of own changes in a recipe, checked: bars that can be read, each mistake beside its own."""

from dataclasses import dataclass
from typing import Annotated, ClassVar

from pydantic import AfterValidator, BeforeValidator, StrictBool, StrictStr, ValidationInfo

from deckbuilder.cards.slug import slug
from deckbuilder.cards.tunes import Tune, TuneSection
from deckbuilder.recipe.checks import check_distinct, cut, deck_word, one_line
from deckbuilder.recipe.table import CheckedTable
from deckbuilder.speech import Names, current
from deckbuilder.suggestions import remedy
from deckbuilder.theory.analysis import analyse
from deckbuilder.theory.changes import SectionText, parse_form
from deckbuilder.theory.keys import Key
from deckbuilder.theory.renaming import renamed


def _lines(value: object) -> object:
    """Take one text, or a list of them, one line of bars each."""
    return (value,) if isinstance(value, str) else value


def _key_name(value: str) -> str:
    return Key.read(value).name if value else ""


def _in_english(value: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(renamed(line, current().names, Names.ENGLISH) for line in value)


def _section_name(value: str) -> str:
    return one_line(value, "a section's name")


def _readable_section(value: tuple[str, ...], info: ValidationInfo) -> tuple[str, ...]:
    # Whether a text can be read does not depend on the key, so a mistake is told here, beside its bars.
    name = info.data.get("name", "")
    parse_form(cut(name), Key.parse("C"), [SectionText(name, "\n".join(value))])
    return value


@dataclass(frozen=True)
class CheckedSection(CheckedTable, TuneSection):
    """A section of a tune."""

    PLAIN = TuneSection
    EXAMPLES: ClassVar = {"name": "A", "bars": ["| ii7 | V7 | Imaj7 |"]}

    name: Annotated[StrictStr, AfterValidator(_section_name)]
    bars: Annotated[
        tuple[StrictStr, ...], BeforeValidator(_lines), AfterValidator(_readable_section), AfterValidator(_in_english)
    ]
    key: Annotated[StrictStr, AfterValidator(_key_name)]


def _tune_name(value: str) -> str:
    name = deck_word(value, "a name")
    if not slug(name):
        raise ValueError("a name needs a letter or a digit, by which its cards are told from others")
    return name


def _readable_bars(value: tuple[str, ...], info: ValidationInfo) -> tuple[str, ...]:
    if value and {"name", "key"} <= info.data.keys():
        home = Key.parse_either(info.data["key"])
        analyse(parse_form(cut(info.data["name"]), home, [SectionText("", "\n".join(value))]))
    return value


def _known_sections(value: tuple[str, ...], info: ValidationInfo) -> tuple[str, ...]:
    if "sections" in info.data:
        names = [section.name for section in info.data["sections"]]
        for name in value:
            if name not in names:
                raise ValueError(
                    f"there is no section {name!r}; {remedy(name, names) if names else 'name it among the sections'}"
                )
    return value


@dataclass(frozen=True)
class CheckedTune(CheckedTable, Tune):
    """The changes of a tune."""

    PLAIN = Tune
    EXAMPLES: ClassVar = {"name": "My blues", "key": "F"}

    name: Annotated[StrictStr, AfterValidator(_tune_name)]
    key: Annotated[StrictStr, AfterValidator(lambda value: Key.read(value).name)]
    transpose: StrictBool
    bars: Annotated[
        tuple[StrictStr, ...], BeforeValidator(_lines), AfterValidator(_readable_bars), AfterValidator(_in_english)
    ]
    sections: tuple[CheckedSection, ...]
    order: Annotated[tuple[StrictStr, ...], AfterValidator(_known_sections)]

    def check(self) -> None:
        """Refuse a tune without bars, with both bars and sections, or whose chords cannot be read."""
        if bool(self.bars) == bool(self.sections):
            raise ValueError(f"{self.name!r} needs either bars or sections, such as bars = ['| ii7 | V7 | Imaj7 |']")
        check_distinct([section.name for section in self.sections], f"two sections of {self.name!r}")
        analyse(self.form)
