"""Writers: what a finished deck can be written as, its package among them, and the one way in which it is written.

A *place writer* looks after a file or a folder of its own: the package, the page. A *folder writer* makes some files of
a folder that it may share, called after the deck; it takes the place of an earlier one. What was not written here is
refused before anything is rendered. A further writer is a module, and a line in `WRITERS`.
"""

import os
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from pathlib import Path
from typing import Protocol, runtime_checkable

from deckbuilder.cards.note import Note
from deckbuilder.deck.store import StoreError
from deckbuilder.deck.unfinished import finished_folder, is_folder, refuse
from deckbuilder.errors import UserError, failure_told
from deckbuilder.medium import described_by
from deckbuilder.registry import Registry

WRITERS: Registry[str, str] = Registry(
    "format",
    {
        "apkg": "deckbuilder.deck.apkg:APKG",
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

DEFAULT_FORMATS = ("apkg",)
"""What is written where none is named."""

MEDIA = "media"
"""Folder of the pictures and clips in a writer's folder."""


class PackageError(UserError, OSError):
    """What a deck is written as cannot be written."""


@dataclass(frozen=True, slots=True)
class Deck:
    """A finished deck.

    Args:
        title: its name.
        notes: its notes, in the order of study.
        media: bytes of every picture and clip by file name; each is asked for once.
        timestamp: s since 1970; importers update notes whose stamp is newer than what they have.
        new_limit: new cards a day that it is meant for; None for what the player's app has.
    """

    title: str
    notes: Sequence[Note]
    media: Mapping[str, bytes]
    timestamp: float
    new_limit: int | None = None


@runtime_checkable
class PlaceWriter(Protocol):
    """What writes a deck into a place of its own, a file or a folder, and knows what may lie there."""

    @property
    def ending(self) -> str:
        """What the place's name has after the deck's: `.apkg`, `-preview`."""

    def refuse(self, path: Path, title: str) -> None:
        """Refuse to take the place of what is none of its making, or of another deck.

        Raises:
            OccupiedError: such a thing is there, or that cannot be seen.
        """

    def write(self, path: Path, deck: Deck) -> None:
        """Write beside the place and put it there when it is whole.

        Raises:
            PackageError: it cannot be written; what was there before is untouched.
            StoreError: a medium cannot be read from a store.
        """


class FolderWriter(Protocol):
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


Writer = PlaceWriter | FolderWriter


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


def places(target: Path, formats: Sequence[str]) -> tuple[dict[Path, PlaceWriter], dict[Path, list[FolderWriter]]]:
    """Return the places and the shared folders that some formats are written into, each with its writer or writers.

    Args:
        target: the deck's file, beside which all lie.
        formats: names of formats.
    """
    own: dict[Path, PlaceWriter] = {}
    folders: dict[Path, list[FolderWriter]] = {}
    for made in map(writer, dict.fromkeys(formats)):
        if isinstance(made, PlaceWriter):
            own[target.with_name(f"{target.stem}{made.ending}")] = made
        else:
            folders.setdefault(target.with_name(f"{target.stem}{made.suffix}"), []).append(made)
    return own, folders


def refuse_foreign(target: Path, formats: Sequence[str], title: str) -> None:
    """Refuse to write where something lies that no writer made, or that belongs to another deck.

    Args:
        target: the deck's file.
        formats: names of formats.
        title: name of the deck.

    Raises:
        OccupiedError: a place is taken, holds what was not written here, or cannot be seen.
    """
    own, folders = places(target, formats)
    for path, made in own.items():
        made.refuse(path, title)
    for folder, writers in folders.items():
        reason = "what is written here takes the place of the whole folder, and this is no part of it"
        refuse(_foreign(folder, writers[0].suffix), folder, reason)


def _foreign(folder: Path, suffix: str) -> Iterator[Path]:
    if not is_folder(folder):
        if os.path.lexists(folder):
            yield folder
        return
    every = (made for made in map(writer, WRITERS) if not isinstance(made, PlaceWriter))
    family = [made for made in every if made.suffix == suffix]
    for path in sorted(folder.iterdir()):
        if path.name == MEDIA and is_folder(path):
            yield from (kept for kept in sorted(path.iterdir()) if not (described_by(kept.name) and kept.is_file()))
        elif not (path.is_file() and any(made.owns(path.name) for made in family)):
            yield path


def write_all(target: Path, formats: Sequence[str], deck: Deck) -> tuple[Path, ...]:
    """Write a deck in some formats, each beside its place, and put it there when it is whole.

    Args:
        target: the deck's file.
        formats: names of formats.
        deck: the deck.

    Returns:
        The files and folders.

    Raises:
        OccupiedError: something else lies there.
        PackageError: a file or a folder cannot be written; what was there before is untouched.
        ExtensionError: a writer is an extension's, and fails.
        StoreError: a medium cannot be read from a store.
    """
    refuse_foreign(target, formats, deck.title)
    own, folders = places(target, formats)
    for path, made in own.items():
        with failure_told(type(made).__module__, f"what writes {path.name}"):
            made.write(path, deck)
    for folder, writers in folders.items():
        _write_folder(folder, writers, deck)
    return (*own, *folders)


def _write_folder(folder: Path, writers: Sequence[FolderWriter], deck: Deck) -> None:
    try:
        with finished_folder(folder) as unfinished:
            if any(one.with_media for one in writers):
                (unfinished / MEDIA).mkdir()
                for name, data in deck.media.items():
                    (unfinished / MEDIA / name).write_bytes(data)
            for one in writers:
                with failure_told(type(one).__module__, f"what writes into {folder.name}"):
                    one.write(unfinished, deck)
    except StoreError:
        raise
    except OSError as error:
        raise PackageError(
            f"{folder}: this folder cannot be written ({error.strerror}); free the disk or name another --out"
        ) from error
