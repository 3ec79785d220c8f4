"""What a clip plays, before it sounds.

Conventions: pitches are MIDI note numbers (60 is middle C, C4), times are seconds from the clip's beginning,
velocity runs from 0 (silent) to 1 (as hard as the instrument goes). A description is plain data: the same
description always sounds the same bytes.
"""

from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import Final

from deckbuilder.errors import UserError
from deckbuilder.medium import Description, MediaType

RENDERER_VERSION: Final = 10
"""Raised whenever the same description would give other bytes; part of a medium's file name."""

A4: Final = 440.0
"""Hz of MIDI note 69 where nothing else is said (ISO 16)."""

RELEASE: Final = 0.06
"""s in which a hand damps a string."""


_CHORD: Final = 4
"""Notes at a clip's beginning that tell its chord."""


class SoundError(UserError, ValueError):
    """A clip that cannot sound; the message names the value and what would be right."""


class Patch(StrEnum):
    """The instrument patch that plays a note."""

    GUITAR = "guitar"
    """A hollow-body guitar, for the player and for the comping of a loop."""
    BASS = "bass"
    """A plucked double bass: the player's, a plucked cello, or the bass of a loop."""
    NYLON = "nylon"
    """A small body with nylon strings."""
    MANDOLIN = "mandolin"
    """Short steel strings and a pick."""
    RIDE = "ride"
    """A ride cymbal; its pitch is not heard."""
    CLICK = "click"
    """A wooden click; its pitch is not heard."""


@dataclass(frozen=True, slots=True)
class NoteEvent:
    """One note, in the sense of MIDI: what plays, which pitch, when, how long and how hard.

    Args:
        midi: MIDI note number.
        start: s from the clip's beginning.
        length: s until the note is damped.
        velocity: 0 to 1.
        patch: what plays it.
        release: s that the damping takes, after `length`.
    """

    midi: int
    start: float
    length: float
    velocity: float = 0.8
    patch: Patch = Patch.GUITAR
    release: float = RELEASE


@dataclass(frozen=True, slots=True)
class OwnSound:
    """The player's own SoundFont.

    Args:
        digest: SHA-256 of the file, hexadecimal: which one it is.
        player: the patch of the player's instrument.
        preset: the preset that plays it, by its MIDI program from 0; None for the best by General MIDI.
        path: where the file lies on this machine; wherever that is, it sounds the same.
    """

    digest: str
    player: Patch = Patch.GUITAR
    preset: int | None = None
    path: str = field(default="", compare=False)


@dataclass(frozen=True, slots=True)
class Clip(Description):
    """Note events that make a clip.

    Args:
        events: the notes, in order of their start.
        length: s; everything is faded out by then.
        a4: Hz of MIDI note 69.
        own: the SoundFont that plays what it has an instrument for; None for the strings made here.
    """

    media_type = MediaType.SOUND
    prefix = "clip"
    ending = ".mp3"
    version = RENDERER_VERSION
    renderer = "deckbuilder.sound.render"

    events: tuple[NoteEvent, ...]
    length: float
    a4: float = A4
    own: OwnSound | None = None

    @property
    def affinity(self) -> tuple[float, ...]:
        """Its length and the notes of its first chord."""
        return self.length, *(event.midi for event in self.events[:_CHORD])

    def played_on(self, patch: Patch) -> "Clip":
        """Return the clip with its guitar exchanged for another instrument.

        Args:
            patch: what plays the guitar's notes.
        """
        if patch is Patch.GUITAR:
            return self
        events = (replace(event, patch=patch) if event.patch is Patch.GUITAR else event for event in self.events)
        return replace(self, events=tuple(events))
