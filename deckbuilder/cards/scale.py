"""Scale notes: the key's scale, or the scale of a chord that draws on another one, in a region."""

from collections.abc import Iterable
from dataclasses import dataclass

from deckbuilder.cards import words
from deckbuilder.cards.context import Context
from deckbuilder.cards.facts import Fact, Kind
from deckbuilder.cards.neckviews import alt_text, bare_region_view, region_view
from deckbuilder.cards.note import Answer, Note
from deckbuilder.neck.regions import Region
from deckbuilder.theory.arpeggios import carriers
from deckbuilder.theory.chords import QUALITIES, Chord
from deckbuilder.theory.functions import FUNCTIONS, Harmony, function_on, harmony
from deckbuilder.theory.keys import Key
from deckbuilder.theory.scales import Scale
from deckbuilder.theory.steps import Step
from deckbuilder.theory.tones import pretty

KINDS = (Kind.LOCATE, Kind.IDENTIFY)
"""Every way to ask for a scale. Its note type has a `hear` template too, but the ear is asked about arpeggios only."""


@dataclass(frozen=True, slots=True)
class _Asked:
    """What a scale note is about, before it has a place."""

    harmony: Harmony | None
    symbol: str
    chord: Chord
    scale: Scale
    degrees: tuple[str, ...]
    over: str
    why: str


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
        why = words.why_key_scale_in(changes, drawing, alone=drawing == played)
    else:
        why = words.why_key_scale(drawing, key)
    tonic_chord = harmony(key, function_on(Step(1), QUALITIES["m7"]) if key.minor else FUNCTIONS["I"])
    asked = _Asked(
        harmony=None,
        symbol=tonic_chord.symbol,
        chord=tonic_chord.chord,
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
        symbol=sounding.symbol,
        chord=sounding.chord,
        scale=sounding.scale,
        degrees=tuple(sounding.degree_of(tone) for tone in sounding.scale.tones),
        over=words.over(sounding, context.key),
        why=words.why_colour_scale(sounding) if sounding.colour else words.why_chord_scale(sounding),
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
    recipe, key = context.recipe, context.key
    fingered = context.fingering(asked.scale, region)
    midi = tuple(note.midi for note in fingered.notes)
    places = tuple(note.place for note in fingered.notes)
    guides = {tone.pitch_class for tone in asked.chord.guide_tones}
    picture = region_view(
        recipe,
        region,
        fingered.notes,
        asked=asked.scale.pitch_classes,
        guides=guides,
        roots={asked.scale.tonic.pitch_class},
        labels=context.labels(asked.scale.tones, asked.degrees),
    )
    bare = bare_region_view(recipe, region, fingered.notes)
    where, task = words.region_name(region), words.scale_task(asked.harmony)
    return Note(
        subject=context.subject(Fact.SCALE, region, asked.harmony),
        kinds=context.kinds(KINDS),
        level=context.level,
        key_label=key.label,
        index_fret=region.index_fret,
        position=region.position,
        chord=asked.symbol,
        symbol=asked.scale.symbol,
        tones=tuple(tone.name for tone in asked.scale.tones),
        degrees=asked.degrees,
        midi=midi,
        places=places,
        missing=fingered.missing,
        prompt=words.joined(key.label, where, task),
        task=task,
        answer=Answer(
            label=asked.scale.label,
            over=asked.over,
            tones=tuple(tone.label for tone in asked.scale.tones),
            degrees=tuple(pretty(degree) for degree in asked.degrees),
            guide_tones=tuple(tone.label for tone in asked.scale.tones if tone.pitch_class in guides),
            places=context.place_lines(places),
            missing=words.missing(fingered.missing),
        ),
        why=asked.why,
        picture=picture,
        picture_alt=alt_text(f"{asked.scale.label}, {where}", picture),
        bare_picture=bare,
        bare_picture_alt=alt_text(f"A scale in {where}", bare),
        clip=context.clip(asked.chord, midi),
        carriers=tuple(chord.symbol for chord in carriers(asked.harmony)) if asked.harmony else (),
    )
