"""Changes in a recipe: a tune's chords as text (`deckbuilder.theory.changes`), read and checked field by field."""

from collections.abc import Iterable
from typing import Annotated

from pydantic import BeforeValidator, Field, ValidationInfo, field_validator, model_validator

from deckbuilder.cards.note import slug
from deckbuilder.recipe.checks import Table, cut, deck_word, list_of, listed, one_line
from deckbuilder.theory.analysis import analyse
from deckbuilder.theory.changes import SectionText, parse_form
from deckbuilder.theory.forms import Form
from deckbuilder.theory.keys import Key

_Lines = Annotated[
    tuple[str, ...], BeforeValidator(lambda value: list_of([value] if isinstance(value, str) else value))
]
"""One text, or a list of them, one line of bars each."""


def told_apart(names: Iterable[str], two: str) -> None:
    """Refuse names that are the same, or the same in ids.

    Args:
        names: what the parts of something are called.
        two: what a pair of them is called in an error.

    Raises:
        ValueError: two names make one; the message says which.
    """
    found: dict[str, str] = {}
    for name in names:
        other = found.get(slug(name))
        if other == name:
            raise ValueError(f"{two} have the same name; give each its own")
        if other is not None:
            raise ValueError(f"{two} have names that differ in no letter or digit, {other!r} and {name!r}; add one")
        found[slug(name)] = name


class SectionTable(Table):
    """A section of a form."""

    name: Annotated[str, Field(examples=["A"])]
    key: str = ""
    bars: Annotated[_Lines, Field(examples=[["| ii7 | V7 | Imaj7 |"]])]

    @field_validator("name")
    @classmethod
    def _plain_name(cls, value: str) -> str:
        return one_line(value, "a section's name")

    @field_validator("key")
    @classmethod
    def _known_key(cls, value: str) -> str:
        return Key.parse_either(value).name if value else ""

    @field_validator("bars")
    @classmethod
    def _readable_bars(cls, value: tuple[str, ...], info: ValidationInfo) -> tuple[str, ...]:
        # Whether a text can be read does not depend on the key, so a mistake is told here, beside its bars.
        name = info.data.get("name", "")
        parse_form(cut(name), Key.parse("C"), [SectionText(name, "\n".join(value))])
        return value

    def text(self) -> SectionText:
        """Return the section as the theory reads it."""
        return SectionText(self.name, "\n".join(self.bars), Key.parse_either(self.key) if self.key else None)


class ChangesTable(Table):
    """The changes of a tune: either `bars`, or `sections` with the `order` in which they are played."""

    name: Annotated[str, Field(examples=["My blues"])]
    key: Annotated[str, Field(examples=["F"])]
    transpose: bool = True
    bars: _Lines = ()
    sections: Annotated[tuple[SectionTable, ...], BeforeValidator(list_of)] = ()
    order: Annotated[tuple[str, ...], BeforeValidator(list_of)] = ()

    @field_validator("name")
    @classmethod
    def _plain_name(cls, value: str) -> str:
        name = deck_word(value, "a name")
        if not slug(name):
            raise ValueError("a name needs a letter or a digit, by which its cards are told from others")
        return name

    @field_validator("key")
    @classmethod
    def _known_key(cls, value: str) -> str:
        return Key.parse_either(value).name

    @field_validator("bars")
    @classmethod
    def _readable_bars(cls, value: tuple[str, ...], info: ValidationInfo) -> tuple[str, ...]:
        if value and {"name", "key"} <= info.data.keys():
            home = Key.parse_either(info.data["key"])
            analyse(parse_form(cut(info.data["name"]), home, [SectionText("", "\n".join(value))]))
        return value

    @field_validator("order")
    @classmethod
    def _known_sections(cls, value: tuple[str, ...], info: ValidationInfo) -> tuple[str, ...]:
        if "sections" not in info.data:
            return value
        names = [section.name for section in info.data["sections"]]
        for name in value:
            if name not in names:
                raise ValueError(
                    f"there is no section {name!r}; choose from {listed(names) or 'the sections you name'}"
                )
        return value

    @model_validator(mode="after")
    def _one_form(self) -> "ChangesTable":
        if bool(self.bars) == bool(self.sections):
            raise ValueError(f"{self.name!r} needs either bars or sections, such as bars = ['| ii7 | V7 | Imaj7 |']")
        told_apart([section.name for section in self.sections], f"two sections of {self.name!r}")
        analyse(self.form())
        return self

    def form(self) -> Form:
        """Return the changes as a form."""
        sections = [section.text() for section in self.sections] or [SectionText("", "\n".join(self.bars))]
        home = Key.parse_either(self.key)
        return parse_form(self.name, home, sections, order=self.order, transposes=self.transpose)
