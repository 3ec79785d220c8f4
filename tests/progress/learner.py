"""Learner: a simulated player whose weak places are known, because they are put in.

Every fact of the syllabus's shape is asked over many weeks. Whether a recall succeeds is a coin with the probability
that the truth gives for that card; the wait grows after a success and falls to a day after a failure, so that weak
cards are asked sooner, as schedulers do. With `forgetting`, the coin also depends on the wait.
"""

import math
import random
from collections.abc import Callable, Iterable, Iterator, Mapping

from deckbuilder.progress.records import Answer, Card, History, Memory
from tests.progress.exports import CARD_TYPES, CREATED, DAY, Log, StudiedCard, StudiedNote

KEYS = ("C", "F", "Bb", "Eb", "Ab", "Db", "Gb", "B", "E", "A", "D", "G")
CHORDS = {1: (("ii", None), ("V", "plain"), ("I", None)), 2: (("V", "altered"),), 3: (("VI", "altered"),)}
STRINGS = "E2-A2-D3-G3-B3-E4"

Axes = Mapping[str, object]
Truth = Callable[[Axes, str], float]


def notes_about(keys: tuple[str, ...] = KEYS) -> Iterator[tuple[str, Axes, int, tuple[str, ...]]]:
    """Yield id, axes, note type and kinds of every note."""
    for key in keys:
        for level, chords in CHORDS.items():
            for function, colour in chords:
                for source in ("root", "third"):
                    about = [function, colour, source]
                    axes = {"level": level, "key": key, "function": function, "colour": colour, "source": source}
                    yield _note(STRINGS, "spelling", key, None, about, axes, 2, ("spell",))
                    for region in range(1, 6):
                        yield _note(STRINGS, "arpeggio", key, region, about, axes, 1, ("locate", "identify"))


def _note(
    strings: str,
    fact: str,
    key: str,
    region: int | None,
    about: list[str | None],
    axes: Axes,
    note_type: int,
    kinds: tuple[str, ...],
) -> tuple[str, Axes, int, tuple[str, ...]]:
    place = f"region-{region}-of-5" if region else None
    note_id = "/".join(part for part in (strings, fact, key, place, *about) if part)
    all_axes = {**axes, "region": region, "fact": fact, "tuning": "standard"}
    return note_id, {axis: value for axis, value in all_axes.items() if value is not None}, note_type, kinds


def studied(
    truth: Truth,
    seed: int,
    *,
    days: int = 240,
    keys: tuple[str, ...] = KEYS,
    forgetting: bool = False,
    first_days: int = 40,
) -> list[StudiedNote]:
    """Let a learner study for some days.

    Args:
        truth: probability of recall by axes and kind; with forgetting, its value after ten days.
        seed: of the learner's chance.
        days: how long.
        keys: which keys.
        forgetting: whether recall falls as the wait grows.
        first_days: new cards come in these.
    """
    chance = random.Random(seed)
    notes = []
    for note_id, axes, note_type, kinds in notes_about(keys):
        cards = [
            _card(number, truth(axes, kind), chance, days, first_days, forgetting) for number, kind in enumerate(kinds)
        ]
        notes.append(StudiedNote(note_id, axes, tuple(cards), note_type))
    return notes


def _card(template: int, p: float, chance: random.Random, days: int, first_days: int, forgetting: bool) -> StudiedCard:
    day = chance.randrange(first_days)
    log = [Log(_at(day, chance), 3, chance.uniform(8, 20), 0, 0)]
    wait, lapses = 1, 0
    while day + wait < days:
        day += wait
        at = _at(day, chance)
        ability = p ** (wait / 10) if forgetting else p
        if chance.random() < ability:
            log.append(Log(at, chance.choice((2, 3, 3, 3, 4)), chance.uniform(4, 10)))
            wait = math.ceil(wait * 1.8)
        else:
            # Forgotten, then known a few minutes later: that answer tells nothing of memory.
            log += [Log(at, 1, chance.uniform(8, 20)), Log(at + 600, 3, chance.uniform(4, 10), 2)]
            lapses += 1
            wait = 1
    return StudiedCard(template, tuple(log), due=day + wait, interval=wait, lapses=lapses)


def _at(day: int, chance: random.Random) -> float:
    return CREATED + day * DAY + chance.uniform(4 * 3600, 16 * 3600)


def end_of(days: int) -> float:
    """Return the moment after some days of study, s since 1970."""
    return CREATED + days * DAY


def history_of(notes: Iterable[StudiedNote], days: int) -> History:
    """Return notes' history as reading an export of them would, without a file."""
    cards = [
        Card(
            note=note.id,
            axes={axis: str(value) for axis, value in note.tags.items()},
            kind=CARD_TYPES[note.note_type][2][card.template],
            interval=card.interval,
            due=card.due,
            lapses=card.lapses,
            memory=Memory(10.0, 0.5),
            answers=tuple(Answer(log.at, int((log.at - CREATED) // DAY), log.grade, log.seconds) for log in card.log),
        )
        for note in notes
        for card in note.cards
    ]
    return History("standard", STRINGS, 5, days, float(end_of(days)), tuple(cards))
