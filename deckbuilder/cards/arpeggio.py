"""Arpeggio notes: an arpeggio over a chord of the key, in a region."""

from deckbuilder.cards import words
from deckbuilder.cards.context import Context
from deckbuilder.cards.facts import Fact, Kind
from deckbuilder.cards.neckviews import alt_text, bare_region_view, region_view
from deckbuilder.cards.note import Answer, Note
from deckbuilder.neck.regions import Region
from deckbuilder.theory.arpeggios import Source, arpeggio, carriers
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.tones import pretty

KINDS = (Kind.LOCATE, Kind.IDENTIFY, Kind.HEAR)
"""Every way to ask for an arpeggio."""


def arpeggio_note(context: Context, region: Region, harmony: Harmony, source: Source) -> Note:
    """Make the note of an arpeggio in a region.

    Args:
        context: key, instrument and level.
        region: the hand position.
        harmony: the sounding chord.
        source: where the arpeggio starts.
    """
    asked = arpeggio(harmony, source)
    recipe, key = context.recipe, context.key
    scale = context.fingering(harmony.scale, region)
    run = scale.run(asked.chord.pitch_classes)
    midi = tuple(note.midi for note in run)
    places = tuple(note.place for note in run)
    missing = tuple(pitch for pitch in scale.missing if pitch % 12 in asked.chord.pitch_classes)
    guides = {tone.pitch_class for tone in harmony.chord.guide_tones}
    picture = region_view(
        recipe,
        region,
        scale.notes,
        asked=asked.chord.pitch_classes,
        guides=guides,
        roots={asked.chord.root.pitch_class},
        labels=context.labels(asked.chord.tones, asked.degrees),
    )
    bare = bare_region_view(recipe, region, run)
    where, task = words.region_name(region), words.arpeggio_task(asked)
    name = words.arpeggio_name(asked)
    title = f"{asked.chord.label} {words.over(harmony, key)}, {where}"
    return Note(
        subject=context.subject(Fact.ARPEGGIO, region, harmony, source),
        kinds=context.kinds(KINDS),
        level=context.level,
        key_label=key.label,
        index_fret=region.index_fret,
        position=region.position,
        chord=harmony.symbol,
        symbol=asked.chord.symbol,
        tones=tuple(tone.name for tone in asked.chord.tones),
        degrees=asked.degrees,
        midi=midi,
        places=places,
        missing=missing,
        prompt=words.joined(key.label, where, name),
        task=task,
        answer=Answer(
            label=asked.chord.label,
            over=words.over(harmony, key),
            tones=tuple(tone.label for tone in asked.chord.tones),
            degrees=tuple(pretty(degree) for degree in asked.degrees),
            guide_tones=tuple(tone.label for tone in asked.chord.tones if tone.pitch_class in guides),
            places=context.place_lines(places),
            missing=words.missing(missing),
        ),
        why=words.why_arpeggio(asked),
        picture=picture,
        picture_alt=alt_text(title, picture),
        bare_picture=bare,
        bare_picture_alt=alt_text(f"An arpeggio in {where}", bare),
        clip=context.clip(harmony.chord, midi, eighths=context.longest_arpeggio),
        question=words.hear_question(asked),
        carriers=tuple(chord.symbol for chord in carriers(harmony)),
    )
