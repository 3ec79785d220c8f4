"""Roman numerals: chords by their place in a key, `ii`, `V7alt`, `bVII7`, `V/V`, `subV`.

Conventions: steps count from the major scale on the tonic, in minor keys too (`bVI` in C minor is A♭). A small numeral
is a minor chord and takes its type from there: `ii7` is a minor seventh, `iiø7` a half-diminished one; a capital one is
major or as its type says. After a slash stands the chord that a chord leads to or leans on: `V/ii` is the dominant of
ii, `subV/V` its tritone substitute, `ii/IV` the ii that goes before it. `V/…` and `subV` are dominant sevenths even
where no type is written (common practice of jazz texts, no source).
"""

import re
from dataclasses import dataclass

from deckbuilder.theory.chords import DOMINANT
from deckbuilder.theory.chordtypes import EXAMPLES, ChordType, parse_type
from deckbuilder.theory.steps import NUMERALS, Step
from deckbuilder.theory.tones import TheoryError

_NUMERAL = r"[b#♭♯]?(?:VII|VI|IV|V|III|II|I|vii|vi|iv|v|iii|ii|i)"
_FORM = re.compile(rf"(?P<head>sub[Vv]|{_NUMERAL})(?P<suffix>.*?)(?:/(?P<target>{_NUMERAL}))?")
_MINOR_ALREADY = re.compile(r"m(?!aj)|[Mm]in|-|°|º|o|dim|ø|Ø|h")
_ALTERATIONS = {"b": -1, "♭": -1, "#": 1, "♯": 1}
_DOMINANT_STEP = Step(5)
_SUBSTITUTE_STEP = Step(2, -1)


@dataclass(frozen=True, slots=True)
class Numeral:
    """A chord by its place in a key.

    Args:
        step: where its root lies.
        type: its quality and tensions.
        target: the step that the writer says it leads to, `V/ii`; None where none is written.
    """

    step: Step
    type: ChordType
    target: Step | None = None

    @classmethod
    def parse(cls, text: str) -> "Numeral":
        """Read a Roman numeral.

        Raises:
            TheoryError: the numeral is not understood; it names the numeral and the remedy.
        """
        found = _FORM.fullmatch(text.strip())
        if found is None:
            raise TheoryError(
                f"{text!r} is not a Roman numeral; write I to VII or i to vii and a type such as {EXAMPLES}"
            )
        head, target = found["head"], _step(found["target"]) if found["target"] else None
        if head.startswith("sub"):
            step, target = _SUBSTITUTE_STEP, target or Step(1)
        else:
            step = _step(head)
        try:
            kind = parse_type(_minor(found["suffix"]) if head[-1] in "iv" else found["suffix"])
        except TheoryError as error:
            raise TheoryError(f"{text!r} is not a chord that is known here: {error}") from None
        if target is not None and not kind.quality.suffix and step in (_DOMINANT_STEP, _SUBSTITUTE_STEP):
            kind = ChordType(DOMINANT, kind.tensions)
        if head.startswith("sub") and not kind.is_dominant:
            raise TheoryError(f"{text!r} is no tritone substitute: one is a dominant seventh, such as subV7")
        return cls(step.above(target) if target else step, kind, target)


def looks_like_numeral(text: str) -> bool:
    """Whether a text begins as a Roman numeral rather than with the root of a chord symbol."""
    return re.match(rf"sub[Vv]|{_NUMERAL}", text) is not None


def _step(numeral: str) -> Step:
    alteration = _ALTERATIONS.get(numeral[0], 0)
    return Step(NUMERALS.index(numeral.lstrip("b#♭♯").upper()) + 1, alteration)


def _minor(suffix: str) -> str:
    """Return the type that a small numeral's suffix stands for."""
    return suffix if _MINOR_ALREADY.match(suffix) else f"m{suffix}"
