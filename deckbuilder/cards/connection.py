"""Connection notes: from a guide tone of one chord to the nearest tone of the next, in one region.

Guide tones come back in every octave. The answer is the shortest way that the hand finds; the picture shows it wherever
the region has it. Where the nearest tone is no guide tone, the way to the nearest guide tone is shown beside it.
"""

from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from functools import partial

from deckbuilder.cards import words
from deckbuilder.cards.neckviews import alt_text, path_view, start_view
from deckbuilder.cards.note import Answer, Fact, Kind, Note
from deckbuilder.cards.setting import Setting
from deckbuilder.neck.connections import Connection, connections
from deckbuilder.neck.regions import Region
from deckbuilder.neck.tuning import NeckError
from deckbuilder.sound.arrangement import chord_to_chord
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.tones import Tone, pretty

KINDS = (Kind.CONNECT,)
"""Every way to ask for a connection."""


@dataclass(frozen=True, slots=True)
class _Way:
    """The shortest way on from a guide tone.

    Args:
        tone: the guide tone.
        shown: where the region has it, lowest first.
    """

    tone: Tone
    shown: tuple[Connection, ...]

    @property
    def step(self) -> int:
        """Semitones up to the nearest tone of the next chord."""
        return self.shown[0].tone_step

    @property
    def to_guide(self) -> Connection:
        """The shortest way to a guide tone."""
        return min(self.shown, key=lambda one: (abs(one.guide_step), one.guide_step))


def connection_notes(setting: Setting, region: Region, first: Harmony, second: Harmony) -> tuple[Note, ...]:
    """Make the notes of two neighbouring chords, one for each guide tone of the first.

    Args:
        setting: key, instrument and level.
        region: the hand position.
        first: the chord that is left.
        second: the chord that follows.

    Returns:
        The notes, third first; none for a guide tone out of the hand's reach.
    """
    return tuple(_note(setting, region, first, second, way) for way in _ways(setting, region, first, second))


def _ways(setting: Setting, region: Region, first: Harmony, second: Harmony) -> tuple[_Way, ...]:
    guides, next_guides = ({tone.pitch_class for tone in chord.chord.guide_tones} for chord in (first, second))
    try:
        found = connections(
            setting.fingering(first.scale, region).notes,
            setting.fingering(second.scale, region).notes,
            guides=guides,
            next_guides=next_guides,
            next_chord={tone.pitch_class for tone in second.stable_tones},
        )
    except NeckError:
        return ()
    ways = []
    for tone in first.chord.guide_tones:
        own = [one for one in found if one.start.midi % 12 == tone.pitch_class]
        if own:
            step = min(own, key=partial(_length, next_guides)).tone_step
            ways.append(_Way(tone, tuple(one for one in own if one.tone_step == step)))
    return tuple(ways)


def _length(guides: AbstractSet[int], way: Connection) -> tuple[int, bool, int]:
    """Order ways as `deckbuilder.neck.connections` does: the nearest, a guide tone first, then downward."""
    return abs(way.tone_step), way.tone.midi % 12 not in guides, way.tone_step


def _note(setting: Setting, region: Region, first: Harmony, second: Harmony, way: _Way) -> Note:
    outline, key = setting.outline, setting.key
    start = first.degree_of(way.tone)
    target, guide = (_tone_of(second, midi) for midi in (way.shown[0].tone.midi, way.to_guide.guide.midi))
    end = second.degree_of(target)
    played = _played(setting, first, way)
    stays = way.step == 0
    notes = (played.start,) if stays else (played.start, played.tone)
    tones = (target,) if stays else (way.tone, target)
    degrees = (end,) if stays else (start, end)
    guides = {tone.pitch_class for tone in second.chord.guide_tones}
    picture = path_view(
        outline,
        region,
        setting.fingering(second.scale, region).notes,
        starts={one.start.place: setting.label(way.tone, start) for one in way.shown},
        ends={
            **{way.to_guide.guide.place: (setting.label(guide, second.degree_of(guide)), True)},
            **{one.tone.place: (setting.label(target, end), target.pitch_class in guides) for one in way.shown},
        },
        paths=_paths(way),
    )
    bare = start_view(outline, region, {one.start.place: setting.label(way.tone, start) for one in way.shown})
    where = words.region_name(region)
    question = words.connection_question(first, second, start)
    over = words.connection_step(first, second, (way.tone, target), way.step)
    return Note(
        subject=setting.subject(Fact.CONNECTION, region, first, item=_item(start, second)),
        kinds=setting.kinds(KINDS),
        level=setting.level,
        key_label=key.label,
        index_fret=region.index_fret,
        position=region.position,
        chord=f"{first.symbol} {second.symbol}",
        symbol=target.name,
        tones=tuple(tone.name for tone in tones),
        degrees=degrees,
        midi=tuple(note.midi for note in notes),
        places=tuple(note.place for note in notes),
        missing=(),
        prompt=words.joined(key.label, where, question),
        task=words.connection_task(first, second, start),
        answer=Answer(
            label=f"{target.label} ({pretty(end)})",
            over=over,
            tones=tuple(tone.label for tone in tones),
            degrees=tuple(pretty(degree) for degree in degrees),
            guide_tones=tuple(tone.label for tone in tones if tone is not target or target.pitch_class in guides),
            places=setting.place_lines(note.place for note in notes),
        ),
        why=words.why_connection(second, (guide, target), way.to_guide.guide_step),
        picture=picture,
        picture_alt=alt_text(f"{over}, {where}", picture),
        bare_picture=bare,
        bare_picture_alt=alt_text(f"The {pretty(start)} of {first.label}, {where}", bare),
        clip=chord_to_chord(
            (setting.shell(first.chord), setting.shell(second.chord)),
            (played.start.midi, played.tone.midi),
            tempo=outline.tempo,
            a4=outline.a4,
        ),
        question=question,
    )


def _item(start: str, second: Harmony) -> str:
    """Say from which tone to which chord, for the id: `from-b7-to-V-altered`."""
    scale = second.own_scale
    parts = (
        second.function.name,
        second.colour.name if second.colour else "",
        scale.symbol.replace(" ", "-") if scale else "",
    )
    return "-".join(("from", start, "to", *(part for part in parts if part)))


def _tone_of(chord: Harmony, midi: int) -> Tone:
    """Return a tone of a chord as the chord spells it."""
    return next(tone for tone in chord.chord.tones if tone.pitch_class == midi % 12)


def _played(setting: Setting, first: Harmony, way: _Way) -> Connection:
    """Return where the step is played: the lowest place above the chord, the highest where there is none above."""
    top = max(setting.shell(first.chord))
    return next((one for one in way.shown if one.start.midi > top), way.shown[-1])


def _paths(way: _Way) -> tuple[tuple[tuple[int, int], ...], ...]:
    ends = [(one.start, one.tone) for one in way.shown] + [(way.to_guide.start, way.to_guide.guide)]
    places = [tuple((note.place.string, note.place.fret) for note in pair) for pair in ends]
    return tuple(dict.fromkeys(pair for pair in places if pair[0] != pair[1]))
