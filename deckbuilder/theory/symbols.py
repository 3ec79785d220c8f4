"""Chord symbols: `Gm7`, `C7alt`, `F♯ø7`, `B♭Δ7/D`.

A symbol is a root, a type and, after a slash, the tone in the bass. Nothing here knows a key.
"""

import re
from dataclasses import dataclass

from deckbuilder.theory.chords import Quality
from deckbuilder.theory.chordtypes import EXAMPLES, ChordType, parse_type
from deckbuilder.theory.tones import TheoryError, Tone, pretty

_ROOT = re.compile(r"[A-G][b#♭♯]{0,2}")
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
            text: a root `A` to `G` with `b` or `#`, a type, and after a slash the bass.

        Raises:
            TheoryError: the symbol is not understood; it names the symbol and the remedy.
        """
        root = _ROOT.match(text.strip())
        if root is None:
            raise TheoryError(f"{text!r} is not a chord; write a root A to G and a type such as {EXAMPLES}")
        rest = text.strip()[root.end() :]
        bass = _BASS.search(rest)
        if bass and not _ROOT.fullmatch(bass[1]):
            raise TheoryError(
                f"{text!r}: {bass[1]!r} is no tone for the bass; write A to G with b or # after the slash, such as C/E"
            )
        try:
            kind = parse_type(rest[: bass.start()] if bass else rest)
            return cls(Tone.parse(root[0]), kind, Tone.parse(bass[1]) if bass else None)
        except TheoryError as error:
            raise TheoryError(f"{text!r} is not a chord that is known here: {error}") from None

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
    def pitch_classes(self) -> frozenset[int]:
        """The pitch classes that sound, the bass among them."""
        bass = {self.bass.pitch_class} if self.bass else set()
        return frozenset({(self.root.pitch_class + step) % 12 for step in self.type.semitones} | bass)
