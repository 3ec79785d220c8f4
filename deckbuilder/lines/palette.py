"""What a chord offers to a line: which tones are worth what, on which beat, and what each is called.

Conventions: tones are counted in semitones above the chord's root, 0 to 11. A dominant is *altered* where its colour
has an altered ninth or fifth. Common practice, no source: guide tones and, over an altered dominant, its tensions are
aimed at; fifths, ninths and natural thirteenths may stand on strong beats, a fourth above a major third or a root under
altered tensions rather not. What that costs is this project's design.
"""

from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Final

from deckbuilder.theory.degrees import degree
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.tones import Tone, plain

UNLAWFUL: Final = 1e4
"""Dearer than any lawful line, so that a law gives way only where the hand cannot keep it."""

_ALTERATIONS = frozenset({1, 3, 6, 8})
_NINTHS, _FOURTH, _TRITONE, _SIXTH = frozenset({1, 2, 3}), 5, 6, 9
_GUIDE, _ROOT, _FIFTH, _NINTH, _THIRTEENTH, _ELEVENTH = 0.0, 1.3, 0.6, 0.7, 1.2, 1.4
_ALTERED_GUIDE, _ALTERED_ROOT = 3.0, 6.0
_LETTERS = "CDEFGAB"
_PASSING = {(11, True, True): "M7", (8, False, True): "A5"}
"""Names of bebop's passing tones: the natural 7 down a dominant, the sharp 5 down a major chord."""
_BLUE = {3: ("m3", "b3"), 6: ("d5", "b5"), 1: ("m2", "b9"), 10: ("m7", "b7")}
"""Names of the blue notes over the I7 and the IV7 of a blues."""
_AWKWARD = {"Cb", "Fb", "E#", "B#"}
_SAID = (
    (("", "1"), ("#", "#1")),
    (("b", "b9"), ("", "9"), ("#", "#9")),
    (("b", "b3"), ("", "3")),
    (("", "11"), ("#", "#11")),
    (("b", "b5"), ("", "5"), ("#", "#5")),
    (("b", "b13"), ("", "13")),
    (("b", "b7"), ("", "7")),
)
"""What players call the steps of the major scale, plain and altered, from the root up."""


@dataclass(frozen=True)
class Palette:
    """The tones over a chord, in semitones above its root.

    Args:
        harmony: the chord as it sounds.
        played: the tones that may be played: its scale, or what a task leaves of it.
        chord: those of them that are tones of the chord and not altered by its colour.
        tensions: altered tones over a dominant.
        blue: tones of the blues scale outside the chord's own.
        free: whether chromatic tones may come between.
    """

    harmony: Harmony
    played: frozenset[int]
    chord: frozenset[int]
    tensions: frozenset[int]
    blue: frozenset[int]
    free: bool

    @cached_property
    def root(self) -> int:
        """The root's pitch class."""
        return self.harmony.chord.root.pitch_class

    @cached_property
    def guides(self) -> tuple[int, int]:
        """The third and the seventh, or what stands for them."""
        third, seventh = (tone.pitch_class for tone in self.harmony.chord.guide_tones)
        return (third - self.root) % 12, (seventh - self.root) % 12

    @cached_property
    def endings(self) -> frozenset[int]:
        """Tones on which a phrase may end: the 3, 5, 7 or 9 of its chord."""
        ninths = _NINTHS if self.tensions else {2}
        return self.played & {*self.guides, *(self.chord - {0}), *ninths} or self.played

    @cached_property
    def avoided(self) -> frozenset[int]:
        """Tones that pass only: those that do not stand on strong beats."""
        return frozenset(step for step in self.played if self.on_strong_beat(step) >= UNLAWFUL)

    def on_strong_beat(self, step: int) -> float:
        """Return what a tone costs on beat 1 or 3."""
        if step not in self.played:
            return UNLAWFUL
        if self.tensions:
            return self._on_altered(step)
        if step in self.guides:
            return _GUIDE
        if step in self.chord:
            return _FIFTH if step else _ROOT
        if step == 2:
            return _NINTH
        if step == _SIXTH:
            return _THIRTEENTH
        if self.free and not (step == _FOURTH and 3 in self.chord) and step != _TRITONE:
            return UNLAWFUL
        return _ELEVENTH

    def _on_altered(self, step: int) -> float:
        if step in self.tensions:
            return 0.0
        if step in self.guides:
            return _ALTERED_GUIDE
        return _ALTERED_ROOT if step == 0 else _FIFTH if step in self.chord else _NINTH

    def step_of(self, midi: int) -> int:
        """Return a pitch in semitones above the root, 0 to 11."""
        return (midi - self.root) % 12

    def named(self, midi: int, following: Tone | None) -> tuple[Tone, str]:
        """Name a note and its degree.

        Args:
            midi: the note.
            following: the name of the note after it, by which a chromatic tone is spelled; None for none.
        """
        step = self.step_of(midi)
        if step in self.blue:
            return self._blue(step)
        harmony = self.harmony
        if midi % 12 in harmony.names:
            own = harmony.names[midi % 12]
            return own, harmony.degree_of(own)
        passing = _PASSING.get((step, harmony.function.is_dominant, 4 in self.chord))
        return self._chromatic(harmony.chord.root.above(passing) if passing else _leading(midi % 12, following))

    def _blue(self, step: int) -> tuple[Tone, str]:
        interval, said = _BLUE[step]
        tone = self.harmony.chord.root.above(interval)
        return (plain(tone.pitch_class) if tone.name in _AWKWARD else tone), said

    def _chromatic(self, tone: Tone) -> tuple[Tone, str]:
        root = self.harmony.chord.root
        return tone, _said(root, tone) or degree(tone.pitch_class - root.pitch_class, self.chord, self.played)


@lru_cache(maxsize=4096)
def palette(harmony: Harmony, allowed: frozenset[int] | None = None, blues_tonic: int | None = None) -> Palette:
    """Return what a chord offers.

    Args:
        harmony: the chord as it sounds.
        allowed: the only pitch classes to play; None for its scale and chromatic tones.
        blues_tonic: the tonic's pitch class over a dominant that belongs to a blues; None elsewhere.
    """
    root = harmony.chord.root.pitch_class
    scale = frozenset((pitch_class - root) % 12 for pitch_class in harmony.scale.pitch_classes)
    played = scale if allowed is None else frozenset((pitch_class - root) % 12 for pitch_class in allowed)
    chord = frozenset((tone.pitch_class - root) % 12 for tone in harmony.stable_tones)
    # A sharp eleventh beside a perfect fifth does not make a dominant altered, nor does a fifth that is in the chord.
    altered = (played & _ALTERATIONS) - chord - ({6} if 7 in scale else set())
    blue: frozenset[int] = frozenset()
    if blues_tonic is not None and allowed is None:
        blue = frozenset((blues_tonic + step - root) % 12 for step in (3, 6)) - scale
    return Palette(
        harmony,
        played,
        chord & played,
        altered if harmony.function.is_dominant else frozenset(),
        blue,
        allowed is None,
    )


def _leading(pitch_class: int, following: Tone | None) -> Tone:
    """Spell a chromatic tone on the letter next to the tone to which it leads by a semitone."""
    if following is not None:
        for apart, letters in ((1, -1), (11, 1)):
            if (following.pitch_class - pitch_class) % 12 == apart:
                letter = _LETTERS[(_LETTERS.index(following.letter) + letters) % 7]
                accidental = (pitch_class - Tone(letter).pitch_class + 6) % 12 - 6
                named = Tone(letter, accidental)
                return plain(pitch_class) if named.name in _AWKWARD or abs(accidental) > 1 else named
    return plain(pitch_class)


def _said(root: Tone, tone: Tone) -> str:
    """Return the degree that a tone's name says, `#5` or `b9`; empty where no player calls it so."""
    number = (_LETTERS.index(tone.letter) - _LETTERS.index(root.letter)) % 7
    natural = (0, 2, 4, 5, 7, 9, 11)[number]
    altered = (tone.pitch_class - root.pitch_class - natural + 6) % 12 - 6
    said = {"b": altered == -1, "": altered == 0, "#": altered == 1}
    return next((name for sign, name in _SAID[number] if said[sign]), "")
