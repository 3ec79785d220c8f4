"""Clips of the default deck heard by librosa: the run in order and in time, the chords that the changes ask for.

Sources:
    librosa: YIN (de Cheveigné and Kawahara, JASA 111, 2002) for pitch, spectral flux for onsets.
    ISO 16:1975: A4 is 440 Hz; equal temperament gives the rest.
    What is expected comes from a note's own facts (MIDI numbers, chord symbols), not from the clip's description, but
    for the tempo: a chord of two beats, then eighths at 144 quarter notes a minute.
"""

from functools import cache

import librosa
import numpy as np
import pytest
from librosa.onset import onset_detect

from deckbuilder.cards.facts import Fact
from deckbuilder.cards.note import Note
from deckbuilder.cards.recipe import Recipe
from deckbuilder.cards.syllabus import syllabus
from deckbuilder.sound.format import RATE
from deckbuilder.sound.render import render
from deckbuilder.sound.samples import Samples
from deckbuilder.theory.keys import DEFAULT_KEYS
from tests.noted import clip_of
from tests.sound.listening import cents, decoded, level

# YIN is compiled where it is first called, which takes half a minute: on one worker.
pytestmark = pytest.mark.xdist_group("yin")

BEAT = 60 / 144
LEAD_IN = 0.04
CHORD = 2 * BEAT
CHORD_RINGS = LEAD_IN + CHORD + BEAT + 0.05
"""s until the chord has died away under the run."""

LOOP_BEAT = 60 / 120
COUNT_IN = 8
NAMES = ["C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"]


@cache
def notes() -> tuple[Note, ...]:
    return syllabus(Recipe())


def of_key(fact: Fact, key: str) -> list[Note]:
    return [note for note in notes() if note.identity.fact is fact and note.identity.key == key]


def of_fact(fact: Fact) -> list[Note]:
    return [note for note in notes() if note.identity.fact is fact]


def runs() -> list[Note]:
    """Pick for every key a scale, two arpeggios and a spelling, and as many sources and targets, spread over all."""
    picked = []
    for number, key in enumerate(DEFAULT_KEYS):
        for fact, step in ((Fact.SCALE, 4), (Fact.ARPEGGIO, 11), (Fact.ARPEGGIO, 29), (Fact.SPELLING, 3)):
            found = of_key(fact, key)
            picked.append(found[(number * step + step) % len(found)])
        for fact in (Fact.SOURCE, Fact.TARGET):
            found = of_fact(fact)
            picked.append(found[number * len(found) // len(DEFAULT_KEYS)])
    return picked


def pitch(sound: Samples, start: float, low: float = 60.0) -> float:
    """Median pitch in Hz of a note a little after its start, by YIN."""
    part = sound[round((start + 0.04) * RATE) : round((start + 0.2) * RATE)]
    return float(
        np.median(librosa.yin(part, fmin=low, fmax=1500, sr=RATE, frame_length=4096, hop_length=1024, center=False))
    )


def test_the_spread_covers_keys_regions_and_levels() -> None:
    picked = runs()
    assert len(picked) == 72
    assert {note.identity.key for note in picked} == set(DEFAULT_KEYS)
    assert {note.level for note in picked} == {1, 2, 3}
    for fact in (Fact.SCALE, Fact.ARPEGGIO, Fact.SOURCE, Fact.TARGET):
        assert {note.identity.region for note in picked if note.identity.fact is fact} == {1, 2, 3, 4, 5}


@pytest.mark.parametrize("number", range(72))
def test_the_run_is_heard_in_order_in_time_and_in_tune(number: int) -> None:
    note = runs()[number]
    sound = decoded(render(clip_of(note)))
    expected = [LEAD_IN, *(LEAD_IN + CHORD + count * BEAT / 2 for count in range(len(note.music.midi)))]
    onsets = onset_detect(y=sound, sr=RATE, hop_length=128, units="time")
    assert len(onsets) == len(expected), note.id
    assert np.max(np.abs(onsets - expected)) < 0.03, note.id
    for start, midi in zip(expected[1:], note.music.midi, strict=True):
        # A tone alone is held: it is heard after the chord has died away.
        alone = note.identity.fact is Fact.TARGET
        off = cents(pitch(sound, max(start, CHORD_RINGS) if alone else start), float(librosa.midi_to_hz(midi)))
        if start < CHORD_RINGS:
            # Under the run's first beat the chord still rings: a tone of it an octave lower may win.
            off = (off + 600) % 1200 - 600
        assert abs(off) < 10, (note.id, midi)


def strengths(sound: Samples, start: float, length: float) -> dict[int, float]:
    """Measure how strong each low pitch is in a stretch, E1 to G3."""
    part = sound[round(start * RATE) : round((start + length) * RATE)]
    size = 1 << 18
    spectrum = np.abs(np.fft.rfft(part * np.hanning(len(part)), size))
    return {midi: float(spectrum[round(librosa.midi_to_hz(midi) * size / RATE)]) for midi in range(28, 56)}


def root_class(symbol: str) -> int:
    """Pitch class of a chord symbol's root."""
    name = symbol[:2] if symbol[1:2] in ("b", "#") else symbol[:1]
    return NAMES.index(
        {"Cb": "B", "Fb": "E", "F#": "Gb", "C#": "Db", "G#": "Ab", "D#": "Eb", "A#": "Bb"}.get(name, name)
    )


@pytest.mark.parametrize(("key", "number"), [(key, n % 3 + 1) for n, key in enumerate(DEFAULT_KEYS)])
def test_the_bass_of_a_loop_is_heard_as_the_roots(key: str, number: int) -> None:
    note = next(note for note in of_key(Fact.IMPROVISATION, key) if note.level == number)
    sound = decoded(render(clip_of(note)))
    roots = [root_class(symbol) for symbol in note.music.chord.split()]
    roots += roots[-1:] * (4 - len(roots))
    for bar, root in enumerate(2 * roots):
        # Beat one alone: in the second chorus the bass walks on from it.
        heard = strengths(sound, (COUNT_IN + 4 * bar) * LOOP_BEAT + 0.03, 0.44)
        bass = {midi: strength for midi, strength in heard.items() if midi < 44}
        assert max(bass, key=lambda midi: bass[midi]) % 12 == root, (note.id, bar)


@pytest.mark.parametrize("key", DEFAULT_KEYS[::3])
def test_the_count_in_is_heard(key: str) -> None:
    note = of_key(Fact.IMPROVISATION, key)[0]
    sound = decoded(render(clip_of(note)))[: round(COUNT_IN * LOOP_BEAT * RATE) - 2000]
    onsets = onset_detect(y=sound, sr=RATE, hop_length=128, units="time", backtrack=False)
    expected = [beat * LOOP_BEAT for beat in (2, 4, 5, 6, 7)]
    assert all(np.min(np.abs(onsets - at)) < 0.03 for at in expected)


@pytest.mark.parametrize("number", range(12))
def test_the_chords_of_a_cadence_are_heard_in_order(number: int) -> None:
    """The roots of the colour and function clips; a missing chord is silence, a click marks a bar by its high sound."""
    colour = of_fact(Fact.COLOUR)[2 * number]
    sound = decoded(render(clip_of(colour)))
    degrees = (2, 7, 0) if colour.level == 2 else (2, 7, 0, 9)
    bar = 12 / len(degrees) * BEAT
    tonic = NAMES.index(colour.identity.key)
    for place, degree in enumerate(degrees):
        heard = strengths(sound, LEAD_IN + place * bar + 0.05, bar - 0.15)
        guitar_root = {midi: strength for midi, strength in heard.items() if midi < 54}
        wanted = (tonic + degree) % 12
        strongest = sorted(guitar_root, key=lambda midi: -guitar_root[midi])[:3]
        assert wanted in {midi % 12 for midi in strongest}, (colour.id, place)


@pytest.mark.parametrize("number", range(12))
def test_the_chord_asked_for_is_silent_or_clicked(number: int) -> None:
    for note in of_fact(Fact.FUNCTION)[number::12]:
        _, way, place = str(note.identity.item).rsplit("-", 2)
        count = 4 if note.level == 3 else 3
        bar = 12 / count * BEAT
        sound = decoded(render(clip_of(note)))
        bars = [sound[round((LEAD_IN + n * bar + 0.12) * RATE) : round((LEAD_IN + (n + 1) * bar - 0.02) * RATE)]
                for n in range(count)]  # fmt: skip
        starts = [sound[round((LEAD_IN + n * bar) * RATE) :][: RATE // 50] for n in range(count)]
        if way == "missing":
            quietest = min(range(count), key=lambda n: level(bars[n]))
            assert quietest == int(place) - 1
            assert level(bars[quietest]) < -50
        else:
            spectra = [np.abs(np.fft.rfft(part * np.hanning(len(part)), RATE)) for part in starts]
            bright = [spectrum[1150:1210].max() / np.median(spectrum[900:1500]) for spectrum in spectra]
            assert int(np.argmax(bright)) == int(place) - 1
