"""Scale notes: the key's scale, or the scale of a chord that draws on another one, in a region."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from deckbuilder.cards import reasons, words
from deckbuilder.cards.context import Context
from deckbuilder.cards.facts import Fact, Slot
from deckbuilder.cards.music import Music, guide_tones, played
from deckbuilder.cards.neckviews import bare_region_view, neck_attachments, region_view
from deckbuilder.cards.note import Attachment, Note
from deckbuilder.cards.wording import Said
from deckbuilder.neck.regions import Region
from deckbuilder.theory.arpeggios import carriers
from deckbuilder.theory.chords import QUALITIES
from deckbuilder.theory.functions import FUNCTIONS, Harmony, function_on, harmony
from deckbuilder.theory.keys import Key
from deckbuilder.theory.scales import Scale
from deckbuilder.theory.steps import Step


@dataclass(frozen=True, slots=True)
class _Asked:
    """What a scale note is about, before it has a place."""

    harmony: Harmony | None
    sounding: Harmony
    scale: Scale
    degrees: tuple[str, ...]
    over: str
    why: str


def key_scale_notes(context: Context, region: Region, chords: Sequence[Harmony], changes: str) -> Iterator[Note]:
    """Make the note of the key's own scale in a region, if any chord that is played draws on it.

    Args:
        context: key, instrument and level.
        region: the hand position.
        chords: the chords that are played over.
        changes: what the player calls them; empty for a level's.
    """
    if any(chord.scale.pitch_classes == context.key.scale.pitch_classes for chord in chords):
        yield key_scale_note(context, region, chords, changes)


def chord_scale_notes(context: Context, region: Region, sounding: Harmony) -> Iterator[Note]:
    """Make the note of a chord's scale in a region, if it is another than the key's.

    Args:
        context: key, instrument and level.
        region: the hand position, which stays the key's.
        sounding: the chord.
    """
    if sounding.scale.pitch_classes != context.key.scale.pitch_classes:
        yield chord_scale_note(context, region, sounding)


def key_scale_note(context: Context, region: Region, chords: Iterable[Harmony], changes: str = "") -> Note:
    """Make the note of the key's own scale in a region; the tonic chord that the scale gives sounds with it.

    Args:
        context: key, instrument and level.
        region: the hand position.
        chords: the chords that are played over.
        changes: what the player calls them; empty for the cadence, whose chords all draw on the scale.
    """
    key, played = context.key, tuple(chords)
    drawing = tuple(chord for chord in played if chord.scale.pitch_classes == key.scale.pitch_classes)
    if changes:
        why = reasons.why_key_scale_in(changes, drawing, alone=drawing == played)
    else:
        why = reasons.why_key_scale(drawing, key)
    tonic_chord = harmony(key, function_on(Step(1), QUALITIES["m7"]) if key.minor else FUNCTIONS["I"])
    asked = _Asked(
        harmony=None,
        sounding=tonic_chord,
        scale=key.scale,
        degrees=_steps(key),
        over=words.key_scale_over(drawing, key),
        why=why,
    )
    return _note(context, region, asked)


def chord_scale_note(context: Context, region: Region, sounding: Harmony) -> Note:
    """Make the note of a chord's scale in the key's region.

    Args:
        context: key, instrument and level.
        region: the hand position, which stays the key's.
        sounding: a dominant with its colour, or another chord that draws on a scale of its own.
    """
    asked = _Asked(
        harmony=sounding,
        sounding=sounding,
        scale=sounding.scale,
        degrees=tuple(sounding.degree_of(tone) for tone in sounding.scale.tones),
        over=words.over(sounding, context.key),
        why=reasons.why_colour_scale(sounding) if sounding.colour else reasons.why_chord_scale(sounding),
    )
    return _note(context, region, asked)


def _steps(key: Key) -> tuple[str, ...]:
    """Return the steps of a key's scale as degrees, counted from the major scale."""
    return tuple(
        str(step) if tone.pitch_class in major else f"b{step}"
        for major in [Key.on(key.tonic).scale.pitch_classes]
        for step, tone in enumerate(key.scale.tones, start=1)
    )


def _note(context: Context, region: Region, asked: _Asked) -> Note:
    recipe, scale = context.recipe, asked.scale
    fingered = context.fingering(scale, region)
    guides = guide_tones(asked.sounding)
    where, task = words.region_name(region), words.scale_task(asked.harmony)
    return context.note(
        context.identity(Fact.SCALE, region, asked.harmony),
        Music(
            context.key,
            (asked.sounding,),
            scale.symbol,
            region,
            scale.tones,
            asked.degrees,
            guides,
            played(fingered.notes, scale.tones, asked.degrees),
            fingered.missing,
            carriers(asked.harmony) if asked.harmony else (),
        ),
        Said(asks=(where, task), task=task, label=scale.label, over=asked.over, why=asked.why),
        {
            **neck_attachments(
                region_view(
                    recipe,
                    region,
                    fingered.notes,
                    asked=scale.pitch_classes,
                    guides=guides,
                    roots={scale.tonic.pitch_class},
                    labels=context.labels(scale.tones, asked.degrees),
                ),
                f"{scale.label}, {where}",
                bare_region_view(recipe, region, fingered.notes),
                f"A scale in {where}",
            ),
            Slot.CLIP: Attachment(context.clip(asked.sounding.chord, tuple(note.midi for note in fingered.notes))),
        },
    )
