"""Comping: how the chords of a key are voiced and played under an improviser.

A voicing is a shell with one tone added, which tells a dominant's colour and lets every voice move by step
(`deckbuilder.sound.voice_leading`). Which tone is common practice, no source: the thirteenth or a ninth on a dominant,
as its colour alters them; a ninth or the fifth on other chords.
"""

from collections.abc import Iterable, Sequence

from deckbuilder.cards.levels import Level
from deckbuilder.cards.recipe import Recipe
from deckbuilder.sound.description import Clip
from deckbuilder.sound.loops import LONGEST_LOOP, backing_loop, loop_seconds
from deckbuilder.sound.voice_leading import Change
from deckbuilder.theory.forms import BEATS
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.keys import Key
from deckbuilder.theory.tones import Tone

_ON_DOMINANTS = ("13", "b13", "9", "b9", "#9", "5", "#5", "b5")
_ON_OTHERS = ("9", "5", "13", "b5", "#5", "11")
_FIFTHS = ("5", "b5", "#5")
_SHORTEST_LOOP_BARS = 4
_MOST_CHORUSES = 2


def change(harmony: Harmony, beats: int = BEATS) -> Change:
    """Return a chord as a rhythm section plays it.

    Args:
        harmony: the chord.
        beats: quarter notes.
    """
    root = harmony.chord.root.pitch_class
    _, third, fifth, seventh = harmony.chord.quality.semitones
    steps = {harmony.degree_of(tone): (tone.pitch_class - root) % 12 for tone in harmony.scale.tones}
    wanted = _ON_DOMINANTS if harmony.function.is_dominant else _ON_OTHERS
    return Change(
        root=root,
        third=third,
        seventh=seventh,
        # An altered scale has no perfect fifth: the bass then plays the fifth it has.
        fifth=next((steps[degree] for degree in _FIFTHS if degree in steps), fifth),
        beats=beats,
        added=tuple((steps[degree],) for degree in wanted if degree in steps),
        bass=harmony.bass.pitch_class if harmony.bass else None,
    )


def voiced_tones(harmony: Harmony, pitches: Iterable[int]) -> tuple[Tone, ...]:
    """Return the tones of a chord's voicing, spelled by its scale, from the root up.

    Args:
        harmony: the chord.
        pitches: the voicing, MIDI numbers.
    """
    root = harmony.chord.root.pitch_class
    classes = sorted({pitch % 12 for pitch in pitches}, key=lambda pitch_class: (pitch_class - root) % 12)
    by_class = {tone.pitch_class: tone for tone in (*harmony.scale.tones, *harmony.chord.tones)}
    return tuple(by_class[pitch_class] for pitch_class in classes)


def loop_harmonies(level: Level, key: Key) -> tuple[Harmony, ...]:
    """Return the chords of a level's loop in a key, in order."""
    return tuple(lesson.harmony(key) for lesson in level.changes)


def bars(chords: Sequence[Harmony]) -> tuple[int, ...]:
    """Return how many bars each chord of a loop lasts: one, the last one longer where the loop has fewer than four."""
    return (*(1 for _ in chords[:-1]), max(1, _SHORTEST_LOOP_BARS - len(chords) + 1))


def loop_over(recipe: Recipe, changes: Sequence[Change]) -> Clip:
    """Describe a backing loop: two bars of count-in and two choruses, or as much of that as fits `LONGEST_LOOP`.

    Args:
        recipe: tempo, concert pitch, and whether a count-in is wanted.
        changes: one chorus.
    """
    tempo = recipe.sound.loop_tempo
    choices = [(choruses, recipe.sound.count_in) for choruses in range(_MOST_CHORUSES, 0, -1)]
    fitting = (choice for choice in choices if loop_seconds(changes, tempo, *choice) <= LONGEST_LOOP)
    choruses, count_in = next(fitting, (1, False))
    return backing_loop(changes, tempo=tempo, a4=recipe.sound.a4, choruses=choruses, count_in=count_in)
