"""Reading notes: an arpeggio in a region as a staff shows it; its name and its places are asked.

What is asked is the arpeggio's own note (`deckbuilder.cards.arpeggio`) with another question: the run on a staff,
without a chord symbol, degrees or tablature.
"""

from collections.abc import Iterator
from dataclasses import replace

from deckbuilder.cards.arpeggio import arpeggio_notes
from deckbuilder.cards.context import Context
from deckbuilder.cards.facts import Fact, Slot
from deckbuilder.cards.note import Attachment, Note
from deckbuilder.cards.spoken import spoken
from deckbuilder.cards.written import in_words, run_score
from deckbuilder.neck.regions import Region
from deckbuilder.notation.description import Score, Staves
from deckbuilder.theory.functions import Harmony

_ANSWER = (Slot.PICTURE, Slot.CLIP, Slot.NOTATION)


def reading_notes(context: Context, region: Region, harmony: Harmony) -> Iterator[Note]:
    """Make the notes of reading every arpeggio over a chord in a region.

    Args:
        context: key, instrument and level.
        region: the hand position.
        harmony: the sounding chord.
    """
    tuning = context.recipe.instrument.neck.tuning
    for note in arpeggio_notes(context, region, harmony):
        if note.music.run:
            score = _bare(run_score(tuning, note.music.chords[0], note.music.run, Staves.STAFF))
            yield replace(
                note,
                identity=replace(note.identity, fact=Fact.READING),
                media={
                    **{slot: note.media[slot] for slot in _ANSWER if slot in note.media},
                    Slot.QUESTION_SCORE: Attachment(score, spoken(in_words(score))),
                },
            )


def _bare(score: Score) -> Score:
    """Leave out all that tells the answer."""
    return replace(score, chords=(), notes=tuple(replace(note, degree="") for note in score.notes))
