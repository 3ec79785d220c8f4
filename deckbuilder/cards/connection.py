"""Connection notes: from a guide tone of one chord to the nearest guide tone of the next, in one region.

Guide tones come back in every octave. The answer is the shortest way that the hand finds; the picture shows it wherever
the region has it. Of two tones as near, both are the answer, and the first of them is played. A dominant's colour keeps
its guide tones: plain or altered, the way is the same, and is asked once.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from deckbuilder.cards import movement, reasons, words
from deckbuilder.cards.context import Context
from deckbuilder.cards.facts import Fact, Slot
from deckbuilder.cards.music import Music, guide_tones, played
from deckbuilder.cards.neckviews import alt_text, path_view, stacked, start_view
from deckbuilder.cards.note import Attachment, Note
from deckbuilder.cards.wording import Said
from deckbuilder.neck.connections import Way, nearest
from deckbuilder.neck.regions import Region
from deckbuilder.sound.arrangement import chord_to_chord
from deckbuilder.speech import _
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.tones import Tone, pretty


@dataclass(frozen=True, slots=True)
class _Connection:
    """The ways on from a guide tone.

    Args:
        tone: the guide tone.
        ways: the shortest ways to guide tones of the next chord, the one that is chosen first.
    """

    tone: Tone
    ways: tuple[Way, ...]


def connection_notes(context: Context, region: Region, first: Harmony, second: Harmony) -> tuple[Note, ...]:
    """Make the notes of two neighbouring chords, one for each guide tone of the first.

    Args:
        context: key, instrument and level.
        region: the hand position.
        first: the chord that is left.
        second: the chord that follows.

    Returns:
        The notes, third first; none for a guide tone out of the hand's reach.
    """
    found = _connections(context, region, first, second)
    return tuple(_note(context, region, first, second, connection) for connection in found)


def _connections(context: Context, region: Region, first: Harmony, second: Harmony) -> tuple[_Connection, ...]:
    left, reached = (context.fingering(chord.scale, region) for chord in (first, second))
    guides = {tone.pitch_class for tone in second.chord.guide_tones}
    targets = reached.run(guides)
    starts = ((tone, left.run({tone.pitch_class})) for tone in first.chord.guide_tones)
    return tuple(_Connection(tone, nearest(places, targets, guides)) for tone, places in starts if places and targets)


def _note(context: Context, region: Region, first: Harmony, second: Harmony, connection: _Connection) -> Note:
    recipe = context.recipe
    own = {tone.pitch_class: tone for tone in second.chord.guide_tones}
    start = first.degree_of(connection.tone)
    ends = [(own[way.end.midi % 12], way.step) for way in _one_each(connection.ways)]
    target, step = ends[0]
    way = _played(context, first, connection)
    # A tone that stays is named as what it becomes.
    before = () if step == 0 else (connection.tone,)
    reached_tones = [tone for tone, _ in ends]
    tones = (*before, *reached_tones)
    owners = (*(first for _ in before), *(second for _ in reached_tones))
    degrees = tuple(owner.degree_of(tone) for tone, owner in zip(tones, owners, strict=True))
    guides = guide_tones(second)
    starts = {way.start.place: context.label(connection.tone, start) for way in connection.ways}
    reached = {way.end.place: own[way.end.midi % 12] for way in connection.ways}
    picture = path_view(
        recipe,
        region,
        context.fingering(second.scale, region).notes,
        starts=starts,
        ends={
            place: (context.label(tone, second.degree_of(tone)), tone.pitch_class in guides)
            for place, tone in reached.items()
        },
        paths=_paths(connection.ways),
    )
    bare = start_view(recipe, region, starts)
    where = words.region_name(region)
    question = movement.question(first, second, start)
    over = movement.step_taken(first, second, connection.tone, ends)
    return context.note(
        context.identity(Fact.CONNECTION, region, first.without_dorian, item=_item(start, second)),
        Music(
            context.key,
            (first, second),
            target.name,
            region,
            tones,
            degrees,
            guides if step == 0 else guides | {connection.tone.pitch_class},
            played((way.start,) if step == 0 else (way.start, way.end), tones, degrees),
        ),
        Said(
            asks=(where, question),
            task=movement.task(first, second, start),
            question=question,
            label=movement.answer(second, reached_tones),
            over=over,
            why=reasons.by_any_name(reasons.why_connection(second, reached_tones), reached_tones),
            owners=owners,
        ),
        {
            # Two degrees, often of one name, belong to two chords: the title says which.
            Slot.PICTURE: Attachment(
                stacked([picture], [movement.title(first, second, start)]),
                alt_text(f"{over}, {where}", picture),
            ),
            Slot.QUESTION_PICTURE: Attachment(
                bare,
                alt_text(
                    _("The {degree} of {chord}, {place}", degree=pretty(start), chord=first.label, place=where), bare
                ),
            ),
            Slot.CLIP: Attachment(
                chord_to_chord(
                    (context.shell(first.chord), context.shell(second.chord)),
                    (way.start.midi, way.end.midi),
                    tempo=recipe.sound.tempo,
                    a4=recipe.sound.a4,
                ).played_on(context.patch),
                _("Play the way from chord to chord"),
            ),
        },
    )


def _item(start: str, second: Harmony) -> str:
    """Say from which tone to which chord, for the id: `from-b7-to-V-altered`."""
    scale = second.without_dorian.own_scale
    parts = (
        second.function.name,
        second.colour.name if second.colour else "",
        scale.symbol.replace(" ", "-") if scale else "",
    )
    return "-".join(("from", start, "to", *(part for part in parts if part)))


def _one_each(ways: Iterable[Way]) -> tuple[Way, ...]:
    """Return the first way to each tone: those to the same tone in another octave left out."""
    first: dict[int, Way] = {}
    for way in ways:
        first.setdefault(way.end.midi % 12, way)
    return tuple(first.values())


def _played(context: Context, first: Harmony, connection: _Connection) -> Way:
    """Return where the step is played: the lowest place above the chord, the highest where there is none above."""
    top = max(context.shell(first.chord))
    chosen = [way for way in connection.ways if way.step == connection.ways[0].step]
    return next((way for way in chosen if way.start.midi > top), chosen[-1])


def _paths(ways: Iterable[Way]) -> tuple[tuple[tuple[int, int], ...], ...]:
    places = [tuple((note.place.string, note.place.fret) for note in (way.start, way.end)) for way in ways]
    return tuple(pair for pair in places if pair[0] != pair[1])
