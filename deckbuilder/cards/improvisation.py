"""Improvisation notes: a loop to play or sing over in a region, and one thing to keep to (`deckbuilder.cards.tasks`).

The answer has an example line that keeps to it: to hear over the changes, and numbered on the neck, a bar of it for
each chord, where it first comes to that chord.
"""

from collections.abc import Sequence
from dataclasses import replace

from deckbuilder.cards import words
from deckbuilder.cards.comping import loop_over
from deckbuilder.cards.context import Context
from deckbuilder.cards.example import Line, example_clip
from deckbuilder.cards.facts import Fact, Kind
from deckbuilder.cards.neckviews import alt_text, region_view, stacked
from deckbuilder.cards.note import Answer, Note
from deckbuilder.cards.passage import Passage
from deckbuilder.cards.tasks import Task
from deckbuilder.neck.linenotes import BAR
from deckbuilder.neck.regions import Region
from deckbuilder.neck.tuning import Place
from deckbuilder.picture.description import NeckPicture
from deckbuilder.picture.validation import MOST_PICTURES
from deckbuilder.theory.arpeggios import Arpeggio, arpeggios
from deckbuilder.theory.functions import Harmony

KINDS = (Kind.IMPROVISE,)
"""Every way to ask for an improvisation."""


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
    key, recipe = context.key, context.recipe
    chords = passage.chords[:MOST_PICTURES]
    carriers = [arpeggios(chord) for chord in chords]
    ways = [_way(passage, chord, example) for chord in chords]
    views = [_view(context, region, *each) for each in zip(chords, carriers, ways, strict=True)]
    picture = stacked(views, [_title(chord, pair) for chord, pair in zip(chords, carriers, strict=True)])
    where = words.region_name(region)
    changes = words.joined(passage.title, passage.written)
    return Note(
        subject=context.subject(Fact.IMPROVISATION, region, None, item=passage.name),
        kinds=context.kinds(KINDS),
        level=context.level,
        key_label=key.label,
        index_fret=region.index_fret,
        position=region.position,
        chord=" ".join(chord.symbol for chord, _ in passage.spans),
        symbol=passage.name,
        tones=(),
        degrees=(),
        midi=(),
        places=(),
        missing=(),
        prompt=words.joined(key.label, where, changes, task.text),
        task=changes,
        answer=Answer(
            label=words.changes_in_order(chords),
            over=f"in {key.label}",
            tones=(),
            degrees=(),
            guide_tones=(),
            places=(),
        ),
        why=" ".join(filter(None, (words.why_guide_tones(chords), words.basses(chords)))),
        picture=picture,
        picture_alt=" ".join(
            alt_text(f"{name}, {remark}, {where}", view) + words.line_alt(way, recipe.instrument.neck.capo)
            for view, way, (name, remark) in zip(views, ways, picture.titles, strict=True)
        ),
        bare_picture=None,
        bare_picture_alt="",
        clip=loop_over(recipe, passage.changes),
        question=task.text,
        example=example_clip(context, passage, example) if example else None,
    )


def _way(passage: Passage, chord: Harmony, example: Line) -> tuple[Place, ...]:
    """Return the places that the example line visits in a bar, from where it first comes to a chord."""
    spans = passage.spans
    over = [note for note in example if spans[note.span][0] == chord]
    return tuple(note.note.place for note in over if note.onset < over[0].onset + BAR and note.span == over[0].span)


def _view(
    context: Context, region: Region, chord: Harmony, carriers: Sequence[Arpeggio], way: Sequence[Place]
) -> NeckPicture:
    """Show the arpeggios over a chord at once, each with its root ringed, and number the example line's way."""
    shown = [tone for each in carriers for tone in each.chord.tones]
    if chord.bass and chord.bass.pitch_class in chord.scale.pitch_classes:
        shown.append(chord.bass)
    tones = {tone.pitch_class: tone for tone in shown}.values()
    view = region_view(
        context.recipe,
        region,
        context.fingering(chord.scale, region).notes,
        asked={tone.pitch_class for tone in tones},
        guides={tone.pitch_class for tone in chord.chord.guide_tones},
        roots={each.chord.root.pitch_class for each in carriers},
        labels=context.labels(tones, [chord.degree_of(tone) for tone in tones]),
    )
    return replace(view, visits=tuple((place.string, place.fret) for place in way))


def _title(chord: Harmony, carriers: Sequence[Arpeggio]) -> tuple[str, str]:
    return f"{chord.function.label}  {chord.label}", " and ".join(each.chord.label for each in carriers)
