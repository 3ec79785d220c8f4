"""Keys.

Conventions: keys are named in ASCII (`Bb`, minor `Bbm`), in the rising fourths in which players practise them. A
recipe's keys are major; changes may stand in a minor key too.
"""

import re
from dataclasses import dataclass
from functools import lru_cache

from deckbuilder.theory.scales import PARENT_NAMES, Scale, parent_tones, rotated
from deckbuilder.theory.tones import TheoryError, Tone

DEFAULT_KEYS = ("C", "F", "Bb", "Eb", "Ab", "Db", "Gb", "B", "E", "A", "D", "G")
"""The twelve keys of a default deck, in fourths."""

KEY_NAMES = (*DEFAULT_KEYS, "F#", "C#", "Cb")
"""Every key a recipe may name."""

MINOR_KEY_NAMES = ("C", "F", "Bb", "Eb", "G#", "C#", "F#", "B", "E", "A", "D", "G", "Ab", "D#", "A#")
"""Tonics of the minor keys with at most seven accidentals, the usual name of each first."""

_MINOR = re.compile(r"(?P<tonic>[A-G](?:b|#)?) ?(?:m|min|minor|-)")


@dataclass(frozen=True, slots=True)
class Key:
    """A key.

    Args:
        tonic: its first tone.
        minor: whether it is a minor key.
    """

    tonic: Tone
    minor: bool = False

    @classmethod
    def parse(cls, name: str) -> "Key":
        """Read a major key's name such as `F` or `Bb` (`B♭` is understood).

        Raises:
            TheoryError: the name is not one of `KEY_NAMES`.
        """
        ascii_name = name.replace("♭", "b").replace("♯", "#")
        if ascii_name not in KEY_NAMES:
            raise TheoryError(f"{name!r} is not a key; choose from {', '.join(KEY_NAMES)}")
        return cls(Tone.parse(ascii_name))

    @classmethod
    @lru_cache(maxsize=256)
    def parse_either(cls, name: str) -> "Key":
        """Read a key's name, major or minor: `F`, `Bbm`, `C# minor`.

        Raises:
            TheoryError: the name is none of a key with at most seven accidentals.
        """
        found = _MINOR.fullmatch(name.strip().replace("♭", "b").replace("♯", "#"))
        if found is None:
            return cls.parse(name.strip().removesuffix(" major"))
        if found["tonic"] not in MINOR_KEY_NAMES:
            choice = ", ".join(f"{tonic}m" for tonic in MINOR_KEY_NAMES)
            raise TheoryError(f"{name!r} is not a minor key; choose from {choice}")
        return cls(Tone.parse(found["tonic"]), minor=True)

    @classmethod
    def on(cls, tonic: Tone, *, minor: bool = False) -> "Key":
        """Return the key on a tonic, under the name with fewer accidentals where the tonic's own has more than seven.

        Args:
            tonic: the wanted tonic.
            minor: whether the key is minor.
        """
        names = MINOR_KEY_NAMES if minor else KEY_NAMES
        if tonic.name in names:
            return cls(tonic, minor)
        same = (Tone.parse(name) for name in names)
        return cls(next(other for other in same if other.pitch_class == tonic.pitch_class), minor)

    @property
    def name(self) -> str:
        """ASCII name, `Bb` or `Bbm`."""
        return self.tonic.name + ("m" if self.minor else "")

    @property
    def label(self) -> str:
        """Name for people, `B♭` or `B♭m`."""
        return self.tonic.label + ("m" if self.minor else "")

    @property
    def scale(self) -> Scale:
        """The key's major or natural minor scale: seven letters, each once."""
        return _diatonic("MinorScale" if self.minor else "MajorScale", self.tonic)

    @property
    def relative_major(self) -> "Key":
        """The major key of the same tones: itself, or a minor third above a minor key."""
        return Key.on(self.scale.tones[2]) if self.minor else self


@lru_cache(maxsize=64)
def _diatonic(parent: str, tonic: Tone) -> Scale:
    return Scale(PARENT_NAMES[parent], rotated(parent_tones(parent, tonic), 0))


def parallel_scale(key: Key) -> Scale:
    """Return the scale of the other mode on the same tonic: natural minor for a major key, major for a minor one.

    Args:
        key: the key, whose tonic keeps its spelling.
    """
    return _diatonic("MajorScale" if key.minor else "MinorScale", key.tonic)
