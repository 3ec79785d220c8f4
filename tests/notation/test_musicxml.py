"""MusicXML read back by music21: the note's own pitches, places, onsets, lengths and chords."""

from fractions import Fraction
from typing import Any

import pytest

from deckbuilder.notation.description import BEAT, NotationError, Pitch, Score
from deckbuilder.notation.musicxml import Page, musicxml, musicxml_file
from tests.notation.scores import CROWDED, INSTRUMENTS, LINE, note

SCORES = {"line": LINE, "crowded": CROWDED, **INSTRUMENTS}
TITLE = "A line & <more>"
PAGE = Page(("Land on the 3rd of each chord",), -1, 120.0)


def read(document: bytes) -> Any:
    from music21 import converter

    return converter.parseData(document.decode(), format="musicxml")


@pytest.mark.parametrize("score", SCORES.values(), ids=SCORES)
def test_what_is_read_back_is_what_was_written(score: Score) -> None:
    whole = read(musicxml_file(TITLE, [(score, PAGE)]))
    staff, tablature = whole.parts
    for part in (staff, tablature):
        tied = part.stripTies().flatten().notes.getElementsByClass("Note")
        found = [
            (n.pitch.midi, n.pitch.name.replace("-", "b"), Fraction(n.offset), Fraction(n.quarterLength)) for n in tied
        ]
        assert found == [
            (each.pitch.midi, _name(each.pitch), Fraction(each.onset, BEAT), Fraction(each.length, BEAT))
            for each in score.notes
        ]
    places = [
        tuple(
            next(a.number for a in n.articulations if type(a).__name__ == f"{kind}Indication")
            for kind in ("String", "Fret")
        )
        for n in tablature.flatten().notes
        if n.tie is None or n.tie.type == "start"
    ]
    assert places == [(each.string, each.fret) for each in score.notes]
    degrees = [n.lyric for n in tablature.flatten().notes if n.lyric]
    assert degrees == [each.degree for each in score.notes]


TONES = {
    "Gm7": "G Bb D F",
    "C7alt": "C E Gb Bb Db",
    "Fmaj7": "F A C E",
    "Am7♭5/E♭": "A C Eb G",
    "D7♭9": "D F# A C Eb",
    "F♯maj7": "F# A# C# E#",
    "D♯m7♭5": "D# F# A C#",
    "G♯m7/C♯": "C# G# B D# F#",
    "C♯7♯5": "C# E# G## B",
    "G7": "G B D F",
}
"""Tones of every symbol above, common practice."""


@pytest.mark.parametrize("score", SCORES.values(), ids=SCORES)
def test_chord_symbols_are_read_back(score: Score) -> None:
    found = read(musicxml_file(TITLE, [(score, PAGE)])).parts[0].flatten().getElementsByClass("ChordSymbol")
    for symbol, chord in zip(found, score.chords, strict=True):
        assert Fraction(symbol.offset) == Fraction(chord.onset, BEAT)
        assert {tone.name.replace("-", "b") for tone in symbol.pitches} == set(TONES[chord.label].split())
        assert symbol.bass().name.replace("-", "b") == (chord.bass or chord.root)


def _name(pitch: Pitch) -> str:
    return pitch.letter + ("b" * -pitch.accidental if pitch.accidental < 0 else "#" * pitch.accidental)


def test_a_file_tells_its_title_words_key_and_tempo() -> None:
    whole = read(musicxml_file(TITLE, [(LINE, PAGE)]))
    assert whole.metadata.movementName == TITLE
    flat = whole.parts[0].flatten()
    assert [text.content for text in flat.getElementsByClass("TextExpression")] == [*PAGE.words, "swing"]
    assert flat.getElementsByClass("KeySignature")[0].sharps == -1
    assert flat.getElementsByClass("MetronomeMark")[0].number == 120


def test_a_title_may_hold_what_xml_may_not() -> None:
    assert read(musicxml_file("A\uffffB\x00C", [(LINE, PAGE)])).metadata.movementName == "A\ufffdB\ufffdC"


def test_one_music_gives_one_document() -> None:
    assert musicxml_file(TITLE, [(LINE, PAGE)]) == musicxml_file(TITLE, [(LINE, PAGE)])


def test_pieces_follow_each_other_in_their_own_keys() -> None:
    other = Page(("Higher",), 6, 100.0)
    whole = read(musicxml_file(TITLE, [(LINE, PAGE), (CROWDED, other)]))
    staff = whole.parts[0]
    keys = [
        (signature.sharps, signature.getOffsetInHierarchy(staff))
        for signature in staff.recurse().getElementsByClass("KeySignature")
    ]
    assert keys == [(-1, 0), (6, 16)]
    assert len(staff.getElementsByClass("Measure")) == LINE.bars + CROWDED.bars
    notes = staff.stripTies().flatten().notes.getElementsByClass("Note")
    assert [n.pitch.midi for n in notes] == [n.pitch.midi for n in (*LINE.notes, *CROWDED.notes)]


@pytest.mark.parametrize(
    ("score", "told"),
    [
        (Score(0, (), LINE.open_strings, LINE.clef), "0 bars"),
        (Score(1, (), LINE.open_strings[:2], LINE.clef), "2 strings"),
        (Score(1, (note(42, 12, "C4", 3),), LINE.open_strings, LINE.clef), "tick 42"),
        (Score(1, (note(0, 12, "C4", 3), note(6, 6, "C4", 3)), LINE.open_strings, LINE.clef), "tick 6"),
        (Score(1, (note(0, 12, "E2", 5),), LINE.open_strings, LINE.clef), "fret -5"),
    ],
)
def test_music_that_cannot_be_written_is_refused(score: Score, told: str) -> None:
    with pytest.raises(NotationError, match=told):
        musicxml(score)
