"""Chord symbols against pychord and mingus, two libraries that read them on their own.

Where the three differ, the difference is named here: pychord sounds the eleventh in a thirteenth with a major third
(mingus and common practice leave it out), mingus leaves the ninth out of an eleventh. Spellings that one of them does
not read are not asked of it.
"""

import re

import pytest
from mingus.core import chords as mingus_chords
from mingus.core.notes import note_to_int
from music21 import harmony
from pychord import Chord as PychordChord

from deckbuilder.cards.comping import change
from deckbuilder.sound.description import Patch
from deckbuilder.sound.loops import backing_loop
from deckbuilder.theory.analysis import analyse
from deckbuilder.theory.changes import SectionText, parse_form
from deckbuilder.theory.keys import Key
from deckbuilder.theory.symbols import ChordSymbol

ROOTS = ("C", "Db", "D", "Eb", "E", "F", "F#", "Gb", "G", "Ab", "A", "Bb", "B")

# fmt: off
PYCHORD = [
    "", "M7", "maj7", "m", "m7", "7", "m7b5", "m7-5", "dim", "dim7", "aug", "6", "m6", "69", "m69", "mM7",
    "mmaj7", "7sus4", "9sus4", "sus4", "sus", "9", "M9", "maj9", "m9", "m11", "11", "13", "maj13", "13b9", "13-9",
    "13#11", "7b9", "7-9", "7#9", "7b5", "7-5", "7#5", "7+5", "7#11", "7b13", "7b9#11", "M7#11", "maj7#11",
    "add9", "madd9", "M7+5",
]
MINGUS = [
    "", "M7", "maj7", "m", "m7", "7", "m7b5", "dim", "dim7", "aug", "+", "6", "m6", "69", "mM7", "sus4", "9",
    "M9", "maj9", "m9", "m11", "13", "maj13", "7b9", "7#9", "7b5", "7#5", "7#11", "-7",
]
# fmt: on


@pytest.mark.parametrize("suffix", PYCHORD)
@pytest.mark.parametrize("root", ROOTS)
def test_pitch_classes_are_those_of_pychord(root: str, suffix: str) -> None:
    theirs = {pitch % 12 for pitch in PychordChord(root + suffix).components(visible=False)}
    ours = ChordSymbol.parse(root + suffix)
    if "13" in suffix and suffix != "7b13" and "#11" not in suffix:
        theirs -= {(ours.root.pitch_class + 5) % 12}
    assert ours.pitch_classes == theirs


@pytest.mark.parametrize("suffix", MINGUS)
@pytest.mark.parametrize("root", ROOTS)
def test_pitch_classes_are_those_of_mingus(root: str, suffix: str) -> None:
    theirs = {note_to_int(note) for note in mingus_chords.from_shorthand(root + suffix)}
    ours = ChordSymbol.parse(root + suffix)
    if suffix == "m11":
        theirs |= {(ours.root.pitch_class + 2) % 12}
    assert ours.pitch_classes == theirs


@pytest.mark.parametrize("bass", ["C", "E", "G", "Bb", "D"])
def test_a_slash_bass_is_read_as_both_read_it(bass: str) -> None:
    text = f"C7/{bass}"
    ours = ChordSymbol.parse(text)
    pychord = PychordChord(text)
    assert ours.bass is not None
    assert ours.bass.name == pychord.on == mingus_chords.from_shorthand(text)[0] == bass
    assert ours.pitch_classes == {pitch % 12 for pitch in pychord.components(visible=False)}


def test_a_few_hundred_symbols_are_compared() -> None:
    assert len(ROOTS) * (len(PYCHORD) + len(MINGUS)) > 900


SLASHES = ("C/E", "F/A", "G7/B", "F/G", "D7/F#", "Am/G", "Bb/D", "Ebmaj7/G", "C#m7/F#", "Abmaj7/Bb", "Dm7/G", "Bdim/D")


@pytest.mark.parametrize("text", SLASHES)
def test_basses_are_those_of_music21_and_pychord(text: str) -> None:
    """music21 writes flats as `-` and knows a chord's bass as its lowest pitch; pychord calls it `on`."""
    root, slash = text.split("/")
    theirs = harmony.ChordSymbol(re.sub("^([A-G])b", r"\1-", root) + "/" + slash.replace("b", "-")).bass()
    ours = ChordSymbol.parse(text)
    assert ours.bass is not None
    assert theirs is not None
    assert ours.bass.pitch_class == theirs.pitchClass
    assert ours.bass.name == theirs.name.replace("-", "b") == PychordChord(text).on


@pytest.mark.parametrize("text", SLASHES)
def test_a_loop_s_bass_is_the_one_that_music21_reads(text: str) -> None:
    root, slash = text.split("/")
    theirs = harmony.ChordSymbol(re.sub("^([A-G])b", r"\1-", root) + "/" + slash.replace("b", "-")).bass()
    assert theirs is not None
    form = parse_form("a tune", Key.parse("C"), [SectionText("", f"| {text} |")])
    clip = backing_loop([change(read.harmony) for read in analyse(form)])
    first = next(event for event in clip.events if event.patch is Patch.BASS)
    assert first.start == 0
    assert first.midi % 12 == theirs.pitchClass
