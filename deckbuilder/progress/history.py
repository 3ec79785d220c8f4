"""History: what a player has studied of our notes, and how each answer went.

Our notes are known by their id: the note's field `Id` holds it, and its guid follows from it, so that no other note is
taken for ours. What a note is about stands in its tags, one axis each, whatever fact it is. Others are passed over.
"""

import json
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

import genanki

from deckbuilder.cards.identity import Axis, instrument_in, is_plain, read_tags, region_count_in
from deckbuilder.progress.archive import HistoryError, collection_bytes
from deckbuilder.progress.axes import OTHER, grouped_values
from deckbuilder.progress.collection import AnswerRow, CardRow, Collection, NoteType, opened
from deckbuilder.progress.records import Answer, Card, History, Memory
from deckbuilder.progress.sources import Source, day_of, joined
from deckbuilder.speech import _

_ID_FIELD = "Id"
_NAMED = 5
"""Tunings that are listed by name."""

_NEW, _SUSPENDED = 0, -1
_FILTERED = 3
_EARLIEST = 946_684_800.0
"""An answer before the year 2000 comes from a clock that was wrong."""
_LONGEST_DAY_NUMBER = 1_000_000
"""A larger `due` is a time, not a day."""
_DECAY_BEFORE_IT_WAS_STORED = 0.5
_LONGEST_STABILITY = 1_000_000
_DECAYS = (0.01, 1.0)
"""Beyond these no model of memory works, nor does arithmetic."""


_NO_ANSWER = (
    "no answer is in it: nothing was studied yet, or it was exported without its study history; tick the history (in "
    "some apps: the scheduling) when you export"
)


class NothingToSayError(HistoryError):
    """A readable history in which nothing of ours was studied."""

    exit_status = 1


def read_source(path: Path, now: float) -> Source:
    """Read what a file holds of ours.

    Args:
        path: what an app exported, or its collection.
        now: s since 1970; later answers are not looked at.

    Raises:
        HistoryError: the file cannot be read.
        NothingToSayError: it holds none of our notes.
    """
    with opened(collection_bytes(path), str(path)) as collection:
        created = collection.created()
        found, decks = _cards(collection, created, now), collection.deck_names()
    if not found:
        raise NothingToSayError(f"{path}: no note in it was made by deckbuilder; export the deck that you study")
    names = frozenset(decks[deck] for deck, _ in found if deck in decks)
    return Source(str(path), created, tuple(card for _, card in found), names)


def history_of(sources: Sequence[Source], now: float, tuning: str | None = None) -> History:
    """Return the history of one player.

    Args:
        sources: what their exports hold, one or more.
        now: s since 1970.
        tuning: whose history; None for the one with the most answers.

    Raises:
        NothingToSayError: nothing was studied, or nothing in that tuning.
    """
    source = joined(sources)
    answers = Counter[str]()
    for card in source.cards:
        answers[card.axes["tuning"]] += len(card.answers)
    chosen = tuning or answers.most_common(1)[0][0]
    if not answers[chosen]:
        there = few([name for name, count in answers.items() if count])
        raise NothingToSayError(
            f"{source.name}: "
            f"{_NO_ANSWER if not there else f'no answer in tuning {chosen}; choose with --tuning: {there}'}"
        )
    own = [card for card in source.cards if card.axes["tuning"] == chosen]
    region_count = Counter(found for card in own if (found := region_count_in(card.note))).most_common(1)
    count = region_count[0][0] if region_count else 0
    return History(
        tuning=chosen,
        instrument=instrument_in(own[0].note),
        region_count=count,
        today=day_of(now, source.created),
        now=now,
        cards=_with_few_values([card for card in own if region_count_in(card.note) in (0, count)]),
        other_tunings=tuple(sorted(name for name, number in answers.items() if number and name != chosen)),
        title=source.title,
    )


def _cards(collection: Collection, created: int, now: float) -> list[tuple[int, Card]]:
    """Return our cards in the order of their numbers, each with the number of its deck."""
    notes = dict(_own_notes(collection))
    found: dict[int, tuple[int, Card]] = {}
    for row in collection.cards():
        note = notes.get(row.note)
        if note is not None:
            found[row.number] = row.original_deck or row.deck, _card(row, *note, created)
    answers: dict[int, list[Answer]] = {number: [] for number in found}
    for answer in collection.answers():
        if answer.card in answers and _counts(answer, now):
            at = answer.at / 1000
            answers[answer.card].append(Answer(at, day_of(at, created), answer.grade, answer.took / 1000))
    return [(deck, replace(card, answers=tuple(answers[number]))) for number, (deck, card) in sorted(found.items())]


def few(names: Sequence[str]) -> str:
    """List some names, and how many more there are."""
    told = ", ".join(names[:_NAMED])
    return _("{names} and {count} more", names=told, count=len(names) - _NAMED) if len(names) > _NAMED else told


def _with_few_values(cards: Sequence[Card]) -> tuple[Card, ...]:
    """Take the rarest values of axes that have very many together."""
    kinds = grouped_values(card.kind for card in cards)
    names = {axis: grouped_values(card.axes[axis] for card in cards if axis in card.axes) for axis in map(str, Axis)}
    if all(name == value for called in (kinds, *names.values()) for value, name in called.items()):
        return tuple(cards)
    return tuple(
        replace(card, kind=kinds[card.kind], axes={axis: names[axis][value] for axis, value in card.axes.items()})
        for card in cards
    )


_NoteParts = tuple[str, dict[str, str], NoteType]


def _own_notes(collection: Collection) -> Iterable[tuple[int, _NoteParts]]:
    for number, note_type in collection.note_types().items():
        place = next((place for place, name in note_type.fields.items() if name == _ID_FIELD), None)
        if place is None:
            continue
        for row in collection.notes(number):
            if len(row.fields) > place and row.guid == genanki.guid_for(row.fields[place]):
                axes = read_tags(row.tags)
                if "tuning" in axes and "fact" in axes:
                    yield row.number, (row.fields[place], axes, note_type)


def _card(row: CardRow, note: str, axes: Mapping[str, str], note_type: NoteType, created: int) -> Card:
    kind = note_type.templates.get(row.template, "")
    due = row.original_due if row.original_deck else row.due
    if row.type == _NEW or row.queue == _SUSPENDED:
        due_day = None
    else:
        due_day = day_of(due, created) if due > _LONGEST_DAY_NUMBER else due
    return Card(
        note=note,
        axes=axes,
        kind=kind if is_plain(kind) else OTHER,
        interval=row.interval if row.interval > 0 else None,
        due=due_day,
        lapses=max(row.lapses, 0),
        memory=_memory(row.data),
        answers=(),
        suspended=row.queue == _SUSPENDED,
    )


def _memory(data: str) -> Memory | None:
    try:
        stored = json.loads(data) if data else {}
    except (ValueError, RecursionError):
        return None
    if not isinstance(stored, dict):
        return None
    stability, decay = stored.get("s"), stored.get("decay", _DECAY_BEFORE_IT_WAS_STORED)
    if isinstance(stability, int | float) and isinstance(decay, int | float):
        least, most = _DECAYS
        return Memory(stability, decay) if 0 < stability < _LONGEST_STABILITY and least <= decay <= most else None
    return None


def _counts(answer: AnswerRow, now: float) -> bool:
    """Tell whether a row of the log is an answer that moved its card, and not a change of date or a free look."""
    looked_through = answer.study == _FILTERED and answer.factor == 0
    return 1 <= answer.grade <= 4 and not looked_through and _EARLIEST <= answer.at / 1000 <= now
