import subprocess
import sys
from itertools import islice

import numpy as np
import pytest

from deckbuilder.sound.arrangement import Direction, chord_then_run
from deckbuilder.sound.cadence import cadence_clip
from deckbuilder.sound.description import Clip, NoteEvent, Patch, SoundError
from deckbuilder.sound.format import DELAY, FRAME, RATE
from deckbuilder.sound.loops import backing_loop
from deckbuilder.sound.render import render
from tests.sound.listening import decoded, level
from tests.sound.test_voice_leading import cadence, turnaround

ARPEGGIO = chord_then_run((48, 52, 58), (43, 46, 52, 54, 58, 60, 64, 66, 70))
SCALE = chord_then_run((41, 52, 57), (40, 41, 43, 45, 46, 48, 50, 52, 53, 55, 57, 58, 60, 62, 64, 65, 67))
LOOP = backing_loop(turnaround(5))


def frames(mp3: bytes) -> list[bytes]:
    """Cut a file at its frame headers (MPEG-1 layer III, by the standard's tables)."""
    found, at = [], 0
    while at < len(mp3):
        header = mp3[at : at + 4]
        assert header[0] == 0xFF
        assert header[1] == 0xFB  # MPEG-1, layer III, no checksum
        rate = (0, 32, 40, 48, 56, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320)[header[2] >> 4]
        assert (header[2] >> 2) & 3 == 2  # 32 kHz
        assert header[3] >> 6 == 3  # mono
        size = 144 * rate * 1000 // 32_000 + (header[2] >> 1 & 1)
        found.append(mp3[at : at + size])
        at += size
    assert at == len(mp3)
    return found


@pytest.mark.parametrize("clip", [ARPEGGIO, SCALE, LOOP])
def test_a_file_is_whole_frames_mono(clip: Clip) -> None:
    mp3 = render(clip)
    count = -(-(round(clip.length * RATE) + DELAY) // FRAME)
    assert len(frames(mp3)) == count + 1  # and the information frame


def test_a_scale_is_small() -> None:
    assert len(render(SCALE)) < 42_000


@pytest.mark.parametrize("clip", [ARPEGGIO, SCALE, LOOP])
def test_a_file_lasts_what_its_clip_says(clip: Clip) -> None:
    assert len(decoded(render(clip))) == round(clip.length * RATE)


def test_the_same_clip_is_the_same_bytes_whatever_came_before() -> None:
    first = render(ARPEGGIO)
    render(SCALE)
    render(LOOP)
    assert render(ARPEGGIO) == first
    code = "import sys; from tests.sound.test_render import ARPEGGIO, render; sys.stdout.buffer.write(render(ARPEGGIO))"
    alone = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True)
    assert alone.stdout == first
    assert alone.stderr == b""  # nor does any library's warning reach the player


def test_different_clips_are_different_bytes() -> None:
    notes = (43, 46, 50)
    clips = [
        chord_then_run((43, 53, 58), notes),
        chord_then_run((43, 53, 58), notes, a4=442),
        chord_then_run((43, 53, 58), notes, tempo=120),
        chord_then_run((43, 53, 58), notes, direction=Direction.DOWN),
        chord_then_run((43, 53, 58), notes, chord_on=False),
    ]
    assert len({render(clip) for clip in clips}) == len(clips)


@pytest.mark.parametrize("clip", [ARPEGGIO, SCALE, cadence_clip(cadence(9))])
def test_a_clip_starts_and_ends_in_silence(clip: Clip) -> None:
    sound = decoded(render(clip))
    assert level(sound[: RATE // 50]) < -60
    assert np.max(np.abs(sound[-RATE // 500 :])) < 0.004
    assert np.max(np.abs(np.diff(sound))) < 0.45


def test_nothing_clips() -> None:
    for clip in (ARPEGGIO, SCALE, LOOP):
        assert np.max(np.abs(decoded(render(clip)))) < 0.9


def test_a_loop_begins_and_ends_without_a_click() -> None:
    sound = decoded(render(LOOP))
    assert abs(sound[0]) < 0.1 * np.max(np.abs(sound))  # then a chord, a bass and a cymbal are struck
    assert np.max(np.abs(np.diff(sound[-200:], 2))) < 0.1 * np.max(np.abs(np.diff(sound, 2)))
    assert level(sound[-RATE // 200 :]) < -50


def test_chord_and_run_are_both_heard() -> None:
    """Struck level of the chord 1 to 8 dB below the run's."""
    for clip in (ARPEGGIO, SCALE, chord_then_run((60, 64, 70), (60, 64, 67, 70, 72, 76))):
        sound = decoded(render(clip))
        first, start = clip.events[0], clip.events[3].start
        chord = level(sound[round((first.start + 0.05) * RATE) : round((first.start + 0.4) * RATE)])
        run = level(sound[round(start * RATE) : round(clip.events[-1].start * RATE)])
        assert -8 < chord - run < -1


def test_each_voice_sounds() -> None:
    for patch in Patch:
        clip = Clip((NoteEvent(midi=40, start=0.1, length=0.4, patch=patch),), length=0.8)
        sound = decoded(render(clip))
        assert level(sound[round(0.1 * RATE) : round(0.2 * RATE)]) > -40


GOOD = NoteEvent(midi=60, start=0.0, length=0.5)


@pytest.mark.parametrize(
    ("clip", "message"),
    [
        (Clip((), 1.0), "clip is silent"),
        (Clip((NoteEvent(60, 0.0, 0.5, velocity=0.0),), 1.0), "clip is silent"),
        (Clip((NoteEvent(60, 0.0, 0.5, velocity=0.02),), 1.0), r"clip is silent: .* a velocity of 0\.05 or more"),
        (Clip((NoteEvent(60, 0.9996, 0.5),), 1.0), "clip is silent: nothing in it is loud enough"),
        (Clip((GOOD,), 0.1), r"clip of 0\.1 s: use 0\.5 to 330 s"),
        (Clip((GOOD,), 331.0), "clip of 331 s"),
        (Clip((GOOD,), 1.0, a4=300.0), "A4 = 300 Hz"),
        (Clip((GOOD, NoteEvent(130, 0.0, 0.5)), 1.0), "MIDI note 130 is out of range"),
        (Clip((GOOD, NoteEvent(60, 1.5, 0.5)), 1.0), r"note at 1\.5 s lies outside"),
        (Clip((GOOD, NoteEvent(60, 0.5, -1.0)), 1.0), "note of -1 s"),
        (Clip((GOOD, NoteEvent(60, 0.5, 0.5, release=0.0)), 1.0), r"release of 0 s: use 0\.01"),
        (Clip((GOOD, NoteEvent(60, 0.5, 0.5, velocity=1.2)), 1.0), r"velocity 1\.2 is out of range"),
    ],
)
def test_clips_that_cannot_sound(clip: Clip, message: str) -> None:
    with pytest.raises(SoundError, match=message):
        render(clip)


def test_frames_differ() -> None:
    """The helper above would see nothing in a file of one repeated frame."""
    assert len(set(islice(frames(render(SCALE)), 50))) == 50
