"""The page: a folder with index.html, its style and script, the cards as data, and their media.

Everything is read from the folder itself, so that the page works without a network or a server and can be sent whole.
"""

import json
import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from importlib.resources import files
from pathlib import Path

from jinja2 import Environment, StrictUndefined

from deckbuilder.cards.note import Note
from deckbuilder.deck.package import CAUTION, PackageError
from deckbuilder.deck.store import StoreError
from deckbuilder.deck.unfinished import finished, sweep
from deckbuilder.preview.cards import AXES, MEDIA, PreviewCard, cards_of, style

_OURS = re.compile(r"(neck|clip)-[0-9a-f]{24}\.(png|mp3)")
"""Names of media that an earlier page may have left."""


def write_page(folder: Path, title: str, notes: Sequence[Note], media: Mapping[str, bytes]) -> Path:
    """Write the page of some notes; an earlier page in the folder is replaced, other files are left alone.

    Args:
        folder: where it goes.
        title: name of the deck.
        notes: the facts, in the order of study.
        media: bytes of every picture and clip by file name; each is asked for once.

    Returns:
        The file to open.

    Raises:
        PackageError: the folder cannot be written.
        StoreError: a medium cannot be read from a store.
    """
    page = folder / "index.html"
    cards = list(cards_of(notes))
    try:
        sweep(folder)
        sweep(folder / MEDIA)
        for name in media:
            if not (folder / MEDIA / name).exists():
                _write(folder / MEDIA / name, media[name])
        _write(folder / "cards.js", _data(cards).encode())
        for name in ("page.css", "page.js"):
            _write(folder / name, _read(name).encode())
        _write(page, _index(title, cards).encode())
        for path in (folder / MEDIA).iterdir():
            if _OURS.fullmatch(path.name) and path.name not in media:
                path.unlink()
    except StoreError:
        raise
    except OSError as error:
        raise PackageError(
            f"{folder}: the page cannot be written ({error.strerror}); name another folder with --out or free the disk"
        ) from error
    return page


def _write(path: Path, data: bytes) -> None:
    with finished(path) as unfinished:
        unfinished.write_bytes(data)


def _index(title: str, cards: Sequence[PreviewCard]) -> str:
    environment = Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True)
    return environment.from_string(_read("index.html")).render(
        title=title, axes=list(_axes(cards)), total=len(cards), caution=CAUTION
    )


def _axes(cards: Sequence[PreviewCard]) -> Iterator[tuple[str, str, list[tuple[str, int]]]]:
    """List the axes on which cards differ, with their values in the order of study and how many cards each has."""
    for axis, label in AXES.items():
        counts = Counter(card.values[axis] for card in cards)
        counts.pop(None, None)
        values = [(value, count) for value, count in counts.items() if value is not None]
        if len(counts) > 1:
            yield axis, label, sorted(values) if axis in ("region", "level") else values


def _data(cards: Sequence[PreviewCard]) -> str:
    """Write the cards as a script, sides that several cards share once."""
    sides: dict[str, int] = {}
    rows = [
        [sides.setdefault(card.front, len(sides)), sides.setdefault(card.back, len(sides)), dict(card.values)]
        for card in cards
    ]
    data = {"style": style(), "sides": list(sides), "cards": rows}
    return f"window.deck = {json.dumps(data, ensure_ascii=False, separators=(',', ':'))};\n"


def _read(name: str) -> str:
    return (files("deckbuilder.preview") / "templates" / name).read_text(encoding="utf-8")
