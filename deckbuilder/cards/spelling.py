"""Spelling notes: the tones of an arpeggio over a chord of the key, wherever they lie."""

from deckbuilder.cards import words
from deckbuilder.cards.context import Context
from deckbuilder.cards.facts import Fact, Kind
from deckbuilder.cards.neckviews import alt_text, whole_neck_view
from deckbuilder.cards.note import Answer, Note
from deckbuilder.theory.arpeggios import Source, arpeggio
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.tones import pretty

KINDS = (Kind.SPELL,)
"""Every way to ask for a spelling."""


def spelling_note(context: Context, harmony: Harmony, source: Source) -> Note:
    """Make the note of an arpeggio's spelling; its run is one octave from the arpeggio's root.

    Args:
        context: key, instrument and level.
        harmony: the sounding chord.
        source: where the arpeggio starts.
    """
    asked = arpeggio(harmony, source)
    recipe, key, chord = context.recipe, context.key, asked.chord
    run = recipe.instrument.neck.close_position(tuple(tone.pitch_class for tone in chord.tones))
    midi = tuple(note.midi for note in run.notes)
    places = tuple(note.place for note in run.notes)
    guides = {tone.pitch_class for tone in harmony.chord.guide_tones}
    picture = whole_neck_view(
        recipe,
        {tone.pitch_class: tone.label for tone in chord.tones},
        guides=guides,
        root=chord.root.pitch_class,
    )
    task = words.joined(words.arpeggio_task(asked), "spell it")
    name = words.joined(words.arpeggio_name(asked), "spell it")
    over = words.over(harmony, key)
    return Note(
        subject=context.subject(Fact.SPELLING, None, harmony, source),
        kinds=context.kinds(KINDS),
        level=context.level,
        key_label=key.label,
        index_fret=None,
        position=None,
        chord=harmony.symbol,
        symbol=chord.symbol,
        tones=tuple(tone.name for tone in chord.tones),
        degrees=asked.degrees,
        midi=midi,
        places=places,
        missing=run.missing,
        prompt=words.joined(key.label, name),
        task=task,
        answer=Answer(
            label=chord.label,
            over=over,
            tones=tuple(tone.label for tone in chord.tones),
            degrees=tuple(pretty(degree) for degree in asked.degrees),
            guide_tones=tuple(tone.label for tone in chord.tones if tone.pitch_class in guides),
            places=context.place_lines(places),
            missing=words.missing(run.missing),
        ),
        why=words.why_arpeggio(asked),
        picture=picture,
        picture_alt=alt_text(f"{chord.label} on the whole neck", picture),
        bare_picture=None,
        bare_picture_alt="",
        clip=context.clip(harmony.chord, midi),
    )
