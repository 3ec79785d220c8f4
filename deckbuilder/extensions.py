"""Extensions: what installed packages add — tunings, colours, levels, tasks, card types, media and writers.

A package names an `Extension` in its entry points, group `deckbuilder.extensions`. All of it is checked before any
of it is added; an extension that cannot be used is told of in one sentence and left out, and the others go on.
"""

import re
from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from importlib.metadata import EntryPoint
from typing import ParamSpec

from deckbuilder.cards.cardtypes import CARD_TYPES, CardType, known_kinds
from deckbuilder.cards.facts import AnyFact, AnyKind
from deckbuilder.cards.levels import LEVELS, Level
from deckbuilder.cards.note import Note
from deckbuilder.cards.target import HEARD_DEGREES
from deckbuilder.cards.tasks import ADDED_TASKS, TASKS, Task
from deckbuilder.deck.notetypes import model_of
from deckbuilder.deck.writers import WRITERS, load_writer
from deckbuilder.errors import ExtensionError, UserError
from deckbuilder.medium import Description, described_by, medium_name
from deckbuilder.neck.newtunings import new_tuning
from deckbuilder.neck.tuning import TUNINGS
from deckbuilder.neck.tunings import KnownTuning
from deckbuilder.theory.colours import COLOURS, Colour
from deckbuilder.theory.keys import Key
from deckbuilder.theory.newcolours import new_colour

_NAME = re.compile(r"[a-z][a-z0-9-]*")
_KEY = Key.parse("C")
_Given = ParamSpec("_Given")


@dataclass(frozen=True, slots=True)
class Extension:
    """What a package adds.

    Args:
        tunings: rows as in `deckbuilder.neck.tunings`.
        colours: rows as in `deckbuilder.theory.colours`; they come only where a recipe or changes name them.
        levels: rows as in `deckbuilder.cards.levels`; a recipe asks for them by their numbers.
        tasks: rows as in `deckbuilder.cards.tasks`; they are dealt with the others.
        card_types: rows as in `deckbuilder.cards.cardtypes`; a recipe asks for their kinds by name.
        media: descriptions of media of its own.
        writers: module and object by the name of the format, as in `deckbuilder.deck.writers`.
    """

    tunings: tuple[KnownTuning, ...] = ()
    colours: tuple[Colour, ...] = ()
    levels: tuple[Level, ...] = ()
    tasks: tuple[Task, ...] = ()
    card_types: tuple[CardType, ...] = ()
    media: tuple[type[Description], ...] = ()
    writers: Mapping[str, str] = field(default_factory=dict)


def install(extension: Extension) -> None:
    """Add what an extension has to the tables, all of it or nothing.

    Raises:
        ValueError: something in it cannot be; the message says what and why.
    """
    tunings = {row.name: new_tuning(row) for row in extension.tunings}
    colours = {row.name: new_colour(row) for row in extension.colours}
    _distinct("tuning", (name for row in extension.tunings for name in (row.name, row.also) if name))
    _distinct("tuning's pitches", (tuning.open_midi for tuning in tunings.values()))
    _distinct("colour", (row.name for row in extension.colours))
    with COLOURS.own_rows(colours):
        _check_levels(extension.levels)
    _check_tasks(extension.tasks)
    _check_media(extension.media)
    _check_card_types(extension.card_types)
    _check_writers(extension.writers)
    for tuning in tunings.values():
        TUNINGS.add(tuning.name, tuning)
    for colour in colours.values():
        COLOURS.add(colour.name, colour)
    for level in extension.levels:
        LEVELS.add(level.number, level)
    for task in extension.tasks:
        ADDED_TASKS.add(task.text, task)
    for row in extension.card_types:
        CARD_TYPES.add(row.fact, _with_guards(row))
    for name, place in extension.writers.items():
        WRITERS.add(name, place)


def install_all(entries: Iterable[EntryPoint]) -> tuple[str, ...]:
    """Install the extensions that entry points name.

    Returns:
        A sentence for each that cannot be used.
    """
    problems = []
    for entry in sorted(entries, key=lambda entry: entry.name):
        try:
            found = entry.load()
            if not isinstance(found, Extension):
                raise ExtensionError(f"{entry.value} is no Extension")
            install(found)
        # Whatever goes wrong in somebody else's code is told, and the program goes on.
        except (Exception, SystemExit) as error:
            package = f" of {entry.dist.name}" if entry.dist else ""
            reason = " ".join(str(error).split()) or "no reason given"
            problems.append(
                f"the extension {entry.name!r}{package} is left out ({type(error).__name__}: {reason}); "
                "repair or uninstall that package"
            )
    return tuple(problems)


def _with_guards(row: CardType) -> CardType:
    return replace(
        row,
        on_level_anywhere=_guarded(row, row.on_level_anywhere),
        on_chord_anywhere=_guarded(row, row.on_chord_anywhere),
        on_key=_guarded(row, row.on_key),
        on_chord=_guarded(row, row.on_chord),
        on_pair=_guarded(row, row.on_pair),
        on_passage=_guarded(row, row.on_passage),
    )


def _guarded(row: CardType, make: Callable[_Given, Iterable[Note]] | None) -> Callable[_Given, Iterable[Note]] | None:
    """Have a failure in somebody else's code told by the name of the card type."""
    if make is None:
        return None

    def made(*given: _Given.args, **named: _Given.kwargs) -> Iterator[Note]:
        try:
            yield from make(*given, **named)
        except UserError:
            raise
        except Exception as error:
            kinds = " and ".join(ask.kind.value for ask in row.asks)
            raise ExtensionError(
                f"the card type {row.name!r} of an extension fails ({type(error).__name__}: {error}); "
                f"leave {kinds} out of the recipe's kinds, or repair that package"
            ) from error

    return made


def _distinct(what: str, names: Iterable[Hashable]) -> None:
    for name, count in Counter(names).items():
        if count > 1:
            raise ExtensionError(f"the {what} {name!r} is there twice")


def _check_levels(levels: tuple[Level, ...]) -> None:
    _distinct("level", (level.number for level in levels))
    for level in levels:
        LEVELS.check(level.number)
        if not 1 <= level.number <= 99:
            raise ExtensionError(f"a level's number is 1 to 99, not {level.number}")
        for lesson in (*level.lessons, *level.changes, *(one for pair in level.pairs for one in pair)):
            try:
                lesson.harmony(_KEY)
            except KeyError as error:
                raise ExtensionError(
                    f"level {level.number} names {error}, which is no function and no colour"
                ) from None
        for degree in level.targets:
            if degree not in HEARD_DEGREES:
                known = " ".join(HEARD_DEGREES)
                raise ExtensionError(f"level {level.number} has {degree!r} among its targets; choose from {known}")


def _check_tasks(tasks: tuple[Task, ...]) -> None:
    _distinct("task", (task.text for task in tasks))
    for task in tasks:
        ADDED_TASKS.check(task.text)
        if task.text in {known.text for known in TASKS}:
            raise ExtensionError(f"there is a task {task.text!r} already")


def _check_media(media: tuple[type[Description], ...]) -> None:
    for made in media:
        if described_by(medium_name(made, "0" * 64)) is not made:
            raise ExtensionError(f"media called {made.prefix}-…{made.ending} are there already; choose another prefix")


def _check_card_types(rows: tuple[CardType, ...]) -> None:
    every = (*CARD_TYPES.values(), *rows)
    _distinct("note type", (row.note_type for row in every))
    _distinct("fact", (row.fact.value for row in every))
    _distinct("number of a question for the ear", (row.ear_number for row in every if row.ear))
    kinds: dict[str, AnyKind] = {kind.value: kind for kind in known_kinds()}
    for row in rows:
        _check_word(row.fact)
        for ask in row.asks:
            _check_word(ask.kind)
            if kinds.setdefault(ask.kind.value, ask.kind) is not ask.kind:
                raise ExtensionError(f"there is a kind {ask.kind.value!r} already; use it, or choose another name")
        model_of(row)


def _check_word(word: AnyFact | AnyKind) -> None:
    if not _NAME.fullmatch(word.value):
        raise ExtensionError(f"{word.value!r} is no name; write small letters, digits and '-'")


def _check_writers(writers: Mapping[str, str]) -> None:
    for name, place in writers.items():
        WRITERS.check(name)
        if not _NAME.fullmatch(name):
            raise ExtensionError(f"{name!r} is no name of a format; write small letters, digits and '-'")
        made = load_writer(place)
        parts = ("ending", "refuse", "write") if hasattr(made, "ending") else ("suffix", "with_media", "owns", "write")
        missing = [part for part in parts if not hasattr(made, part)]
        if missing:
            raise ExtensionError(f"the writer {place} has no {missing[0]!r}")
