"""Voicings and bass lines, as note names, beside what handbooks of jazz guitar and harmony print.

Sources: the rootless voicings by their degrees are common practice (from memory; 3-5-7-9 and 7-9-3-13, “A and B forms”,
in every handbook of jazz harmony). The pitches of chords are read by music21. The bass lines are read by a musician and
stand here so that a change of them is seen.
"""

import pytest
from music21 import harmony

from deckbuilder.cards.levels import LEVELS
from deckbuilder.cards.passage import Passage, level_passage
from deckbuilder.sound.bassline import bass_line
from deckbuilder.sound.voice_leading import voice_led
from deckbuilder.theory.keys import Key
from tests.cards.test_comping import passage_over

NAMES = ["C", "D♭", "D", "E♭", "E", "F", "G♭", "G", "A♭", "A", "B♭", "B"]
BLUES = "| F7 | Bb7 | F7 | % | Bb7 | Bdim7 | F7 | Am7b5 D7alt | Gm7 | C7alt | F7 D7alt | Gm7 C7alt |"


def named(pitches: tuple[int, ...]) -> str:
    return " ".join(NAMES[pitch % 12] for pitch in pitches)


def voicings(passage: Passage) -> list[str]:
    led = voice_led(passage.changes, rooted=False)
    return [f"{chord.label}: {named(voicing)}" for (chord, _), voicing in zip(passage.spans, led, strict=True)]


def walked(passage: Passage, chorus: int) -> list[str]:
    """Write a chorus of the bass line bar by bar; `~` for a note that is held."""
    bars: dict[int, list[str]] = {}
    for note in bass_line(passage.changes, chorus):
        if note.beat >= (chorus - 1) * passage.beats:
            bars.setdefault(note.beat // 4, []).append(NAMES[note.midi % 12] + "~" * (note.beats > 1))
    return [" ".join(bar) for bar in bars.values()]


def test_a_cadence_is_voiced_as_handbooks_do() -> None:
    """ii9, V13, Imaj9 with the 3 or the 7 below: the ♭7 falls to the 3, the 3 stays and becomes the 7 (from memory)."""
    assert voicings(level_passage(LEVELS[1], Key.parse("F"))) == [
        "Gm7: B♭ F A",
        "C7: B♭ E A",
        "Fmaj7: A E G",
    ]


def test_an_altered_turnaround_is_voiced_as_handbooks_do() -> None:
    """A dominant with its ♭13 between chords with their ninth or fifth (from memory)."""
    assert voicings(level_passage(LEVELS[3], Key.parse("F"))) == [
        "Gm7: B♭ F A",
        "C7alt: B♭ E A♭",
        "Fmaj7: C E A",
        "D7alt: C G♭ B♭",
    ]


def test_a_blues_is_voiced_as_handbooks_do() -> None:
    """F7 as 3-5-7-9 and B♭7 as 7-9-3-13; the diminished chord as itself: B D F A♭ (from memory)."""
    found = voicings(passage_over(BLUES, "F"))
    assert found[:3] == ["F7: A C E♭ G", "B♭7: A♭ C D G", "F7: A C E♭ G"]
    assert "Bdim7: A♭ B D F" in found
    assert "Am7♭5: A C E♭ G" in found


@pytest.mark.parametrize("root", ["C", "D", "E", "F", "G", "A", "B", "B-", "E-", "A-", "F#", "C#"])
@pytest.mark.parametrize("kind", ["m7b5", "dim7"])
def test_half_and_fully_diminished_chords_have_the_tones_that_music21_reads(root: str, kind: str) -> None:
    theirs = {pitch.pitchClass for pitch in harmony.ChordSymbol(root + {"m7b5": "ø7", "dim7": "o7"}[kind]).pitches}
    passage = passage_over(f"| {root.replace('-', 'b')}{kind} |")
    (voicing,) = voice_led(passage.changes[:1], rooted=False)
    classes = {pitch % 12 for pitch in voicing}
    assert classes <= theirs
    assert len(classes) == {"m7b5": 3, "dim7": 4}[kind]


def test_bass_lines_that_players_know() -> None:
    """In two: root and another tone, a step into the next root. In four: scale, arpeggio and a leading tone."""
    passage = level_passage(LEVELS[3], Key.parse("F"))
    assert walked(passage, 1) == ["G~ B♭ D♭", "C~ E E♭", "F~ A E", "D~ G♭ F"]
    assert walked(passage, 2) == ["G A B♭ B", "C D♭ E♭ E", "F E C D♭", "D C B♭ A♭"]
