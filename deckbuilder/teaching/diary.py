"""Diary: what earlier weeks of a class said, in a small file in its folder, so that the next one can tell what changed.

One entry a student and day. A file that cannot be read is told and begun anew only where it is one of ours.
"""

import json
import math
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from deckbuilder.teaching.ladder import STEPS

MOST = 60
"""Entries of a student that are kept, the latest: more than a year of weeks."""
_VERSION = 1
_GENERATOR = "deckbuilder"


@dataclass(frozen=True, slots=True)
class Entry:
    """What was said of a student on a day.

    Args:
        day: `2024-03-24`.
        at: the moment as of which it was said, s since 1970.
        seen: cards seen so far.
        recalled: share of recalls that succeeded; None where there were too few.
        spots: the weak spots that were told.
        tempo: on the sheet, in quarter notes a minute.
    """

    day: str
    at: float
    seen: int
    recalled: float | None
    spots: tuple[str, ...]
    tempo: int


Diary = Mapping[str, tuple[Entry, ...]]
"""Entries by title of the student's deck, the latest last."""


class DiaryError(ValueError):
    """A diary that cannot be read."""


def read_diary(data: bytes) -> Diary:
    """Read a diary.

    Args:
        data: of its file.

    Raises:
        DiaryError: it is none, or damaged.
    """
    try:
        return {title: tuple(map(_entry, entries)) for title, entries in _said(data)["students"].items()}
    except (ValueError, KeyError, TypeError, AttributeError, OverflowError) as error:
        raise error if isinstance(error, DiaryError) else DiaryError("it is damaged") from error


def class_of(data: bytes) -> str:
    """Return the title of the class whose diary this is; empty where it does not say.

    Args:
        data: of its file.

    Raises:
        DiaryError: it is none, or damaged.
    """
    return str(_said(data).get("class", ""))


def _said(data: bytes) -> dict[str, Any]:
    try:
        said = json.loads(data)
        # Half of a character that takes two is none, and cannot be written anywhere.
        json.dumps(said, ensure_ascii=False).encode()
        if said["generator"] != _GENERATOR or said["version"] != _VERSION:
            raise DiaryError("it is of another version")
    except (ValueError, KeyError, TypeError, RecursionError) as error:
        raise error if isinstance(error, DiaryError) else DiaryError("it is damaged") from error
    return dict(said)


def _entry(given: Mapping[str, Any]) -> Entry:
    recalled, tempo = given["recalled"], int(given["tempo"])
    if not all(map(math.isfinite, (given["at"], recalled or 0))) or not STEPS[0] <= tempo <= STEPS[-1]:
        raise DiaryError("it has a number that no week wrote")
    return Entry(
        day=str(given["day"]),
        at=float(given["at"]),
        seen=int(given["seen"]),
        recalled=None if recalled is None else float(recalled),
        spots=tuple(map(str, given["spots"])),
        tempo=tempo,
    )


def diary_bytes(diary: Diary, title: str) -> bytes:
    """Write a diary.

    Args:
        diary: the entries.
        title: of the class.
    """
    students = {title: [asdict(entry) for entry in entries] for title, entries in sorted(diary.items())}
    said = {"generator": _GENERATOR, "version": _VERSION, "class": title, "students": students}
    return (json.dumps(said, indent=1, ensure_ascii=True) + "\n").encode()


def earlier(entries: Sequence[Entry], day: str) -> Entry | None:
    """Return the latest entry of a day before; None where there is none.

    Args:
        entries: of a student.
        day: today.
    """
    return max((entry for entry in entries if entry.day < day), key=lambda entry: entry.day, default=None)


def with_entry(entries: Sequence[Entry], new: Entry) -> tuple[Entry, ...]:
    """Return a student's entries with one more; another one of the same day gives way to it.

    Args:
        entries: of a student.
        new: today's.
    """
    kept = [entry for entry in entries if entry.day != new.day]
    return tuple(sorted([*kept, new], key=lambda entry: entry.day))[-MOST:]
