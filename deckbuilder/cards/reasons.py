"""Reasons: why an answer is right, in one line, as plain text with ♭ and ♯."""

from collections import defaultdict
from collections.abc import Iterable, Sequence

from deckbuilder.cards.words import (
    functions,
    listed,
    ordinal,
    tone_name,
    with_degree,
)
from deckbuilder.theory.arpeggios import Arpeggio, Relation, Source
from deckbuilder.theory.arpeggios import arpeggio as arpeggio_over
from deckbuilder.theory.colours import Colour
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.keys import Key
from deckbuilder.theory.scales import PARENT_NAMES
from deckbuilder.theory.tones import Tone, plain, pretty

_THIRD_AND_SEVENTH = "3rd and 7th"
_STEPS = {"3": "third", "b3": "minor third", "5": "fifth"}
"""Degrees on which an arpeggio is built, as they are said."""


def why_guide_tones(chords: Iterable[Harmony]) -> str:
    """List the guide tones of changes, third and seventh of each chord or what stands for them: 6th, 4th."""
    tones, owners = [], defaultdict[str, list[str]](list)
    for chord in chords:
        tones.append(" ".join(tone.label for tone in chord.chord.guide_tones))
        owners[" and ".join(map(ordinal, map(chord.degree_of, chord.chord.guide_tones)))].append(chord.chord.label)
    usual, *others = sorted(owners, key=lambda degrees: degrees != _THIRD_AND_SEVENTH)
    named = (f"{degrees} of {listed(dict.fromkeys(owners[degrees]))}" for degrees in others)
    return f"Guide tones, {', '.join([f'{usual} of each chord', *named])}: {' – '.join(tones)}."


def why_connection(second: Harmony, ends: Sequence[Tone]) -> str:
    """Say in one line what the nearest guide tones are to their chord.

    Args:
        second: the chord that follows.
        ends: its nearest guide tones, more than one where they are as near.
    """
    if len(ends) > 1:
        both = listed(tone.label for tone in ends)
        return f"{both} are the guide tones of {second.label}: either makes the change heard."
    (guide,) = ends
    others = [with_degree(tone, second) for tone in second.chord.guide_tones if tone != guide]
    farther = f" Its other guide tone, {listed(others)}, lies farther." if others else ""
    return f"{guide.label} is a guide tone of {second.label}: this one tone makes the change heard.{farther}"


def why_arpeggio(arpeggio: Arpeggio) -> str:
    """Say in one line why an arpeggio fits its chord."""
    reason, chord = arpeggio.reason, arpeggio.harmony.label
    guides, others = _named_guides(reason.guides, arpeggio.harmony), _named(reason.others)
    match reason.relation:
        case Relation.ITSELF:
            return f"The chord itself: its guide tones {guides} say what kind of chord it is."
        case Relation.STACKED_ON_THIRD:
            own = arpeggio_over(arpeggio.harmony, Source.ROOT)
            added = _named(pair for pair in reason.others if pair[1].pitch_class not in own.chord.pitch_classes)
            left = [
                "the root" if degree == "1" else f"the {ordinal(degree)}"
                for degree, tone in zip(own.degrees, own.chord.tones, strict=True)
                if tone.pitch_class not in arpeggio.chord.pitch_classes
            ]
            kept = "guide tones" if len(reason.guides) > 1 else "guide tone"
            start = f"Built on the {_STEPS.get(reason.start, pretty(reason.start))} of {chord}"
            return f"{start}: keeps the {kept} {guides}, trades {listed(left)} for {added}."
        case Relation.TRITONE_SUBSTITUTE:
            return (
                f"{arpeggio.chord.label} is the tritone substitute of {arpeggio.harmony.chord.label}: "
                f"the same guide tones {guides}, with {others} for colour."
            )
        case Relation.SUBSTITUTE_THIRD:
            return (
                f"Built on the third of {_substitute(arpeggio)}, the tritone substitute: "
                f"the guide tones {guides}, coloured by {others}."
            )


def by_any_name(why: str, tones: Iterable[Tone]) -> str:
    """Add to a reason of a card on which tones are named that an accidental may be the other one.

    Args:
        why: the reason.
        tones: the tones that are named.
    """
    if all(tone.accidental == 0 for tone in tones):
        return why
    return f"{why} Another name of the same fret is right too."


def serving_too(why: str, over: str) -> str:
    """Add to a reason that the same shape serves another chord: `The same shape lies over B♭maj7 · IV in F.`."""
    return f"{why} The same shape lies {over}."


def why_key_scale(chords: Iterable[Harmony], key: Key) -> str:
    """Say in one line what the key's scale is for in the cadence."""
    return f"{functions(chords)} of {key.label} all draw on it: one scale carries the whole cadence."


def why_key_scale_in(title: str, chords: Sequence[Harmony], *, alone: bool) -> str:
    """Say in one line what the key's scale is for in changes of one's own.

    Args:
        title: what the player calls the changes.
        chords: those that draw on it.
        alone: whether no other chord is there.
    """
    if alone:
        return f"Every chord of “{title}” draws on it."
    labels = tuple(dict.fromkeys(chord.label for chord in chords))
    draw = "draws" if len(labels) == 1 else "draw"
    return f"In “{title}” {listed(labels)} {draw} on it; the other chords bring tones of their own."


def why_colour_scale(dominant: Harmony) -> str:
    """Say in one line where a dominant's scale comes from and what it keeps.

    Args:
        dominant: the chord, with its colour.

    Raises:
        ValueError: the chord has no colour.
    """
    if dominant.colour is None:
        raise ValueError(f"{dominant.label} has no colour")
    held = ((dominant.degree_of(tone), tone) for tone in dominant.scale.tones if _is_guide(tone, dominant))
    guides = _named_guides(held, dominant)
    gives = pretty(dominant.colour.gives)
    return f"{_source(dominant, dominant.colour)}: keeps the guide tones {guides}, gives {gives}."


def _source(dominant: Harmony, colour: Colour) -> str:
    """Say which scale a colour is a mode of; of one that is none, its degrees."""
    root = dominant.chord.root
    if not colour.parent:
        return f"From {root.label} up {' '.join(pretty(dominant.degree_of(tone)) for tone in dominant.scale.tones)}"
    tonic = plain(root.above(colour.tonic).pitch_class)
    parent = f"{tonic.label} {PARENT_NAMES[colour.parent]}"
    return f"The same notes as {parent}, heard over {root.label}" if tonic != root else f"{parent} from its own root"


def why_chord_scale(harmony: Harmony) -> str:
    """Say in one line what a chord's scale keeps of it and what it has that the key has not."""
    key, guides = harmony.key, harmony.chord.guide_tones
    kept = " and ".join(with_degree(tone, harmony) for tone in guides)
    outside = [tone.label for tone in harmony.scale.tones if tone.pitch_class not in key.scale.pitch_classes]
    foreign = f", and brings {listed(outside)} into {key.label}" if outside else ""
    mode = harmony.mode
    draws = (
        f"{harmony.label} draws on it" if mode == harmony.scale else f"{harmony.scale.label} from {mode.tonic.label}"
    )
    return f"{draws}: it holds the guide tones {kept}{foreign}."


def _named(pairs: Iterable[tuple[str, Tone]]) -> str:
    return " and ".join(f"{tone.label} ({pretty(degree)})" for degree, tone in pairs)


def _named_guides(pairs: Iterable[tuple[str, Tone]], harmony: Harmony) -> str:
    """Name guide tones with their degrees: `F♭ = E (3)`."""
    return " and ".join(f"{tone_name(tone, harmony)} ({pretty(degree)})" for degree, tone in pairs)


def _substitute(arpeggio: Arpeggio) -> str:
    return arpeggio_over(arpeggio.harmony, Source.ROOT).chord.label


def _is_guide(tone: Tone, harmony: Harmony) -> bool:
    return tone.pitch_class in {guide.pitch_class for guide in harmony.chord.guide_tones}
