"""The page: a folder with index.html, its style and script, the cards as data, and their media.

Everything is read from the folder itself, so that the page works without a network or a server and can be sent whole.
"""

import json
import os
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from importlib.resources import files
from pathlib import Path

from markupsafe import escape

from deckbuilder.cards.naming import names_told
from deckbuilder.cards.note import Note
from deckbuilder.deck.marks import MARKS
from deckbuilder.deck.notetypes import style
from deckbuilder.deck.package import CAUTION
from deckbuilder.deck.store import StoreError
from deckbuilder.deck.unfinished import finished, finished_together, left_as_it_was, refuse, sweep
from deckbuilder.deck.writers import MEDIA, Deck, PackageError
from deckbuilder.medium import described_by
from deckbuilder.pages import environment
from deckbuilder.preview.cards import AXES, PreviewCard, cards_of
from deckbuilder.speech import _, plural, translate

INDEX, _CARDS, _STYLE = "index.html", "cards.js", "card.css"
_SAME = ("page.css", "page.js")
"""Files that every page has alike."""
_MARK = MARKS[".html"]
_SCRIPT = b'<script src="cards.js">'
_OPENING = 'window.deck = {"style":'
"""How the cards of every page begin; the first pages had no mark in their index."""
_LINKING = f'{_OPENING}"{_STYLE}"'
"""The same where their style is a file."""
_SHOWN = re.compile(rf'(?:src|data-clip)=\\"{MEDIA}/([^"\\]+)\\"')
"""A medium that a page's cards show."""


def refuse_foreign(folder: Path) -> None:
    """Refuse a folder where the page would replace files that are no earlier page.

    Args:
        folder: where the page is to go.

    Raises:
        OccupiedError: there are such files, or that cannot be seen.
    """
    refuse(_foreign(folder), folder, "this is of no earlier preview, and would be lost")


def refuse_another(folder: Path, title: str) -> None:
    """Refuse a folder that holds the page of a deck with another title.

    Args:
        folder: where the page is to go.
        title: name of the deck.

    Raises:
        OccupiedError: there is such a page, or that cannot be seen.
    """
    heading = f"<h1>{escape(title)}</h1>".encode()
    pages = (path for path in [folder / INDEX] if path.is_file() and heading not in path.read_bytes())
    refuse(pages, folder, f"this is the page of another deck, and “{title}” would take its place")


def _foreign(folder: Path) -> Iterator[Path]:
    """Yield what lies in the page's way: what is no file, and files that no page of ours has."""
    cards, index = folder / _CARDS, folder / INDEX
    our_cards = _read_bytes(cards, len(_OPENING)) == _OPENING.encode()
    text = _read_bytes(index)
    our_index = _MARK in text or (_SCRIPT in text and our_cards)
    others = dict.fromkeys(_SAME, our_cards or our_index)
    # The first pages had the style of their cards within.
    our_style = _read_bytes(cards, len(_LINKING)) == _LINKING.encode() if our_cards else our_index
    for name, ours in {_CARDS: our_cards, INDEX: our_index, _STYLE: our_style, **others}.items():
        path = folder / name
        if os.path.lexists(path) and not (ours and path.is_file()):
            yield path
    media = folder / MEDIA
    if os.path.lexists(media) and not media.is_dir():
        yield media


def _read_bytes(path: Path, most: int = -1) -> bytes:
    """Return a file's first bytes, none where there is no file."""
    if not path.is_file():
        return b""
    with path.open("rb") as file:
        return file.read(most)


def write_page(folder: Path, title: str, notes: Sequence[Note], media: Mapping[str, bytes]) -> Path:
    """Write the page of some notes; an earlier page in the folder is replaced, other files are left alone.

    Where writing fails, the folder is as it was.

    Args:
        folder: where it goes.
        title: name of the deck.
        notes: the facts, in the order of study.
        media: bytes of every picture and clip by file name; each that a card shows is asked for once.

    Returns:
        The file to open.

    Raises:
        OccupiedError: other files are in the page's way.
        PackageError: the folder cannot be written.
        StoreError: a medium cannot be read from a store.
    """
    refuse_foreign(folder)
    texts = page_texts(title, notes)
    shown = _shown(texts[_CARDS])
    try:
        sweep(folder)
        sweep(folder / MEDIA)
        formerly = _shown(_read_bytes(folder / _CARDS).decode(errors="replace"))
        with (
            left_as_it_was(folder / MEDIA),
            _media_written(folder / MEDIA, shown, media),
            finished_together([folder / name for name in texts]) as unfinished,
        ):
            for path, text in zip(unfinished, texts.values(), strict=True):
                path.write_bytes(text.encode())
    except StoreError:
        raise
    except OSError as error:
        raise PackageError(
            f"{folder}: the page cannot be written ({error.strerror}); name another folder with --out or free the disk"
        ) from error
    for name in formerly - shown:
        with suppress(OSError):  # the page is whole without it
            (folder / MEDIA / name).unlink()
    return folder / INDEX


def page_texts(title: str, notes: Sequence[Note]) -> dict[str, str]:
    """Return the files of the page by their names, its media apart.

    Args:
        title: name of the deck.
        notes: the facts, in the order of study.
    """
    cards = list(cards_of(notes))
    same = {name: _read(name) for name in _SAME}
    return {_CARDS: _data(cards), _STYLE: f"{style()}\n{_read('frame.css')}", **same, INDEX: _index(title, cards)}


class _Page:
    """The page as a format: by `preview` and beside a deck it is written alike."""

    ending = "-preview"

    def refuse(self, path: Path, title: str) -> None:
        """Refuse a folder in which the page would replace what is no earlier page of this deck."""
        refuse_foreign(path)
        refuse_another(path, title)

    def write(self, path: Path, deck: Deck) -> None:
        """Write the page into its folder."""
        write_page(path, deck.title, deck.notes, deck.media)


PAGE = _Page()


def _shown(cards: str) -> set[str]:
    """Return the names of the media that a page's cards show."""
    return {name for name in _SHOWN.findall(cards) if described_by(name)}


@contextmanager
def _media_written(folder: Path, names: Iterable[str], media: Mapping[str, bytes]) -> Iterator[None]:
    """Write media that are not there or are damaged; where that or the block fails, take the new ones away again."""
    added: list[Path] = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name in sorted(names):
            path, data = folder / name, media[name]
            if not path.exists():
                added.append(path)
            elif _holds(path, data):
                continue
            with finished(path) as unfinished:
                unfinished.write_bytes(data)
        yield
    except BaseException:
        for path in added:
            path.unlink(missing_ok=True)
        raise


def _holds(path: Path, data: bytes) -> bool:
    return path.stat().st_size == len(data) and path.read_bytes() == data


def _index(title: str, cards: Sequence[PreviewCard]) -> str:
    return (
        environment("deckbuilder.preview")
        .get_template(INDEX)
        .render(
            title=title,
            axes=list(_axes(cards)),
            total=len(cards),
            caution=translate(CAUTION),
            names=names_told(),
        )
    )


def _axes(cards: Sequence[PreviewCard]) -> Iterator[tuple[str, str, list[tuple[str, int]]]]:
    """List the axes on which cards differ, with their values in the order of study and how many cards each has."""
    for axis, label in AXES.items():
        counts = Counter(card.values[axis] for card in cards)
        counts.pop(None, None)
        values = [(value, count) for value, count in counts.items() if value is not None]
        if len(counts) > 1:
            yield axis, translate(label), sorted(values) if axis in ("region", "level") else values


def _data(cards: Sequence[PreviewCard]) -> str:
    """Write the cards as a script, sides that several cards share once."""
    sides: dict[str, int] = {}
    rows = [
        [sides.setdefault(card.front, len(sides)), sides.setdefault(card.back, len(sides)), dict(card.values)]
        for card in cards
    ]
    data = {"style": _STYLE, "words": _words(), "sides": list(sides), "cards": rows}
    return f"window.deck = {json.dumps(data, ensure_ascii=False, separators=(',', ':'))};\n"


def _words() -> dict[str, str]:
    """Return what the script says, with places that it fills in."""
    return {
        "card": _("Card {number} · {kind}", number="{number}", kind="{kind}"),
        "answer": _("Show the answer"),
        "question": _("Back to the question"),
        "none": _("No card fits: take a filter away"),
        "page": _("Cards {first} to {last} of {count}", first="{first}", last="{last}", count="{count}"),
        "one": plural("{count} card", "{count} cards", 1),
        "many": _("{count} cards", count="{count}"),
        "chosen": _("{count} chosen", count="{count}"),
    }


def _read(name: str) -> str:
    return (files("deckbuilder.preview") / "templates" / name).read_text(encoding="utf-8")
