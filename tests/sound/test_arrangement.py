import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.sound.arrangement import (
    DEFAULT_TEMPO,
    LEAD_IN,
    Direction,
    chord_then_run,
    in_direction,
    shell_voicing,
)
from deckbuilder.sound.description import SoundError

ROOTS = st.integers(0, 11)
THIRDS = st.integers(2, 5)
SEVENTHS = st.integers(9, 11)
RUNS = st.lists(st.integers(23, 88), min_size=1, max_size=20, unique=True).map(sorted)


@given(ROOTS, THIRDS, SEVENTHS, st.integers(23, 72))
def test_a_shell_is_root_and_guide_tones_from_the_lowest_octave(
    root: int, third: int, seventh: int, lowest: int
) -> None:
    voicing = shell_voicing(root, third, seventh, lowest=lowest)
    assert [pitch % 12 for pitch in sorted(voicing)] == [pitch % 12 for pitch in voicing]
    assert lowest <= voicing[0] < lowest + 12
    assert voicing[0] % 12 == root
    assert {pitch % 12 for pitch in voicing[1:]} == {(root + third) % 12, (root + seventh) % 12}
    assert voicing[0] < voicing[1] < voicing[2] <= voicing[0] + 17


@given(ROOTS, THIRDS, SEVENTHS)
def test_no_guide_tone_of_a_guitar_shell_is_muddy(root: int, third: int, seventh: int) -> None:
    """Nothing but a seventh or more above a root below B2 (common practice, no source)."""
    low, middle, _ = shell_voicing(root, third, seventh)
    assert low >= 47 or middle - low >= 9


def test_shells_that_players_know() -> None:
    assert shell_voicing(7, 3, 10) == (43, 53, 58)
    assert shell_voicing(0, 4, 10) == (48, 52, 58)
    assert shell_voicing(5, 4, 11) == (41, 52, 57)


@given(RUNS, st.sampled_from(Direction), st.floats(40, 240), st.floats(380, 480), st.booleans())
def test_a_run_is_even_eighths_in_its_direction(
    run: list[int], direction: Direction, tempo: float, a4: float, chord_on: bool
) -> None:
    chord = (43, 53, 58)
    clip = chord_then_run(chord, run, tempo=tempo, a4=a4, direction=direction, chord_on=chord_on)
    beat = 60 / tempo
    played = clip.events[3:] if chord_on else clip.events
    assert tuple(event.midi for event in played) == in_direction(run, direction)
    begin = LEAD_IN + 2 * beat * chord_on
    for count, event in enumerate(played):
        assert event.start == pytest.approx(begin + count * beat / 2, abs=0.005)
    if chord_on:
        assert tuple(event.midi for event in clip.events[:3]) == chord
        assert max(event.velocity for event in clip.events[:3]) < min(event.velocity for event in played)
    assert all(event.start + event.length <= clip.length + 0.005 for event in played)
    assert clip.a4 == a4


@given(RUNS)
def test_directions(run: list[int]) -> None:
    up = tuple(run)
    assert in_direction(run, Direction.UP) == up
    assert in_direction(run, Direction.DOWN) == up[::-1]
    there_and_back = in_direction(run, Direction.UP_AND_DOWN)
    assert there_and_back == there_and_back[::-1]
    assert there_and_back[: len(up)] == up
    assert len(there_and_back) == 2 * len(up) - 1


def test_a_scale_of_seventeen_notes_is_about_five_seconds() -> None:
    clip = chord_then_run((41, 52, 57), range(45, 62))
    assert clip.length <= 5.05
    assert DEFAULT_TEMPO == 144


@pytest.mark.parametrize("tempo", [0, 39.9, 240.1, -120, float("nan"), float("inf")])
def test_unplayable_tempo(tempo: float) -> None:
    with pytest.raises(SoundError, match=r"tempo .* use 40 to 240 quarter-notes a minute"):
        chord_then_run((), (60,), tempo=tempo)


@pytest.mark.parametrize("a4", [379.9, 480.1, 0, float("nan")])
def test_a4_out_of_range(a4: float) -> None:
    with pytest.raises(SoundError, match=r"A4 = .* use 380 to 480 Hz"):
        chord_then_run((), (60,), a4=a4)


def test_empty_run() -> None:
    with pytest.raises(SoundError, match="run is empty"):
        chord_then_run((43, 53, 58), ())


@pytest.mark.parametrize(
    ("values", "message"),
    [
        ((12, 4, 10, 40), "root pitch class 12"),
        ((0, 6, 10, 40), "third of 6"),
        ((0, 4, 12, 40), "seventh of 12"),
        ((0, 4, 10, 120), "lowest root 120"),
    ],
)
def test_shells_that_are_none(values: tuple[int, int, int, int], message: str) -> None:
    root, third, seventh, lowest = values
    with pytest.raises(SoundError, match=message):
        shell_voicing(root, third, seventh, lowest=lowest)


def test_descriptions_are_light_to_import() -> None:
    code = (
        "import sys, deckbuilder.sound.arrangement, deckbuilder.sound.loops, deckbuilder.sound.cadence;"
        "heavy = {'scipy', 'pydub', 'pyloudnorm', 'lameenc'} & set(sys.modules);"
        "sys.exit(str(heavy) if heavy else 0)"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
