"""Bass lines under a list of chords: in two, and walking in four.

Conventions: pitches are MIDI note numbers, intervals semitones, places quarter-note beats from the first chord. Four
beats a bar. Rules are common practice, no source:

In two, a bar has its root on 1 and its fifth, third or octave on 3; where the chord changes, beat 4 leads by step into
the next root. In four, the line walks through chord tones, and scale tones by step, from each root into the next. An
altered fifth is no place to rest: only a half-diminished or diminished chord has its ♭5 on beat 3.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise
from operator import itemgetter
from typing import Final
from zlib import crc32

from deckbuilder.sound.voice_leading import Change

_BAR: Final = 4  # beats
_LOWEST: Final = 28  # E1
_HIGHEST_ROOT: Final = 43  # G2
_HIGHEST: Final = 47  # B2, below every voicing
_STEP: Final = 2  # semitones
_OCTAVE: Final = 12
_LEAP: Final = 7  # the widest, but for the octave
_INTO_APPROACH: Final = 5  # the widest into beat 4
_OF_MOVES: Final = {0: 0.0, 1: 0.0, 2: 0.0, 3: 0.25, 4: 0.25, 5: 0.5, 7: 0.8, 6: 1.6, 8: 1.6, 9: 1.6, 12: 1.0}
"""What a move of so many semitones costs; further ones cost their semitones."""
_ANEW: Final = 7  # bars by which a chorus is dealt on
_FIFTH, _THIRD, _EIGHTH = "fifth", "third", "octave"
_ON_THREE: Final = (
    (_FIFTH, _EIGHTH, _THIRD),
    (_FIFTH, _THIRD, _EIGHTH),
    (_THIRD, _FIFTH, _EIGHTH),
    (_FIFTH, _EIGHTH, _THIRD),
    (_EIGHTH, _THIRD, _FIFTH),
)
"""What beat 3 has, the preferred first; dealt bar by bar."""


@dataclass(frozen=True, slots=True)
class BassNote:
    """A note of a bass line.

    Args:
        midi: MIDI note.
        beat: where it begins, from the first chord.
        beats: how long it lasts.
    """

    midi: int
    beat: int
    beats: int


@dataclass(frozen=True, slots=True)
class _Bar:
    """A bar of one chord, or as much of a bar as the chord has: its first note, the next one's, and its place."""

    change: Change
    beat: int
    beats: int
    low: int
    target: int
    leads: bool
    turn: int


def bass_line(changes: Sequence[Change], choruses: int = 1) -> tuple[BassNote, ...]:
    """Lead a bass through the changes: in two, from the second chorus on in four.

    What is free – which tone on beat 3, from which side the next root is approached, which way the line walks – is
    dealt by the changes, the bar and the chorus, so that the same changes always have the same line.

    Args:
        changes: one chorus; after its last chord comes the first.
        choruses: how often they are played.
    """
    over = (replace(change, bass=None) if change.bass == change.root else change for change in changes)
    return _line(tuple(over), choruses)


@lru_cache(maxsize=256)
def _line(changes: tuple[Change, ...], choruses: int) -> tuple[BassNote, ...]:
    notes: list[BassNote] = []
    bars = list(_bars(changes))
    whole = sum(change.beats for change in changes)
    for chorus in range(choruses):
        for bar in (replace(bar, turn=bar.turn + chorus * _ANEW) for bar in bars):
            pitches = _walking(bar) if chorus and not _is_pedal(bar.change) else _in_two(bar)
            ends = [*list(pitches)[1:], bar.beats]
            notes += [
                BassNote(midi, chorus * whole + bar.beat + at, end - at)
                for (at, midi), end in zip(pitches.items(), ends, strict=True)
            ]
    return tuple(notes)


def _bars(changes: Sequence[Change]) -> Iterator[_Bar]:
    """Yield the bars of a chorus, each with where it leads: to the next bar of its chord, or to the next chord."""
    salt = crc32(repr([(change.root, change.beats) for change in changes]).encode())
    lows = _lows(changes)
    beat = 0
    for number, change in enumerate(changes):
        low, following = lows[number], lows[(number + 1) % len(lows)]
        end, here = beat + change.beats, low
        while beat < end:
            line = min(end, (beat // _BAR + 1) * _BAR)
            again = here if line - beat < _BAR else _other_octave(low) if here == low else low
            target = following if line == end else again
            yield _Bar(change, beat, line - beat, here, target, line == end, salt + beat // _BAR)
            beat, here = line, again


def _lows(changes: Sequence[Change]) -> list[int]:
    """Return where the bass begins each chord: each the nearest to the one before, in the low octave and a bit.

    A written bass stays in the low octave, under every root that a guitar plays.
    """
    lows: list[int] = []
    for change in changes:
        tone = change.root if change.bass is None else change.bass
        highest = _HIGHEST_ROOT if change.bass is None else _LOWEST + _OCTAVE - 1
        near = lows[-1] if lows else 36
        lows.append(min(_octaves(tone, highest), key=lambda pitch: (abs(pitch - near), pitch)))
    return lows


def _octaves(tone: int, highest: int) -> range:
    return range(_LOWEST + (tone - _LOWEST) % _OCTAVE, highest + 1, _OCTAVE)


def _other_octave(low: int) -> int:
    """Return the root of a chord's second bar: an octave away where there is room."""
    return next((pitch for pitch in (low + _OCTAVE, low - _OCTAVE) if _LOWEST <= pitch <= _HIGHEST_ROOT), low)


def _is_pedal(change: Change) -> bool:
    """Whether a written bass is no tone of the chord, and so is held."""
    return change.bass is not None and (change.bass - change.root) % _OCTAVE not in _chord_steps(change)


def _chord_steps(change: Change) -> frozenset[int]:
    """Return the chord's tones above its root, those that the bass may rest on."""
    fifth = _own_fifth(change)
    return frozenset({0, change.third, change.seventh} | ({fifth} if fifth is not None else set()))


def _own_fifth(change: Change) -> int | None:
    """Return the fifth; a ♭5 only of a half-diminished or diminished chord."""
    return None if change.fifth == 6 and change.third != 3 else change.fifth


def _in_two(bar: _Bar) -> dict[int, int]:
    """Return the notes of a bar in two by beat: the first tone on 1, another on 3, a step into the next chord on 4."""
    leads = bar.leads and bar.beats > 1
    middles = _on_three(bar) if bar.beats == _BAR else [bar.low]
    ways = [
        (number + _awkwardness(middle - bar.low) + _cost_into(bar, middle, approach), middle, approach)
        for number, middle in enumerate(middles)
        for approach in (_approaches(bar) if leads else [None])
        if approach is None or (approach - middle) % _OCTAVE
    ]
    _, middle, approach = min(ways, key=itemgetter(0))
    notes = {0: bar.low}
    if bar.beats == _BAR:
        notes[2] = middle
    if approach is not None:
        notes[bar.beats - 1] = approach
    return notes


def _cost_into(bar: _Bar, middle: int, approach: int | None) -> float:
    if approach is None:
        return _awkwardness(bar.target - middle)
    return _disliked(bar, approach) + _awkwardness(approach - middle)


def _on_three(bar: _Bar) -> list[int]:
    """Return what beat 3 may have, the preferred first: over a written bass the root, or that bass held as a pedal."""
    change = bar.change
    if _is_pedal(change):
        return [bar.low]
    named = {_FIFTH: _own_fifth(change), _THIRD: change.third, _EIGHTH: 0}
    dealt = [named[name] for name in _ON_THREE[bar.turn % len(_ON_THREE)]]
    steps = dealt if change.bass is None else [0]
    return [
        pitch
        for step in steps
        if step is not None
        for pitch in _octaves(change.root + step, _HIGHEST)
        if 0 < abs(pitch - bar.low) <= _OCTAVE
    ]


def _approaches(bar: _Bar) -> list[int]:
    """Return the steps into what comes next: a semitone from either side, a whole step from a tone of the scale.

    Below the lowest root there is nothing, so any whole step above it will do.
    """
    scale = {*_chord_steps(bar.change), *bar.change.scale}
    return [
        pitch
        for pitch in range(max(_LOWEST, bar.target - _STEP), bar.target + _STEP + 1)
        if abs(pitch - bar.target) == 1
        or (pitch != bar.target and ((pitch - bar.change.root) % _OCTAVE in scale or bar.target == _LOWEST))
    ]


def _disliked(bar: _Bar, approach: int) -> int:
    """Return what speaks against an approach: it comes from the other side, or in the other way, than is dealt."""
    from_above, whole = bar.turn % 2 == 0, bar.turn // 2 % 3 == 2
    away = approach - bar.target
    return int((away > 0) != from_above) + int((abs(away) == _STEP) != whole)


def _awkwardness(move: int) -> float:
    """Return how far a hand or an ear has to go: nothing for a step, most beyond an octave."""
    return _OF_MOVES.get(abs(move), float(abs(move)))


def _walking(bar: _Bar) -> dict[int, int]:
    """Return the notes of a bar in four by beat: of all walks from its first tone to the next one's the smoothest."""
    if bar.beats == 1:
        return {0: bar.low}
    chord = _chord_steps(bar.change)
    walks = list(_walks(bar, chord))
    best = min(walks, key=lambda walk: (_roughness(bar, chord, walk), walk)) if walks else ()
    return dict(enumerate((bar.low, *best))) if best else _in_two(bar)


def _walks(bar: _Bar, chord: frozenset[int]) -> Iterator[tuple[int, ...]]:
    """Yield what may stand on the beats after the first."""
    root = bar.change.root
    scale = chord | set(bar.change.scale)
    ground = [pitch for pitch in range(_LOWEST, _HIGHEST + 1) if (pitch - root) % _OCTAVE in scale]
    resting = {pitch for pitch in ground if (pitch - root) % _OCTAVE in chord}
    ways = {
        before: [
            pitch
            for pitch in ground
            if pitch != before
            and (abs(pitch - before) <= (_LEAP if {pitch, before} <= resting else _STEP) or _is_octave(pitch, before))
        ]
        for before in {bar.low, *ground}
    }
    inner: list[tuple[int, ...]] = [()]
    for beat in range(1, bar.beats - 1):
        ends = {pitch for pitch in ground if beat != 2 or _may_rest(bar, pitch)}
        inner = [(*walk, pitch) for walk in inner for pitch in ways[walk[-1] if walk else bar.low] if pitch in ends]
    approaches = _approaches(bar)
    for walk in inner:
        before = walk[-1] if walk else bar.low
        for pitch in approaches:
            widest = _INTO_APPROACH if before in resting or before == bar.low else _STEP
            if (pitch - before) % _OCTAVE and abs(pitch - before) <= widest:
                yield (*walk, pitch)


def _is_octave(pitch: int, before: int) -> bool:
    return abs(pitch - before) == _OCTAVE


def _may_rest(bar: _Bar, pitch: int) -> bool:
    """Whether a pitch may stand on beat 3: no altered ♭5, and the root over a written bass."""
    step = (pitch - bar.change.root) % _OCTAVE
    if bar.change.bass is not None:
        return step == 0
    return step != 6 or _own_fifth(bar.change) == 6


def _roughness(bar: _Bar, chord: frozenset[int], walk: tuple[int, ...]) -> float:
    """Return what speaks against a walk: leaps, turns, tones heard twice, rests on passing tones, another approach."""
    line = (bar.low, *walk, bar.target)
    moves = [after - before for before, after in pairwise(line)]
    turns = sum([one * other < 0 for one, other in pairwise(moves)])
    twice = len(line) - len(set(line)) - (bar.low == bar.target)
    passing = len(walk) > 2 and (walk[1] - bar.change.root) % _OCTAVE not in chord
    classes = [pitch % _OCTAVE for pitch in walk]
    early = classes[:-1].count(bar.target % _OCTAVE)
    again = bar.low != bar.target and classes.count(bar.low % _OCTAVE)
    high = sum([pitch - _HIGHEST_ROOT for pitch in walk if pitch > _HIGHEST_ROOT])
    rises = (walk[0] > bar.low) == (bar.turn // 2 % 2 == 0)
    return (
        sum(map(_awkwardness, moves))
        + 0.7 * turns
        + 3.0 * twice
        + 0.6 * passing
        + 2.0 * early
        + 1.0 * again
        + 0.3 * high
        + 0.5 * _disliked(bar, walk[-1])
        + 0.8 * (not rises)
    )
