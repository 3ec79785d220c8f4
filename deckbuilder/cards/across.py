"""Across the neck: an arpeggio's four inversions from low to high, each in the region whose hand holds it."""

from collections.abc import Iterator, Sequence

from deckbuilder.cards import words
from deckbuilder.cards.context import Context
from deckbuilder.cards.facts import Fact, Slot
from deckbuilder.cards.music import Music, guide_tones, played
from deckbuilder.cards.neckviews import alt_text, placed_view
from deckbuilder.cards.note import Attachment, Note
from deckbuilder.cards.wording import Said
from deckbuilder.cards.written import written_run
from deckbuilder.neck.inversions import Inversion, climb
from deckbuilder.neck.regions import Region
from deckbuilder.picture.description import NeckSheet
from deckbuilder.speech import _
from deckbuilder.theory.arpeggios import Arpeggio, arpeggios, under_simplest_colour
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.tones import pretty


def across_notes(context: Context, harmony: Harmony) -> Iterator[Note]:
    """Make the notes of every arpeggio over a chord, across the neck; none for one that no hands hold whole.

    Args:
        context: key, instrument and level.
        harmony: the sounding chord.
    """
    recipe = context.recipe
    regions = {
        region.index_fret: region
        for region in (recipe.region(context.key, number) for number in range(1, recipe.instrument.regions + 1))
    }
    for made in map(under_simplest_colour, arpeggios(harmony)):
        tones = made.chord.pitch_classes
        runs = {fret: context.fingering(made.harmony.scale, each).run(tones) for fret, each in regions.items()}
        way = climb(runs, [tone.pitch_class for tone in made.chord.tones])
        if way:
            yield _note(context, made, way, [regions[each.position] for each in way])


def _note(context: Context, asked: Arpeggio, way: Sequence[Inversion], regions: Sequence[Region]) -> Note:
    recipe, chord, harmony = context.recipe, asked.chord, asked.harmony
    guides = guide_tones(harmony)
    labels = context.labels(chord.tones, asked.degrees)
    named = [played(each.notes, chord.tones, asked.degrees) for each in way]
    run = tuple(note for each in named for note in each)
    views = [
        placed_view(
            recipe,
            {note.place: (labels[note.midi % 12], note.midi % 12 in guides, note.tone == chord.root) for note in each},
            region,
        )
        for region, each in zip(regions, named, strict=True)
    ]
    titles = [
        (words.region_title(region), "–".join(pretty(note.degree) for note in each))
        for region, each in zip(regions, named, strict=True)
    ]
    picture = NeckSheet(tuple(views), tuple(titles))
    alt = " ".join(alt_text(name, view) for view, (name, _) in zip(views, titles, strict=True))
    starts = (
        _(
            "{tone} ({degree}) in region {number}",
            tone=words.tone_name(each[0].tone, harmony),
            degree=pretty(each[0].degree),
            number=region.number,
        )
        for region, each in zip(regions, named, strict=True)
    )
    return context.note(
        context.identity(Fact.INVERSIONS, None, harmony, asked.source),
        Music(context.key, (harmony,), chord.symbol, None, chord.tones, asked.degrees, guides, run),
        Said(
            asks=(words.arpeggio_name(asked), _("four inversions across the neck")),
            task=words.joined(words.arpeggio_task(asked), _("four inversions, low to high")),
            label=chord.label,
            over=words.arpeggio_over(asked, context.key),
            why=_("They begin on {starts}.", starts=words.listed(starts)),
        ),
        {
            Slot.PICTURE: Attachment(picture, alt),
            **written_run(recipe, harmony, run),
            Slot.CLIP: Attachment(
                context.question_clip(harmony.chord, tuple(note.midi for note in run)), _("Play the four inversions")
            ),
        },
    )
