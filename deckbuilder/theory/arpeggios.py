"""Arpeggios over a sounding chord: where they start, what they hold, and why they fit.

Rule: the carriers of a chord are the sevenths of its scale that hold both its guide tones. If a carrier stands on the
chord's own root, it is `root`: the chord itself, in a whole-tone scale with its fifth raised. `third` is then the
carrier on the chord's third. If none stands there (altered), `root` is the carrier that is itself a dominant seventh,
the tritone substitute, and `third` the carrier on that arpeggio's third (common practice, no source).
Two kinds of chord are no sevenths and are themselves `root`. Over a sixth chord no seventh on the third holds the
sixth: `third` is the seventh that the scale stacks there. A suspended chord has no third: `third` starts from its
fifth, the minor seventh that suspends it (common practice, no source).
A chord over itself is spelled as it sounds; one on its third takes a name of its root that needs no tone respelled.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

from deckbuilder.theory.chords import DOMINANT, SUSPENDED, Chord, sevenths_within, stacked_sevenths
from deckbuilder.theory.colours import COLOURS
from deckbuilder.theory.functions import Harmony, harmony
from deckbuilder.theory.tones import TheoryError, Tone, plain


class Source(StrEnum):
    """Where an arpeggio starts."""

    ROOT = "root"
    THIRD = "third"


class Relation(StrEnum):
    """What an arpeggio is to the chord it is played over."""

    ITSELF = "itself"
    """The chord's own tones."""
    STACKED_ON_THIRD = "stacked-on-third"
    """The seventh chord that the scale stacks on the chord's third; on the fifth of a chord without a third."""
    TRITONE_SUBSTITUTE = "tritone-substitute"
    """The dominant seventh a tritone away, which shares both guide tones."""
    SUBSTITUTE_THIRD = "substitute-third"
    """The carrier stacked on the tritone substitute's third."""


@dataclass(frozen=True, slots=True)
class Reason:
    """Why an arpeggio fits its chord, as data.

    Args:
        relation: what the arpeggio is to the chord.
        guides: the guide tones of the sounding chord that it holds, each with its degree; over a sixth chord, the
            arpeggio from the third holds only one.
        others: its remaining tones, each with its degree.
        start: the degree of its root against the sounding chord.
    """

    relation: Relation
    guides: tuple[tuple[str, Tone], ...]
    others: tuple[tuple[str, Tone], ...]
    start: str


@dataclass(frozen=True, slots=True)
class Arpeggio:
    """An arpeggio over a sounding chord.

    Args:
        harmony: the chord that sounds.
        source: where the arpeggio starts.
        chord: the arpeggio's own chord, spelled as it is shown.
        degrees: its tones against the sounding chord, in the order of `chord.tones`, ASCII.
        reason: why it fits.
    """

    harmony: Harmony
    source: Source
    chord: Chord
    degrees: tuple[str, ...]
    reason: Reason


@lru_cache(maxsize=4096)
def carriers(harmony: Harmony) -> tuple[Chord, ...]:
    """Return the sevenths of a chord's scale that hold both its guide tones, spelled by the scale.

    Args:
        harmony: the sounding chord.
    """
    guides = {tone.pitch_class for tone in harmony.chord.guide_tones}
    return tuple(chord for chord in sevenths_within(harmony.scale.tones) if guides <= chord.pitch_classes)


@lru_cache(maxsize=4096)
def arpeggio(harmony: Harmony, source: Source) -> Arpeggio:
    """Return the arpeggio that starts from the root or from the third of a sounding chord.

    Args:
        harmony: the sounding chord.
        source: where the arpeggio starts.

    Raises:
        TheoryError: the chord's scale holds no such arpeggio.
    """
    own = _own(harmony)
    if own is not None:
        relation = Relation.ITSELF if source is Source.ROOT else Relation.STACKED_ON_THIRD
        chord = own if source is Source.ROOT else _from_third(harmony, own)
    else:
        relation = Relation.TRITONE_SUBSTITUTE if source is Source.ROOT else Relation.SUBSTITUTE_THIRD
        substitute = _dominant_carrier(harmony)
        chord = substitute if source is Source.ROOT else _restacked(substitute, harmony)
    degrees = tuple(harmony.degree_of(tone) for tone in chord.tones)
    return Arpeggio(harmony, source, chord, degrees, _reason(relation, harmony, chord, degrees))


@lru_cache(maxsize=4096)
def arpeggios(harmony: Harmony) -> tuple[Arpeggio, ...]:
    """Return the arpeggios over a sounding chord, those of the same tones once, by sources in their order.

    Args:
        harmony: the sounding chord.
    """
    found: dict[frozenset[int], Arpeggio] = {}
    for source in Source:
        try:
            made = arpeggio(harmony, source)
        except TheoryError:  # a scale of six or eight tones stacks no seventh on some tones
            continue
        found.setdefault(made.chord.pitch_classes, made)
    return tuple(found.values())


def under_simplest_colour(asked: Arpeggio) -> Arpeggio:
    """Return an arpeggio over the same chord in its plain colour or the key's scale, where that gives the same one.

    Lydian dominant has the arpeggios of the plain dominant: they are one fact, not two.

    Args:
        asked: the arpeggio.
    """
    sounding = asked.harmony
    simplest = harmony(sounding.key, sounding.function, COLOURS["plain"] if sounding.colour else None)
    if not simplest.chord.pitch_classes <= simplest.scale.pitch_classes:
        return asked
    same = (made for made in arpeggios(simplest) if made.source is asked.source)
    return next((made for made in same if made.chord == asked.chord), asked)


def _own(harmony: Harmony) -> Chord | None:
    """Return the sounding chord as its scale gives it, None where the scale has no such chord."""
    own = _on(harmony.chord.root, carriers(harmony))
    if own is not None:
        return own
    return harmony.chord if harmony.chord.pitch_classes <= harmony.scale.pitch_classes else None


def _from_third(harmony: Harmony, own: Chord) -> Chord:
    start = own.tones[2] if own.quality == SUSPENDED else own.tones[1]
    stacked = _on(start, carriers(harmony)) or _on(start, stacked_sevenths(harmony.scale.tones))
    if stacked is None:
        raise TheoryError(f"the scale of {harmony.label} stacks no seventh chord on {start.label}")
    return stacked.readable


def _on(root: Tone, chords: Iterable[Chord]) -> Chord | None:
    return next((chord for chord in chords if chord.root.pitch_class == root.pitch_class), None)


def _carrier_on(harmony: Harmony, root: Tone) -> Chord:
    chord = _on(root, carriers(harmony))
    if chord is None:
        raise TheoryError(f"no seventh chord on {root.label} holds both guide tones of {harmony.label}")
    return chord


def _dominant_carrier(harmony: Harmony) -> Chord:
    for chord in carriers(harmony):
        if chord.quality == DOMINANT:
            return Chord.stacked(plain(chord.root.pitch_class), DOMINANT)
    raise TheoryError(f"the scale of {harmony.label} holds no dominant seventh with both its guide tones")


def _restacked(substitute: Chord, harmony: Harmony) -> Chord:
    third = substitute.tones[1]
    return Chord.stacked(third, _carrier_on(harmony, third).quality)


def _reason(relation: Relation, harmony: Harmony, chord: Chord, degrees: tuple[str, ...]) -> Reason:
    guides = {tone.pitch_class for tone in harmony.chord.guide_tones}
    named = tuple(zip(degrees, chord.tones, strict=True))
    return Reason(
        relation,
        tuple(pair for pair in named if pair[1].pitch_class in guides),
        tuple(pair for pair in named if pair[1].pitch_class not in guides),
        degrees[0],
    )
