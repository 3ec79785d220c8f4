"""Histories: study histories that a page brings, what is said of them, and what works on their weak places.

A file is streamed into a folder for temporary files, read, and removed at once: only what is ours in it stays, in
memory, for as long as the desk is open.
"""

import asyncio
import secrets
import tempfile
import time
from collections import OrderedDict
from collections.abc import AsyncIterator, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from functools import cached_property
from pathlib import Path, PurePath
from threading import Lock

from starlette.concurrency import run_in_threadpool

from deckbuilder.deck.unfinished import left_as_it_was, owned, sweep_owned
from deckbuilder.desk.building import Built, Job, Watch
from deckbuilder.desk.media import DRAWING
from deckbuilder.errors import UserError
from deckbuilder.printable import printable
from deckbuilder.progress.analysis import Analysis, analyse
from deckbuilder.progress.archive import HistoryError
from deckbuilder.progress.focus import base_recipe, notes_to_practise
from deckbuilder.progress.history import history_of, read_source
from deckbuilder.progress.records import History
from deckbuilder.progress.sheet import practice_sheet
from deckbuilder.progress.work import Part, recipes, work
from deckbuilder.progress.written import focus, heat_maps, report_page, write
from deckbuilder.recipe import Recipe
from deckbuilder.speech import DEFAULT, Speech, speaking

LARGEST = 2 << 30
"""Bytes of a file that a page may bring: an export with all its media."""
TOO_LARGE = f"this file is larger than {LARGEST >> 30} GB; export it without its pictures and sounds"
_KEPT = 12
"""Histories that are kept, one for each tuning in a file."""
_FOLDER = "deckbuilder-desk-"
"""Begins the names of folders for files that are being read."""
_CHUNK = 1 << 20
_PATIENCE = 30.0
"""s that the next bytes of a file are waited for."""
_SHOWN = 80
"""Characters of a file's name that are kept."""


class TooLargeError(UserError):
    """A file larger than any that is taken."""


class StalledError(UserError):
    """A file of which nothing more came, while others waited for it."""


class NotKeptError(UserError, OSError):
    """A file for which there is no room while it is read."""


class Studied:
    """A history, and what is said of it, measured when it is asked for.

    Args:
        history: what was studied.
        speech: how it is said.
    """

    def __init__(self, history: History, speech: Speech = DEFAULT) -> None:
        self.history = history
        self.speech = speech

    @cached_property
    def analysis(self) -> Analysis:
        """What was measured."""
        with speaking(self.speech):
            return analyse(self.history)

    @cached_property
    def maps(self) -> dict[int, bytes]:
        """Heat maps by level, PNG."""
        analysis = self.analysis
        with DRAWING, speaking(self.speech):
            return heat_maps(analysis)

    @cached_property
    def report(self) -> str:
        """The report's page."""
        maps = self.maps
        with DRAWING, speaking(self.speech):
            return report_page(self.analysis, maps)

    def work(self, number: int) -> Sequence[Part]:
        """Return what to work on.

        Args:
            number: places at most.

        Raises:
            HistoryError: nothing is weak.
        """
        with speaking(self.speech):
            parts = work(self.analysis, number)
        if not parts:
            raise HistoryError("no spot is clearly weaker than the rest, so there is nothing to work on apart")
        return parts

    def sheet(self, number: int) -> bytes:
        """Return the practice sheet of the weakest places, PDF.

        Args:
            number: how many places at most.

        Raises:
            HistoryError: none is weak, or the default deck of the history's neck has none of its cards.
            NeckError, RecipeError: its neck is one that no recipe has.
        """
        parts = self.work(number)
        with speaking(self.speech):
            notes = notes_to_practise(self.history, recipes(self.history, base_recipe(self.history), parts))
            with DRAWING:
                return practice_sheet(self.analysis, parts, notes)

    def focus_job(self, number: int, base: Recipe | None, folder: Path) -> Job:
        """Return the build of a small deck of the weakest places.

        Args:
            number: how many places at most.
            base: the recipe of the deck that was studied, None for the default of its neck.
            folder: where the deck goes, with its recipe and a practice sheet.

        Raises:
            HistoryError: none is weak.
        """
        parts = self.work(number)

        def build_it(watch: Watch) -> Sequence[Built]:
            with DRAWING, speaking(self.speech if base is None else base.speech):
                writing = focus(self.analysis, parts, base)
            with left_as_it_was(folder), watch.executor() as executor:
                written = write(
                    folder, writing, lambda recipe, path: watch.build(recipe, path, executor, self.history.now)
                )
                return [Built(writing.decks[path.name], path, made) for path, made in written if made]

        return build_it


class Histories:
    """The histories of a desk, by ids that cannot be guessed; the oldest go first."""

    def __init__(self) -> None:
        self._kept: OrderedDict[str, Studied] = OrderedDict()
        self._tunings: dict[str, tuple[str, ...]] = {}
        self._lock = Lock()
        self.reading = Lock()
        """Held while a file is read: one at a time."""

    def __getitem__(self, name: str) -> Studied:
        return self._kept[name]

    def of_one_file(self, name: str) -> dict[str, str]:
        """Return the histories that came in one file: their ids by their tunings, the most studied first.

        Args:
            name: id of one of them.
        """
        return {self._kept[one].history.tuning: one for one in self._tunings[name] if one in self._kept}

    def add(self, found: Sequence[History], speech: Speech = DEFAULT) -> str:
        """Keep the histories of a file.

        Args:
            found: one for each tuning, the most studied first.
            speech: how they are said.

        Returns:
            The id of the first.
        """
        ids = tuple(secrets.token_urlsafe(8) for _ in found)
        with self._lock:
            for name, history in zip(ids, found, strict=True):
                self._kept[name] = Studied(history, speech)
                self._tunings[name] = ids
            while len(self._kept) > max(_KEPT, len(ids)):
                gone, _ = self._kept.popitem(last=False)
                del self._tunings[gone]
        return ids[0]


async def histories_in(stream: AsyncIterator[bytes], name: str) -> list[History]:
    """Read the histories in a file that comes as a stream.

    Args:
        stream: the file's bytes.
        name: what the page calls it.

    Returns:
        One for each tuning, the most studied first.

    Raises:
        TooLargeError: it is larger than any that is taken.
        StalledError: nothing more of it came.
        NotKeptError: the disk is full.
        HistoryError: it cannot be read, or holds nothing of ours.
    """
    called = printable(PurePath(name.replace("\\", "/")).name, _SHOWN).strip(". ") or "history"
    with _folder() as folder:
        # Under a name of our own: what a page calls a file may be no name of one here.
        path = folder / "history"
        await _keep(stream, path)
        return await run_in_threadpool(_read, path, called)


async def _keep(stream: AsyncIterator[bytes], path: Path) -> None:
    taken, waiting = 0, bytearray()
    try:
        with path.open("wb") as file:
            async for chunk in _coming(stream):
                taken += len(chunk)
                if taken > LARGEST:
                    raise TooLargeError(TOO_LARGE)
                waiting += chunk
                if len(waiting) >= _CHUNK:
                    await run_in_threadpool(file.write, bytes(waiting))
                    waiting.clear()
            await run_in_threadpool(file.write, bytes(waiting))
    except OSError as error:
        raise NotKeptError(
            f"there is no room for this file while it is read ({error.strerror}); free the disk of {path.parent.parent}"
        ) from None


async def _coming(stream: AsyncIterator[bytes]) -> AsyncIterator[bytes]:
    chunks = aiter(stream)
    while True:
        try:
            yield await asyncio.wait_for(anext(chunks), _PATIENCE)
        except StopAsyncIteration:
            return
        except TimeoutError:
            raise StalledError(f"nothing more of this file came for {_PATIENCE:g} s; bring it again") from None


def _read(path: Path, called: str) -> list[History]:
    now = time.time()
    try:
        source = replace(read_source(path, now), name=called)
        first = history_of([source], now)
        return [first, *(history_of([source], now, tuning) for tuning in first.other_tunings)]
    except HistoryError as error:
        # Where it lay while it was read is nobody's matter.
        raise type(error)(str(error).replace(str(path), called)) from None


@contextmanager
def _folder() -> Iterator[Path]:
    """Give a folder that goes when the block ends, or when the next one is made where this program was killed."""
    sweep_owned(f"{_FOLDER}*")
    with tempfile.TemporaryDirectory(prefix=_FOLDER, ignore_cleanup_errors=True) as name:
        owned(Path(name))
        yield Path(name)
