"""Shell notes: third, seventh and one tension of each chord of a level's loop, on three strings, led by step.

Which tension is common practice, no source: a ninth or thirteenth as the colour has it; the ♭5 of a half-diminished
chord, which no tension may hide; the fifth where nothing else is by step.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Final

from deckbuilder.cards import words
from deckbuilder.cards.comping import loop_harmonies
from deckbuilder.cards.context import Context
from deckbuilder.cards.facts import Fact, Slot
from deckbuilder.cards.levels import Level
from deckbuilder.cards.movement import interval
from deckbuilder.cards.music import Music, PlayedNote, guide_tones
from deckbuilder.cards.neckviews import alt_text, placed_view, stacked
from deckbuilder.cards.note import Attachment, Note
from deckbuilder.cards.wording import Said
from deckbuilder.neck.shells import Grip, ShellTones, led_shells, string_sets
from deckbuilder.sound.held import held_over_bass
from deckbuilder.speech import _
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.tones import Tone

_ON_DOMINANTS: Final = ("9", "13", "b9", "b13", "#9")
_ON_MINOR: Final = ("9", "11", "5")
_ON_MAJOR: Final = ("9", "13", "5")
_FLAT_FIFTH: Final = "b5"
_BEATS: Final = 12
"""Quarter notes of a clip, shared by its chords."""


def shell_notes(context: Context, level: Level) -> Iterator[Note]:
    """Make the notes of the shells through a level's loop, one for each set of strings that has them.

    Args:
        context: key, instrument and level.
        level: the level.
    """
    neck = context.recipe.instrument.neck
    chords = loop_harmonies(level, context.key)
    tones = [shell_tones(chord) for chord in chords]
    for strings in string_sets(neck.sounding):
        grips = led_shells(neck.sounding, strings, tones, frets=neck.frets - neck.capo)
        if grips:
            yield _note(context, level, strings, chords, [_from_nut(grip, neck.capo) for grip in grips])


def shell_tones(chord: Harmony) -> ShellTones:
    """Return what a shell of a chord may hold."""
    by_degree = {chord.degree_of(tone): tone.pitch_class for tone in chord.scale.tones}
    # Over a minor chord a 13 would be the third of the dominant that follows it.
    others = _ON_MINOR if chord.chord.quality.is_minor else _ON_MAJOR
    wanted = _ON_DOMINANTS if chord.function.is_dominant else others
    # Third and fifth of a half-diminished or diminished chord make it one.
    degrees = (_FLAT_FIFTH,) if chord.chord.quality.semitones[2] == 6 else wanted
    third, seventh = (tone.pitch_class for tone in chord.chord.guide_tones)
    return ShellTones(third, seventh, tuple(by_degree[degree] for degree in degrees if degree in by_degree))


def _from_nut(grip: Grip, capo: int) -> Grip:
    return tuple(note._replace(place=replace(note.place, fret=note.place.fret + capo)) for note in grip)


def _note(
    context: Context, level: Level, strings: Sequence[int], chords: Sequence[Harmony], grips: Sequence[Grip]
) -> Note:
    recipe = context.recipe
    named = [tuple(_named(chord, grip)) for chord, grip in zip(chords, grips, strict=True)]
    run = tuple(note for grip in named for note in grip)
    views = [
        placed_view(
            recipe,
            {
                note.place: (context.label(note.tone, note.degree), note.tone.pitch_class in guide_tones(chord), False)
                for note in grip
            },
        )
        for chord, grip in zip(chords, named, strict=True)
    ]
    titles = [
        (f"{chord.function.label}  {chord.label}", "–".join(note.tone.label for note in grip))
        for chord, grip in zip(chords, named, strict=True)
    ]
    picture = stacked(views, titles)
    on = _("strings {numbers}", numbers=words.listed(map(str, strings)))
    changes = " – ".join(chord.label for chord in chords)
    alt = " ".join(alt_text(f"{name}, {on}", view) for view, (name, _) in zip(views, titles, strict=True))
    clip = held_over_bass(
        [
            (chord.chord.root.pitch_class, [note.midi for note in grip])
            for chord, grip in zip(chords, grips, strict=True)
        ],
        _BEATS // len(chords),
        tempo=recipe.sound.tempo,
        a4=recipe.sound.a4,
        patch=context.patch,
    )
    return context.note(
        context.identity(Fact.SHELL, None, None, item=f"{level.loop}-strings-{'-'.join(map(str, strings))}"),
        Music(
            context.key,
            tuple(chords),
            level.loop,
            None,
            tuple(note.tone for note in run),
            tuple(note.degree for note in run),
            frozenset().union(*map(guide_tones, chords)),
            run,
        ),
        Said(
            asks=(on, changes, _("shells")),
            task=words.joined(changes, on),
            question=_(
                "Shell voicings: third and seventh of each chord, a tension or the fifth on top,"
                " each voice by the nearest way."
            ),
            label=changes,
            over=words.joined(on, _("in {key}", key=context.key.label)),
            why=_why(grips, [chord.chord.root for chord in chords]),
            owners=tuple(chord for chord, grip in zip(chords, grips, strict=True) for _ in grip),
        ),
        {Slot.PICTURE: Attachment(picture, alt), Slot.CLIP: Attachment(clip, _("Play the chords"))},
    )


def _named(chord: Harmony, grip: Grip) -> Iterator[PlayedNote]:
    names = {tone.pitch_class: tone for tone in (*chord.scale.tones, *chord.chord.guide_tones)}
    for midi, place in grip:
        tone = names[midi % 12]
        yield PlayedNote(midi, tone, chord.degree_of(tone), place)


def _why(grips: Sequence[Grip], roots: Sequence[Tone]) -> str:
    moves = [
        abs(new.midi - old.midi) for before, after in pairwise(grips) for old, new in zip(before, after, strict=True)
    ]
    bass = " ".join(root.label for root in roots)
    return _(
        "No voice moves more than {interval}; the bass has the roots: {tones}.",
        interval=interval(max(moves)),
        tones=bass,
    )
