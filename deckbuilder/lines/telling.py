"""Telling a line: what it does, in a few words taken from its notes.

A claim is found in the notes, whatever was planned, and names the notes in which it is found. A line is told by the
claims that say most, one of a kind.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from deckbuilder.lines.notes import BAR, LineNote, Role
from deckbuilder.lines.plan import SHORTEST_FIGURE, figure
from deckbuilder.lines.reading import Way, way_to
from deckbuilder.lines.slots import Changes, is_new
from deckbuilder.theory.tones import Tone, plain, pretty

_MOST = 4
_LETTERS = "CDEFGAB"
_INTERVALS = ("tone", "step", "third", "fourth", "fifth", "sixth", "seventh", "octave")
_ALTERED = ("b9", "#9", "b5", "b13")
_CELLS: dict[tuple[str, ...], str] = {
    ("1", "9", "3", "5"): "1-2-3-5",
    ("1", "9", "b3", "5"): "1-2-b3-5",
    ("3", "5", "7", "9"): "3-5-7-9",
    ("3", "5", "b7", "9"): "3-5-b7-9",
    ("b3", "5", "b7", "9"): "b3-5-b7-9",
    ("3", "5", "b7", "b9"): "3-5-b7-b9",
    ("5", "11", "3", "1"): "5-4-3-1",
    ("5", "11", "b3", "1"): "5-4-b3-1",
}
"""Rows of degrees that are told, and how."""
_TRIADS: dict[tuple[int, ...], str] = {(0, 4, 7): "", (0, 3, 7): "m"}


class Kind(StrEnum):
    """What a claim is about, in the order in which claims are told."""

    ENCLOSURE = "enclosure"
    BLUE = "blue third"
    RESOLUTION = "resolution"
    TRIAD = "triad"
    CELL = "cell"
    PASSING = "passing tone"
    ANTICIPATION = "anticipation"
    SEMITONES = "two semitones"
    SEMITONE = "semitone"
    STEP = "step"
    HELD = "held"
    ANSWER = "answer"
    RETURN = "return"


@dataclass(frozen=True, slots=True)
class Claim:
    """Something that a line does.

    Args:
        kind: what it is about.
        notes: indices of the notes that do it.
        text: what is said, to follow “the line”.
    """

    kind: Kind
    notes: tuple[int, ...]
    text: str


def told(changes: Changes, line: Sequence[LineNote]) -> str:
    """Tell what a line does, a sentence for people; empty for a line that does nothing worth telling.

    Args:
        changes: the chords.
        line: its notes in order.
    """
    found = list(claims(changes, line))
    held = [claim for claim in found if claim.kind is Kind.HELD]
    if held:
        return _sentence(held[: _MOST - 1])
    first: dict[Kind, Claim] = {}
    for claim in found:
        first.setdefault(claim.kind, claim)
    chosen = [first[kind] for kind in Kind if kind in first]
    # How a line answers itself is told last and never left out.
    whole = [claim for claim in chosen if claim.kind is Kind.ANSWER]
    return _sentence([claim for claim in chosen if claim.kind is not Kind.ANSWER][: _MOST - len(whole)] + whole)


def _sentence(chosen: Sequence[Claim]) -> str:
    if not chosen:
        return ""
    texts = [claim.text for claim in chosen]
    return f"The line {' and '.join(filter(None, (', '.join(texts[:-1]), texts[-1])))}."


def claims(changes: Changes, line: Sequence[LineNote]) -> Iterator[Claim]:
    """Yield what a line does, in the order in which it comes.

    Args:
        changes: the chords.
        line: its notes in order.
    """
    names = [chord.label for chord, _ in changes]
    if all(note.role is Role.TARGET for note in line):
        yield from _held(line, names)
        return
    for at, note in enumerate(line):
        if note.role in (Role.TARGET, Role.ANTICIPATION):
            yield from _arrival(line, at, names)
        if note.role is Role.PASSING:
            yield Claim(Kind.PASSING, (at,), f"passes through the {_degree(note)} over {names[note.chord]}")
    for at in range(1, len(line)):
        yield from _resolution(changes, line, at, names)
        yield from _blue_third(line, at, names)
    yield from _rows(changes, line, names)
    yield from _answers(line)
    yield from _return(changes, line)


def _degree(note: LineNote) -> str:
    return pretty(note.degree)


def _joined(line: Sequence[LineNote], first: int, last: int) -> bool:
    """Whether notes follow each other without a rest."""
    return all(before.end == after.onset for before, after in pairwise(line[first : last + 1]))


def _arrival(line: Sequence[LineNote], at: int, names: Sequence[str]) -> Iterator[Claim]:
    note = line[at]
    if note.role is Role.ANTICIPATION:
        yield Claim(Kind.ANTICIPATION, (at,), f"anticipates the {_degree(note)} of {names[note.chord]}")
    first = next((begin for begin in range(max(at - 2, 0), at) if _joined(line, begin, at)), at)
    target = f"the {_degree(note)} of {names[note.chord]}"
    side = "below" if at and line[at - 1].midi < note.midi else "above"
    match way_to([before.midi for before in line[first:at]], note.midi):
        case Way.ENCLOSED:
            yield Claim(Kind.ENCLOSURE, (at - 2, at - 1, at), f"encloses {target}")
        case Way.TWO_SEMITONES:
            text = f"comes to {target} by two semitones from {side}"
            yield Claim(Kind.SEMITONES, (at - 2, at - 1, at), text)
        case Way.SEMITONE:
            yield Claim(Kind.SEMITONE, (at - 1, at), f"slides into {target} from a semitone {side}")
        case Way.STEP:
            yield Claim(Kind.STEP, (at - 1, at), f"comes to {target} by step from {side}")


def _resolution(changes: Changes, line: Sequence[LineNote], at: int, names: Sequence[str]) -> Iterator[Claim]:
    before, note = line[at - 1], line[at]
    move = note.midi - before.midi
    own = changes[before.chord][0]
    if note.chord == before.chord or not is_new(changes, note.chord) or not _joined(line, at - 1, at) or abs(move) > 2:
        return
    is_tension = before.degree in _ALTERED and before.midi % 12 in own.scale.pitch_classes
    if not own.function.is_dominant or not is_tension:
        return
    how = "fall to" if move < 0 else "rise to" if move else "stay as"
    text = f"lets the {_degree(before)} of {names[before.chord]} {how} the {_degree(note)} of {names[note.chord]}"
    yield Claim(Kind.RESOLUTION, (at - 1, at), text)


def _blue_third(line: Sequence[LineNote], at: int, names: Sequence[str]) -> Iterator[Claim]:
    before, note = line[at - 1], line[at]
    if before.chord == note.chord and (before.degree, note.degree) == ("b3", "3") and note.midi - before.midi == 1:
        yield Claim(Kind.BLUE, (at - 1, at), f"moves from the ♭3 to the 3 of {names[note.chord]}")


def _rows(changes: Changes, line: Sequence[LineNote], names: Sequence[str]) -> Iterator[Claim]:
    for at in range(len(line) - 2):
        part = line[at : at + 4]
        chord = line[at].chord
        if len({note.chord for note in part[:3]}) > 1 or not _joined(line, at, at + 2):
            continue
        triad = _triad([note.midi for note in part[:3]])
        own = changes[chord][0]
        if triad and own.function.is_dominant and sum(note.degree in _ALTERED for note in part[:3]) > 1:
            yield Claim(Kind.TRIAD, (at, at + 1, at + 2), f"plays the triad of {triad} over {names[chord]}")
        row = _CELLS.get(tuple(note.degree for note in part))
        moves = [after.midi - before.midi for before, after in pairwise(part)]
        straight = all(0 < move < 6 for move in moves) or all(-6 < move < 0 for move in moves)
        if row and straight and _joined(line, at, at + 3) and part[3].chord == chord:
            yield Claim(Kind.CELL, tuple(range(at, at + 4)), f"plays {pretty(row)} over {names[chord]}")


def _triad(midi: Sequence[int]) -> str:
    """Name the major or minor triad that three notes make, one after the other up or down; empty for none."""
    if not (midi[0] < midi[1] < midi[2] or midi[0] > midi[1] > midi[2]):
        return ""
    for root in midi:
        kind = _TRIADS.get(tuple(sorted((each - root) % 12 for each in midi)))
        if kind is not None:
            return plain(root).label + kind
    return ""


def _answers(line: Sequence[LineNote]) -> Iterator[Claim]:
    """Yield where two bars take up the beginning of the two bars before, from another tone."""
    played = sorted({note.onset // (2 * BAR) for note in line})
    for asking, answering in zip(played[::2], played[1::2], strict=False):
        one, other = (
            [at for at, note in enumerate(line) if note.onset // (2 * BAR) == bars] for bars in (asking, answering)
        )
        pairs = figure(line, one, other)
        same = pairs[:1]
        for before, pair in pairwise(pairs):
            moves = [line[note].midi - line[earlier].midi for earlier, note in zip(before, pair, strict=True)]
            if not _alike(*moves):
                break
            same.append(pair)
        if len(same) < SHORTEST_FIGURE:
            continue
        start, answer = (line[note] for note in same[0])
        distance = _letters(answer.tone, answer.octave) - _letters(start.tone, start.octave)
        if distance and abs(distance) < len(_INTERVALS):
            name = _INTERVALS[abs(distance)]
            text = f"answers itself {_article(name)} {name} {'higher' if distance > 0 else 'lower'}"
            yield Claim(Kind.ANSWER, (*(note for note, _ in same), *(note for _, note in same)), text)


def _alike(one: int, other: int) -> bool:
    """Whether two moves go the same way, at most a semitone apart."""
    return abs(one - other) <= 1 and (one > 0) == (other > 0) and (one < 0) == (other < 0)


def _letters(tone: Tone, octave: int) -> int:
    return 7 * octave + _LETTERS.index(tone.letter)


def _article(name: str) -> str:
    return "an" if name[0] == "o" else "a"


def _return(changes: Changes, line: Sequence[LineNote]) -> Iterator[Claim]:
    """Yield the last note, if it leads by step into the first one on the first beat of the next chorus."""
    last, first = line[-1], line[0]
    end = BAR * sum(beats for _, beats in changes) // 4
    if last.end == end and first.onset == 0 and 0 < abs(first.midi - last.midi) <= 2:
        yield Claim(Kind.RETURN, (len(line) - 1, 0), "leads back to its first note")


def _held(line: Sequence[LineNote], names: Sequence[str]) -> Iterator[Claim]:
    for at, (before, note) in enumerate(pairwise(line)):
        if names[before.chord] != names[note.chord]:
            move = note.midi - before.midi
            how = "fall to" if move < 0 else "rise to" if move else "stay as"
            text = (
                f"lets the {_degree(before)} of {names[before.chord]} {how} the {_degree(note)} of {names[note.chord]}"
            )
            yield Claim(Kind.HELD, (at, at + 1), text)
