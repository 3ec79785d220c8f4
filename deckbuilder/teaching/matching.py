"""Matching: which export in a folder is whose, by the titles of the decks in it.

A student's cards lie in a deck that is called as theirs is, or below one. What belongs to nobody, cannot be read or
holds decks of several is listed with the reason; nothing is guessed.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from deckbuilder.errors import UserError, comma_separated
from deckbuilder.progress.history import read_source
from deckbuilder.progress.sources import SUBDECK, Source
from deckbuilder.speech import _
from deckbuilder.teaching.roster import ClassError, Student, plain

ENDINGS = (".apkg", ".colpkg", ".anki2", ".anki21", ".anki21b")
"""How exports end."""


@dataclass(frozen=True, slots=True)
class Unused:
    """A file that is no student's.

    Args:
        file: its name.
        reason: why, a sentence.
    """

    file: str
    reason: str


@dataclass(frozen=True, slots=True)
class Matched:
    """The exports of a class.

    Args:
        sources: what each student's exports hold, in the order of students; several of one are of several devices.
        unused: the other files.
    """

    sources: tuple[tuple[Source, ...], ...]
    unused: tuple[Unused, ...]


def matched(students: Sequence[Student], folder: Path, now: float) -> Matched:
    """Read the exports in a folder and find out whose they are.

    Args:
        students: of the class.
        folder: where the exports lie.
        now: s since 1970; later answers are not looked at.

    Raises:
        ClassError: the folder cannot be looked into.
    """
    try:
        files = sorted(path for path in folder.iterdir() if not path.name.startswith(".") and not path.is_dir())
    except OSError as error:
        reason = f"--histories {folder}: cannot be looked into ({error.strerror})"
        raise ClassError(f"{reason}; name a folder of exports") from None
    found: list[list[Source]] = [[] for _ in students]
    unused: list[Unused] = []
    for path in files:
        if path.suffix.lower() not in ENDINGS:
            unused.append(
                Unused(path.name, _("not looked at: exports end with {endings}", endings=comma_separated(ENDINGS)))
            )
            continue
        try:
            source = read_source(path, now)
        except UserError as error:
            unused.append(Unused(path.name, str(error).removeprefix(f"{path}: ")))
            continue
        whose = owners(source.decks, [student.recipe.deck_title for student in students])
        if len(whose) == 1:
            found[whose[0]].append(source)
        else:
            unused.append(Unused(path.name, _why(source, [students[number] for number in whose])))
    return Matched(tuple(map(tuple, found)), tuple(unused))


def owners(decks: Iterable[str], titles: Sequence[str]) -> list[int]:
    """Return the numbers of the titles that some decks, or decks above them, have.

    Args:
        decks: names of decks, subdecks divided.
        titles: of students' decks.
    """
    parts = {plain(part) for name in decks for part in name.split(SUBDECK)}
    return [number for number, title in enumerate(titles) if plain(title) in parts]


def _why(source: Source, owners: Sequence[Student]) -> str:
    if owners:
        names = comma_separated(student.name for student in owners)
        return _("it holds decks of several students ({names}); export one deck at a time", names=names)
    there = comma_separated(sorted({name.split(SUBDECK)[0] for name in source.decks})[:3])
    return _("no student of this class has its deck; there is: {decks}", decks=there or _("no deck’s name"))
