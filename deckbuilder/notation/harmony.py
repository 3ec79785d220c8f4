"""Harmony: a chord symbol as MusicXML."""

from collections.abc import Iterator

from deckbuilder.notation.description import BAR, ChordSymbol
from deckbuilder.notation.elements import Markup, element, leaf
from deckbuilder.notation.values import Value


def harmony(chord: ChordSymbol, before: Value) -> Markup:
    """Write a chord symbol that stands before the note or rest in whose time it begins.

    Args:
        chord: the symbol.
        before: the note or rest.
    """
    return element("harmony", *_parts(chord, chord.onset % BAR - before.onset))


def _parts(chord: ChordSymbol, later: int) -> Iterator[Markup]:
    yield _tone("root", chord.root)
    yield leaf("kind", chord.kind, text=chord.text)
    if chord.bass:
        yield _tone("bass", chord.bass)
    for degree, alter in chord.alterations:
        # The kind's text tells it already.
        yield element(
            "degree",
            leaf("degree-value", degree),
            leaf("degree-alter", alter),
            leaf("degree-type", "alter" if degree == 5 else "add"),
            **{"print-object": "no"},
        )
    if later:
        yield leaf("offset", later)
    yield leaf("staff", 1)


def _tone(name: str, tone: str) -> Markup:
    alter = tone.count("#") - tone.count("b")
    return element(name, leaf(f"{name}-step", tone[0]), *([leaf(f"{name}-alter", alter)] if alter else []))
