"""Changes in a recipe: a tune's chords as text (`deckbuilder.theory.changes`), read and checked field by field."""

from typing import Annotated

from pydantic import BeforeValidator, ValidationInfo, field_validator, model_validator

from deckbuilder.cards.note import slug
from deckbuilder.recipe.checks import Table, list_of, listed
from deckbuilder.theory.analysis import analyse
from deckbuilder.theory.changes import SectionText, parse_form
from deckbuilder.theory.forms import Form
from deckbuilder.theory.keys import Key

_Lines = Annotated[
    tuple[str, ...], BeforeValidator(lambda value: list_of([value] if isinstance(value, str) else value))
]
"""One text, or a list of them, one line of bars each."""


class SectionTable(Table):
    """A section of a form."""

    name: str
    key: str = ""
    bars: _Lines

    @field_validator("key")
    @classmethod
    def _known_key(cls, value: str) -> str:
        return Key.parse_either(value).name if value else ""

    @field_validator("bars")
    @classmethod
    def _readable_bars(cls, value: tuple[str, ...], info: ValidationInfo) -> tuple[str, ...]:
        # Whether a text can be read does not depend on the key, so a mistake is told here, beside its bars.
        name = info.data.get("name", "")
        parse_form(name, Key.parse("C"), [SectionText(name, "\n".join(value))])
        return value

    def text(self) -> SectionText:
        """Return the section as the theory reads it."""
        return SectionText(self.name, "\n".join(self.bars), Key.parse_either(self.key) if self.key else None)


class ChangesTable(Table):
    """The changes of a tune: either `bars`, or `sections` with the `order` in which they are played."""

    name: str
    key: str
    transpose: bool = True
    bars: _Lines = ()
    sections: Annotated[tuple[SectionTable, ...], BeforeValidator(list_of)] = ()
    order: Annotated[tuple[str, ...], BeforeValidator(list_of)] = ()

    @field_validator("name")
    @classmethod
    def _plain_name(cls, value: str) -> str:
        if not slug(value) or "::" in value or not value.isprintable():
            raise ValueError("a name is one line of text with letters, without '::', which divides decks from subdecks")
        return value.strip()

    @field_validator("key")
    @classmethod
    def _known_key(cls, value: str) -> str:
        return Key.parse_either(value).name

    @field_validator("bars")
    @classmethod
    def _readable_bars(cls, value: tuple[str, ...], info: ValidationInfo) -> tuple[str, ...]:
        if value and {"name", "key"} <= info.data.keys():
            home = Key.parse_either(info.data["key"])
            analyse(parse_form(info.data["name"], home, [SectionText("", "\n".join(value))]))
        return value

    @field_validator("order")
    @classmethod
    def _known_sections(cls, value: tuple[str, ...], info: ValidationInfo) -> tuple[str, ...]:
        names = [section.name for section in info.data.get("sections", ())]
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
        names = [section.name for section in self.sections]
        if len(set(names)) < len(names):
            raise ValueError(f"two sections of {self.name!r} have the same name; give each its own")
        analyse(self.form())
        return self

    def form(self) -> Form:
        """Return the changes as a form."""
        sections = [section.text() for section in self.sections] or [SectionText("", "\n".join(self.bars))]
        home = Key.parse_either(self.key)
        return parse_form(self.name, home, sections, order=self.order, transposes=self.transpose)
