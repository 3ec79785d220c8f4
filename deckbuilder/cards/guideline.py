"""Guide-tone lines: both voices through changes in one region, on the neck and over the loop.

One voice begins on the third of the first chord, the other on its seventh; where they go is
`deckbuilder.neck.guidelines`. The tones have their chords' names.
"""

from collections.abc import Iterator, Sequence
from itertools import accumulate, chain, pairwise

from deckbuilder.cards import words
from deckbuilder.cards.context import Context
from deckbuilder.cards.facts import Fact, Slot
from deckbuilder.cards.movement import interval
from deckbuilder.cards.music import Music, PlayedNote, guide_tones
from deckbuilder.cards.neckviews import alt_text, empty_neck, path_view
from deckbuilder.cards.note import Attachment, Note
from deckbuilder.cards.passage import Passage
from deckbuilder.cards.wording import Said
from deckbuilder.neck.fingering import FingeredNote
from deckbuilder.neck.guidelines import Pair, guide_lines
from deckbuilder.neck.regions import Region
from deckbuilder.neck.tuning import Place
from deckbuilder.picture.description import NeckPicture
from deckbuilder.sound.description import Clip
from deckbuilder.sound.loops import line_over
from deckbuilder.speech import _
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.tones import pretty

_TOLD = 4
"""Chords through which arrows and a reason follow the voices tone by tone; more would cross each other."""


def guide_line_notes(context: Context, region: Region, passage: Passage) -> Iterator[Note]:
    """Make the note of the guide-tone lines through a passage; none where the hand lacks a guide tone.

    Args:
        context: key, instrument and level.
        region: the hand position.
        passage: the changes.
    """
    chords = tuple(chord for chord, _ in passage.spans)
    way = guide_lines([_guide_places(context, region, chord) for chord in chords])
    if way:
        yield _note(context, region, passage, chords, way)


def _guide_places(
    context: Context, region: Region, chord: Harmony
) -> tuple[tuple[FingeredNote, ...], tuple[FingeredNote, ...]]:
    fingered = context.fingering(chord.scale, region)
    third, seventh = (fingered.run({tone.pitch_class}) for tone in chord.chord.guide_tones)
    return third, seventh


def _note(context: Context, region: Region, passage: Passage, chords: Sequence[Harmony], way: Sequence[Pair]) -> Note:
    voices = [[_named(chord, pair[number]) for chord, pair in zip(chords, way, strict=True)] for number in range(2)]
    picture = _view(context, region, voices)
    where, changes = words.region_name(region), words.joined(passage.title, passage.written)
    third, seventh = (pretty(voice[0].degree) for voice in voices)
    question = _(
        "Two guide-tone lines through the changes: one from the {third} of {chord}, one from its {seventh}.",
        third=third,
        chord=chords[0].label,
        seventh=seventh,
    )
    return context.note(
        context.identity(Fact.GUIDE_LINES, region, None, item=passage.name),
        Music(
            context.key,
            tuple(chords),
            passage.name,
            region,
            tuple(note.tone for voice in voices for note in voice),
            tuple(note.degree for voice in voices for note in voice),
            frozenset().union(*map(guide_tones, chords)),
            tuple(note for voice in voices for note in voice),
            beats=tuple(beats for _, beats in passage.spans),
        ),
        Said(
            asks=(where, changes, _("both guide-tone lines")),
            task=changes,
            question=question,
            label=words.listed("–".join(note.tone.label for note in voice) for voice in voices),
            over=_("over {chord}", chord=" – ".join(chord.label for chord in chords)),
            why=" ".join(_why(chords, voice) for voice in voices),
            owners=(*chords, *chords),
        ),
        {
            Slot.PICTURE: Attachment(picture, alt_text(_("Both guide-tone lines, {place}", place=where), picture)),
            Slot.EMPTY_NECK: empty_neck(picture),
            Slot.CLIP: Attachment(_clip(context, passage, way), _("Play both lines")),
        },
    )


def _named(chord: Harmony, note: FingeredNote) -> PlayedNote:
    tone = next(tone for tone in chord.chord.guide_tones if tone.pitch_class == note.midi % 12)
    return PlayedNote(note.midi, tone, chord.degree_of(tone), note.place)


def _view(context: Context, region: Region, voices: Sequence[Sequence[PlayedNote]]) -> NeckPicture:
    """Show every place of both voices on one neck, by the tone's name: its degree is another over each chord."""
    names: dict[Place, tuple[str, bool]] = {}
    for note in chain(*voices):
        names.setdefault(note.place, (note.tone.label, True))
    told = [voice for voice in voices if len(voice) <= _TOLD]
    moves = chain(*(pairwise(note.place for note in voice) for voice in told))
    paths = [((old.string, old.fret), (new.string, new.fret)) for old, new in moves if old != new]
    return path_view(context.recipe, region, (), starts={}, ends=names, paths=tuple(dict.fromkeys(paths)))


def _clip(context: Context, passage: Passage, way: Sequence[Pair]) -> Clip:
    """Hold both voices over each chord for as long as it lasts."""
    lengths = [beats for _, beats in passage.spans]
    line = [
        (note.midi, float(begin), float(begin + length))
        for begin, length, pair in zip(accumulate(lengths, initial=0), lengths, way, strict=False)
        for note in pair
    ]
    sound = context.recipe.sound
    return line_over(passage.changes, line, tempo=sound.loop_tempo, a4=sound.a4, patch=context.patch)


def _why(chords: Sequence[Harmony], voice: Sequence[PlayedNote]) -> str:
    """Follow a voice: `B♭, the ♭3 of Gm7, stays as the ♭7 of C7, falls a semitone to A, the 3 of Fmaj7.`."""
    steps = [after.midi - before.midi for before, after in pairwise(voice)]
    start = {"tone": voice[0].tone.label, "degree": pretty(voice[0].degree), "chord": chords[0].label}
    if len(voice) > _TOLD:
        most = max(map(abs, steps))
        if not most:
            return _("{tone}, the {degree} of {chord}, stays throughout.", **start)
        return _(
            "{tone}, the {degree} of {chord}, never moves more than {interval} at once.",
            interval=interval(most),
            **start,
        )
    moves = ", ".join(_going(step, note, chord) for step, note, chord in zip(steps, voice[1:], chords[1:], strict=True))
    return _("{tone}, the {degree} of {chord}, {moves}.", moves=moves, **start)


def _going(step: int, note: PlayedNote, chord: Harmony) -> str:
    end = {"degree": pretty(note.degree), "chord": chord.label}
    if step == 0:
        return _("stays as the {degree} of {chord}", **end)
    goes = {"interval": interval(step), "tone": note.tone.label, **end}
    if step > 0:
        return _("rises {interval} to {tone}, the {degree} of {chord}", **goes)
    return _("falls {interval} to {tone}, the {degree} of {chord}", **goes)
