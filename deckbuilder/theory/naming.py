"""Naming: what tones are called, in each way to name them.

Conventions: a tone is a letter and an accidental, as in `deckbuilder.theory.tones`. Inside, and in ids, tags, tables
and file names, tones have their English names in ASCII; what people read and write has the names of the current speech.

- `english`: C D E F G A B, with ♭ and ♯.
- `german`: H for B and B for B♭; a sharp adds -is, a flat -es, which is -s after E and A: Fis, Es, As, Heses. English
  names that cannot be mistaken, as `Bb` or `F#`, are understood too; a plain `B` is B♭.
- `solfege`: fixed do, with capitals as in chord symbols: Do Ré Mi Fa Sol La Si, with ♭ and ♯. Small letters and `Re`
  are understood, and so is an English name, unless it begins as a syllable does: `Do7` is C7, not a diminished D.

Octaves are counted as in scientific pitch notation whatever the names: the open low string of a guitar is E2 and Mi2.
Source of the names: general music theory; `tests/outside/test_naming.py` compares them with an independent library.
"""

import unicodedata
from collections.abc import Iterator, Mapping
from functools import cache
from typing import Final

from deckbuilder.speech import Names

Spelled = tuple[str, int]
"""A tone's letter, `A` to `G`, and the semitones that it is raised (negative: lowered)."""

_LETTERS: Final = "CDEFGAB"
_SIGNS: Final = {0: "", -1: "b", -2: "bb", 1: "#", 2: "##"}
_PRETTY: Final = str.maketrans({"b": "♭", "#": "♯"})
_SYLLABLES: Final = {"C": "Do", "D": "Ré", "E": "Mi", "F": "Fa", "G": "Sol", "A": "La", "B": "Si"}
_PLAIN: Final = str.maketrans({"♭": "b", "♯": "#", "é": "e", "É": "E"})

LABELS: Final = {Names.ENGLISH: "English", Names.GERMAN: "German", Names.SOLFEGE: "solfège"}
"""What errors call each way to name tones."""
CHOICE: Final = {
    Names.ENGLISH: "A to G, with b or # such as Bb",
    Names.GERMAN: "A to H, with -is or -es such as Fis or Es",
    Names.SOLFEGE: "Do to Si, with b or # such as Sib",
}
"""What a tone may be written as, for remedies."""


def _german(letter: str, accidental: int) -> str:
    stem = "H" if letter == "B" else letter
    if accidental >= 0:
        return stem + "is" * accidental
    if (letter, accidental) == ("B", -1):
        return "B"
    flats = "es" * -accidental
    return stem + (flats[1:] if letter in "EA" else flats)


@cache
def _shown(names: Names) -> Mapping[Spelled, str]:
    """Return what each tone is called for people."""
    found: dict[Spelled, str] = {}
    for letter in _LETTERS:
        for accidental, sign in _SIGNS.items():
            match names:
                case Names.ENGLISH:
                    name = letter + sign.translate(_PRETTY)
                case Names.GERMAN:
                    name = _german(letter, accidental)
                case Names.SOLFEGE:
                    name = _SYLLABLES[letter] + sign.translate(_PRETTY)
            found[letter, accidental] = name
    return found


@cache
def _read(names: Names) -> Mapping[str, Spelled]:
    """Return which tone each name means that is understood, ASCII."""
    found: dict[str, Spelled] = {}
    if names is not Names.ENGLISH:
        found |= _read(Names.ENGLISH)
    if names is Names.GERMAN:
        # What is written B is a tone of its own here, and no B that could be raised.
        found = {name: tone for name, tone in found.items() if name not in ("B", "B#", "B##")}
        found |= {"H" + sign: ("B", accidental) for accidental, sign in _SIGNS.items()} | {"Asas": ("A", -2)}
    own = {name.translate(_PLAIN): tone for tone, name in _shown(names).items()}
    if names is Names.SOLFEGE:
        own |= {name[0].lower() + name[1:]: tone for name, tone in own.items()}
    return found | own


def shown(letter: str, accidental: int, names: Names) -> str:
    """Return what a tone is called for people.

    Args:
        letter: `A` to `G`.
        accidental: semitones the letter is raised (negative: lowered), -2 to 2.
        names: how tones are named.
    """
    return _shown(names)[letter, accidental]


def written(letter: str, accidental: int, names: Names) -> str:
    """Return the same in ASCII, as a keyboard writes it.

    Args:
        letter: `A` to `G`.
        accidental: semitones the letter is raised (negative: lowered), -2 to 2.
        names: how tones are named.
    """
    return plain_text(_shown(names)[letter, accidental])


def stems(names: Names) -> tuple[str, ...]:
    """Return what names of tones for people are without ♭ and ♯, the longest first.

    Args:
        names: how tones are named.
    """
    found = {name.rstrip("♭♯") for name in _shown(names).values()}
    return tuple(sorted(found, key=lambda name: (-len(name), name)))


def plain_text(text: str) -> str:
    """Return a text as names are read: `b` and `#` for ♭ and ♯, without accents."""
    return unicodedata.normalize("NFC", text).translate(_PLAIN)


def beginnings(text: str, names: Names) -> Iterator[tuple[Spelled, str]]:
    """Yield every tone whose name a text may begin with, and the rest of the text, the longest name first.

    Args:
        text: a text as `plain_text` returns it.
        names: how tones are named.
    """
    known = _read(names)
    for length in range(max(map(len, known)), 0, -1):
        if len(text) >= length and text[:length] in known:
            yield known[text[:length]], text[length:]


def whose(text: str, current: Names) -> tuple[Names, Spelled] | None:
    """Tell which way to name tones has a name, and which tone it is; None for no name of a tone.

    Args:
        text: the name; whether it has a capital is passed over.
        current: the way that is asked first.
    """
    wanted = plain_text(text)
    wanted = wanted[:1].upper() + wanted[1:]
    order = dict.fromkeys((current, *Names))
    return next(((names, _read(names)[wanted]) for names in order if wanted in _read(names)), None)
