"""Chord symbols: `Gm7`, `C7alt`, `F♯ø7`, `B♭Δ7/D`.

A symbol is a root, a type and, after a slash, the tone in the bass. Root and bass have the names of the current speech,
and the type is the same in all of them: `Bm7`, `H7`, `Esmaj7/G` with German names, `Solm7`, `Sib7alt` in solfège. The
root is the longest name with which the rest is a type: `Esus4` is a suspended E, `Esmaj7` stands on E♭. Nothing here
knows a key.
"""

import re
from contextlib import suppress
from dataclasses import dataclass

from deckbuilder.speech import Names, Speech, current, speaking
from deckbuilder.theory.chords import Quality
from deckbuilder.theory.chordtypes import EXAMPLES, ChordType, parse_type
from deckbuilder.theory.tones import TheoryError, Tone, choice, misnamed, pretty, tone_remedy

_BASS = re.compile(r"/(?!9)([^/]*)$")
"""What follows a slash; that of `C6/9` belongs to the type."""


@dataclass(frozen=True, slots=True)
class ChordSymbol:
    """A chord as it is written.

    Args:
        root: its root.
        type: its quality and tensions.
        bass: the tone under it; None for the root.
    """

    root: Tone
    type: ChordType
    bass: Tone | None = None

    @classmethod
    def parse(cls, text: str) -> "ChordSymbol":
        """Read a chord symbol.

        Args:
            text: a root, a type, and after a slash the bass.

        Raises:
            TheoryError: the symbol is not understood; it names the symbol and the remedy.
        """
        root, suffix, bass = split(text)
        return cls(root, parse_type(suffix), bass)

    @property
    def quality(self) -> Quality:
        """The chord's quality, a triad, a sixth or a seventh."""
        return self.type.quality

    @property
    def colours(self) -> tuple[str, ...]:
        """The dominant colours that fit what is written; none for a chord that is no dominant."""
        return self.type.colours

    @property
    def symbol(self) -> str:
        """ASCII symbol in the usual spelling, `Bbmaj7/D`."""
        return f"{self.root.name}{self.type.suffix}" + (f"/{self.bass.name}" if self.bass else "")

    @property
    def label(self) -> str:
        """Symbol for people, `B♭maj7/D`."""
        label = self.root.label + pretty(self.type.suffix)
        return f"{label}/{self.bass.label}" if self.bass else label

    @property
    def written(self) -> str:
        """The same in ASCII, as people write it."""
        return f"{self.root.written}{self.type.suffix}" + (f"/{self.bass.written}" if self.bass else "")

    @property
    def pitch_classes(self) -> frozenset[int]:
        """The pitch classes that sound, the bass among them."""
        bass = {self.bass.pitch_class} if self.bass else set()
        return frozenset({(self.root.pitch_class + step) % 12 for step in self.type.semitones} | bass)


def split(text: str) -> tuple[Tone, str, Tone | None]:
    """Divide a chord symbol into its root, what is written for its type, and its bass.

    Args:
        text: the symbol, in the names of the current speech.

    Raises:
        TheoryError: the symbol is not understood; it names the symbol and the remedy.
    """
    errors = []
    for root, rest in Tone.beginning(text.strip()):
        try:
            return root, *_type_and_bass(rest)
        except TheoryError as error:
            errors.append(error)
    remedy = _other_symbol(text)
    if remedy is None and errors:
        raise TheoryError(f"{text!r} is not a chord that is known here: {errors[0]}")
    raise TheoryError(f"{text!r} is not a chord; {remedy or f'write a root {choice()}, and a type such as {EXAMPLES}'}")


def _type_and_bass(rest: str) -> tuple[str, Tone | None]:
    """Divide what follows a root, whose type has to be understood."""
    found = _BASS.search(rest)
    suffix = rest[: found.start()] if found else rest
    parse_type(suffix)
    if found is None:
        return suffix, None
    try:
        return suffix, Tone.read(found[1])
    except TheoryError:
        raise TheoryError(f"{found[1]!r} is no tone for the bass; {tone_remedy(found[1])}") from None


def _other_symbol(text: str) -> str | None:
    """Return the remedy for a chord that would be one with a capital, or with other names of tones."""
    for names in dict.fromkeys((current().names, *Names)):
        with speaking(Speech(names=names)):
            found = _understood(text[:1].upper() + text[1:])
        if found is not None and names is current().names:
            return f"did you mean {found.written!r}?"
        if found is not None:
            return misnamed(names, found.written)
    return None


def _understood(text: str) -> ChordSymbol | None:
    for root, rest in Tone.beginning(text.strip()):
        with suppress(TheoryError):
            suffix, bass = _type_and_bass(rest)
            return ChordSymbol(root, parse_type(suffix), bass)
    return None
