"""Steps: where a root lies in a key, as Roman numerals count.

Convention of jazz and popular music: steps count from the major scale on the tonic, in minor keys too, so that the
sixth of C minor is ♭6 and its chord ♭VI (common practice, no source; the older habit calls it VI).
"""

import re
from dataclasses import dataclass

from deckbuilder.theory.keys import Key
from deckbuilder.theory.tones import Tone, exactly_above, plain

NUMERALS = ("I", "II", "III", "IV", "V", "VI", "VII")

_LETTERS = "CDEFGAB"
_MAJOR = (0, 2, 4, 5, 7, 9, 11)
_SIGNS = {-1: "b", 0: "", 1: "#"}
_USUAL = ((1, 0), (2, -1), (2, 0), (3, -1), (3, 0), (4, 0), (5, -1), (5, 0), (6, -1), (6, 0), (7, -1), (7, 0))
_MINOR_STEPS = {(3, -1), (6, -1), (7, -1)}
_FLAT = re.compile("(?<!su)b")
_AWKWARD = {"Cb", "Fb", "E#", "B#"}


@dataclass(frozen=True, slots=True, order=True)
class Step:
    """A place in a key.

    Args:
        number: 1 to 7.
        alteration: semitones it is raised above the major scale (negative: lowered), -1 to 1.
    """

    number: int
    alteration: int = 0

    @classmethod
    def of(cls, tone: Tone, key: Key) -> "Step":
        """Return where a tone lies in a key: by its letter, unless that would hide what it is.

        Args:
            tone: the tone.
            key: the key.
        """
        semitones = (tone.pitch_class - key.tonic.pitch_class) % 12
        number = (_LETTERS.index(tone.letter) - _LETTERS.index(key.tonic.letter)) % 7 + 1
        alteration = (semitones - _MAJOR[number - 1] + 6) % 12 - 6
        usual = cls(*_USUAL[semitones])
        return usual if abs(alteration) > 1 or usual.is_in(key) else cls(number, alteration)

    @property
    def semitones(self) -> int:
        """Semitones above the tonic, 0 to 11."""
        return (_MAJOR[self.number - 1] + self.alteration) % 12

    @property
    def numeral(self) -> str:
        """Roman numeral in capitals, ASCII: `bVII`."""
        return _SIGNS[self.alteration] + NUMERALS[self.number - 1]

    @property
    def lowered(self) -> "Step":
        """The same place as a step of the major scale or as a lowered one: `#IV` as `bV`."""
        return Step(*_USUAL[self.semitones])

    def numeral_of(self, *, minor: bool) -> str:
        """Return the Roman numeral of a chord on this step, ASCII: small for a minor chord.

        Args:
            minor: whether the chord has a minor third.
        """
        return self.numeral.lower() if minor else self.numeral

    def is_in(self, key: Key) -> bool:
        """Whether the step belongs to the key: to its major, natural or harmonic minor scale."""
        return self.alteration == 0 or (key.minor and (self.number, self.alteration) in _MINOR_STEPS)

    def above(self, other: "Step") -> "Step":
        """Return the step as far above another one as this step is above the tonic.

        Args:
            other: the step that stands for the tonic.
        """
        semitones = (self.semitones + other.semitones) % 12
        number = (self.number + other.number - 2) % 7 + 1
        alteration = (semitones - _MAJOR[number - 1] + 6) % 12 - 6
        return Step(number, alteration) if abs(alteration) <= 1 else Step(*_USUAL[semitones])

    def tone_in(self, key: Key) -> Tone:
        """Return the tone on this step of a key.

        A tone that is not in the key takes its natural or flat name rather than C♭, F♭, E♯, B♯ or a double accidental.

        Args:
            key: the key.
        """
        exact = exactly_above(key.tonic, self._interval).simplified()
        return plain(exact.pitch_class) if exact.name in _AWKWARD and not self.is_in(key) else exact

    @property
    def _interval(self) -> str:
        perfect = self.number in (1, 4, 5)
        # The lowered tonic is the seventh step under another name; counted up, its octave is diminished.
        number = 8 if (self.number, self.alteration) == (1, -1) else self.number
        return {-1: "d" if perfect else "m", 0: "P" if perfect else "M", 1: "A"}[self.alteration] + str(number)


def roman_label(name: str) -> str:
    """Turn an ASCII numeral into the one people read: `bVII7` to `♭VII7`, `iim7b5` to `iiø7`, `viidim7` to `vii°7`."""
    name = name.replace("m7b5", "ø7").replace("dim7", "°7")
    return _FLAT.sub("♭", name).replace("#", "♯")
