"""Reasons: why an answer is right, in one line, as plain text with ♭ and ♯."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from typing import Final

from deckbuilder.cards.words import (
    degree_word,
    functions,
    listed,
    tone_name,
    with_degree,
)
from deckbuilder.speech import _, marked, plural, translate
from deckbuilder.theory.arpeggios import Arpeggio, Relation, Source
from deckbuilder.theory.arpeggios import arpeggio as arpeggio_over
from deckbuilder.theory.colours import Colour
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.keys import Key
from deckbuilder.theory.scales import PARENT_NAMES, scale_label
from deckbuilder.theory.tones import Tone, plain, pretty

_STARTS: Final = {
    "3": marked("Built on the third of {chord}"),
    "b3": marked("Built on the minor third of {chord}"),
    "5": marked("Built on the fifth of {chord}"),
}
"""Degrees on which an arpeggio is built, as they are said."""


def why_guide_tones(chords: Iterable[Harmony]) -> str:
    """List the guide tones of changes, third and seventh of each chord or what stands for them: 6th, 4th."""
    tones, owners = [], defaultdict[tuple[str, ...], list[str]](list)
    for chord in chords:
        tones.append(" ".join(tone.label for tone in chord.chord.guide_tones))
        degrees = (chord.degree_of(tone).lstrip("b#") for tone in chord.chord.guide_tones)
        owners[tuple(degrees)].append(chord.chord.label)
    usual, *others = sorted(owners, key=lambda degrees: degrees != _THIRD_AND_SEVENTH)
    named = [_("{degrees} of each chord", degrees=_degree_words(usual))]
    named += [
        _("{degrees} of {chords}", degrees=_degree_words(degrees), chords=listed(dict.fromkeys(owners[degrees])))
        for degrees in others
    ]
    return _("Guide tones, {degrees}: {tones}.", degrees=", ".join(named), tones=" – ".join(tones))


_THIRD_AND_SEVENTH: Final = ("3", "7")


def _degree_words(degrees: Iterable[str]) -> str:
    return listed(map(degree_word, degrees))


def why_connection(second: Harmony, ends: Sequence[Tone]) -> str:
    """Say in one line what the nearest guide tones are to their chord.

    Args:
        second: the chord that follows.
        ends: its nearest guide tones, more than one where they are as near.
    """
    if len(ends) > 1:
        return _(
            "{tones} are the guide tones of {chord}: either makes the change heard.",
            tones=listed(tone.label for tone in ends),
            chord=second.label,
        )
    (guide,) = ends
    why = _(
        "{tone} is a guide tone of {chord}: this one tone makes the change heard.",
        tone=guide.label,
        chord=second.label,
    )
    others = [with_degree(tone, second) for tone in second.chord.guide_tones if tone != guide]
    if not others:
        return why
    return " ".join((why, _("Its other guide tone, {tone}, is farther away.", tone=listed(others))))


def why_arpeggio(arpeggio: Arpeggio) -> str:
    """Say in one line why an arpeggio fits its chord."""
    reason = arpeggio.reason
    guides, others = _named_guides(reason.guides, arpeggio.harmony), _named(reason.others)
    match reason.relation:
        case Relation.ITSELF:
            return _("Its guide tones {guides} say what kind of chord it is.", guides=guides)
        case Relation.STACKED_ON_THIRD:
            return _why_stacked(arpeggio, guides)
        case Relation.TRITONE_SUBSTITUTE:
            return _(
                "{arpeggio} is the tritone substitute of {chord}: the same guide tones {guides}, with {others} for "
                "colour.",
                arpeggio=arpeggio.chord.label,
                chord=arpeggio.harmony.chord.label,
                guides=guides,
                others=others,
            )
        case Relation.SUBSTITUTE_THIRD:
            return _(
                "Built on the third of {substitute}, the tritone substitute: the guide tones {guides}, coloured by "
                "{others}.",
                substitute=_substitute(arpeggio),
                guides=guides,
                others=others,
            )


def _why_stacked(arpeggio: Arpeggio, guides: str) -> str:
    """Say which tones of a chord an arpeggio on another of its tones keeps, and what it has for the others."""
    reason, chord = arpeggio.reason, arpeggio.harmony.label
    own = arpeggio_over(arpeggio.harmony, Source.ROOT)
    added = _named(pair for pair in reason.others if pair[1].pitch_class not in own.chord.pitch_classes)
    left = [
        _("the root") if degree == "1" else _("the {degree}", degree=degree_word(degree))
        for degree, tone in zip(own.degrees, own.chord.tones, strict=True)
        if tone.pitch_class not in arpeggio.chord.pitch_classes
    ]
    if reason.start in _STARTS:
        start = translate(_STARTS[reason.start]).format(chord=chord)
    else:
        start = _("Built on the {degree} of {chord}", degree=pretty(reason.start), chord=chord)
    return plural(
        "{start}: keeps the guide tone {guides}, trades {left} for {added}.",
        "{start}: keeps the guide tones {guides}, trades {left} for {added}.",
        len(reason.guides),
        start=start,
        guides=guides,
        left=listed(left),
        added=added,
    )


def by_any_name(why: str, tones: Iterable[Tone]) -> str:
    """Add to a reason of a card on which tones are named that an accidental may be the other one.

    Args:
        why: the reason.
        tones: the tones that are named.
    """
    if all(tone.accidental == 0 for tone in tones):
        return why
    return " ".join((why, _("Another name of the same fret is right too.")))


def serving_too(why: str, over: str) -> str:
    """Add to a reason that the same shape serves another chord: `The same shape lies over B♭maj7 · IV in F.`."""
    return " ".join((why, _("The same shape lies {over}.", over=over)))


def why_key_scale(chords: Iterable[Harmony], key: Key) -> str:
    """Say in one line what the key's scale is for in the cadence."""
    return _(
        "{functions} of {key} all draw on it: one scale carries the whole cadence.",
        functions=functions(chords),
        key=key.label,
    )


def why_key_scale_in(title: str, chords: Sequence[Harmony], *, alone: bool) -> str:
    """Say in one line what the key's scale is for in changes of one's own.

    Args:
        title: what the player calls the changes.
        chords: those that draw on it.
        alone: whether no other chord is there.
    """
    if alone:
        return _("Every chord of “{title}” draws on it.", title=title)
    labels = tuple(dict.fromkeys(chord.label for chord in chords))
    return plural(
        "In “{title}” {chords} draws on it; the other chords bring tones of their own.",
        "In “{title}” {chords} draw on it; the other chords bring tones of their own.",
        len(labels),
        title=title,
        chords=listed(labels),
    )


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
    return _(
        "{source}: keeps the guide tones {guides}, gives {gives}.",
        source=_source(dominant, dominant.colour),
        guides=_named_guides(held, dominant),
        gives=_gives(dominant, dominant.colour),
    )


def _gives(dominant: Harmony, colour: Colour) -> str:
    """Say what a colour gives to a dominant; of one that does not say it itself, its altered degrees."""
    if colour.gives:
        return pretty(translate(colour.gives))
    altered = [degree for degree in map(dominant.degree_of, dominant.scale.tones) if degree[0] in "b#"]
    named = [pretty(degree) for degree in altered if degree != "b7"]
    return listed(named) if named else _("the tones of {colour}", colour=translate(colour.label))


def _source(dominant: Harmony, colour: Colour) -> str:
    """Say which scale a colour is a mode of; of one that is none, its degrees."""
    root = dominant.chord.root
    if not colour.parent:
        degrees = " ".join(pretty(dominant.degree_of(tone)) for tone in dominant.scale.tones)
        return _("From {root} up {degrees}", root=root.label, degrees=degrees)
    tonic = plain(root.above(colour.tonic).pitch_class)
    parent = scale_label(tonic, PARENT_NAMES[colour.parent])
    if tonic == root:
        return _("{scale} from its own root", scale=parent)
    return _("The same notes as {scale}, heard over {root}", scale=parent, root=root.label)


def why_chord_scale(harmony: Harmony) -> str:
    """Say in one line what a chord's scale keeps of it and what it has that the key has not."""
    key, mode = harmony.key, harmony.mode
    kept = listed(with_degree(tone, harmony) for tone in harmony.chord.guide_tones)
    outside = [tone.label for tone in harmony.scale.tones if tone.pitch_class not in key.scale.pitch_classes]
    if mode == harmony.scale:
        draws = _("{chord} draws on it", chord=harmony.label)
    else:
        draws = _("{scale} from {root}", scale=harmony.scale.label, root=mode.tonic.label)
    if not outside:
        return _("{draws}: it holds the guide tones {guides}.", draws=draws, guides=kept)
    return _(
        "{draws}: it holds the guide tones {guides}, and brings {tones} into {key}.",
        draws=draws,
        guides=kept,
        tones=listed(outside),
        key=key.label,
    )


def _named(pairs: Iterable[tuple[str, Tone]]) -> str:
    return listed(f"{tone.label} ({pretty(degree)})" for degree, tone in pairs)


def _named_guides(pairs: Iterable[tuple[str, Tone]], harmony: Harmony) -> str:
    """Name guide tones with their degrees: `F♭ = E (3)`."""
    return listed(f"{tone_name(tone, harmony)} ({pretty(degree)})" for degree, tone in pairs)


def _substitute(arpeggio: Arpeggio) -> str:
    return arpeggio_over(arpeggio.harmony, Source.ROOT).chord.label


def _is_guide(tone: Tone, harmony: Harmony) -> bool:
    return tone.pitch_class in {guide.pitch_class for guide in harmony.chord.guide_tones}
