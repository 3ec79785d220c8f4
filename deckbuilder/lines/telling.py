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
from deckbuilder.speech import _, marked, translate
from deckbuilder.theory.tones import Tone, plain, pretty

_MOST = 4
_LETTERS = "CDEFGAB"
_HIGHER = (
    "",
    marked("answers itself a step higher"),
    marked("answers itself a third higher"),
    marked("answers itself a fourth higher"),
    marked("answers itself a fifth higher"),
    marked("answers itself a sixth higher"),
    marked("answers itself a seventh higher"),
    marked("answers itself an octave higher"),
)
_LOWER = (
    "",
    marked("answers itself a step lower"),
    marked("answers itself a third lower"),
    marked("answers itself a fourth lower"),
    marked("answers itself a fifth lower"),
    marked("answers itself a sixth lower"),
    marked("answers itself a seventh lower"),
    marked("answers itself an octave lower"),
)
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
        text: what is said, the predicate of “the line”.
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
    *most, last = (claim.text for claim in chosen)
    does = _("{most} and {last}", most=", ".join(most), last=last) if most else last
    return _("The line {does}.", does=does)


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
            yield Claim(Kind.PASSING, (at,), _("passes through the {degree} over {chord}", **_named(note, names)))
    for at in range(1, len(line)):
        yield from _resolution(changes, line, at, names)
        yield from _blue_third(line, at, names)
    yield from _rows(changes, line, names)
    yield from _answers(line)
    yield from _return(changes, line)


def _named(note: LineNote, names: Sequence[str]) -> dict[str, str]:
    return {"degree": pretty(note.degree), "chord": names[note.chord]}


def _joined(line: Sequence[LineNote], first: int, last: int) -> bool:
    """Whether notes follow each other without a rest."""
    return all(line[at].end == line[at + 1].onset for at in range(first, last))


def _arrival(line: Sequence[LineNote], at: int, names: Sequence[str]) -> Iterator[Claim]:
    note, target = line[at], _named(line[at], names)
    if note.role is Role.ANTICIPATION:
        yield Claim(Kind.ANTICIPATION, (at,), _("anticipates the {degree} of {chord}", **target))
    first = next((begin for begin in range(max(at - 2, 0), at) if _joined(line, begin, at)), at)
    from_below = at > 0 and line[at - 1].midi < note.midi
    match way_to([before.midi for before in line[first:at]], note.midi):
        case Way.ENCLOSED:
            yield Claim(Kind.ENCLOSURE, (at - 2, at - 1, at), _("encloses the {degree} of {chord}", **target))
        case Way.TWO_SEMITONES:
            if from_below:
                text = _("comes to the {degree} of {chord} by two semitones from below", **target)
            else:
                text = _("comes to the {degree} of {chord} by two semitones from above", **target)
            yield Claim(Kind.SEMITONES, (at - 2, at - 1, at), text)
        case Way.SEMITONE:
            if from_below:
                text = _("slides into the {degree} of {chord} from a semitone below", **target)
            else:
                text = _("slides into the {degree} of {chord} from a semitone above", **target)
            yield Claim(Kind.SEMITONE, (at - 1, at), text)
        case Way.STEP:
            if from_below:
                text = _("comes to the {degree} of {chord} by step from below", **target)
            else:
                text = _("comes to the {degree} of {chord} by step from above", **target)
            yield Claim(Kind.STEP, (at - 1, at), text)


def _resolution(changes: Changes, line: Sequence[LineNote], at: int, names: Sequence[str]) -> Iterator[Claim]:
    before, note = line[at - 1], line[at]
    move = note.midi - before.midi
    own = changes[before.chord][0]
    if note.chord == before.chord or not is_new(changes, note.chord) or not _joined(line, at - 1, at) or abs(move) > 2:
        return
    is_tension = before.degree in _ALTERED and before.midi % 12 in own.scale.pitch_classes
    if not own.function.is_dominant or not is_tension:
        return
    yield Claim(Kind.RESOLUTION, (at - 1, at), _lets(before, note, names))


def _lets(before: LineNote, note: LineNote, names: Sequence[str]) -> str:
    """Say how a note goes on to the one over the next chord."""
    ends = {"end": pretty(note.degree), "next_chord": names[note.chord], **_named(before, names)}
    if note.midi < before.midi:
        return _("lets the {degree} of {chord} fall to the {end} of {next_chord}", **ends)
    if note.midi > before.midi:
        return _("lets the {degree} of {chord} rise to the {end} of {next_chord}", **ends)
    return _("lets the {degree} of {chord} stay as the {end} of {next_chord}", **ends)


def _blue_third(line: Sequence[LineNote], at: int, names: Sequence[str]) -> Iterator[Claim]:
    before, note = line[at - 1], line[at]
    if before.chord == note.chord and (before.degree, note.degree) == ("b3", "3") and note.midi - before.midi == 1:
        yield Claim(Kind.BLUE, (at - 1, at), _("moves from the ♭3 to the 3 of {chord}", chord=names[note.chord]))


def _rows(changes: Changes, line: Sequence[LineNote], names: Sequence[str]) -> Iterator[Claim]:
    for at in range(len(line) - 2):
        part = line[at : at + 4]
        chord = line[at].chord
        if not part[1].chord == part[2].chord == chord or not _joined(line, at, at + 2):
            continue
        altered = sum(note.degree in _ALTERED for note in part[:3]) > 1 and changes[chord][0].function.is_dominant
        if altered and (triad := _triad([note.midi for note in part[:3]])):
            text = _("plays the triad of {triad} over {chord}", triad=triad, chord=names[chord])
            yield Claim(Kind.TRIAD, (at, at + 1, at + 2), text)
        row = _CELLS.get(tuple(note.degree for note in part))
        moves = [after.midi - before.midi for before, after in pairwise(part)]
        straight = all(0 < move < 6 for move in moves) or all(-6 < move < 0 for move in moves)
        if row and straight and _joined(line, at, at + 3) and part[3].chord == chord:
            text = _("plays {degrees} over {chord}", degrees=pretty(row), chord=names[chord])
            yield Claim(Kind.CELL, tuple(range(at, at + 4)), text)


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
        if distance and abs(distance) < len(_HIGHER):
            text = translate((_HIGHER if distance > 0 else _LOWER)[abs(distance)])
            yield Claim(Kind.ANSWER, (*(asked for asked, _own in same), *(own for _asked, own in same)), text)


def _alike(one: int, other: int) -> bool:
    """Whether two moves go the same way, at most a semitone apart."""
    return abs(one - other) <= 1 and (one > 0) == (other > 0) and (one < 0) == (other < 0)


def _letters(tone: Tone, octave: int) -> int:
    return 7 * octave + _LETTERS.index(tone.letter)


def _return(changes: Changes, line: Sequence[LineNote]) -> Iterator[Claim]:
    """Yield the last note, if it leads by step into the first one on the first beat of the next chorus."""
    last, first = line[-1], line[0]
    end = BAR * sum(beats for _, beats in changes) // 4
    if last.end == end and first.onset == 0 and 0 < abs(first.midi - last.midi) <= 2:
        yield Claim(Kind.RETURN, (len(line) - 1, 0), _("leads back to its first note"))


def _held(line: Sequence[LineNote], names: Sequence[str]) -> Iterator[Claim]:
    for at, (before, note) in enumerate(pairwise(line)):
        if names[before.chord] != names[note.chord]:
            yield Claim(Kind.HELD, (at, at + 1), _lets(before, note, names))
