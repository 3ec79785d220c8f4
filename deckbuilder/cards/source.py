"""Source notes: a chord is named and sounds, an arpeggio runs over it, from the root or from the third.

Both answers run as many tones up from the arpeggio's own root, in the region.
"""

from functools import partial

from deckbuilder.cards import reasons, words
from deckbuilder.cards.context import Context
from deckbuilder.cards.facts import Fact
from deckbuilder.cards.heard import Heard, ascending, heard_note
from deckbuilder.cards.levels import Lesson, Level
from deckbuilder.cards.note import Note
from deckbuilder.cards.spread import Question
from deckbuilder.neck.fingering import FingeredNote
from deckbuilder.neck.regions import Region
from deckbuilder.speech import _
from deckbuilder.theory.arpeggios import Arpeggio, Source, arpeggio

LONGEST = 5
"""Tones of a run: the arpeggio and its root's octave."""
SHORTEST = 4
"""Fewer are no arpeggio: then it sounds as it would on a larger neck."""


def source_questions(level: Level) -> tuple[Question, ...]:
    """Return the questions of a level: each chord it adds, from the root and from the third."""
    return tuple(partial(_note, lesson, source) for lesson in level.lessons for source in Source)


def _note(lesson: Lesson, source: Source, context: Context, region: Region) -> Note:
    chord = lesson.harmony(context.key)
    runs = {each: _from_its_root(context, region, arpeggio(chord, each)) for each in Source}
    # The number of tones must not tell the answer where a neck has no room for five.
    count = min(LONGEST, *(len(run) for run in runs.values()))
    asked, run = arpeggio(chord, source), runs[source][:count]
    midi = tuple(note.midi for note in run)
    if count < SHORTEST:
        run, midi = (), _free_of_the_neck(context, region, asked)
    label = _("from the root") if source is Source.ROOT else _("from the third")
    return heard_note(
        context,
        region,
        Heard(
            fact=Fact.SOURCE,
            harmony=chord,
            question=words.source_question(asked),
            task=words.source_question(asked),
            answer=source.value,
            label=label,
            over=words.joined(asked.chord.label, words.arpeggio_over(asked, context.key)),
            why=reasons.why_arpeggio(asked),
            symbol=asked.chord.symbol,
            tones=asked.chord.tones,
            roots=frozenset({asked.chord.root.pitch_class}),
            clip=context.question_clip(chord.chord, midi),
            plays=_("Play the arpeggio"),
            source=source.value,
            run=run,
        ),
    )


def _free_of_the_neck(context: Context, region: Region, asked: Arpeggio) -> tuple[int, ...]:
    """Return an arpeggio and its root's octave, MIDI, from a region's lowest pitch up, whatever the hand reaches."""
    lowest = min(note.midi for note in context.fingering(asked.harmony.scale, region).notes)
    return ascending((*asked.chord.tones, asked.chord.root), lowest - 1)


def _from_its_root(context: Context, region: Region, asked: Arpeggio) -> tuple[FingeredNote, ...]:
    """Return an arpeggio's run in a region from its lowest root up; all of it where its root is out of reach."""
    run = context.fingering(asked.harmony.scale, region).run(asked.chord.pitch_classes)
    roots = [number for number, note in enumerate(run) if note.midi % 12 == asked.chord.root.pitch_class]
    return run[roots[0] :] if roots else run
