"""Movement: how a voice moves from chord to chord, in words."""

from collections.abc import Iterable, Sequence
from typing import Final

from deckbuilder.cards import words
from deckbuilder.speech import _, marked, plural, translate
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.tones import Tone, pretty

_INTERVALS: Final = (
    "",
    marked("a semitone"),
    marked("a whole step"),
    marked("a minor third"),
    marked("a major third"),
    marked("a fourth"),
    marked("a tritone"),
)
"""How far a voice goes; in other languages in the case that follows “it goes”."""


def interval(step: int) -> str:
    """Say how far a voice goes by its semitones, whichever way."""
    size = abs(step)
    if size < len(_INTERVALS):
        return translate(_INTERVALS[size])
    return plural("{count} semitone", "{count} semitones", size)


def question(first: Harmony, second: Harmony, start: str) -> str:
    """Ask for the nearest guide tone of the next chord: `From the ♭7 of C7alt: nearest guide tone of Fmaj7?`."""
    return _(
        "From the {degree} of {chord}: nearest guide tone of {next_chord}?",
        degree=pretty(start),
        chord=first.label,
        next_chord=second.label,
    )


def task(first: Harmony, second: Harmony, start: str) -> str:
    """Name a connection in short: `C7alt → Fmaj7 · from the ♭7`."""
    return words.joined(*title(first, second, start))


def title(first: Harmony, second: Harmony, start: str) -> tuple[str, str]:
    """Name the chords of a connection, and the degree that it starts from."""
    return f"{first.label} → {second.label}", _("from the {degree}", degree=pretty(start))


def step_taken(first: Harmony, second: Harmony, start: Tone, ends: Sequence[tuple[Tone, int]]) -> str:
    """Say how a guide tone goes on: `B♭ falls a semitone to the 3 of Fmaj7`.

    Args:
        first: the chord that is left.
        second: the chord that follows.
        start: the guide tone.
        ends: the tones it goes to and the semitones up; more than one where they are as near.
    """
    (nearest, step), *others = ends
    becomes, chord = pretty(second.degree_of(nearest)), second.label
    if step == 0:
        return _(
            "stays: the {degree} of {chord} becomes the {end} of {next_chord}",
            degree=pretty(first.degree_of(start)),
            chord=first.label,
            end=becomes,
            next_chord=chord,
        )
    if step > 0:
        said = _(
            "{tone} rises {interval} to the {end} of {chord}",
            tone=start.label,
            interval=interval(step),
            end=becomes,
            chord=chord,
        )
    else:
        said = _(
            "{tone} falls {interval} to the {end} of {chord}",
            tone=start.label,
            interval=interval(step),
            end=becomes,
            chord=chord,
        )
    for end, other in others:
        as_near = pretty(second.degree_of(end))
        if other > 0:
            said = _("{step}, or rises as far to the {end}", step=said, end=as_near)
        else:
            said = _("{step}, or falls as far to the {end}", step=said, end=as_near)
    return said


def answer(second: Harmony, ends: Iterable[Tone]) -> str:
    """Name the nearest tones of a chord: `A (3)`, and where two are as near `F♯ (3) or C (♭7)`.

    Args:
        second: the chord.
        ends: its tones.
    """
    return words.one_of(words.with_degree(tone, second) for tone in ends)
