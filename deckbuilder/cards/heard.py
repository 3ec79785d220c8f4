"""Notes for the ear: what the questions about colour, source, target and function have in common.

The front of such a card names the key and asks; the clip is the question. The back adds the answer and shows where the
tones in question lie in a region.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from deckbuilder.cards import words
from deckbuilder.cards.context import Context
from deckbuilder.cards.facts import AnyFact, Slot
from deckbuilder.cards.music import Music, guide_tones, played
from deckbuilder.cards.neckviews import alt_text, region_view
from deckbuilder.cards.note import Attachment, Note
from deckbuilder.cards.wording import Said
from deckbuilder.neck.fingering import FingeredNote
from deckbuilder.neck.regions import Region
from deckbuilder.sound.description import Clip
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.tones import Tone


@dataclass(frozen=True, slots=True)
class Heard:
    """What a note for the ear asks and what is right.

    Args:
        fact: the kind of fact.
        harmony: the chord in question.
        question: the question in full; it names the alternatives.
        task: the question in short, for the back.
        answer: what is right, ASCII.
        label: the same for people.
        over: where it stands: chord, function, key.
        why: one line of reason.
        symbol: symbol of what is heard, ASCII.
        tones: the tones shown on the neck, with names as they are spelled.
        roots: pitch classes of those that are roots.
        clip: what sounds.
        plays: what a button for it says.
        source: where the arpeggio starts, for a question about it.
        item: what else the note's id needs.
        run: what is played in the region after a chord.
        beside: tones that the picture shows for orientation.
    """

    fact: AnyFact
    harmony: Harmony
    question: str
    task: str
    answer: str
    label: str
    over: str
    why: str
    symbol: str
    tones: tuple[Tone, ...]
    roots: frozenset[int]
    clip: Clip
    plays: str
    source: str | None = None
    item: str | None = None
    run: tuple[FingeredNote, ...] = ()
    beside: tuple[Tone, ...] = ()


def heard_note(context: Context, region: Region, heard: Heard) -> Note:
    """Make a note for the ear.

    Args:
        context: key, instrument and level.
        region: where the back shows the tones in question.
        heard: the question and its answer.
    """
    harmony, tones = heard.harmony, heard.tones
    shown = (*tones, *heard.beside)
    degrees = tuple(harmony.degree_of(tone) for tone in tones)
    guides = guide_tones(harmony)
    picture = region_view(
        context.recipe,
        region,
        context.fingering(harmony.scale, region).notes,
        asked={tone.pitch_class for tone in shown},
        guides=guides,
        roots=heard.roots,
        labels=context.labels(shown, [harmony.degree_of(tone) for tone in shown]),
    )
    return context.note(
        context.identity(heard.fact, region, harmony, heard.source, heard.item),
        Music(
            context.key,
            (harmony,),
            heard.symbol,
            region,
            tones,
            degrees,
            guides,
            played(heard.run, tones, degrees),
        ),
        Said(
            asks=(heard.question,),
            task=heard.task,
            question=heard.question,
            label=heard.label,
            over=heard.over,
            why=heard.why,
            heard=heard.answer,
        ),
        {
            Slot.PICTURE: Attachment(
                picture, alt_text(f"{heard.label}, {heard.over}, {words.region_name(region)}", picture)
            ),
            Slot.CLIP: Attachment(heard.clip, heard.plays),
        },
    )


def ascending(tones: Iterable[Tone], above: int) -> tuple[int, ...]:
    """Return MIDI numbers of tones, each the next above the one before: how they sound where no place has them.

    Args:
        tones: the tones, in order.
        above: the first lies above this MIDI number.
    """
    pitches: list[int] = []
    for tone in tones:
        above += (tone.pitch_class - above - 1) % 12 + 1
        pitches.append(above)
    return tuple(pitches)
