"""Practice tracks: a level's loop, or a tune, through all keys in one go, for the music stand.

A track lasts three to five minutes: keys follow each other in the deck's order, each with as many choruses as fill
that time evenly, a count-in before the first. What is longer becomes several tracks.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from deckbuilder.cards.parts import later
from deckbuilder.sound.description import Clip, NoteEvent, OwnSound, Patch
from deckbuilder.sound.loops import LONGEST_LOOP, backing_loop, loop_seconds
from deckbuilder.sound.voice_leading import Change

SHORTEST, LONGEST = 180.0, 300.0
"""s of a track."""
_COUNT_IN: Final = 8
"""Beats."""

Form = Sequence[Sequence[Change]]
"""The changes of each passage of a form, in order."""


def tracks(keys: Sequence[Form], tempo: float, a4: float, own: OwnSound | None = None) -> Iterator[Clip]:
    """Yield the tracks of a level or a tune.

    Args:
        keys: its form in every key, in order.
        tempo: quarter notes a minute.
        a4: Hz of MIDI note 69.
        own: the player's SoundFont.
    """
    lead = _COUNT_IN * 60 / tempo
    lengths = [sum(loop_seconds(part, tempo, 1, False) for part in form) for form in keys]
    first = 0
    while first < len(keys):
        last, total = first, lead
        while last < len(keys) and (last == first or total + lengths[last] <= LONGEST):
            total += lengths[last]
            last += 1
        choruses = [1] * (last - first)
        number = 0
        while total < SHORTEST:
            choruses[number % len(choruses)] += 1
            total += lengths[first + number % len(choruses)]
            number += 1
        yield replace(_track(keys[first:last], choruses, tempo, a4), own=own)
        first = last


def _track(keys: Sequence[Form], choruses: Sequence[int], tempo: float, a4: float) -> Clip:
    begin = backing_loop(keys[0][0][:1], tempo=tempo, a4=a4, count_in=True)
    events: list[NoteEvent] = [event for event in begin.events if event.patch is Patch.CLICK]
    at = _COUNT_IN * 60 / tempo
    for form, count in zip(keys, choruses, strict=True):
        for part, times in _order(form, count, tempo):
            loop = backing_loop(part, tempo=tempo, a4=a4, choruses=times)
            events += later(loop.events, at)
            at += loop.length
    return Clip(tuple(sorted(events, key=lambda event: (event.start, event.patch, event.midi))), at, a4)


def _order(form: Form, count: int, tempo: float) -> Iterator[tuple[Sequence[Change], int]]:
    """Yield passages with how often each is played in one go; the bass walks the second time."""
    if len(form) > 1 or loop_seconds(form[0], tempo, 2, False) > LONGEST_LOOP:
        for _ in range(count):
            yield from ((part, 1) for part in form)
        return
    yield from ((form[0], 2) for _ in range(count // 2))
    if count % 2:
        yield form[0], 1
