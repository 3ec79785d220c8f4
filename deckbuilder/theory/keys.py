"""Keys.

Conventions: inside, keys have English names in ASCII (`Bb`, minor `Bbm`), in the rising fourths in which players
practise them. A recipe's keys are major; changes may stand in a minor key too.
"""

import json
import re
from dataclasses import dataclass
from functools import lru_cache

from deckbuilder.speech import Names, Speech, current, speaking
from deckbuilder.suggestions import remedy
from deckbuilder.theory.naming import plain_text
from deckbuilder.theory.scales import PARENT_NAMES, Scale, parent_tones, rotated
from deckbuilder.theory.tones import TheoryError, Tone, misnamed

DEFAULT_KEYS = ("C", "F", "Bb", "Eb", "Ab", "Db", "Gb", "B", "E", "A", "D", "G")
"""The twelve keys of a default deck, in fourths."""

KEY_NAMES = (*DEFAULT_KEYS, "F#", "C#", "Cb")
"""Every key a recipe may name."""

MINOR_KEY_NAMES = ("C", "F", "Bb", "Eb", "G#", "C#", "F#", "B", "E", "A", "D", "G", "Ab", "D#", "A#")
"""Tonics of the minor keys with at most seven accidentals, the usual name of each first."""

_MODE = re.compile(r"[ -]?(?:(?P<minor>m|min|minor|-|[Mm]oll)|major|[Dd]ur)|")
"""What follows the tonic in a key's name."""
_SEPARATORS = re.compile(r"[\s,;/]+")


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
        """Return a major key by its English name such as `F` or `Bb` (`B♭` is understood).

        Raises:
            TheoryError: the name is not one of `KEY_NAMES`.
        """
        ascii_name = name.replace("♭", "b").replace("♯", "#")
        if ascii_name not in KEY_NAMES:
            raise TheoryError(f"{name!r} is not a key; choose from {', '.join(KEY_NAMES)}")
        return cls(Tone.parse(ascii_name))

    @classmethod
    def parse_either(cls, name: str) -> "Key":
        """Return a key, major or minor, by its English name: `F`, `Bbm`, `C# minor`.

        Raises:
            TheoryError: the name is none of a key with at most seven accidentals.
        """
        return _named(name, Names.ENGLISH)

    @classmethod
    def read(cls, text: str) -> "Key":
        """Read a key as people write it in the current speech: `Bbm`, with German names `Bm` or `Fis-Dur`.

        Raises:
            TheoryError: the text is no name of a key with at most seven accidentals; the nearest is suggested.
        """
        return _named(text, current().names)

    @classmethod
    def read_major(cls, text: str) -> "Key":
        """Read a major key as people write it in the current speech.

        Raises:
            TheoryError: the text is no name of one of `KEY_NAMES`; the nearest is suggested.
        """
        key = _named(text, current().names)
        if key.minor:
            major = cls.on(key.tonic)
            raise TheoryError(
                f"{text!r} is a minor key, and keys are named by their tonics here: write {major.written!r}; "
                "level 4 is in the minor key on each tonic"
            )
        return key

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
    def written(self) -> str:
        """The same in ASCII, as people write it in a recipe."""
        return self.tonic.written + ("m" if self.minor else "")

    @property
    def scale(self) -> Scale:
        """The key's major or natural minor scale: seven letters, each once."""
        return _diatonic("MinorScale" if self.minor else "MajorScale", self.tonic)

    @property
    def relative_major(self) -> "Key":
        """The major key of the same tones: itself, or a minor third above a minor key."""
        return Key.on(self.scale.tones[2]) if self.minor else self


def key_label(name: str) -> str:
    """Return what people call a key that a tag names; what is none, as it is.

    Args:
        name: an English name, `Bbm`.
    """
    try:
        return Key.parse_either(name).label
    except TheoryError:
        return name


@lru_cache(maxsize=256)
def _named(text: str, names: Names) -> Key:
    with speaking(Speech(names=names)):
        tonic, mode = tonic_and_mode(text)
        key = Key(tonic, _is_minor(mode))
        if key.tonic.name not in (MINOR_KEY_NAMES if key.minor else KEY_NAMES):
            usual = Key.on(key.tonic, minor=key.minor)
            raise TheoryError(f"{text!r} is not a key in use; write {usual.written!r}, which sounds the same")
        return key


def tonic_and_mode(text: str) -> tuple[Tone, str]:
    """Divide a key as people write it in the current speech into its tonic and the word for its mode.

    Raises:
        TheoryError: the text names no key.
    """
    for tonic, rest in Tone.beginning(text.strip()):
        if _MODE.fullmatch(rest):
            return tonic, rest
    raise TheoryError(f"{text!r} is not a key; {_remedy(text)}")


def _understood(text: str) -> Key | None:
    """Return the key that a text names, in use or not."""
    for tonic, rest in Tone.beginning(text.strip()):
        if _MODE.fullmatch(rest):
            return Key(tonic, _is_minor(rest))
    return None


def _is_minor(mode: str) -> bool:
    found = _MODE.fullmatch(mode)
    return found is not None and found["minor"] is not None


def _remedy(text: str) -> str:
    """Return what to do about a text that is no key."""
    known = [Tone.parse(name).written for name in KEY_NAMES]
    parts = [part for part in _SEPARATORS.split(text) if part]
    if len(parts) > 1 and all(_understood(part) for part in parts):
        return f"write each key by itself: {','.join(parts)} on the command line, {json.dumps(parts)} in a recipe"
    capital = text.strip()[:1].upper() + text.strip()[1:]
    for names in dict.fromkeys((current().names, *Names)):
        with speaking(Speech(names=names)):
            found = _understood(capital)
        if found is not None and names is current().names:
            return f"did you mean {found.written!r}?"
        if found is not None:
            return misnamed(names, found.written)
    return remedy(plain_text(text), known)


@lru_cache(maxsize=64)
def _diatonic(parent: str, tonic: Tone) -> Scale:
    return Scale(PARENT_NAMES[parent], rotated(parent_tones(parent, tonic), 0))


def parallel_scale(key: Key) -> Scale:
    """Return the scale of the other mode on the same tonic: natural minor for a major key, major for a minor one.

    Args:
        key: the key, whose tonic keeps its spelling.
    """
    return _diatonic("MajorScale" if key.minor else "MinorScale", key.tonic)
