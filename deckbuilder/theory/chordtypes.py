"""Chord types: what follows a root in a chord symbol, in every common way to write it.

Conventions: a type is a quality and its tensions, named as degrees in ASCII (`b9`, `#11`); `alt` stands for all
altered tensions at once. An eleventh or a thirteenth on a seventh brings the ninth along. A fifth that a tension alters
is not sounded beside it.
Source of the spellings: common practice, no source.
"""

import re
from dataclasses import dataclass
from functools import lru_cache

from deckbuilder.suggestions import nearest
from deckbuilder.theory.chords import DOMINANT, QUALITIES, SIXTHS_AND_SUSPENDED, TRIADS, Quality
from deckbuilder.theory.colours import COLOURS, Colour, colour_scale
from deckbuilder.theory.tones import TheoryError, Tone

EXAMPLES = "maj7, m7, 7, 7alt, 7b9, 9, 13, m7b5, dim7, 7sus4, 6, m6, mMaj7"
"""Types that errors name as a remedy."""

_USUAL = f"{EXAMPLES}, m, dim, aug, sus4, maj9, maj7#11, m9, m11, 9sus4, 13sus4, 7#9, 7#11, 7b13, 7#5, 6/9, add9".split(
    ", "
)
"""Types of which errors suggest the nearest."""

_EVERY = {**QUALITIES, **SIXTHS_AND_SUSPENDED, **TRIADS}
_SEMITONES = {"b5": 6, "#5": 8, "b9": 1, "9": 2, "#9": 3, "11": 5, "#11": 6, "b13": 8, "13": 9}
_ALTERED_FIFTHS = {"b5", "#5"}
_ALTERED_NINTHS = {"b9", "#9"}
_EXTENSIONS = {"7": (), "9": ("9",), "11": ("9", "11"), "13": ("9", "13")}
_MAJOR, _MINOR, _SIXTH = "(?:[Mm]aj|ma(?!dd|lt)|M(?!in))", "(?:[Mm]in|mi|m|-)", "(?:69|6/9|6)"
_NUMBER = "(?P<number>7|9|11|13)"

_HEADS: tuple[tuple[re.Pattern[str], str, str], ...] = tuple(
    (re.compile(pattern), seventh, triad)
    for pattern, seventh, triad in (
        (f"{_MINOR}{_MAJOR}{_NUMBER}?", "mMaj7", "mMaj7"),
        (f"(?:aug|\\+){_MAJOR}{_NUMBER}", "maj7#5", ""),
        (f"{_MAJOR}(?P<sixth>{_SIXTH})", "", "6"),
        (f"{_MAJOR}{_NUMBER}?", "maj7", ""),
        ("h(?:dim)?(?P<number>7|9|11)?", "m7b5", "m7b5"),
        ("(?:dim|o)(?P<number>7)?", "dim7", "dim"),
        ("(?:aug|\\+)(?P<number>7|9|13)?(?![0-9])", "7#5", "aug"),
        (f"{_MINOR}(?P<sixth>{_SIXTH})", "", "m6"),
        (f"{_MINOR}{_NUMBER}?", "m7", "m"),
        (f"(?P<sixth>{_SIXTH})", "", "6"),
        (f"(?:dom)?{_NUMBER}", "7", ""),
        ("", "", ""),
    )
)
"""What a type begins with: the pattern, the quality with a number and the quality without one; `7#5` is read as a
dominant with a tension. The first that fits is taken."""

_TAIL = re.compile(r"(?P<add>add)?(?P<sign>[b#+-]?)(?P<degree>13|11|9|5|4|2)|(?P<word>sus4?(?!\d)|alt|\+)")
_WRITTEN = str.maketrans({"♭": "b", "♯": "#", "−": "-", "–": "-", "(": "", ")": "", ",": "", " ": ""})
_SIGNS = {"": "", "b": "b", "-": "b", "#": "#", "+": "#"}
_NAMES = {"4": "11", "2": "9"}


@dataclass(frozen=True, slots=True)
class ChordType:
    """A quality and its tensions.

    Args:
        quality: a triad, a sixth or a seventh; an altered fifth of a dominant is a tension.
        tensions: degrees that are written, in the order of `_SEMITONES`, or `alt` alone.
    """

    quality: Quality
    tensions: tuple[str, ...] = ()

    @property
    def is_dominant(self) -> bool:
        """Whether it is a dominant seventh, which has a colour."""
        return self.quality == DOMINANT

    @property
    def suffix(self) -> str:
        """The usual way to write it, ASCII: `7alt`, `13b9`, `m9`; `parse_type` reads it back."""
        natural = [tension for tension in ("13", "11", "9") if tension in self.tensions]
        altered = "".join(tension for tension in self.tensions if tension[0] in "b#a")
        if not natural:
            return self.quality.suffix + altered
        if "7" in self.quality.suffix and self.quality.suffix != "dim7":
            return self.quality.suffix.replace("7", natural[0], 1) + altered
        added = "9" if natural == ["9"] and "6" in self.quality.suffix else "".join(f"add{name}" for name in natural)
        return self.quality.suffix + added + altered

    @property
    def semitones(self) -> frozenset[int]:
        """What is sounded, in semitones above the root modulo 12; of `alt` only what every altered chord shares."""
        tensions = set(self.tensions) - {"alt"}
        fifth_altered = bool(tensions & _ALTERED_FIFTHS) or "alt" in self.tensions
        stack = {step for step in self.quality.semitones if step != 7 or not fifth_altered}
        return frozenset(stack | {_SEMITONES[tension] for tension in tensions})

    def allows(self, colour: str) -> bool:
        """Whether a colour holds every tension that is written.

        Args:
            colour: a dominant colour's name.
        """
        if "alt" in self.tensions:
            return colour == "altered"
        wanted = {_SEMITONES[tension] for tension in self.tensions}
        return self.is_dominant and wanted <= _semitones(COLOURS[colour])

    @property
    def colours(self) -> tuple[str, ...]:
        """The dominant colours that fit what is written; none for a chord that is no dominant.

        They hold every tension. A ♯9 without a 13 is read as altered, not as diminished; a ♯5 shuts out the colours
        with a perfect fifth.
        """
        unwanted = {7} if "#5" in self.tensions else set()
        if "#9" in self.tensions and "13" not in self.tensions:
            unwanted.add(9)
        return tuple(name for name in COLOURS if self.allows(name) and not unwanted & _semitones(COLOURS[name]))


def parse_type(suffix: str) -> ChordType:
    """Read what follows the root in a chord symbol.

    Args:
        suffix: a type such as `maj7`, `Δ`, `-7`, `ø`, `7(b9,13)`, `+7`; empty for a major triad.

    Raises:
        TheoryError: the type is not understood, has no colour, or asks a chord that is no dominant to be altered.
    """
    written = re.sub("[Δ△∆](?=[0-9])", "maj", suffix.translate(_WRITTEN))
    written = re.sub("[Δ△∆]", "maj7", written)
    written = re.sub("[°º]", "dim", re.sub("[øØ]", "h", written))
    for pattern, seventh, triad in _HEADS:
        head = pattern.match(written)
        if head is not None:
            return _read(suffix, head, seventh, triad, written[head.end() :])
    raise AssertionError("the last head fits every text")


def _read(suffix: str, head: re.Match[str], seventh: str, triad: str, rest: str) -> ChordType:
    groups = head.groupdict()
    number = groups.get("number")
    name = seventh if number else triad
    tensions = set(_EXTENSIONS[number] if number else ())
    if "9" in (groups.get("sixth") or ""):
        tensions.add("9")
    if name == "7#5":
        name, tensions = "7", tensions | {"#5"}
    while rest:
        token = _TAIL.match(rest)
        if token is None:
            close = nearest(suffix, _USUAL)
            advice = f"did you mean {close!r}?" if close else f"write a type such as {EXAMPLES}"
            raise TheoryError(f"{rest!r} in {suffix!r} is not understood; {advice}")
        rest = rest[token.end() :]
        name = _with_token(suffix, name, tensions, token)
    return _settled(suffix, name, tensions)


def _with_token(suffix: str, name: str, tensions: set[str], token: re.Match[str]) -> str:
    """Add one written tension to `tensions` and return the quality's name, which some tensions change."""
    word = token["word"]
    if word == "+":
        tensions.add("#5")
    elif word == "alt":
        if name not in ("", "7"):
            raise TheoryError(f"{suffix!r} cannot be altered: only a dominant seventh can, such as 7alt")
        tensions.add("alt")
        return "7"
    elif word is not None:
        if name not in ("", "7"):
            raise TheoryError(f"{suffix!r} cannot be suspended: write sus4, 7sus4, 9sus4 or 13sus4")
        return "7sus4" if name else "sus4"
    else:
        degree = _SIGNS[token["sign"]] + _NAMES.get(token["degree"], token["degree"])
        if degree not in _SEMITONES:
            raise TheoryError(f"{token[0]!r} in {suffix!r} is no tension; choose from {', '.join(_SEMITONES)}")
        tensions.add(degree)
    return name


_FIFTHS = {("m7", "b5"): "m7b5", ("m", "b5"): "dim", ("maj7", "#5"): "maj7#5", ("", "#5"): "aug"}


def _settled(suffix: str, name: str, tensions: set[str]) -> ChordType:
    fifths = tensions & _ALTERED_FIFTHS
    if len(fifths) > 1 and name != "7":
        raise TheoryError(f"{suffix!r} has two altered fifths; only a dominant seventh can, such as 7alt")
    for fifth in fifths:
        if (name, fifth) in _FIFTHS:
            name, tensions = _FIFTHS[name, fifth], tensions - {fifth}
    if tensions & _ALTERED_NINTHS:
        tensions = tensions - {"9"}
    elif tensions & {"11", "13"} and "7" in name:
        tensions = tensions | {"9"}
    if "alt" in tensions:
        tensions = {"alt"}
    found = ChordType(_EVERY[name], tuple(tension for tension in (*_SEMITONES, "alt") if tension in tensions))
    if found.is_dominant and not found.colours:
        raise TheoryError(f"no dominant colour holds all tensions of {suffix!r}; write 7alt, 7b9, 7#11 or 13")
    return found


@lru_cache(maxsize=64)
def _semitones(colour: Colour) -> frozenset[int]:
    return colour_scale(Tone("C"), colour).pitch_classes
