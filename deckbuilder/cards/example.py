"""Example lines: how a passage may be played in a region so that it keeps to a task (`deckbuilder.lines`)."""

from typing import Final

from deckbuilder.cards.context import Context
from deckbuilder.cards.passage import Passage
from deckbuilder.cards.tasks import Task, fourths_from_c
from deckbuilder.lines.compose import Rules, compose
from deckbuilder.lines.dealing import Dealer
from deckbuilder.lines.held import hold
from deckbuilder.lines.notes import BEAT, LineNote
from deckbuilder.lines.position import Position
from deckbuilder.neck.regions import Region
from deckbuilder.neck.tuning import NeckError
from deckbuilder.sound.arrangement import TEMPOS
from deckbuilder.sound.description import Clip
from deckbuilder.sound.loops import line_over, loop_seconds

Line = tuple[LineNote, ...]

SLOW: Final = 0.6
"""Of the loop's tempo: at this a line is heard note by note."""
_LONGEST_SLOW: Final = 25.0  # s


def example_line(context: Context, region: Region, passage: Passage, task: Task) -> Line:
    """Compose the example line of a passage in a region; seed and subject alone decide it.

    Args:
        context: key and instrument.
        region: the hand position.
        passage: the changes.
        task: what the line keeps to.

    Returns:
        The line; empty where the hand reaches too little to keep the task, as on some necks it does.
    """
    recipe, neck = context.recipe, context.recipe.instrument.neck
    name = f"{neck.id}/{recipe.instrument.regions}/{passage.name}"
    fourths = fourths_from_c(context.key.tonic.pitch_class)
    dealer = Dealer(recipe.seed, fourths, region.number, passage.number, name)
    position = Position(neck, region.index_fret)
    rules = Rules(
        task.windows(passage),
        tuple(task.allowed(chord) if task.allowed else None for chord, _ in passage.spans),
        tuple(task.landing(chord) if task.landing else None for chord, _ in passage.spans),
        task.coming,
    )
    try:
        if task.held:
            return hold(passage.spans, position, rules.allowed, dealer)
        return compose(passage.spans, position, rules, dealer)
    except NeckError:
        return ()


def example_clip(context: Context, passage: Passage, example: Line) -> Clip:
    """Describe the clip of an example line over its changes."""
    return _clip(context, passage, example, context.recipe.sound.loop_tempo)


def slow_clip(context: Context, passage: Passage, example: Line) -> Clip | None:
    """Describe the clip of an example line at `SLOW` tempo; None where that is slower or longer than a clip is."""
    tempo = SLOW * context.recipe.sound.loop_tempo
    if tempo < TEMPOS[0] or loop_seconds(passage.changes, tempo, 1, False) > _LONGEST_SLOW:
        return None
    return _clip(context, passage, example, tempo)


def _clip(context: Context, passage: Passage, example: Line, tempo: float) -> Clip:
    played = [(note.midi, note.onset / BEAT, note.end / BEAT) for note in example]
    return line_over(passage.changes, played, tempo=tempo, a4=context.recipe.sound.a4, patch=context.patch)
