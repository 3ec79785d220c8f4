"""A tune of the player's own in a recipe: its changes as they are written there, tones with their English names."""

from dataclasses import dataclass
from functools import cached_property

from deckbuilder.speech import Speech, speaking
from deckbuilder.theory.changes import SectionText, parse_form
from deckbuilder.theory.forms import Form
from deckbuilder.theory.keys import Key


@dataclass(frozen=True)
class TuneSection:
    """A section of a tune.

    Args:
        name: what it is called.
        bars: its bars as text, line by line.
        key: the key it stands in; empty for the tune's.
    """

    name: str
    bars: tuple[str, ...]
    key: str = ""

    @property
    def text(self) -> SectionText:
        """The section as the theory reads it."""
        return SectionText(self.name, "\n".join(self.bars), Key.parse_either(self.key) if self.key else None)


@dataclass(frozen=True)
class Tune:
    """The changes of a tune: either `bars`, or `sections` with the `order` in which they are played.

    Args:
        name: what the player calls it.
        key: the key it is written in.
        transpose: whether it is studied in every key of the recipe.
        bars: its bars as text, line by line.
        sections: its sections.
        order: names of sections in the order in which they are played; empty for the order of `sections`.
    """

    name: str
    key: str
    transpose: bool = True
    bars: tuple[str, ...] = ()
    sections: tuple[TuneSection, ...] = ()
    order: tuple[str, ...] = ()

    @cached_property
    def form(self) -> Form:
        """The changes as a form."""
        sections = [section.text for section in self.sections] or [SectionText("", "\n".join(self.bars))]
        home = Key.parse_either(self.key)
        with speaking(Speech()):
            return parse_form(self.name, home, sections, order=self.order, transposes=self.transpose)
