"""Arpeggio notes: an arpeggio over a chord of the key, in a region."""

from collections.abc import Iterator

from deckbuilder.cards import reasons, words
from deckbuilder.cards.context import Context
from deckbuilder.cards.facts import Fact, Slot
from deckbuilder.cards.levels import LEVELS
from deckbuilder.cards.music import Music, guide_tones, played
from deckbuilder.cards.neckviews import bare_region_view, neck_attachments, region_view
from deckbuilder.cards.note import Attachment, Note
from deckbuilder.cards.wording import Said
from deckbuilder.cards.written import written_run
from deckbuilder.neck.regions import Region
from deckbuilder.speech import _
from deckbuilder.theory.arpeggios import Source, arpeggio, arpeggios, carriers, under_simplest_colour
from deckbuilder.theory.functions import Harmony


def arpeggio_notes(context: Context, region: Region, harmony: Harmony) -> Iterator[Note]:
    """Make the notes of every arpeggio over a chord in a region, each over the chord in its simplest colour.

    Args:
        context: key, instrument and level.
        region: the hand position.
        harmony: the sounding chord.
    """
    for made in arpeggios(harmony):
        yield arpeggio_note(context, region, under_simplest_colour(made).harmony, made.source)


def arpeggio_note(context: Context, region: Region, harmony: Harmony, source: Source) -> Note:
    """Make the note of an arpeggio in a region.

    Args:
        context: key, instrument and level.
        region: the hand position.
        harmony: the sounding chord.
        source: where the arpeggio starts.
    """
    asked = arpeggio(harmony, source)
    recipe, chord = context.recipe, asked.chord
    scale = context.fingering(harmony.scale, region)
    run = scale.run(chord.pitch_classes)
    notes = played(run, chord.tones, asked.degrees)
    guides = guide_tones(harmony)
    where, over = words.region_name(region), words.arpeggio_over(asked, context.key)
    return context.note(
        context.identity(Fact.ARPEGGIO, region, harmony, source),
        Music(
            context.key,
            (harmony,),
            chord.symbol,
            region,
            chord.tones,
            asked.degrees,
            guides,
            notes,
            tuple(pitch for pitch in scale.missing if pitch % 12 in chord.pitch_classes),
            carriers(harmony),
        ),
        Said(
            asks=(where, words.arpeggio_name(asked)),
            task=words.arpeggio_task(asked),
            question=words.hear_question(asked, _rivals(context)),
            label=chord.label,
            over=over,
            why=reasons.why_arpeggio(asked),
        ),
        {
            **neck_attachments(
                region_view(
                    recipe,
                    region,
                    scale.notes,
                    asked=chord.pitch_classes,
                    guides=guides,
                    roots={chord.root.pitch_class},
                    labels=context.labels(chord.tones, asked.degrees),
                ),
                f"{chord.label}, {over}, {where}",
                bare_region_view(recipe, region, run),
                _("An arpeggio in {region}", region=where),
            ),
            **written_run(recipe, harmony, notes),
            Slot.CLIP: Attachment(
                context.clip(harmony.chord, tuple(note.midi for note in run), eighths=context.longest_arpeggio),
                _("Play the arpeggio"),
            ),
        },
    )


def _rivals(context: Context) -> tuple[Harmony, ...]:
    """Return the chords without a colour that a level brings; none for changes of one's own."""
    level = LEVELS.get(context.level)
    made = (lesson.harmony(context.key) for lesson in level.lessons) if level else ()
    return tuple(chord for chord in made if not chord.function.is_dominant)
