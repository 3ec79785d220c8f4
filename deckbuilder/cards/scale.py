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
from deckbuilder.cards.written import written_run
from deckbuilder.neck.regions import Region
from deckbuilder.speech import _
from deckbuilder.theory.arpeggios import carriers
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.keys import Key
from deckbuilder.theory.scales import Scale


@dataclass(frozen=True, slots=True)
class _Asked:
    """What a scale note is about, before it has a place."""

    harmony: Harmony | None
    sounding: Harmony
    guides: frozenset[int]
    scale: Scale
    degrees: tuple[str, ...]
    over: str
    why: str


def key_scale_notes(context: Context, region: Region, chords: Sequence[Harmony], changes: str) -> Iterator[Note]:
    """Make the note of the key's own scale in a region, if any chord that is played draws on it.

    A chord that alone draws on it, and is not the tonic, has its mode instead: over the Gm7 of a blues in F it is
    G dorian that is played, numbered from G.

    Args:
        context: key, instrument and level.
        region: the hand position.
        chords: the chords that are played over.
        changes: what the player calls them; empty for a level's.
    """
    drawing = tuple(chord for chord in chords if _draws_on_the_key(chord, context.key))
    if drawing and (len({chord.chord for chord in drawing}) > 1 or _is_tonic(drawing[0])):
        yield key_scale_note(context, region, chords, changes)
    elif drawing:
        yield chord_scale_note(context, region, drawing[0])


def chord_scale_notes(context: Context, region: Region, sounding: Harmony) -> Iterator[Note]:
    """Make the note of a chord's scale in a region, if it is another than the key's.

    Args:
        context: key, instrument and level.
        region: the hand position, which stays the key's.
        sounding: the chord.
    """
    if not _draws_on_the_key(sounding, context.key):
        yield chord_scale_note(context, region, sounding)


def key_scale_note(context: Context, region: Region, chords: Iterable[Harmony], changes: str = "") -> Note:
    """Make the note of the key's own scale in a region.

    The tonic chord sounds with it, its guide tones marked. Where no tonic chord draws on the scale, the first one that
    does sounds instead: its third and seventh are others in the scale's numbers, so none are marked.

    Args:
        context: key, instrument and level.
        region: the hand position.
        chords: the chords that are played over.
        changes: what the player calls them; empty for the cadence, whose chords all draw on the scale.
    """
    key, played = context.key, tuple(chords)
    drawing = tuple(chord for chord in played if _draws_on_the_key(chord, key))
    if changes:
        why = reasons.why_key_scale_in(changes, drawing, alone=drawing == played)
    else:
        why = reasons.why_key_scale(drawing, key)
    sounding = next(filter(_is_tonic, drawing), drawing[0])
    asked = _Asked(
        harmony=None,
        sounding=sounding,
        guides=guide_tones(sounding) if _is_tonic(sounding) else frozenset(),
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
        guides=guide_tones(sounding),
        scale=sounding.mode,
        degrees=tuple(sounding.degree_of(tone) for tone in sounding.mode.tones),
        over=words.over(sounding, context.key),
        why=reasons.why_colour_scale(sounding) if sounding.colour else reasons.why_chord_scale(sounding),
    )
    return _note(context, region, asked)


def _draws_on_the_key(chord: Harmony, key: Key) -> bool:
    return chord.scale.pitch_classes == key.scale.pitch_classes


def _is_tonic(chord: Harmony) -> bool:
    return chord.chord.root.pitch_class == chord.key.tonic.pitch_class


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
    notes = played(fingered.notes, scale.tones, asked.degrees)
    guides = asked.guides
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
            notes,
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
                _("A scale in {region}", region=where),
            ),
            **written_run(recipe, asked.sounding, notes),
            Slot.CLIP: Attachment(
                context.clip(asked.sounding.chord, tuple(note.midi for note in fingered.notes)), _("Play the scale")
            ),
        },
    )
