"""Example lines: how a passage may be played in a region so that it keeps to a task (`deckbuilder.neck.lines`)."""

from collections.abc import Iterable, Sequence

from deckbuilder.cards.context import Context
from deckbuilder.cards.passage import Passage
from deckbuilder.cards.tasks import Task
from deckbuilder.neck.linenotes import LineNote, Span
from deckbuilder.neck.lines import candidates, held_line, line
from deckbuilder.neck.regions import Region
from deckbuilder.neck.tuning import NeckError
from deckbuilder.sound.description import Clip
from deckbuilder.sound.loops import line_over
from deckbuilder.theory.arpeggios import arpeggios
from deckbuilder.theory.functions import Harmony

Line = tuple[LineNote, ...]


def example_line(
    context: Context, region: Region, passage: Passage, task: Task, unlike: Iterable[Sequence[LineNote]]
) -> Line:
    """Find the example line of a passage in a region.

    Args:
        context: key and instrument.
        region: the hand position.
        passage: the changes.
        task: what the line keeps to.
        unlike: lines that this one may not resemble; held lines follow from the chords and may.

    Returns:
        The line; empty where the hand reaches too little to keep the task, as on some necks it does.
    """
    seed = f"{context.recipe.seed}/{context.key.name}/{region.number}/{passage.name}"
    spans = [_span(context, region, task, chord, beats) for chord, beats in passage.spans]
    try:
        return held_line(spans, seed) if task.held else line(spans, task.phrases(passage), seed, unlike)
    except NeckError:
        return ()


def example_clip(context: Context, passage: Passage, example: Line) -> Clip:
    """Describe the clip of an example line over its changes."""
    recipe = context.recipe
    played = [(note.note.midi, note.onset, note.length) for note in example]
    return line_over(passage.changes, played, tempo=recipe.sound.loop_tempo, a4=recipe.sound.a4, patch=context.patch)


def _span(context: Context, region: Region, task: Task, chord: Harmony, beats: int) -> Span:
    reached = context.fingering(chord.scale, region).notes
    allowed = task.allowed(chord) if task.allowed else chord.scale.pitch_classes
    return Span(
        beats,
        candidates(
            (note for note in reached if note.midi % 12 in allowed),
            guides={tone.pitch_class for tone in chord.chord.guide_tones},
            stable={tone.pitch_class for tone in chord.stable_tones},
            arpeggio={tone.pitch_class for each in arpeggios(chord) for tone in each.chord.tones},
        ),
        task.landing(chord) if task.landing else None,
    )
