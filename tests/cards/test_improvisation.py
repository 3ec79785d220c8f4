"""Improvisation notes: every key, region and level; constraints that rotate; loops that obey laws."""

from collections import Counter, defaultdict
from collections.abc import Sequence
from itertools import pairwise, product

import pytest

from deckbuilder.cards.choices import Sound
from deckbuilder.cards.comping import loop_harmonies, loop_over
from deckbuilder.cards.facts import Fact, Kind
from deckbuilder.cards.levels import LEVELS
from deckbuilder.cards.note import Note
from deckbuilder.cards.passage import level_passage
from deckbuilder.cards.recipe import Recipe
from deckbuilder.cards.syllabus import syllabus
from deckbuilder.cards.tasks import TASKS
from deckbuilder.picture.description import Role
from deckbuilder.sound.description import Clip, NoteEvent, Patch
from deckbuilder.sound.loops import LONGEST_LOOP
from deckbuilder.sound.voice_leading import STEP, Change, voice_led
from deckbuilder.theory.keys import DEFAULT_KEYS, Key
from tests.noted import clip_of, sheet_of, task_of

Place = tuple[int, int, int]
"""Key in the order of study, region, level."""


@pytest.fixture(scope="module")
def notes() -> tuple[Note, ...]:
    return syllabus(Recipe(kinds=(Kind.IMPROVISE,)))


@pytest.fixture(scope="module")
def loops(notes: tuple[Note, ...]) -> dict[tuple[str, int], Clip]:
    return {(note.identity.key, note.level): clip_of(note) for note in notes}


def test_one_per_key_region_and_level(notes: tuple[Note, ...]) -> None:
    assert {note.identity.fact for note in notes} == {Fact.IMPROVISATION}
    places = [(note.identity.key, note.identity.region, note.level) for note in notes]
    assert sorted(places) == sorted(product(DEFAULT_KEYS, range(1, 6), range(1, 4)))
    assert len({note.id for note in notes}) == 180


def test_neighbours_keep_to_different_things(notes: tuple[Note, ...]) -> None:
    at: dict[Place, str] = {
        (DEFAULT_KEYS.index(note.identity.key), note.identity.region or 0, note.level): task_of(note) for note in notes
    }
    for (key, region, level), asked in at.items():
        neighbours = [((key + 1) % 12, region, level), (key, region + 1, level), (key, region, level + 1)]
        assert all(at.get(neighbour) != asked for neighbour in neighbours)
    assert all(task_of(one) != task_of(other) for one, other in pairwise(notes) if one.lap == other.lap)


def test_every_constraint_comes_about_equally_often(notes: tuple[Note, ...]) -> None:
    counts = Counter(task_of(note) for note in notes)
    assert set(counts) == {task.text for task in TASKS}
    assert max(counts.values()) - min(counts.values()) <= 4


def test_the_front_tells_key_region_changes_and_constraint(notes: tuple[Note, ...]) -> None:
    note = next(note for note in notes if note.id.endswith("improvisation/F/region-5-of-5/turnaround"))
    assert note.words.key == "F"
    assert note.words.task == "Gm7 | C7alt | Fmaj7 | D7alt"
    assert note.words.question.startswith(task_of(note))
    assert note.words.prompt == f"F · region 5 (X) · {note.words.task} · {note.words.question}"


def test_the_instrument_is_needed_for_these_alone() -> None:
    for note in syllabus(Recipe(keys=("F",), regions=(5,))):
        assert ("instrument::needed" in note.tags) == (note.identity.fact is Fact.IMPROVISATION)


def test_the_back_shows_guide_tones_and_carriers_chord_by_chord(notes: tuple[Note, ...]) -> None:
    for note in notes:
        assert sheet_of(note)
        chords = loop_harmonies(LEVELS[note.level], Key.parse(note.identity.key))
        assert [title for title, _ in sheet_of(note).titles] == [
            f"{chord.function.label}  {chord.label}" for chord in chords
        ]
        for chord, shown in zip(chords, sheet_of(note).pictures, strict=True):
            guides = {mark.label for mark in shown.marks if mark.role is Role.GUIDE}
            assert guides == {chord.degree_of(tone).replace("b", "♭") for tone in chord.chord.guide_tones}
            assert sum(mark.root for mark in shown.marks) >= 2


def test_in_f_the_carriers_are_those_of_common_practice(notes: tuple[Note, ...]) -> None:
    note = next(note for note in notes if note.id.endswith("improvisation/F/region-5-of-5/turnaround"))
    assert sheet_of(note)
    assert [remark for _, remark in sheet_of(note).titles] == [
        "Gm7 and B♭maj7",
        "G♭7 and B♭m7♭5",
        "Fmaj7 and Am7",
        "A♭7 and Cm7♭5",
    ]


def test_one_loop_serves_all_regions_of_a_key(notes: tuple[Note, ...]) -> None:
    clips = defaultdict(set)
    for note in notes:
        clips[note.identity.key, note.level].add(clip_of(note))
    assert {len(found) for found in clips.values()} == {1}
    assert len(set().union(*clips.values())) == 36


def voiced(changes: Sequence[Change]) -> list[tuple[int, ...]]:
    """Lead the voices of a loop's comping, the first chord once more at the end."""
    led = voice_led(changes, rooted=False)
    return [*led, led[0]]


def test_every_voice_moves_by_step_round_every_loop(loops: dict[tuple[str, int], Clip]) -> None:
    for key, level in loops:
        led = voiced(level_passage(LEVELS[level], Key.parse(key)).changes)
        for one, other in pairwise(led):
            assert max(abs(b - a) for a, b in zip(one, other, strict=True)) <= STEP, (key, level, one, other)


def test_the_comping_of_a_loop_has_the_guide_tones_and_a_tension_but_not_the_root(
    loops: dict[tuple[str, int], Clip],
) -> None:
    for (key, level), clip in loops.items():
        passage = level_passage(LEVELS[level], Key.parse(key))
        heard = {event.midi for event in clip.events if event.patch is Patch.GUITAR}
        led = voiced(passage.changes)
        assert heard == {pitch for voicing in led for pitch in voicing}
        for (chord, _), voicing in zip(passage.spans, led, strict=False):
            classes = {pitch % 12 for pitch in voicing}
            assert {tone.pitch_class for tone in chord.chord.guide_tones} < classes <= chord.scale.pitch_classes
            assert chord.chord.root.pitch_class not in classes
            assert len(voicing) == 3


def bass_at(clip: Clip, beats: int) -> dict[int, NoteEvent]:
    return {round(event.start / clip.length * beats): event for event in clip.events if event.patch is Patch.BASS}


def test_the_bass_has_the_root_where_a_chord_comes_and_stays_in_its_scale(
    loops: dict[tuple[str, int], Clip],
) -> None:
    for (key, level), clip in loops.items():
        bass = bass_at(clip, 40)
        chords = loop_harmonies(LEVELS[level], Key.parse(key))
        for number, chord in enumerate((*chords, *chords)):
            at = 8 + (number // len(chords)) * 16 + 4 * (number % len(chords))
            assert bass[at].midi % 12 == chord.chord.root.pitch_class
            assert bass[at + 2].midi % 12 in chord.scale.pitch_classes
        assert set(range(24, 40)) <= bass.keys()


def test_a_loop_counts_in_and_lasts_twenty_seconds(loops: dict[tuple[str, int], Clip]) -> None:
    for clip in loops.values():
        clicks = [event.start for event in clip.events if event.patch is Patch.CLICK]
        assert len(clicks) == 6
        assert max(clicks) < min(event.start for event in clip.events if event.patch is not Patch.CLICK)
        assert clip.length == pytest.approx(20, abs=0.1)


@pytest.mark.parametrize("tempo", [40, 60, 90, 120, 180, 240])
@pytest.mark.parametrize("count_in", [True, False])
@pytest.mark.parametrize("bars", [4, 8, 12])
def test_a_loop_counts_in_and_repeats_at_every_tempo(bars: int, tempo: float, count_in: bool) -> None:
    """Its count-in comes whatever its length; it has two choruses, unless they would take more than a minute."""
    changes = bars // 4 * level_passage(LEVELS[3], Key.parse("F")).changes
    clip = loop_over(Recipe(sound=Sound(loop_tempo=tempo, count_in=count_in)), changes)
    assert clip.length <= LONGEST_LOOP + 0.03
    assert len([event for event in clip.events if event.patch is Patch.CLICK]) == 6 * count_in
    beats = len({round(s.start * tempo / 60) for s in clip.events if s.patch is Patch.RIDE and s.velocity > 0.6}) * 2
    twice = 8 * bars + 8 * count_in
    assert beats == (8 * bars if twice * 60 / tempo <= 60 else 4 * bars)


def test_twelve_bars_have_a_count_in_and_two_choruses_at_the_usual_tempo() -> None:
    clip = loop_over(Recipe(), 3 * level_passage(LEVELS[3], Key.parse("F")).changes)
    assert clip.length == pytest.approx(52, abs=0.1)
