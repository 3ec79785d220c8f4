"""Improvisation notes: a loop to play or sing over in a region, and one thing to keep to.

What to keep to rotates by a fixed rule, so that neighbouring regions, keys and levels differ.
"""

from deckbuilder.cards import words
from deckbuilder.cards.comping import bars, loop_clip, loop_harmonies
from deckbuilder.cards.levels import Level
from deckbuilder.cards.neckviews import alt_text, region_view, stacked
from deckbuilder.cards.note import Answer, Fact, Kind, Note
from deckbuilder.cards.setting import Setting
from deckbuilder.neck.regions import Region
from deckbuilder.picture.description import NeckPicture
from deckbuilder.theory.arpeggios import Arpeggio, Source, arpeggio
from deckbuilder.theory.functions import Harmony

KINDS = (Kind.IMPROVISE,)
"""Every way to ask for an improvisation."""

CONSTRAINTS = (
    "Land on the 3rd of each chord, on beat one.",
    "Only arpeggios from the third.",
    "Start every phrase on V.",
    "Land on the 7th of each chord, on beat one.",
    "Only guide tones: from chord to chord, move by step.",
    "Only arpeggios from the root.",
    "Play two bars, leave two bars empty.",
)
"""What to keep to. Their number is prime and larger than any step between neighbours, so neighbours never agree."""

_FOURTH = 5  # semitones, modulo 12 its own inverse


def constraint(level: Level, region: Region, tonic: int) -> str:
    """Return what to keep to: one further from region to region, two from key to key in fourths, three a level.

    Args:
        level: the stage of study.
        region: the hand position.
        tonic: the key's pitch class.
    """
    in_fourths = tonic * _FOURTH % 12
    return CONSTRAINTS[(region.number + 2 * in_fourths + 3 * level.number) % len(CONSTRAINTS)]


def improvisation_note(setting: Setting, region: Region, level: Level) -> Note:
    """Make the note of an improvisation over a level's loop.

    Args:
        setting: key, instrument and level.
        region: the hand position.
        level: the level whose changes are played over.
    """
    key, outline = setting.key, setting.outline
    chords = loop_harmonies(level, key)
    carriers = [tuple(arpeggio(chord, source) for source in Source) for chord in chords]
    views = [_view(setting, region, chord, pair) for chord, pair in zip(chords, carriers, strict=True)]
    picture = stacked(views, [_title(chord, pair) for chord, pair in zip(chords, carriers, strict=True)])
    where, task = words.region_name(region), constraint(level, region, key.tonic.pitch_class)
    changes = words.bar_lines(chords, bars(chords))
    return Note(
        subject=setting.subject(Fact.IMPROVISATION, region, None, item=level.loop),
        kinds=setting.kinds(KINDS),
        level=level.number,
        key_label=key.label,
        index_fret=region.index_fret,
        position=region.position,
        chord=" ".join(chord.symbol for chord in chords),
        symbol=level.loop,
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
            alt_text(f"{name}, {remark}, {where}", view)
            for view, (name, remark) in zip(views, picture.titles, strict=True)
        ),
        bare_picture=None,
        bare_picture_alt="",
        clip=loop_clip(outline, chords),
        question=task,
    )


def _view(setting: Setting, region: Region, chord: Harmony, pair: tuple[Arpeggio, ...]) -> NeckPicture:
    """Show both arpeggios over a chord at once, each with its root ringed."""
    tones = {tone.pitch_class: tone for each in pair for tone in each.chord.tones}.values()
    return region_view(
        setting.outline,
        region,
        setting.fingering(chord.scale, region).notes,
        asked={tone.pitch_class for tone in tones},
        guides={tone.pitch_class for tone in chord.chord.guide_tones},
        roots={each.chord.root.pitch_class for each in pair},
        labels=setting.labels(tones, [chord.degree_of(tone) for tone in tones]),
    )


def _title(chord: Harmony, pair: tuple[Arpeggio, ...]) -> tuple[str, str]:
    return f"{chord.function.label}  {chord.label}", " and ".join(each.chord.label for each in pair)
