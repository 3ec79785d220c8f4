"""Reading a line: what each of its notes does, found in the notes themselves.

What was planned is not asked here: a role is given for what a listener hears, so that what is said of a line is true.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from deckbuilder.lines.notes import LineNote, Role
from deckbuilder.lines.palette import Palette
from deckbuilder.lines.slots import Changes, Slot
from deckbuilder.neck.tuning import Place
from deckbuilder.theory.tones import Tone

_STEP = 2


class Way(StrEnum):
    """How a line comes to an arrival; moves of one and two semitones."""

    ENCLOSED = "enclosed"
    TWO_SEMITONES = "two semitones"
    SEMITONE = "semitone"
    STEP = "step"


@dataclass(frozen=True, slots=True)
class Played:
    """A slot with its pitch.

    Args:
        slot: when, and over which chord.
        midi: MIDI note number.
        place: where it is fretted.
    """

    slot: Slot
    midi: int
    place: Place


def way_to(before: Sequence[int], midi: int) -> Way | None:
    """Say how a note is come to.

    Args:
        before: MIDI numbers of the notes that run into it without a rest, the last two of them at most.
        midi: its own MIDI number.

    Returns:
        None where it is not come to by a step.
    """
    if not before or not 1 <= abs(before[-1] - midi) <= _STEP:
        return None
    last = before[-1] - midi
    if len(before) > 1:
        first = before[-2] - midi
        if first * last < 0 and abs(first) <= _STEP and min(abs(first), abs(last)) == 1:
            return Way.ENCLOSED
        if abs(last) == 1 and first == 2 * last:
            return Way.TWO_SEMITONES
    return Way.SEMITONE if abs(last) == 1 else Way.STEP


def read(changes: Changes, played: Sequence[Played], palettes: Sequence[Palette]) -> tuple[LineNote, ...]:
    """Name the notes of a line and say what each does.

    Args:
        changes: the chords.
        played: the notes in order.
        palettes: what each chord offers.
    """
    roles = _roles(played, palettes)
    found: list[LineNote] = []
    following: Tone | None = None
    for note, role in zip(reversed(played), reversed(roles), strict=True):
        slot = note.slot
        following, degree = palettes[slot.chord].named(note.midi, following)
        found.append(LineNote(slot.onset, slot.length, note.midi, following, degree, note.place, slot.chord, role))
    return tuple(reversed(found))


def _roles(played: Sequence[Played], palettes: Sequence[Palette]) -> list[Role]:
    roles = [_alone(note, palettes[note.slot.chord]) for note in played]
    for at, note in enumerate(played):
        before, after = played[max(at - 1, 0)].midi - note.midi, played[min(at + 1, len(played) - 1)].midi - note.midi
        palette = palettes[note.slot.chord]
        if palette.step_of(note.midi) not in palette.played and roles[at] is not Role.BLUE:
            passing = note.slot.off_beat and (before, after) in ((-1, 1), (1, -1))
            roles[at] = Role.PASSING if passing else Role.APPROACH
    for at, note in enumerate(played):
        if note.slot.arrives:
            roles[at] = Role.ANTICIPATION if note.slot.off_beat else Role.TARGET
            _lead(roles, played, at)
    return roles


def _lead(roles: list[Role], played: Sequence[Played], at: int) -> None:
    run = joined_before([note.slot for note in played], at)
    way = way_to([played[index].midi for index in run], played[at].midi)
    leading = {None: 0, Way.ENCLOSED: 2, Way.TWO_SEMITONES: 2}.get(way, 1)
    for index in range(at - leading, at):
        if not played[index].slot.arrives:
            roles[index] = Role.ENCLOSURE if way is Way.ENCLOSED else Role.APPROACH


def joined_before(slots: Sequence[Slot], at: int) -> list[int]:
    """Return the indices of up to two notes that run into a note without a rest."""
    found: list[int] = []
    while len(found) < 2 and at - len(found) > 0 and slots[at - len(found)].joined:
        found.insert(0, at - len(found) - 1)
    return found


def _alone(note: Played, palette: Palette) -> Role:
    step = palette.step_of(note.midi)
    if step in palette.blue:
        return Role.BLUE
    if step in palette.chord or step in palette.guides:
        return Role.CHORD
    if step in palette.tensions:
        return Role.TENSION
    return Role.SCALE
