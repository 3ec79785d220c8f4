"""Pages: what fills the templates of HTML pages. All that is put in is escaped, and what is missing is an error."""

from functools import cache
from typing import TYPE_CHECKING

from deckbuilder.speech import _, code, number, plural

if TYPE_CHECKING:
    from jinja2 import Environment


@cache
def environment(*packages: str) -> "Environment":
    """Return what fills the templates of some packages.

    Args:
        packages: their names; each has a folder `templates`, and the first that has a template gives it.
    """
    from jinja2 import ChoiceLoader, Environment, PackageLoader, StrictUndefined

    made = Environment(
        loader=ChoiceLoader([PackageLoader(package) for package in packages]),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.globals.update(_=_, plural=plural, number=number, code=code)
    return made
