"""Function notes: a loop goes round from any of its chords, one is missing or marked by a click, and is to be named.

The bar that is asked for is never the first, and it comes in every other bar equally often for each function: counting
bars tells nothing, the ear has to find its place in the loop.
"""

from collections.abc import Iterator, Sequence
from functools import partial
from itertools import pairwise

from deckbuilder.cards import words
from deckbuilder.cards.comping import change, loop_harmonies, voiced_tones
from deckbuilder.cards.context import Context
from deckbuilder.cards.facts import Fact
from deckbuilder.cards.heard import Heard, heard_note
from deckbuilder.cards.levels import Level
from deckbuilder.cards.movement import interval
from deckbuilder.cards.note import Note
from deckbuilder.cards.spread import Question
from deckbuilder.neck.regions import Region
from deckbuilder.sound.cadence import cadence_clip
from deckbuilder.sound.voice_leading import Voicing, voice_led
from deckbuilder.speech import _, marked, translate
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.tones import Tone, pretty

_BEATS = 12
"""Quarter notes of a clip, shared by its chords."""

MISSING, MARKED = "missing", "marked"
"""Ways to point at a chord: its bar is silent, or a click marks it."""


def function_questions(level: Level) -> tuple[Question, ...]:
    """Return the questions of a level: each chord of its loop, missing or marked, in each bar but the first."""
    count = len(level.changes)
    return tuple(
        partial(_note, level, asked, place, way)
        for place in range(1, count)
        for way in (MISSING, MARKED)
        for asked in range(count)
    )


def _note(level: Level, asked: int, place: int, way: str, context: Context, region: Region) -> Note:
    key, recipe = context.key, context.recipe
    loop = loop_harmonies(level, key)
    start = (asked - place) % len(loop)
    chords = (*loop[start:], *loop[:start])
    chord = chords[place]
    changes = [change(each, _BEATS // len(chords)) for each in chords]
    voicings = voice_led(changes)
    tones = voiced_tones(chord, voicings[place])
    asked_for = {"changes": words.changes_in_order(loop), "chords": words.one_of(each.function.label for each in loop)}
    if way == MISSING:
        task = _("Which chord is missing?")
        question = _("{changes} once round, starting on any chord. Which chord is missing: {chords}?", **asked_for)
    else:
        task = _("Which chord does the click mark?")
        question = _(
            "{changes} once round, starting on any chord. Which chord does the click mark: {chords}?", **asked_for
        )
    return heard_note(
        context,
        region,
        Heard(
            fact=Fact.FUNCTION,
            harmony=chord,
            question=question,
            task=task,
            answer=chord.function.name,
            label=chord.function.label,
            over=_("{chord}, in {changes}", chord=chord.label, changes=" – ".join(each.label for each in chords)),
            why=_why(chord, chords[(place + 1) % len(chords)], voicings[place : place + 2]),
            symbol=chord.symbol,
            tones=tones,
            roots=frozenset({chord.chord.root.pitch_class}),
            clip=cadence_clip(
                changes,
                tempo=recipe.sound.tempo,
                a4=recipe.sound.a4,
                missing=place if way == MISSING else None,
                marked=place if way == MARKED else None,
            ),
            plays=_("Play the changes"),
            item=f"{level.loop}-{way}-{place + 1}",
        ),
    )


def _why(chord: Harmony, following: Harmony, voicings: Sequence[Voicing]) -> str:
    """Say by which tones a chord of the loop is known, and where they go in the chord that follows.

    Args:
        chord: the chord.
        following: the one after it; after the last comes the first.
        voicings: how both sound; that of the chord alone where the clip ends with it.

    Raises:
        ValueError: nothing is known of its function.
    """
    moves = [move for tone in chord.chord.guide_tones for move in _moves(chord, tone, following, voicings)]
    name = chord.function.name
    if name == "I":
        return _(
            "{tone} lies a major seventh above the root: nothing pulls, the music rests here.",
            tone=chord.chord.guide_tones[1].label,
        )
    if name not in _LEADING:
        raise ValueError(f"no sentence says how {name} is heard; write one beside those of ii, V, VI and I")
    alone, moving = _LEADING[name]
    if not moves:
        return translate(alone).format(chord=following.label)
    return translate(moving).format(chord=following.label, moves=words.listed(moves))


_LEADING = {
    "ii": (
        marked("A minor seventh, which leads on to {chord}."),
        marked("A minor seventh, which leads on to {chord}: {moves}."),
    ),
    "V": (
        marked("The dominant of the key, which leads on to {chord}."),
        marked("The dominant of the key, which leads on to {chord}: {moves}."),
    ),
    "VI": (
        marked("A dominant from outside the key, which leads on to {chord}."),
        marked("A dominant from outside the key, which leads on to {chord}: {moves}."),
    ),
}
"""How chords that lead on are known, without and with what moves."""


def _moves(chord: Harmony, tone: Tone, following: Harmony, voicings: Sequence[Voicing]) -> Iterator[str]:
    """Say how a guide tone goes to the nearest one that follows, unless what sounds has it elsewhere."""
    ways = (((end.pitch_class - tone.pitch_class + 6) % 12 - 6, end) for end in following.chord.guide_tones)
    step, end = min(ways, key=lambda way: abs(way[0]))
    sounding = ((pitch, then) for before, then in pairwise(voicings) for pitch in before[1:])
    if any(pitch % 12 == tone.pitch_class and pitch + step not in then for pitch, then in sounding):
        return
    degrees = {"degree": pretty(chord.degree_of(tone)), "tone": tone.label, "end": pretty(following.degree_of(end))}
    if step == 0:
        yield _("its {degree} {tone} stays as the {end}", **degrees)
    elif step > 0:
        yield _("its {degree} {tone} rises {interval} to the {end}", interval=interval(step), **degrees)
    else:
        yield _("its {degree} {tone} falls {interval} to the {end}", interval=interval(step), **degrees)
