"""Tunings: the pitches of the open strings.

Conventions: pitches are MIDI note numbers (60 is C4, middle C). Open strings are listed from the lowest-sounding side
of the neck, as players write tunings; *string numbers* count from the other side, 1 being the last of the list.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from deckbuilder.theory.tones import plain


class NeckError(ValueError):
    """Something the neck cannot do: an unknown tuning, a fret that is not there."""


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """Where a note is fretted.

    Args:
        string: string number, 1 the last of the tuning's list.
        fret: counted from the nut, 0 for the open string.
    """

    string: int
    fret: int


@dataclass(frozen=True, slots=True)
class Tuning:
    """Open strings.

    Args:
        name: its name in recipes and tags.
        open_midi: MIDI note numbers from the lowest-sounding side to string 1.
    """

    name: str
    open_midi: tuple[int, ...]

    @property
    def strings(self) -> int:
        """Number of strings."""
        return len(self.open_midi)

    @property
    def pitch_names(self) -> tuple[str, ...]:
        """Scientific pitch names, lowest-sounding side first: `E2 A2 D3 G3 B3 E4`."""
        return tuple(pitch_name(midi) for midi in self.open_midi)

    @property
    def string_labels(self) -> tuple[str, ...]:
        """Names of the open strings for people, string 1 first."""
        return tuple(plain(midi).label for midi in reversed(self.open_midi))

    def midi(self, place: Place) -> int:
        """Return the MIDI note number of a place."""
        return self.open_midi[-place.string] + place.fret

    def numbered(self) -> Iterator[tuple[int, int]]:
        """Yield string number and open pitch, from the lowest-sounding side."""
        return zip(range(self.strings, 0, -1), self.open_midi, strict=True)


def pitch_name(midi: int) -> str:
    """Return the scientific pitch name of a MIDI note number, ASCII (60: `C4`)."""
    return f"{plain(midi).name}{midi // 12 - 1}"


TUNINGS: dict[str, Tuning] = {tuning.name: tuning for tuning in (Tuning("standard", (40, 45, 50, 55, 59, 64)),)}
"""Tunings that can be asked for by name. Standard: E2 A2 D3 G3 B3 E4 (common practice, no source)."""


def tuning_named(name: str) -> Tuning:
    """Return a tuning by its name.

    Raises:
        NeckError: no tuning has this name.
    """
    if name not in TUNINGS:
        raise NeckError(f"{name!r} is not a tuning; choose from {', '.join(TUNINGS)}")
    return TUNINGS[name]
