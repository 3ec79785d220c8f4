"""Strings that ring, kept: a shorter note is the beginning of a longer one, until a hand damps it.

So a string at a pitch and a strength is computed once, as far as the longest note has needed, and further when a longer
one comes.
"""

from collections import OrderedDict
from typing import Final

import numpy as np

from deckbuilder.sound.instruments import StringModel
from deckbuilder.sound.modal import GRAIN
from deckbuilder.sound.samples import Mix
from deckbuilder.sound.string import SPOKEN, ringing

_MOST: Final = 1 << 24
"""Samples that are kept: 64 MiB."""

_String = tuple[StringModel, int, float, float]


class Ringing:
    """Undamped strings; those that have not sounded for longest are forgotten first.

    Args:
        most: samples that are kept.
    """

    def __init__(self, most: int = _MOST) -> None:
        self._most = most
        self._kept: OrderedDict[_String, Mix] = OrderedDict()
        self._samples = 0

    def at_least(self, model: StringModel, midi: int, velocity: float, a4: float, count: int) -> Mix:
        """Return a string's sound from the pluck on.

        Args:
            model: the instrument.
            midi: MIDI note number.
            velocity: 0 to 1.
            a4: Hz of A4.
            count: samples that are needed; what comes after them is of no account.

        Returns:
            Samples, the same whatever was asked for before; do not change them in place.
        """
        string = model, midi, velocity, a4
        sound = self._kept.get(string)
        had = 0 if sound is None else len(sound)
        if sound is None or had < count:
            more = ringing(*string, max(SPOKEN, -(-count // GRAIN) * GRAIN) - had, had)
            self._kept[string] = sound = more if sound is None else np.concatenate((sound, more))
            self._samples += len(more)
        self._kept.move_to_end(string)
        while self._samples > self._most and len(self._kept) > 1:
            self._samples -= len(self._kept.popitem(last=False)[1])
        return sound
