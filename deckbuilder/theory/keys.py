"""Major keys.

Convention: keys are named in ASCII (`Bb`), in the rising fourths in which players
practise them.
"""

from dataclasses import dataclass
from functools import lru_cache

from deckbuilder.theory.scales import Scale, parent_tones, rotated
from deckbuilder.theory.tones import TheoryError, Tone

DEFAULT_KEYS = ("C", "F", "Bb", "Eb", "Ab", "Db", "Gb", "B", "E", "A", "D", "G")
"""The twelve keys of a default deck, in fourths."""

KEY_NAMES = (*DEFAULT_KEYS, "F#", "C#", "Cb")
"""Every key a recipe may name."""


@dataclass(frozen=True, slots=True)
class Key:
    """A major key.

    Args:
        tonic: its first tone.
    """

    tonic: Tone

    @classmethod
    def parse(cls, name: str) -> "Key":
        """Read a key's name such as `F` or `Bb` (`B♭` is understood).

        Raises:
            TheoryError: the name is not one of `KEY_NAMES`.
        """
        ascii_name = name.replace("♭", "b").replace("♯", "#")
        if ascii_name not in KEY_NAMES:
            raise TheoryError(f"{name!r} is not a key; choose from {', '.join(KEY_NAMES)}")
        return cls(Tone.parse(ascii_name))

    @property
    def name(self) -> str:
        """ASCII name, `Bb`."""
        return self.tonic.name

    @property
    def label(self) -> str:
        """Name for people, `B♭`."""
        return self.tonic.label

    @property
    def scale(self) -> Scale:
        """The key's major scale: seven letters, each once."""
        return _major(self.tonic)


@lru_cache(maxsize=64)
def _major(tonic: Tone) -> Scale:
    return Scale("major", rotated(parent_tones("MajorScale", tonic), 0))
