"""Open formats: MusicXML, MIDI and tracks of a deck, read by other programs' libraries."""

import re
from collections.abc import Mapping
from fractions import Fraction
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest

from deckbuilder.build import notes_of
from deckbuilder.cards.facts import Fact, Slot
from deckbuilder.cards.note import Note
from deckbuilder.cards.parts import played
from deckbuilder.cards.tracks import LONGEST, SHORTEST, tracks
from deckbuilder.deck.openformats import MIDI, MUSICXML, TRACKS
from deckbuilder.deck.writers import Deck
from deckbuilder.recipe import parse_recipe
from deckbuilder.sound.description import Patch
from deckbuilder.sound.voice_leading import Change

TUNE = {"name": "Böse <Blues> & Co", "key": "F", "bars": ["| F7 | Bb7 | F7 | C7alt |"]}
RECIPE = parse_recipe({"keys": ["F"], "regions": [1, 5], "levels": [1], "changes": [TUNE]}, "test")
TICKS = 960


@pytest.fixture(scope="module")
def deck() -> Deck:
    return Deck("A <deck>", notes_of(RECIPE), {}, 0.0)


def lines(deck: Deck, level: int) -> list[Note]:
    return [note for note in deck.notes if note.identity.fact is Fact.IMPROVISATION and note.level == level]


@pytest.fixture(scope="module")
def documents(deck: Deck) -> Mapping[str, bytes]:
    return dict(MUSICXML.files(deck))


@pytest.fixture(scope="module")
def files(deck: Deck) -> Mapping[str, bytes]:
    return dict(MIDI.files(deck))


def test_musicxml_has_every_line_of_a_level_and_its_task(deck: Deck, documents: Mapping[str, bytes]) -> None:
    from music21 import converter

    whole = converter.parseData(documents["level-1.musicxml"].decode(), format="musicxml")
    assert whole.metadata.movementName.startswith("A <deck> · ")
    staff = whole.parts[0].stripTies().flatten()
    wanted, at = [], 0
    for note in lines(deck, 1):
        end = at + sum(note.music.beats)
        wanted += [(n.midi, at + n.beat, min(n.beats, end - at - n.beat)) for n in note.music.line]
        at = end
    found = staff.notes.getElementsByClass("Note")
    assert [(n.pitch.midi, Fraction(n.offset), Fraction(n.quarterLength)) for n in found] == wanted
    tasks = [text.content for text in staff.getElementsByClass("TextExpression")]
    assert [task for task in tasks if task != "swing"] == [note.words.prompt for note in lines(deck, 1)]
    symbols = [symbol.root().name.replace("-", "b") for symbol in staff.getElementsByClass("ChordSymbol")]
    assert symbols == [chord.chord.root.name for note in lines(deck, 1) for chord in note.music.chords]
    assert {signature.sharps for signature in staff.getElementsByClass("KeySignature")} == {-1}


def test_a_tune_has_a_file_of_its_own_named_in_ascii(
    documents: Mapping[str, bytes], files: Mapping[str, bytes]
) -> None:
    (tune,) = set(documents) - {"level-1.musicxml"}
    assert re.fullmatch(r"changes-b-se-blues-co-[0-9a-f]{8}\.musicxml", tune)
    assert b"B\xc3\xb6se &lt;Blues&gt; &amp; Co" in documents[tune]
    assert tune.replace("musicxml", "mid") in files


def test_midi_has_a_file_a_card(deck: Deck, files: Mapping[str, bytes]) -> None:
    cards = [name for name in files if name.startswith("card-")]
    assert len(cards) == len(deck.notes)
    assert all(re.fullmatch(r"[a-z0-9-]{1,150}\.mid", name) for name in files)


def read(data: bytes) -> Mapping[str, list[tuple[float, int, float]]]:
    """Read a Standard MIDI File by music21: of each track the notes with onset and length in beats."""
    from music21.midi import MetaEvents, MidiFile

    file: Any = MidiFile()
    file.openFileLike(BytesIO(data))
    file.read()
    assert file.ticksPerQuarterNote == TICKS
    found = {}
    for track in file.tracks:
        at, sounding, notes, name = 0, {}, [], ""
        for event in track.events:
            if event.isDeltaTime():
                at += event.time
            elif event.isNoteOn():
                sounding[event.pitch] = at
            elif event.isNoteOff():
                begin = sounding.pop(event.pitch)
                notes.append((begin / TICKS, event.pitch, (at - begin) / TICKS))
            elif event.type is MetaEvents.SEQUENCE_TRACK_NAME:
                name = event.data.decode()
        assert not sounding
        found[name] = sorted(notes)
    return found


def test_midi_plays_what_the_clip_plays(deck: Deck, files: Mapping[str, bytes]) -> None:
    note = lines(deck, 1)[0]
    (name,) = [name for name in files if "improvisation" in name and "region-1" in name and "cadence" in name]
    tracks_read = read(files[name])
    assert list(tracks_read)[1:] == ["line", "comping", "bass", "cymbal"]
    assert [(pitch) for _, pitch, _ in tracks_read["line"]] == [n.midi for n in note.music.line]
    for (onset, _, _), written in zip(tracks_read["line"], note.music.line, strict=True):
        assert abs(onset - float(written.beat)) < 0.3, "swung and laid back"
    made = played(note)
    for part, patch in (("bass", Patch.BASS), ("cymbal", Patch.RIDE)):
        events = [event for event in made.parts[part] if event.patch is patch]
        onsets = sorted(event.start * made.tempo / 60 for event in events)
        assert [onset for onset, _, _ in tracks_read[part]] == pytest.approx(onsets, abs=1 / TICKS)
    assert len(made.parts["comping"]) + len(made.parts["line"]) + len(made.parts["bass"]) + len(
        made.parts["cymbal"]
    ) == len(note.media[Slot.EXAMPLE].description.events)  # type: ignore[attr-defined]


def test_a_run_is_the_line_and_its_chord_the_comping(deck: Deck) -> None:
    note = next(note for note in deck.notes if note.identity.fact is Fact.ARPEGGIO)
    parts = played(note).parts
    assert tuple(event.midi for event in parts["line"]) == note.music.midi
    assert len(parts["comping"]) == 3
    assert played(note).tempo == pytest.approx(RECIPE.sound.tempo)


CADENCE = (Change(7, 3, 10), Change(0, 4, 10), Change(5, 4, 11, beats=8))


@pytest.mark.parametrize("keys", [1, 2, 5, 12, 40])
@pytest.mark.parametrize("parts", [1, 4])
def test_tracks_last_three_to_five_minutes(keys: int, parts: int) -> None:
    made = list(tracks([[CADENCE] * parts] * keys, 120.0, 440.0))
    for track in made:
        assert SHORTEST <= track.length <= LONGEST
        clicks = [event.start for event in track.events if event.patch is Patch.CLICK]
        assert len(clicks) == 6
        assert max(clicks) < min(event.start for event in track.events if event.patch is not Patch.CLICK)
    assert (len(made) > 1) == (keys * parts * 8 + 4 > LONGEST)


def test_names_that_are_written_are_known_again(
    tmp_path: Path, documents: Mapping[str, bytes], files: Mapping[str, bytes]
) -> None:
    assert all(map(MUSICXML.owns, documents))
    assert all(map(MIDI.owns, files))
    assert TRACKS.owns("level-1.mp3")
    assert TRACKS.owns("changes-my-blues-part-2.mp3")
    assert not MUSICXML.owns("my own.musicxml")
    MUSICXML.write(tmp_path, Deck("none", (), {}, 0.0))
    assert list(tmp_path.iterdir()) == []
