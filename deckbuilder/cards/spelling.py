"""Spelling notes: the tones of an arpeggio over a chord of the key, wherever they lie."""

from collections.abc import Iterator

from deckbuilder.cards import reasons, words
from deckbuilder.cards.context import Context
from deckbuilder.cards.facts import Fact, Slot
from deckbuilder.cards.music import Music, guide_tones, played
from deckbuilder.cards.neckviews import alt_text, whole_neck_view
from deckbuilder.cards.note import Attachment, Note
from deckbuilder.cards.wording import Said
from deckbuilder.speech import _
from deckbuilder.theory.arpeggios import Source, arpeggio, under_simplest_colour
from deckbuilder.theory.functions import Harmony


def spelling_notes(context: Context, harmony: Harmony) -> Iterator[Note]:
    """Make the notes of both arpeggios over a chord, each over the chord in its simplest colour.

    Args:
        context: key, instrument and level.
        harmony: the sounding chord.
    """
    for source in Source:
        yield spelling_note(context, under_simplest_colour(arpeggio(harmony, source)).harmony, source)


def spelling_note(context: Context, harmony: Harmony, source: Source) -> Note:
    """Make the note of an arpeggio's spelling; its run is one octave from the arpeggio's root.

    Args:
        context: key, instrument and level.
        harmony: the sounding chord.
        source: where the arpeggio starts.
    """
    asked = arpeggio(harmony, source)
    recipe, chord = context.recipe, asked.chord
    run = recipe.instrument.neck.close_position(tuple(tone.pitch_class for tone in chord.tones))
    guides = guide_tones(harmony)
    picture = whole_neck_view(
        recipe,
        {tone.pitch_class: tone.label for tone in chord.tones},
        guides=guides,
        root=chord.root.pitch_class,
    )
    return context.note(
        context.identity(Fact.SPELLING, None, harmony, source),
        Music(
            context.key,
            (harmony,),
            chord.symbol,
            None,
            chord.tones,
            asked.degrees,
            guides,
            played(run.notes, chord.tones, asked.degrees),
            run.missing,
        ),
        Said(
            asks=(words.arpeggio_name(asked), _("spell it")),
            task=words.arpeggio_task(asked),
            label=chord.label,
            over=words.arpeggio_over(asked, context.key),
            why=reasons.by_any_name(reasons.why_arpeggio(asked), chord.tones),
        ),
        {
            Slot.PICTURE: Attachment(picture, alt_text(_("{chord} on the whole neck", chord=chord.label), picture)),
            Slot.CLIP: Attachment(
                context.clip(harmony.chord, tuple(note.midi for note in run.notes)), _("Play the arpeggio")
            ),
        },
    )
