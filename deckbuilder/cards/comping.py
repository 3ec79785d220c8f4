"""Comping: how the chords of a key are voiced and played under an improviser.

A voicing is the guide tones with one tone added, which tells a dominant's colour and lets every voice move by step
(`deckbuilder.sound.voice_leading`). Which tone is common practice, no source: the thirteenth or a ninth on a dominant,
as its colour alters them; a ninth or the fifth on other chords. A half-diminished, a diminished and an augmented chord
are known by their fifth and always have it. A diminished seventh is all of its four tones, and no other chord: where
one stands in the changes, every chord has four voices; so it has where three cannot all be led by step.
"""

from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache
from itertools import product

from deckbuilder.cards.levels import Level
from deckbuilder.cards.recipe import Recipe
from deckbuilder.sound.description import Clip
from deckbuilder.sound.loops import backing_loop, loop_seconds
from deckbuilder.sound.voice_leading import Change
from deckbuilder.theory.forms import BEATS
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.keys import Key
from deckbuilder.theory.tones import Tone, plain

_Choices = tuple[tuple[int, ...], ...]

_ON_DOMINANTS = ("13", "b13", "9", "b9", "#9", "5", "#5", "b5")
_ON_MAJORS = ("9", "5", "13", "#5")
_ON_MINORS = ("9", "5", "11")
"""Tones that a chord may add, the preferred first. The 13 of a minor seventh would make it the dominant after it."""
_TELLING = {
    "lydian-dominant": ("#11",),
    "half-whole-diminished": ("b9",),
    "harmonic-minor": ("b9",),
    "whole-tone": ("#5",),
}
"""What comes before them on a dominant, because it tells this colour from the others."""
_WITH_FIFTHS = ("5", "b5", "#5", "#11", "b13", "13")
"""Of two added tones the one is a fifth or what stands for it, the other a ninth or an eleventh."""
_LAST_PAIR = ("5", "13")
"""What is taken where no ninth can be led by step, as round a cycle of dominants."""
_KNOWN_BY_FIFTH = {"m7b5": 6, "maj7#5": 8}
_BESIDE_A_FIFTH = ("11", "9", "#11", "1")
"""What else these have where four voices are wanted; the root rather than a tone that makes another chord of them."""
_DIMINISHED, _ROOT, _FLAT_FIFTH = "dim7", 0, 6

_SHORTEST_LOOP_BARS = 4
_MOST_CHORUSES = 2
_LONGEST_REPEATED = 60.0
"""s; a loop that would last longer has one chorus."""


@lru_cache(maxsize=4096)
def change(harmony: Harmony, beats: int = BEATS) -> Change:
    """Return a chord as a rhythm section plays it.

    Args:
        harmony: the chord.
        beats: quarter notes.
    """
    root = harmony.chord.root.pitch_class
    _, third, fifth, seventh = harmony.chord.quality.semitones
    steps = {harmony.degree_of(tone): (tone.pitch_class - root) % 12 for tone in harmony.scale.tones}
    # An altered scale has no perfect fifth: the bass then rests on the third or the octave.
    stable = {(tone.pitch_class - root) % 12 for tone in harmony.stable_tones} - {0, third, seventh}
    return Change(
        root=root,
        third=third,
        seventh=seventh,
        fifth=fifth if fifth in stable else next(iter(stable - {_FLAT_FIFTH}), None),
        beats=beats,
        added=_added(harmony, {name: step for name, step in steps.items() if step not in (third, seventh)}),
        bass=harmony.bass.pitch_class if harmony.bass else None,
        scale=tuple(sorted(steps.values())),
    )


def _added(harmony: Harmony, steps: Mapping[str, int]) -> _Choices:
    """Return what a voicing may add: one tone, or two.

    Args:
        harmony: the chord.
        steps: the other tones of its scale, semitones above the root by degree.
    """
    quality = harmony.chord.quality.suffix
    if quality == _DIMINISHED:
        return ((_ROOT, _FLAT_FIFTH),)
    ranked = _ON_MINORS if harmony.chord.quality.is_minor else _ON_MAJORS
    if harmony.function.is_dominant:
        first = _TELLING.get(harmony.colour.name, ()) if harmony.colour else ()
        ranked = (*first, *(degree for degree in _ON_DOMINANTS if degree not in first))
    single = [degree for degree in ranked if degree in steps]
    upper = [degree for degree in single if degree not in _WITH_FIFTHS]
    lower = [degree for degree in single if degree in _WITH_FIFTHS]
    if quality in _KNOWN_BY_FIFTH:
        known = _KNOWN_BY_FIFTH[quality]
        return ((known,), *((known, steps[degree]) for degree in _BESIDE_A_FIFTH if degree in steps))
    pairs = sorted(product(lower, upper), key=lambda pair: sum(map(single.index, pair)))
    pairs += [_LAST_PAIR] if set(_LAST_PAIR) <= set(single) else []
    return tuple((steps[degree],) for degree in single) + tuple((steps[one], steps[other]) for one, other in pairs)


def voiced_tones(harmony: Harmony, pitches: Iterable[int]) -> tuple[Tone, ...]:
    """Return the tones of a chord's voicing, spelled by its scale, from the root up.

    Args:
        harmony: the chord.
        pitches: the voicing, MIDI numbers.
    """
    root = harmony.chord.root.pitch_class
    classes = sorted({pitch % 12 for pitch in pitches}, key=lambda pitch_class: (pitch_class - root) % 12)
    return tuple(harmony.spelled(plain(pitch_class)) for pitch_class in classes)


def loop_harmonies(level: Level, key: Key) -> tuple[Harmony, ...]:
    """Return the chords of a level's loop in a key, in order."""
    return tuple(lesson.harmony(key) for lesson in level.changes)


def bars(chords: Sequence[Harmony]) -> tuple[int, ...]:
    """Return how many bars each chord of a loop lasts: one, the last one longer where the loop has fewer than four."""
    return (*(1 for _ in chords[:-1]), max(1, _SHORTEST_LOOP_BARS - len(chords) + 1))


def loop_over(recipe: Recipe, changes: Sequence[Change]) -> Clip:
    """Describe a backing loop: two bars of count-in and two choruses, or one chorus where two would last too long.

    Args:
        recipe: tempo, concert pitch, and whether a count-in is wanted.
        changes: one chorus.
    """
    tempo, count_in = recipe.sound.loop_tempo, recipe.sound.count_in
    fits = loop_seconds(changes, tempo, _MOST_CHORUSES, count_in) <= _LONGEST_REPEATED
    choruses = _MOST_CHORUSES if fits else 1
    return backing_loop(changes, tempo=tempo, a4=recipe.sound.a4, choruses=choruses, count_in=count_in)
