"""Building: one build at a time, in a thread of its own, with its progress at hand and an end whenever it is asked for.

A build belongs to the desk and to no page: it goes on when the page is closed or loaded anew, and ends with the desk.
"""

import time
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from enum import StrEnum
from functools import partial
from itertools import count
from pathlib import Path
from threading import Event, Lock, Thread
from typing import Any

from deckbuilder.build import Summary, build, deck_name
from deckbuilder.cards.recipe import Recipe
from deckbuilder.deck.store import Store
from deckbuilder.deck.unfinished import left_as_it_was
from deckbuilder.deck.writers import DEFAULT_FORMATS
from deckbuilder.desk.answers import told
from deckbuilder.desk.remembered import Memory, OvertakenError, remembering
from deckbuilder.errors import UserError
from deckbuilder.rendering import Progress
from deckbuilder.workers import Workers, processes

MISTAKE = "this program has made a mistake; what it says of it stands in the terminal"


class BusyError(UserError):
    """Something is built already."""


class CancelledError(Exception):
    """The build was to end before it was done."""


class Status(StrEnum):
    """How it stands with the build that was asked for last; these are also the names of events."""

    IDLE = "idle"
    """None was asked for yet."""
    PROGRESS = "progress"
    DONE = "done"
    FAILED = "failed"
    CANCELLED = "cancelled"


class Stage(StrEnum):
    """What a build is at."""

    NOTES = "notes"
    MEDIA = "media"
    WRITING = "writing"


@dataclass(frozen=True, slots=True)
class Built:
    """A deck that was built.

    Args:
        recipe: what it was made from.
        place: its file.
        summary: what it came to.
    """

    recipe: Recipe
    place: Path
    summary: Summary


@dataclass(frozen=True, slots=True)
class State:
    """How it stands with a build.

    Args:
        status: whether it is at work, and how it ended.
        id: its number, from 1.
        stage: what it is at.
        done: how much of that is done.
        total: of how much.
        ending: whether it was told to end.
        error: why it failed.
        built: the decks that it made.
        seconds: how long it took.
    """

    status: Status = Status.IDLE
    id: int = 0
    stage: Stage = Stage.NOTES
    done: int = 0
    total: int = 0
    ending: bool = False
    error: str = ""
    built: tuple[Built, ...] = ()
    seconds: float = 0.0


class Watch:
    """What a build works with, and tells how far it is.

    Args:
        store: where rendered media are kept.
        workers: processes that render; None for one a core.
        memory: what is remembered of notes.
        tell: told the stage and how far it is; raises where the build is to end.
        end: set when it is to end.
    """

    def __init__(
        self, store: Store, workers: int | None, memory: Memory, tell: Callable[[Stage, int, int], None], end: Event
    ) -> None:
        self._store, self._workers, self._memory, self.tell, self._end = store, workers, memory, tell, end
        self._executor: Workers | None = None

    def build(
        self,
        recipe: Recipe,
        target: Path,
        executor: Executor | None,
        timestamp: float,
        formats: Sequence[str] = DEFAULT_FORMATS,
    ) -> Summary:
        """Build one deck, see `deckbuilder.build`."""
        self.tell(Stage.NOTES, 0, 0)
        return build(
            recipe,
            target,
            store=self._store,
            timestamp=timestamp,
            formats=formats,
            rows=remembering(recipe, self._memory, lambda: not self._end.is_set()),
            executor=executor,
            on_progress=self._told(Stage.MEDIA),
            on_written=self._told(Stage.WRITING),
        )

    @contextmanager
    def executor(self) -> Iterator[Executor | None]:
        """Offer processes to render on; where there can be none, builds are slower and nothing else."""
        with processes(self._workers, lambda _reason: None, aside=True) as executor:
            self._executor = executor
            yield executor

    def stop(self) -> None:
        """End what is at work: the notes, or the media in the hands of other processes."""
        self._end.set()
        if self._executor is not None:
            self._executor.stop()

    def _told(self, stage: Stage) -> Progress:
        return lambda done, total: self.tell(stage, done, total)


Job = Callable[[Watch], Sequence[Built]]
"""What a build does."""


def recipe_job(recipe: Recipe, folder: Path, formats: Sequence[str]) -> Job:
    """Return the build of a recipe's deck.

    Args:
        recipe: what to build.
        folder: where the deck goes; it is made.
        formats: names of formats, see `deckbuilder.deck.writers`.
    """

    def build_it(watch: Watch) -> Sequence[Built]:
        target = folder / deck_name(recipe)
        with left_as_it_was(folder), watch.executor() as executor:
            summary = watch.build(recipe, target, executor, time.time(), formats)
        return [Built(recipe, target, summary)]

    return build_it


@dataclass(slots=True)
class Building:
    """The one place where a desk builds.

    Args:
        store: where rendered media are kept.
        workers: processes that render; None for one a core.
        memory: what is remembered of notes.
    """

    store: Store
    workers: int | None
    memory: Memory
    state: State = State()
    last: State | None = None
    """The last build that was done."""
    _ids: "count[int]" = field(default_factory=lambda: count(1))
    _watch: Watch | None = None
    _lock: Lock = field(default_factory=Lock)
    _thread: Thread | None = None

    def start(self, job: Job) -> int:
        """Start a build.

        Args:
            job: what it does.

        Returns:
            Its number.

        Raises:
            BusyError: another one is at work.
        """
        with self._lock:
            if self.state.status is Status.PROGRESS:
                raise BusyError("a deck is being built; wait until it is done, or stop it")
            self.state = State(Status.PROGRESS, next(self._ids))
            end = Event()
            self._watch = Watch(self.store, self.workers, self.memory, partial(self._tell, end), end)
            self._thread = Thread(target=self._run, args=(job, self._watch), name="build")
            self._thread.start()
            return self.state.id

    def cancel(self) -> None:
        """Tell the build at work to end; it does in a moment, and leaves nothing half-written."""
        with self._lock:
            if self._watch is not None and self.state.status is Status.PROGRESS:
                self._watch.stop()
                self.state = replace(self.state, ending=True)

    def close(self) -> None:
        """End the build at work, and wait until it has ended."""
        self.cancel()
        if self._thread is not None:
            self._thread.join()

    def _tell(self, end: Event, stage: Stage, done: int, total: int) -> None:
        with self._lock:
            if end.is_set():
                raise CancelledError
            self.state = replace(self.state, stage=stage, done=done, total=total)

    def _run(self, job: Job, watch: Watch) -> None:
        started = time.monotonic()
        ended: dict[str, Any] = {"status": Status.FAILED, "error": MISTAKE}
        try:
            built = tuple(job(watch))
            ended = {"status": Status.DONE, "built": built, "seconds": time.monotonic() - started}
        except (CancelledError, OvertakenError):
            ended = {"status": Status.CANCELLED}
        except UserError as error:
            ended = {"status": Status.FAILED, "error": told(error)}
        finally:
            with self._lock:
                self.state = replace(self.state, ending=False, **ended)
                if self.state.built:
                    self.last = self.state
