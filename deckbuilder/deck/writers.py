"""Writers: what a finished deck can be written as beside its package, and the one way in which all of it is written.

A writer makes some files of a folder that lies beside the deck and is called after it. A folder takes the
place of an earlier one; what lies there and was not written here is refused before anything is rendered. A further
writer is a module, and a line in `WRITERS`.
"""

import os
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from pathlib import Path
from typing import Protocol

from deckbuilder.cards.note import Note
from deckbuilder.deck.package import PackageError
from deckbuilder.deck.store import StoreError
from deckbuilder.deck.unfinished import finished_folder, is_folder, refuse
from deckbuilder.medium import described_by
from deckbuilder.registry import Registry

WRITERS: Registry[str, str] = Registry(
    "format",
    {
        "csv": "deckbuilder.deck.tables:CSV",
        "tsv": "deckbuilder.deck.tables:TSV",
        "jsonl": "deckbuilder.deck.tables:JSONL",
        "musicxml": "deckbuilder.deck.openformats:MUSICXML",
        "midi": "deckbuilder.deck.openformats:MIDI",
        "tracks": "deckbuilder.deck.openformats:TRACKS",
        "page": "deckbuilder.preview.page:PAGE",
    },
)
"""Every writer by the name of its format, as module and object; loaded when it is asked for."""

MEDIA = "media"
"""Folder of the pictures and clips in a writer's folder."""


@dataclass(frozen=True, slots=True)
class Deck:
    """A finished deck.

    Args:
        title: its name.
        notes: its notes, in the order of study.
        media: bytes of every picture and clip by file name; each is asked for once.
        timestamp: s since 1970; importers update notes whose stamp is newer than what they have.
    """

    title: str
    notes: Sequence[Note]
    media: Mapping[str, bytes]
    timestamp: float


class Writer(Protocol):
    """What writes a deck into a folder of its own, or that it shares with others of the same `suffix`."""

    @property
    def suffix(self) -> str:
        """What the folder's name has after the deck's: `-tables`."""

    @property
    def with_media(self) -> bool:
        """Whether the folder has the pictures and clips too."""

    def owns(self, name: str) -> bool:
        """Tell whether a file of the folder is of its making, by its name."""

    def write(self, folder: Path, deck: Deck) -> None:
        """Write the deck into an empty folder.

        Raises:
            OSError: the folder cannot be written.
        """


@cache
def writer(name: str) -> Writer:
    """Return a writer by the name of its format.

    Raises:
        KeyError: there is none.
    """
    return load_writer(WRITERS[name])


def load_writer(place: str) -> Writer:
    """Return a writer by its place, module and object: `deckbuilder.preview.page:PAGE`."""
    module, _, attribute = place.partition(":")
    found: Writer = getattr(import_module(module), attribute)
    return found


def folders(target: Path, formats: Sequence[str]) -> dict[Path, list[Writer]]:
    """Return the folders that some formats are written into, each with its writers.

    Args:
        target: the deck's file, beside which they lie.
        formats: names of formats.
    """
    found: dict[Path, list[Writer]] = {}
    for name in dict.fromkeys(formats):
        made = writer(name)
        found.setdefault(target.with_name(f"{target.stem}{made.suffix}"), []).append(made)
    return found


def refuse_foreign(target: Path, formats: Sequence[str]) -> None:
    """Refuse to write where something lies that no writer made, since all there is replaced.

    Args:
        target: the deck's file.
        formats: names of formats.

    Raises:
        OccupiedError: a place is no folder, or holds what was not written here, or that cannot be seen.
    """
    for folder, writers in folders(target, formats).items():
        reason = "what is written here takes the place of the whole folder, and this is no part of it"
        refuse(_foreign(folder, writers[0].suffix), folder, reason)


def _foreign(folder: Path, suffix: str) -> Iterator[Path]:
    if not is_folder(folder):
        if os.path.lexists(folder):
            yield folder
        return
    family = [made for made in map(writer, WRITERS) if made.suffix == suffix]
    for path in sorted(folder.iterdir()):
        if path.name == MEDIA and is_folder(path):
            yield from (kept for kept in sorted(path.iterdir()) if not (described_by(kept.name) and kept.is_file()))
        elif not (path.is_file() and any(made.owns(path.name) for made in family)):
            yield path


def write_folders(target: Path, formats: Sequence[str], deck: Deck) -> tuple[Path, ...]:
    """Write a deck in some formats, each folder beside its place, and put it there when it is whole.

    Args:
        target: the deck's file.
        formats: names of formats.
        deck: the deck.

    Returns:
        The folders.

    Raises:
        OccupiedError: something else lies there.
        PackageError: a folder cannot be written; what was there before is untouched.
        StoreError: a medium cannot be read from a store.
    """
    refuse_foreign(target, formats)
    made = folders(target, formats)
    for folder, writers in made.items():
        try:
            with finished_folder(folder) as unfinished:
                if any(one.with_media for one in writers):
                    (unfinished / MEDIA).mkdir()
                    for name, data in deck.media.items():
                        (unfinished / MEDIA / name).write_bytes(data)
                for one in writers:
                    one.write(unfinished, deck)
        except StoreError:
            raise
        except OSError as error:
            raise PackageError(
                f"{folder}: this folder cannot be written ({error.strerror}); free the disk or name another --out"
            ) from error
    return tuple(made)
