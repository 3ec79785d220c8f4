"""Harmony: a chord symbol as MusicXML."""

from xml.etree.ElementTree import Element

from deckbuilder.notation.description import BAR, ChordSymbol
from deckbuilder.notation.elements import add
from deckbuilder.notation.values import Value


def write_harmony(measure: Element, chord: ChordSymbol, before: Value) -> None:
    """Write a chord symbol before the note or rest in whose time it stands.

    Args:
        measure: the element of the measure.
        chord: the symbol.
        before: the note or rest.
    """
    harmony = add(measure, "harmony")
    _tone(harmony, "root", chord.root)
    add(harmony, "kind", chord.kind, text=chord.text)
    if chord.bass:
        _tone(harmony, "bass", chord.bass)
    for degree, alter in chord.alterations:
        # The kind's text tells it already.
        changed = add(harmony, "degree", **{"print-object": "no"})
        add(changed, "degree-value", degree)
        add(changed, "degree-alter", alter)
        add(changed, "degree-type", "alter" if degree == 5 else "add")
    later = chord.onset % BAR - before.onset
    if later:
        add(harmony, "offset", later)
    add(harmony, "staff", 1)


def _tone(parent: Element, name: str, tone: str) -> None:
    element = add(parent, name)
    add(element, f"{name}-step", tone[0])
    if alter := tone.count("#") - tone.count("b"):
        add(element, f"{name}-alter", alter)
