"""Improvisation notes: a loop to play or sing over in a region, and one thing to keep to.

What to keep to rotates by a fixed rule, so that neighbouring regions, keys and levels differ. The answer has an example
line: to hear over the changes, and as a path on the neck where each chord first comes.
"""

from collections.abc import Sequence
from dataclasses import replace

from deckbuilder.cards import words
from deckbuilder.cards.comping import loop_over
from deckbuilder.cards.example import Line, example_clip
from deckbuilder.cards.neckviews import alt_text, region_view, stacked
from deckbuilder.cards.note import Answer, Fact, Kind, Note
from deckbuilder.cards.passage import Passage
from deckbuilder.cards.setting import Setting
from deckbuilder.neck.regions import Region
from deckbuilder.neck.tuning import Place
from deckbuilder.picture.description import NeckPicture
from deckbuilder.picture.validation import MOST_PICTURES
from deckbuilder.theory.arpeggios import Arpeggio, arpeggios
from deckbuilder.theory.functions import Harmony

KINDS = (Kind.IMPROVISE,)
"""Every way to ask for an improvisation."""

ON_THE_DOMINANT = "Start every phrase on V."

CONSTRAINTS = (
    "Land on the 3rd of each chord, on beat one.",
    "Only arpeggios from the third.",
    ON_THE_DOMINANT,
    "Land on the 7th of each chord, on beat one.",
    "Only guide tones: hold, or move to the nearest.",
    "Only arpeggios from the root.",
    "Play two bars, leave two bars empty.",
)
"""What to keep to. Their number is prime and larger than any step between neighbours, so neighbours never agree."""

_FOURTH = 5  # semitones, modulo 12 its own inverse


def constraint(passage: Passage, region: Region, tonic: int) -> str:
    """Return what to keep to: one further from region to region, two from key to key in fourths, three a passage.

    Args:
        passage: the changes.
        region: the hand position.
        tonic: the key's pitch class.
    """
    in_fourths = tonic * _FOURTH % 12
    place = region.number + 2 * in_fourths + 3 * passage.number
    chosen = CONSTRAINTS[place % len(CONSTRAINTS)]
    if chosen == ON_THE_DOMINANT and all(chord.function.name != "V" for chord in passage.chords):
        return CONSTRAINTS[(place + 1) % len(CONSTRAINTS)]
    return chosen


def improvisation_note(setting: Setting, region: Region, passage: Passage, example: Line) -> Note:
    """Make the note of an improvisation over a passage.

    A sheet has room for twelve chords: of more, the answer shows those that come first.

    Args:
        setting: key, instrument and level.
        region: the hand position.
        passage: the changes.
        example: the example line; empty for none.
    """
    key, outline = setting.key, setting.outline
    chords = passage.chords[:MOST_PICTURES]
    carriers = [arpeggios(chord) for chord in chords]
    ways = [_way(passage, chord, example) for chord in chords]
    views = [_view(setting, region, *each) for each in zip(chords, carriers, ways, strict=True)]
    picture = stacked(views, [_title(chord, pair) for chord, pair in zip(chords, carriers, strict=True)])
    where, task = words.region_name(region), constraint(passage, region, key.tonic.pitch_class)
    changes = words.joined(passage.title, passage.written)
    return Note(
        subject=setting.subject(Fact.IMPROVISATION, region, None, item=passage.name),
        kinds=setting.kinds(KINDS),
        level=setting.level,
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
        prompt=words.joined(key.label, where, changes, task),
        task=changes,
        answer=Answer(
            label=words.changes_in_order(chords),
            over=f"in {key.label}",
            tones=(),
            degrees=(),
            guide_tones=(),
            places=(),
        ),
        why=words.why_guide_tones(chords),
        picture=picture,
        picture_alt=" ".join(
            alt_text(f"{name}, {remark}, {where}", view) + words.line_alt(way, outline.instrument.capo)
            for view, way, (name, remark) in zip(views, ways, picture.titles, strict=True)
        ),
        bare_picture=None,
        bare_picture_alt="",
        clip=loop_over(outline, passage.changes),
        question=task,
        example=example_clip(setting, passage, example) if example else None,
    )


def _way(passage: Passage, chord: Harmony, example: Line) -> tuple[Place, ...]:
    """Return the places that the example line visits where a chord first comes."""
    first = [span for span, _ in passage.spans].index(chord)
    return tuple(note.note.place for note in example if note.span == first)


def _view(
    setting: Setting, region: Region, chord: Harmony, carriers: Sequence[Arpeggio], way: Sequence[Place]
) -> NeckPicture:
    """Show the arpeggios over a chord at once, each with its root ringed, and the example line's way among them."""
    tones = {tone.pitch_class: tone for each in carriers for tone in each.chord.tones}.values()
    view = region_view(
        setting.outline,
        region,
        setting.fingering(chord.scale, region).notes,
        asked={tone.pitch_class for tone in tones},
        guides={tone.pitch_class for tone in chord.chord.guide_tones},
        roots={each.chord.root.pitch_class for each in carriers},
        labels=setting.labels(tones, [chord.degree_of(tone) for tone in tones]),
    )
    path = tuple((place.string, place.fret) for place in way)
    return replace(view, paths=(path,)) if len(path) > 1 else view


def _title(chord: Harmony, carriers: Sequence[Arpeggio]) -> tuple[str, str]:
    return f"{chord.function.label}  {chord.label}", " and ".join(each.chord.label for each in carriers)
