"""Improvisation notes: a loop to play or sing over in a region, and one thing to keep to (`deckbuilder.cards.tasks`).

The answer has an example line that keeps to it, to hear over the changes, and says what it does.
"""

from collections.abc import Iterator, Sequence

from deckbuilder.cards import reasons, words
from deckbuilder.cards.comping import loop_over
from deckbuilder.cards.context import Context
from deckbuilder.cards.example import Line, example_clip, example_line, slow_clip
from deckbuilder.cards.facts import Fact, Slot
from deckbuilder.cards.music import Music
from deckbuilder.cards.neckviews import alt_text, region_view, stacked
from deckbuilder.cards.note import Attachment, Note
from deckbuilder.cards.passage import Passage
from deckbuilder.cards.tasks import Task, task_for
from deckbuilder.cards.wording import Said
from deckbuilder.cards.written import written_line
from deckbuilder.lines.telling import told
from deckbuilder.neck.regions import Region
from deckbuilder.picture.description import NeckPicture
from deckbuilder.picture.validation import MOST_PICTURES
from deckbuilder.speech import _
from deckbuilder.theory.arpeggios import Arpeggio, arpeggios
from deckbuilder.theory.functions import Harmony


def improvisation_notes(context: Context, region: Region, passage: Passage) -> Iterator[Note]:
    """Make the note of an improvisation over a passage, with the task that falls to it and an example line.

    Args:
        context: key, instrument and level.
        region: the hand position.
        passage: the changes.
    """
    task = task_for(passage, region, context.key.tonic.pitch_class)
    yield improvisation_note(context, region, passage, task, example_line(context, region, passage, task))


def improvisation_note(context: Context, region: Region, passage: Passage, task: Task, example: Line) -> Note:
    """Make the note of an improvisation over a passage.

    A sheet has room for twelve chords: of more, the answer shows those that come first.

    Args:
        context: key, instrument and level.
        region: the hand position.
        passage: the changes.
        task: what to keep to.
        example: the example line; empty for none.
    """
    recipe = context.recipe
    chords = passage.chords[:MOST_PICTURES]
    carriers = [arpeggios(chord) for chord in chords]
    views = [_view(context, region, *each) for each in zip(chords, carriers, strict=True)]
    picture = stacked(views, [_title(chord, pair) for chord, pair in zip(chords, carriers, strict=True)])
    where, changes = words.region_name(region), words.joined(passage.title, passage.written)
    alt = " ".join(
        alt_text(f"{name}, {remark}, {where}", view) for view, (name, remark) in zip(views, picture.titles, strict=True)
    )
    media = {
        Slot.PICTURE: Attachment(picture, alt),
        Slot.CLIP: Attachment(loop_over(recipe, passage.changes), _("Play the loop")),
    }
    if example:
        media[Slot.EXAMPLE] = Attachment(example_clip(context, passage, example), _("Play the example line"))
        media |= written_line(recipe, passage.spans, example)
        if slow := slow_clip(context, passage, example):
            media[Slot.SLOW_CLIP] = Attachment(slow, _("Play the example line slowly"))
    reason = (reasons.why_guide_tones(chords), words.basses(chords), told(passage.spans, example))
    return context.note(
        context.identity(Fact.IMPROVISATION, region, None, item=passage.name),
        Music(
            context.key,
            tuple(chord for chord, _ in passage.spans),
            passage.name,
            region,
            beats=tuple(beats for _, beats in passage.spans),
            line=example,
        ),
        Said(
            asks=(where, changes, task.said(passage)),
            task=changes,
            question=task.said(passage),
            label=words.changes_in_order(chords),
            over=_("in {key}", key=context.key.label),
            why=" ".join(filter(None, reason)),
        ),
        media,
    )


def _view(context: Context, region: Region, chord: Harmony, carriers: Sequence[Arpeggio]) -> NeckPicture:
    """Show the arpeggios over a chord at once, each with its root ringed."""
    shown = [tone for each in carriers for tone in each.chord.tones]
    if chord.bass and chord.bass.pitch_class in chord.scale.pitch_classes:
        shown.append(chord.bass)
    tones = {tone.pitch_class: chord.spelled(tone) for tone in shown}.values()
    return region_view(
        context.recipe,
        region,
        context.fingering(chord.scale, region).notes,
        asked={tone.pitch_class for tone in tones},
        guides={tone.pitch_class for tone in chord.chord.guide_tones},
        roots={each.chord.root.pitch_class for each in carriers},
        labels=context.labels(tones, [chord.degree_of(tone) for tone in tones]),
    )


def _title(chord: Harmony, carriers: Sequence[Arpeggio]) -> tuple[str, str]:
    return f"{chord.function.label}  {chord.label}", words.listed(each.chord.label for each in carriers)
