"""Forms: the chords of a tune by bars, kept by their place in a key so that any key can have them.

Conventions: four beats a bar, beats counted from 1. Bars are numbered as they are written, from 1 through all sections;
a bar that is repeated keeps its number.
"""

from dataclasses import dataclass, replace

from deckbuilder.theory.chordtypes import ChordType
from deckbuilder.theory.keys import Key
from deckbuilder.theory.steps import Step
from deckbuilder.theory.tones import Tone

BEATS = 4
"""Beats in a bar."""


@dataclass(frozen=True, slots=True)
class FormChord:
    """A chord at its place in a form.

    Args:
        bar: number of the bar as written.
        beat: the beat it begins on, 1 to 4.
        beats: how many beats it lasts.
        key: the key it stands in.
        step: where its root lies in that key.
        type: its quality and tensions.
        written: what the writer wrote, for errors.
        bass: where its bass lies in the key; None for the root.
        target: the step that the writer says it leads to; None where none is written.
        choice: the colour or chord scale that the writer wants; empty for the one that follows from the context.
    """

    bar: int
    beat: int
    beats: int
    key: Key
    step: Step
    type: ChordType
    written: str
    bass: Step | None = None
    target: Step | None = None
    choice: str = ""

    @property
    def root(self) -> Tone:
        """Its root, spelled for the key."""
        return self.step.tone_in(self.key)

    @property
    def bass_tone(self) -> Tone | None:
        """Its bass, spelled for the key; None for the root."""
        return self.bass.tone_in(self.key) if self.bass else None

    @property
    def symbol(self) -> str:
        """ASCII chord symbol in its key."""
        bass = f"/{self.bass_tone.name}" if self.bass_tone else ""
        return f"{self.root.name}{self.type.suffix}{bass}"


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar.

    Args:
        number: as written.
        chords: its chords; together they last `BEATS`.
    """

    number: int
    chords: tuple[FormChord, ...]


@dataclass(frozen=True, slots=True)
class Section:
    """A part of a form, repeats played out.

    Args:
        name: `A`, `bridge`, …; may be empty.
        bars: its bars in the order in which they are played.
    """

    name: str
    bars: tuple[Bar, ...]


@dataclass(frozen=True, slots=True)
class Form:
    """The changes of a whole tune, once through.

    Args:
        name: what the player calls it.
        home: its key.
        sections: its sections in the order in which they are played.
        transposes: whether it is studied in every key; if not, it stays in its home key.
    """

    name: str
    home: Key
    sections: tuple[Section, ...]
    transposes: bool = True

    @property
    def bars(self) -> tuple[Bar, ...]:
        """All bars in the order in which they are played."""
        return tuple(bar for section in self.sections for bar in section.bars)

    @property
    def chords(self) -> tuple[FormChord, ...]:
        """All chords in the order in which they are played."""
        return tuple(chord for bar in self.bars for chord in bar.chords)

    def on(self, tonic: Tone) -> "Form":
        """Return the form with another tonic; major stays major, and every section keeps its distance from home.

        Args:
            tonic: the new home key's tonic; a minor key may take its other name (C♯m for D♭m).
        """
        home = Key.on(tonic, minor=self.home.minor)
        sections = tuple(
            replace(section, bars=tuple(self._moved(bar, home) for bar in section.bars)) for section in self.sections
        )
        return replace(self, home=home, sections=sections)

    def _moved(self, bar: Bar, home: Key) -> Bar:
        return replace(bar, chords=tuple(replace(chord, key=self._key(chord.key, home)) for chord in bar.chords))

    def _key(self, key: Key, home: Key) -> Key:
        distance = Step.of(key.tonic, Key(self.home.tonic))
        return Key.on(distance.tone_in(Key(home.tonic)), minor=key.minor)
