"""Gather every message into the catalogues and compile them: `.venv/bin/python -m tests.catalogue`.

What is new stands there without a translation, what is gone is left out; fill the file in and run it once more.
"""

import re
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from babel.messages.catalog import Catalog
from babel.messages.extract import extract_from_dir
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

import deckbuilder
from deckbuilder.speech import CODES, DOMAIN, Language

HOUSE = Path(deckbuilder.__file__).parent
KEYWORDS: dict[str, Any] = {"_": None, "marked": None, "plural": (1, 2), "in_context": ((1, "c"), 2)}
"""The functions of `deckbuilder.speech` that take a message, with the places of its parts."""
_FILLED_HERE = {
    "variable_start_string": "[[",
    "variable_end_string": "]]",
    "block_start_string": "[%",
    "block_end_string": "%]",
    "comment_start_string": "[*",
    "comment_end_string": "*]",
}
METHODS = [
    ("deck/templates/**.html", "jinja2"),
    ("deck/templates/**.css", "jinja2"),
    ("**/templates/**.html", "jinja2.ext.babel_extract"),
    ("**/templates/**.js", "jinja2.ext.babel_extract"),
    ("**.py", "python"),
]
OPTIONS = {"deck/templates/**.html": _FILLED_HERE, "deck/templates/**.css": _FILLED_HERE}
PLACE = re.compile(r"\{(\w+)\}|(\[\w+\])")
"""A place in a message for a value; one in brackets is filled in by a script."""


def gathered() -> Catalog:
    """Return every message of the program, with the files that it stands in."""
    found = Catalog(charset="utf-8")
    for file, _line, message, _comments, context in sorted(
        extract_from_dir(HOUSE, method_map=METHODS, options_map=OPTIONS, keywords=KEYWORDS, strip_comment_tags=True),
        key=lambda each: each[:2],
    ):
        found.add(message, locations=[(file, 0)], context=context)
    return found


def po_file(language: Language) -> Path:
    """Return the file that a language is translated in."""
    return HOUSE / "languages" / CODES[language] / "LC_MESSAGES" / f"{DOMAIN}.po"


def catalogue_of(language: Language) -> Catalog:
    """Read what a language is translated in."""
    with po_file(language).open("rb") as stream:
        return read_po(stream, locale=CODES[language], domain=DOMAIN)


def forms(text: str | tuple[str, ...] | list[str] | None) -> Iterator[str]:
    """Yield the forms of a message: one, or one for each plural."""
    yield from [text] if isinstance(text, str) else text or [""]


def main() -> None:
    for language in Language:
        if language is not Language.ENGLISH:
            _write(language)


def _write(language: Language) -> None:
    path = po_file(language)
    if path.exists():
        translated = catalogue_of(language)
    else:
        path.parent.mkdir(parents=True)
        translated = Catalog(locale=CODES[language], charset="utf-8")
    translated.update(gathered(), no_fuzzy_matching=True)
    translated.obsolete.clear()
    translated.fuzzy, translated.header_comment = False, f"# {language.value.capitalize()} words of deckbuilder."
    translated.creation_date = translated.revision_date = datetime(2026, 1, 1, tzinfo=UTC)
    with path.open("wb") as stream:
        write_po(stream, translated, width=120, include_lineno=False, sort_by_file=True)
    with path.with_suffix(".mo").open("wb") as stream:
        write_mo(stream, translated)
    open_ones = [message for message in translated if message.id and not all(forms(message.string))]
    print(f"{path}: {len(translated)} messages, {len(open_ones)} not translated")


if __name__ == "__main__":
    main()
