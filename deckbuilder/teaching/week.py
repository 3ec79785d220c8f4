"""Week: what a class did in the last seven days, where each student is weak, and what several share.

Whatever is called weak here is so surely weak that, all students and all ways of looking compared at once, chance would
name even one spot in at most one such page of twenty.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import NamedTuple

from deckbuilder.progress import words
from deckbuilder.progress.analysis import Analysis, analyse
from deckbuilder.progress.cells import Cell, cell_of
from deckbuilder.progress.history import NothingToSayError, history_of
from deckbuilder.progress.records import DAY, History
from deckbuilder.progress.sources import Source
from deckbuilder.progress.spots import Spot, spots
from deckbuilder.speech import _, plural
from deckbuilder.teaching.diary import Diary, Entry, earlier
from deckbuilder.teaching.ladder import choruses, climbed, first_step
from deckbuilder.teaching.matching import Unused
from deckbuilder.teaching.roster import Student
from deckbuilder.theory.keys import key_label

DAYS = 7
TOLD = 3
"""Weak spots of a student that are told."""
_LITTLE = 0.01
"""A change of the share that is recalled which is worth no word."""


@dataclass(frozen=True, slots=True)
class Change:
    """What is different from the last time.

    Args:
        since: the day of the last time.
        new: spots that were not told then.
        gone: spots that were told then and no more.
        recalled: share of recalls then and now; None where one is missing.
        seen: cards seen since.
    """

    since: str
    new: tuple[str, ...]
    gone: tuple[str, ...]
    recalled: tuple[float, float] | None
    seen: int

    @property
    def line(self) -> str:
        """The change in words."""
        told = [_("new: {spots}", spots=", ".join(self.new))] if self.new else []
        told += [_("no more weak: {spots}", spots=", ".join(self.gone))] if self.gone else []
        if self.recalled and abs(self.recalled[1] - self.recalled[0]) >= _LITTLE:
            before, now = map(words.percent, self.recalled)
            told.append(_("recalled {before} → {now}", before=before, now=now))
        told += [plural("{count} more card seen", "{count} more cards seen", self.seen)] if self.seen > 0 else []
        return "; ".join(told) or _("nothing changed")


@dataclass(frozen=True, eq=False, slots=True)
class Standing:
    """How a student stands.

    Args:
        student: the student.
        called: their name, with the deck's where another student has the same name.
        files: names of their exports.
        analysis: what was measured; None without an export, or where nothing was studied.
        last: day and time of the last answer, s since 1970; None where there is none.
        answers: in the week.
        minutes: of study in the week.
        new_cards: seen for the first time in the week.
        new_places: keys and regions met for the first time in the week.
        spots: weak spots, the surest first.
        change: since the last time; None where there was none.
        tempo: for the sheet, in quarter notes a minute.
    """

    student: Student
    called: str
    files: tuple[str, ...]
    analysis: Analysis | None = None
    last: float | None = None
    answers: int = 0
    minutes: float = 0.0
    new_cards: int = 0
    new_places: tuple[str, ...] = ()
    spots: tuple[Spot, ...] = ()
    change: Change | None = None
    tempo: int = 0

    @property
    def told(self) -> tuple[Spot, ...]:
        """The spots that are told."""
        return self.spots[:TOLD]


@dataclass(frozen=True, eq=False, slots=True)
class Week:
    """How a class stands.

    Args:
        title: of the class.
        now: s since 1970.
        standings: of its students.
        unused: exports that are nobody's.
    """

    title: str
    now: float
    standings: tuple[Standing, ...]
    unused: tuple[Unused, ...]

    @property
    def studied(self) -> tuple[Standing, ...]:
        """The students who have studied something."""
        return tuple(standing for standing in self.standings if standing.analysis is not None)

    @property
    def shared(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """Weak spots of two students or more, with their names, the commonest first."""
        counts = Counter(spot.words for standing in self.studied for spot in standing.spots)
        return tuple(
            (spot, tuple(one.called for one in self.studied if spot in {found.words for found in one.spots}))
            for spot, count in counts.most_common()
            if count > 1
        )


def day_name(now: float) -> str:
    """Return a day as ISO 8601 writes it: `2024-03-24`."""
    return datetime.fromtimestamp(now, UTC).date().isoformat()


def week_of(
    title: str,
    students: Sequence[Student],
    sources: Sequence[Sequence[Source]],
    unused: Sequence[Unused],
    now: float,
    diary: Diary,
) -> Week:
    """Find out how a class stands.

    Args:
        title: of the class.
        students: its students.
        sources: what the exports of each hold.
        unused: exports that are nobody's.
        now: s since 1970.
        diary: what was said earlier.
    """
    histories = [_history(own, now) for own in sources]
    players = sum(history is not None for history in histories)
    names = Counter(student.name for student in students)
    standings = tuple(
        _standing(_Known(student, names[student.name] > 1, own), history, players, diary)
        for student, own, history in zip(students, sources, histories, strict=True)
    )
    return Week(title, now, standings, tuple(unused))


def _history(sources: Sequence[Source], now: float) -> History | None:
    try:
        return history_of(sources, now) if sources else None
    except NothingToSayError:
        return None


class _Known(NamedTuple):
    """A student with their exports, and whether another one has the same name."""

    student: Student
    ambiguous: bool
    sources: Sequence[Source]


def _standing(known: _Known, history: History | None, players: int, diary: Diary) -> Standing:
    student = known.student
    called = f"{student.name} ({student.recipe.deck_title})" if known.ambiguous else student.name
    files = tuple(source.name for source in known.sources)
    before = earlier(diary.get(student.recipe.deck_title, ()), day_name(history.now)) if history else None
    if history is None:
        return Standing(student, called, files)
    analysis = analyse(history)
    found = spots(analysis, players)
    begun = history.now - DAYS * DAY
    answers = [answer for card in history.cards for answer in card.answers]
    recent = [answer for answer in answers if answer.at > begun]
    tempo = first_step(student.recipe.sound.loop_tempo)
    if before is not None:
        tempo = climbed(before.tempo, choruses(history.cards, before.at))
    return Standing(
        student=student,
        called=called,
        files=files,
        analysis=analysis,
        last=max(answer.at for answer in answers),
        answers=len(recent),
        minutes=sum(answer.seconds for answer in recent) / 60,
        new_cards=sum(bool(card.answers) and card.answers[0].at > begun for card in history.cards),
        new_places=tuple(
            _("{key} region {number}", key=key_label(cell.key), number=cell.region)
            for cell in _new_places(history, begun)
        ),
        spots=found,
        change=_change(before, analysis, found[:TOLD]) if before else None,
        tempo=tempo,
    )


def _new_places(history: History, begun: float) -> list[Cell]:
    """Return the keys and regions that were first met after a moment, the first of them first, levels apart from it."""
    first: dict[tuple[str, int], tuple[float, Cell]] = {}
    for card in history.cards:
        cell = cell_of(card)
        if cell is not None and card.answers:
            at = card.answers[0].at
            first[cell.key, cell.region] = min(first.get((cell.key, cell.region), (at, cell)), (at, cell))
    return [cell for at, cell in sorted(first.values()) if at > begun]


def _change(before: Entry, analysis: Analysis, told: Sequence[Spot]) -> Change:
    names = [spot.words for spot in told]
    share = analysis.overall.share
    return Change(
        since=before.day,
        new=tuple(name for name in names if name not in before.spots),
        gone=tuple(name for name in before.spots if name not in names),
        recalled=(before.recalled, share) if before.recalled is not None and share is not None else None,
        seen=analysis.overall.seen - before.seen,
    )


def entry_of(standing: Standing) -> Entry | None:
    """Return what is said of a student today, for the diary; None where there is nothing to say.

    Args:
        standing: the student's.
    """
    if standing.analysis is None:
        return None
    overall, now = standing.analysis.overall, standing.analysis.history.now
    told = tuple(spot.words for spot in standing.told)
    return Entry(day_name(now), now, overall.seen, overall.share, told, standing.tempo)
