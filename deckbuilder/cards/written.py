"""Written music: lines and runs as scores, for a card's staff and tablature and for notation programs."""

from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache
from typing import Final, Protocol

from deckbuilder.cards.choices import Notation
from deckbuilder.cards.facts import Slot
from deckbuilder.cards.note import Attachment
from deckbuilder.cards.recipe import Recipe
from deckbuilder.neck.tuning import Place, Tuning
from deckbuilder.notation.description import BAR, BEAT, ChordSymbol, Clef, Pitch, Score, ScoreNote, Staves
from deckbuilder.speech import Names, _, current
from deckbuilder.theory.chordtypes import parse_type
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.naming import shown
from deckbuilder.theory.tones import Tone, pretty

_EIGHTH: Final = BEAT // 2
_HELD: Final = 2 * BEAT
"""How long the last note of a run lasts, where it falls on a beat and its bar has room."""
_KINDS: Final = {
    "": "major",
    "m": "minor",
    "dim": "diminished",
    "aug": "augmented",
    "sus4": "suspended-fourth",
    "6": "major-sixth",
    "m6": "minor-sixth",
    "maj7": "major-seventh",
    "7": "dominant",
    "m7": "minor-seventh",
    "m7b5": "half-diminished",
    "mMaj7": "major-minor",
    "maj7#5": "major-seventh",
    "dim7": "diminished-seventh",
    "7#5": "augmented-seventh",
    "7b5": "dominant",
    "7sus4": "suspended-fourth",
}
"""MusicXML's name of each quality, or of the nearest to it."""
_ALTERATIONS: Final = {
    "maj7#5": ((5, 1),),
    "7b5": ((5, -1),),
    "7sus4": ((7, 0),),
    "alt": ((5, 1), (9, -1), (9, 1)),
    "b5": ((5, -1),),
    "#5": ((5, 1),),
    "b9": ((9, -1),),
    "9": ((9, 0),),
    "#9": ((9, 1),),
    "11": ((11, 0),),
    "#11": ((11, 1),),
    "b13": ((13, -1),),
    "13": ((13, 0),),
}
"""What a quality has besides that, and what each tension adds: degrees and the semitones they are raised."""
_LOWEST_TREBLE, _HIGHEST_BASS, _HIGHEST_CELLO = 55, 48, 57


class Fingered(Protocol):
    """A spelled note in its place."""

    @property
    def tone(self) -> Tone:
        """Its name."""

    @property
    def octave(self) -> int:
        """The octave of its name."""

    @property
    def degree(self) -> str:
        """What it is to its chord, ASCII."""

    @property
    def place(self) -> Place:
        """Where it is fretted."""


class Timed(Fingered, Protocol):
    """The same in time, in ticks of a twelfth of a beat."""

    @property
    def onset(self) -> int:
        """When it begins."""

    @property
    def length(self) -> int:
        """How long it lasts."""


def written_line(
    recipe: Recipe, spans: Iterable[tuple[Harmony, int]], line: Sequence[Timed]
) -> Mapping[Slot, Attachment]:
    """Write a line for a card, where the recipe asks for written music.

    Args:
        recipe: the instrument, and which staves are shown.
        spans: the chords in order, each with its beats.
        line: the notes.
    """
    if recipe.notation is Notation.NONE:
        return {}
    return _attached(line_score(recipe.instrument.neck.tuning, spans, line, Staves(recipe.notation)))


def written_run(recipe: Recipe, chord: Harmony, run: Sequence[Fingered]) -> Mapping[Slot, Attachment]:
    """Write a run for a card, where the recipe asks for written music.

    Args:
        recipe: the instrument, and which staves are shown.
        chord: what sounds.
        run: the notes in order.
    """
    if recipe.notation is Notation.NONE or not run:
        return {}
    return _attached(run_score(recipe.instrument.neck.tuning, chord, run, Staves(recipe.notation)))


def _attached(score: Score) -> Mapping[Slot, Attachment]:
    return {Slot.NOTATION: Attachment(score, in_words(score))}


def in_words(score: Score) -> str:
    """Say music to someone who does not see it: `Bar 1, Gm7: B♭ D F A`.

    Args:
        score: the music.
    """
    bars, speech = [], current().names
    for bar in range(score.bars):
        chords = " ".join(chord.label for chord in score.chords if chord.onset // BAR == bar)
        names = " ".join(
            shown(note.pitch.letter, note.pitch.accidental, speech) for note in score.notes if note.onset // BAR == bar
        )
        played = names or _("rest")
        if chords:
            bars.append(_("Bar {number}, {chords}: {notes}.", number=bar + 1, chords=chords, notes=played))
        else:
            bars.append(_("Bar {number}: {notes}.", number=bar + 1, notes=played))
    return " ".join((_("Written music."), *bars))


def line_score(tuning: Tuning, spans: Iterable[tuple[Harmony, int]], line: Iterable[Timed], staves: Staves) -> Score:
    """Write a line over its changes.

    Args:
        tuning: the open strings, without a capo.
        spans: the chords in order, each with its beats.
        line: the notes.
        staves: what is shown.
    """
    chords, at = [], 0
    for chord, beats in spans:
        chords.append(chord_symbol(chord, at))
        at += beats * BEAT
    bars = -(-at // BAR)
    notes = tuple(_note(each, each.onset, min(each.length, bars * BAR - each.onset)) for each in line)
    return Score(bars, notes, open_strings(tuning), clef(tuning), tuple(chords), staves, swing=True)


def run_score(tuning: Tuning, chord: Harmony, run: Sequence[Fingered], staves: Staves) -> Score:
    """Write a run over its chord, in eighths.

    Args:
        tuning: the open strings, without a capo.
        chord: what sounds.
        run: the notes in order.
        staves: what is shown.
    """
    bars = -(-len(run) * _EIGHTH // BAR)
    last = (len(run) - 1) * _EIGHTH
    held = _EIGHTH if last % BEAT else min(_HELD, bars * BAR - last)
    lengths = [_EIGHTH] * (len(run) - 1) + [held]
    notes = tuple(
        _note(each, number * _EIGHTH, length) for number, (each, length) in enumerate(zip(run, lengths, strict=True))
    )
    return Score(bars, notes, open_strings(tuning), clef(tuning), (chord_symbol(chord, 0),), staves)


def _note(note: Fingered, onset: int, length: int) -> ScoreNote:
    pitch = _pitch(note.tone.letter, note.tone.accidental, note.octave)
    return ScoreNote(onset, length, pitch, note.place.string, note.place.fret, pretty(note.degree))


_pitch = lru_cache(maxsize=512)(Pitch)
"""Spells a pitch, as the same one again where it is known."""


def chord_symbol(chord: Harmony, onset: int) -> ChordSymbol:
    """Write a chord's symbol.

    Args:
        chord: the chord.
        onset: where it stands, in ticks.
    """
    upper = chord.upper
    suffix = upper.symbol.removeprefix(upper.chord.root.name)
    return ChordSymbol(
        onset,
        chord.chord.root.name,
        pretty(suffix),
        *_kind(suffix),
        chord.bass.name if chord.bass else "",
        "" if current().names is Names.ENGLISH else chord.label,
    )


@lru_cache(maxsize=256)
def _kind(suffix: str) -> tuple[str, tuple[tuple[int, int], ...]]:
    """Return MusicXML's kind of what follows a chord's root, and the degrees that are otherwise."""
    read = parse_type(suffix)
    names = (read.quality.suffix, *read.tensions)
    altered = tuple(each for name in names if name not in ("6", "7") for each in _ALTERATIONS.get(name, ()))
    return _KINDS[read.quality.suffix], altered


def open_strings(tuning: Tuning) -> tuple[Pitch, ...]:
    """Return the open strings as written pitches, lowest-sounding side first."""
    return tuple(
        _pitch(tone.letter, tone.accidental, (midi - tone.accidental) // 12 - 1)
        for midi, tone in zip(tuning.open_midi, tuning.open_tones, strict=True)
    )


@lru_cache(maxsize=64)
def clef(tuning: Tuning) -> Clef:
    """Return the clef that players of an instrument read (common practice, no source).

    Args:
        tuning: the open strings.
    """
    lowest, highest = min(tuning.open_midi), max(tuning.open_midi)
    if highest <= _HIGHEST_BASS:
        return Clef.BASS_8
    if lowest >= _LOWEST_TREBLE:
        return Clef.TREBLE
    in_fifths = all(other - one == 7 for one, other in zip(tuning.open_midi, tuning.open_midi[1:], strict=False))
    return Clef.BASS if in_fifths and highest <= _HIGHEST_CELLO else Clef.TREBLE_8
