"""Reading TOML: a file's fields, or what it is that keeps them from being read.

Whatever a file holds is read in a moment: no more of it than a recipe can need, and no dotted key over which the reader
of TOML would brood, since it takes the square of the key's length.
"""

import re
import sys
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from deckbuilder.errors import UserError
from deckbuilder.inputs import InputError, read_input
from deckbuilder.recipe.checks import cut, shown_key

MOST_BYTES = 1 << 20
"""Bytes of a recipe; the longest here have some thousands."""
MOST_ENTRIES = 1000
"""Entries of a list or a table: more keys or bars than anybody studies."""
MOST_TABLES = 100
"""Tables in a list: tunes, or sections of one."""
LONGEST_TEXT = 20_000
"""Characters of a text: 200 bars of the longest chord symbols stay below."""
_DEEPEST = 20
"""Dots of a dotted key; the tables of a recipe lie two deep."""

_REMEDY = "name a recipe's file or one that is included, such as blues, or none for the default deck"
NOT_THAT_DEEP = "a recipe has lists of tables in tables at most"

_NO_KEY = re.compile(
    r'"""(?:\\.|[^\\])*?(?:"""|\Z)' r"|'''.*?(?:'''|\Z)" r'|"(?:\\.|[^"\\\n])*+"?' r"|'[^'\n]*+'?" r"|#[^\n]*+",
    re.DOTALL,
)
"""Texts in quotes, ended or not, and comments: dots in them divide no key. Every branch matches where it begins."""
_BETWEEN_KEYS = re.compile(r"[\n=,{}\[\]]")


@dataclass(frozen=True, slots=True)
class Mistake:
    """What is wrong with one field.

    Args:
        where: the field's keys from the outermost table in; tables of a list by their number from 0.
        text: what is wrong and the remedy, without the field's name.
    """

    where: tuple[int | str, ...]
    text: str


class RecipeError(UserError, ValueError):
    """A recipe that cannot be built.

    Args:
        lines: what is told; each line names file, key, value and remedy.
        mistakes: the same by fields, as far as it is about some.
    """

    def __init__(self, *lines: str, mistakes: Sequence[Mistake] = ()) -> None:
        super().__init__(*lines)
        self.mistakes = tuple(mistakes)


def read_toml(path: Path, remedy: str | None = None) -> dict[str, Any]:
    """Read a recipe's file.

    Args:
        path: the file.
        remedy: what to do where it cannot be read, to end the message; None for what is right for most.

    Raises:
        RecipeError: it cannot be read, is no text, is no TOML, or holds more than a recipe can.
    """
    try:
        data = read_input(path, MOST_BYTES, remedy or _REMEDY)
    except InputError as error:
        raise RecipeError(*error.lines) from None
    return parse_toml(data, str(path))


def parse_toml(data: bytes, name: str) -> dict[str, Any]:
    """Read a recipe's bytes.

    Args:
        data: what its file holds.
        name: what errors call it.

    Raises:
        RecipeError: this is no text, is no TOML, or holds more than a recipe can.
    """
    text = _text(data, name)
    try:
        fields = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise RecipeError(f"{name}: this is not TOML: {error}{_text_remedy(text, str(error))}") from None
    except RecursionError:
        raise RecipeError(f"{name}: this is not TOML: too many brackets in each other; {NOT_THAT_DEEP}") from None
    except ValueError:
        # Python reads no number of more digits than this.
        longest = sys.get_int_max_str_digits()
        raise RecipeError(f"{name}: this is not TOML: a number of over {longest} digits; write a shorter one") from None
    return fields


_WHERE = re.compile(r"at line (\d+), column (\d+)")
_WORD = re.compile(r"[^\W\d_][\w#♭♯-]*")
_CURLY = "“”„‟‘’‚«»"


def _text_remedy(text: str, error: str) -> str:
    """Return what to do where a text is not in straight quotes; empty where something else is wrong."""
    found = _WHERE.search(error)
    if found is None:
        return ""
    rest = text.split("\n")[int(found[1]) - 1][int(found[2]) - 1 :]
    word = _WORD.match(rest)
    if rest[:1] and rest[0] in _CURLY:
        return f'; {rest[0]} is a typographic quote: write straight ones, "F"'
    return f'; a text stands in quotes: write "{cut(word[0])}"' if word else ""


def refuse_endless(value: object, name: str, key: str = "") -> None:
    """Refuse lists, tables and texts that are longer than a recipe can need, before any of their members is looked at.

    Args:
        value: what is given.
        name: what errors call the recipe.
        key: where in the recipe it is given, as TOML writes it.

    Raises:
        RecipeError: something is too long.
        RecursionError: it lies too deep in itself.
    """
    where = f"{name}: {key}" if key else name
    if isinstance(value, str) and len(value) > LONGEST_TEXT:
        raise RecipeError(f"{where}: a text of {len(value):,} characters; write at most {LONGEST_TEXT:,}")
    if not isinstance(value, list | tuple | Mapping):
        return
    what, most = ("table" if isinstance(value, Mapping) else "list"), MOST_ENTRIES
    if what == "list" and any(isinstance(one, Mapping) for one in value):
        what, most = "list of tables", MOST_TABLES
    if len(value) > most:
        raise RecipeError(f"{where}: a {what} of {len(value):,} entries; give at most {most:,}")
    members = value.items() if isinstance(value, Mapping) else ((None, member) for member in value)
    for part, member in members:
        refuse_endless(member, name, key if part is None else f"{key}.{shown_key(part)}".lstrip("."))


def _text(data: bytes, name: str) -> str:
    """Return the text of some bytes, its lines ended as TOML ends them."""
    try:
        # Editors on Windows begin a file with a byte order mark.
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise RecipeError(f"{name}: this is not a text file in UTF-8; have your editor save it as UTF-8") from None
    text = text.replace("\r\n", "\n")
    if "\r" in text:
        line = text[: text.index("\r")].count("\n") + 1
        raise RecipeError(
            f"{name}: line {line} ends as lines of the classic Mac do (CR alone), which TOML does not know; "
            "save the file with line ends LF or CR LF"
        )
    for part in _BETWEEN_KEYS.split(_NO_KEY.sub('""', text)):
        if part.count(".") > _DEEPEST:
            raise RecipeError(f"{name}: this is not a recipe: a key of {part.count('.') + 1:,} parts; {NOT_THAT_DEEP}")
    return text
