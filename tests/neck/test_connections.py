"""Connections: the answers are truly the nearest tones, by brute force."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.neck.connections import Connection, connections
from deckbuilder.neck.fingering import FingeredNote, fingering
from deckbuilder.neck.regions import regions
from deckbuilder.neck.tuning import NeckError
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.keys import DEFAULT_KEYS
from tests.neck.necks import STANDARD
from tests.theory.harmonies import chord_in

PAIRS = [
    (("ii", None), ("V", "plain")),
    (("ii", None), ("V", "altered")),
    (("V", "plain"), ("I", None)),
    (("V", "altered"), ("I", None)),
    (("I", None), ("VI", "plain")),
    (("I", None), ("VI", "altered")),
    (("VI", "plain"), ("ii", None)),
    (("VI", "altered"), ("ii", None)),
]


def reached(chord: Harmony, index_fret: int) -> tuple[FingeredNote, ...]:
    return fingering(STANDARD, chord.scale.pitch_classes, index_fret, frets=22).notes


def classes_of(chord: Harmony) -> tuple[set[int], set[int]]:
    """Return the pitch classes of a chord's guide tones and of all its tones that its scale keeps."""
    return {tone.pitch_class for tone in chord.chord.guide_tones}, {tone.pitch_class for tone in chord.stable_tones}


def connected(first: Harmony, second: Harmony, index_fret: int) -> tuple[Connection, ...]:
    guides, chord = classes_of(second)
    return connections(
        reached(first, index_fret),
        reached(second, index_fret),
        guides=classes_of(first)[0],
        next_guides=guides,
        next_chord=chord,
    )


@given(st.sampled_from(DEFAULT_KEYS), st.sampled_from(PAIRS), st.integers(0, 4))
def test_nothing_lies_nearer_than_the_answer(
    key: str, pair: tuple[tuple[str, str | None], tuple[str, str | None]], number: int
) -> None:
    first, second = chord_in(key, *pair[0]), chord_in(key, *pair[1])
    index_fret = regions(STANDARD, chord_in(key, "I").chord.root.pitch_class)[number].index_fret
    guides, chord = classes_of(second)
    starts = [note for note in reached(first, index_fret) if note.midi % 12 in classes_of(first)[0]]
    found = connected(first, second, index_fret)
    assert [connection.start for connection in found] == starts
    targets = [note.midi for note in reached(second, index_fret)]
    for connection in found:
        start = connection.start.midi
        ways = [midi - start for midi in targets if midi % 12 in chord]
        guide_ways = [midi - start for midi in targets if midi % 12 in guides]
        least, least_guide = min(map(abs, ways)), min(map(abs, guide_ways))
        assert connection.guide_step == (-least_guide if -least_guide in guide_ways else least_guide)
        assert abs(connection.tone_step) == least
        if least == least_guide:
            assert connection.tone == connection.guide
        elif -least in ways:
            assert connection.tone_step == -least
        for note in (connection.guide, connection.tone):
            assert note in reached(second, index_fret) or note == connection.start
            assert STANDARD.midi(note.place) == note.midi


def test_the_seventh_of_the_dominant_falls_to_the_third_of_the_tonic() -> None:
    first, second = chord_in("F", "V", "plain"), chord_in("F", "I")
    for connection in connected(first, second, 5):
        flat_seventh = connection.start.midi % 12 == 10
        assert connection.guide_step == (-1 if flat_seventh else 0)


def test_of_two_as_near_the_guide_tone_goes_first_then_the_lower() -> None:
    def note(midi: int) -> FingeredNote:
        return FingeredNote(midi, STANDARD_PLACES[midi], 0, 1)

    start, below, above = note(60), note(59), note(61)
    (guide_first,) = connections([start], [below, above], guides={0}, next_guides={1}, next_chord={1, 11})
    assert (guide_first.guide, guide_first.tone) == (above, above)
    (lower_first,) = connections([start], [below, above], guides={0}, next_guides={1, 11}, next_chord={1, 11})
    assert (lower_first.guide, lower_first.tone) == (below, below)


STANDARD_PLACES = {
    note.midi: note.place for note in fingering(STANDARD, frozenset(range(12)), 5, frets=22, lowest_fret=1).notes
}


def test_a_shared_tone_stays_where_it_is_fingered() -> None:
    shared = [
        connection
        for key in DEFAULT_KEYS
        for region in regions(STANDARD, chord_in(key, "I").chord.root.pitch_class)
        for connection in connected(chord_in(key, "I"), chord_in(key, "VI", "plain"), region.index_fret)
        if connection.tone_step == 0
    ]
    assert shared
    assert all(connection.tone == connection.start for connection in shared)


def test_a_hand_without_a_target_is_told() -> None:
    notes = reached(chord_in("F", "I"), 5)
    with pytest.raises(NeckError, match="reaches no guide tone of the next chord; choose another region"):
        connections(notes, notes, guides={5}, next_guides={6}, next_chord={6})
