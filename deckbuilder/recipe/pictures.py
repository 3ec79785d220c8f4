"""The table of pictures in a recipe, checked."""

from dataclasses import dataclass
from typing import Annotated

from deckbuilder.cards.choices import Pictures
from deckbuilder.picture.description import Ground, Size
from deckbuilder.recipe.checks import one_of
from deckbuilder.recipe.table import CheckedTable


@dataclass(frozen=True)
class CheckedPictures(CheckedTable, Pictures):
    """How pictures of the neck look."""

    PLAIN = Pictures

    ground: Annotated[Ground, one_of(Ground)]
    size: Annotated[Size, one_of(Size)]
