"""Connections: the answer is the nearest tone by brute force, and picture, clip and words agree about it."""

from collections import Counter

import pytest

from deckbuilder.cards.levels import LEVELS, Lesson
from deckbuilder.cards.note import Fact, Kind, Note
from deckbuilder.cards.outline import Outline
from deckbuilder.cards.syllabus import syllabus
from deckbuilder.neck.regions import Region
from deckbuilder.neck.tuning import TUNINGS
from deckbuilder.picture.description import NeckPicture, Role
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.keys import DEFAULT_KEYS, Key
from deckbuilder.theory.tones import Tone, pretty

OUTLINE = Outline(kinds=(Kind.CONNECT,))
STANDARD = TUNINGS["standard"]
PAIRS = [pair for level in LEVELS.values() for pair in level.pairs]


@pytest.fixture(scope="module")
def notes() -> tuple[Note, ...]:
    return syllabus(OUTLINE)


def pair_of(note: Note) -> tuple[Harmony, Harmony]:
    """Find a note's chords by their symbols."""
    key = Key.parse(note.subject.key)

    def symbols(pair: tuple[Lesson, Lesson]) -> str:
        return " ".join(lesson.harmony(key).symbol for lesson in pair)

    first, second = next(pair for pair in PAIRS if symbols(pair) == note.chord)
    return first.harmony(key), second.harmony(key)


def region_of(note: Note) -> Region:
    return OUTLINE.region(Key.parse(note.subject.key), note.subject.region or 0)


def pitches(note: Note, chord: Harmony, tones: tuple[Tone, ...]) -> list[int]:
    found = OUTLINE.instrument.fingering(chord.scale.pitch_classes, region_of(note).index_fret)
    return [one.midi for one in found.run({tone.pitch_class for tone in tones})]


def test_every_pair_guide_tone_key_and_region_once(notes: tuple[Note, ...]) -> None:
    assert {note.subject.fact for note in notes} == {Fact.CONNECTION}
    assert len(notes) == len({note.id for note in notes}) == 8 * 2 * 12 * 5
    assert Counter(note.level for note in notes) == {1: 240, 2: 240, 3: 480}
    assert Counter(note.subject.key for note in notes) == dict.fromkeys(DEFAULT_KEYS, 80)


def test_the_answer_is_the_nearest_tone_that_the_hand_finds(notes: tuple[Note, ...]) -> None:
    for note in notes:
        first, second = pair_of(note)
        guide = next(tone for tone in first.chord.guide_tones if tone.pitch_class == note.midi[0] % 12)
        starts, targets = pitches(note, first, (guide,)), pitches(note, second, second.stable_tones)
        step = note.midi[-1] - note.midi[0]
        assert note.midi[0] in starts
        assert note.midi[-1] in targets
        assert abs(step) == min(abs(target - start) for start in starts for target in targets), note.prompt


def test_of_two_as_near_a_guide_tone_goes_first_then_the_lower(notes: tuple[Note, ...]) -> None:
    ties = 0
    for note in notes:
        first, second = pair_of(note)
        guide = next(tone for tone in first.chord.guide_tones if tone.pitch_class == note.midi[0] % 12)
        targets = pitches(note, second, second.stable_tones)
        guides = {tone.pitch_class for tone in second.chord.guide_tones}
        step = note.midi[-1] - note.midi[0]
        ways = {s for start in pitches(note, first, (guide,)) for s in (-abs(step), abs(step)) if start + s in targets}
        if len(ways) > 1:
            ties += 1
            best = min(ways, key=lambda way: ((note.midi[0] + way) % 12 not in guides, way))
            assert step == best, note.prompt
    assert ties


def test_the_question_shows_where_it_starts_and_nothing_else(notes: tuple[Note, ...]) -> None:
    for note in notes:
        assert note.bare_picture
        assert not note.bare_picture.paths
        classes = {STANDARD.open_midi[-mark.string] + mark.fret for mark in note.bare_picture.marks}
        assert {midi % 12 for midi in classes} == {note.midi[0] % 12}
        assert note.midi[0] in classes
        first, _ = pair_of(note)
        start = first.degree_of(next(t for t in first.chord.guide_tones if t.pitch_class == note.midi[0] % 12))
        assert {mark.label for mark in note.bare_picture.marks} == {pretty(start)}
        assert note.question.startswith(f"From the {pretty(start)} of {first.label}: nearest target in ")


def test_the_picture_leads_from_tone_to_tone(notes: tuple[Note, ...]) -> None:
    for note in notes:
        assert isinstance(note.picture, NeckPicture)
        places = tuple((place.string, place.fret) for place in note.places)
        marks = {(mark.string, mark.fret): mark for mark in note.picture.marks}
        assert marks[places[-1]].label == note.answer.degrees[-1]
        if len(places) == 2:
            assert places in note.picture.paths
        else:
            assert note.answer.over.startswith("stays: ")
        first, second = pair_of(note)
        for path in note.picture.paths:
            start, end = (STANDARD.open_midi[-string] + fret for string, fret in path)
            assert start % 12 in {tone.pitch_class for tone in first.chord.guide_tones}
            assert end % 12 in {tone.pitch_class for tone in second.stable_tones}


def test_a_target_that_is_no_guide_tone_has_the_way_to_one_beside_it(notes: tuple[Note, ...]) -> None:
    seen = 0
    for note in notes:
        _, second = pair_of(note)
        guides = {tone.pitch_class for tone in second.chord.guide_tones}
        assert isinstance(note.picture, NeckPicture)
        ends = {(STANDARD.open_midi[-path[-1][0]] + path[-1][1]) % 12 for path in note.picture.paths}
        if note.midi[-1] % 12 not in guides:
            seen += 1
            assert ends & guides, note.prompt
            assert note.why.startswith(f"The nearest guide tone of {second.label} is ")
        else:
            assert note.why.startswith(f"{note.answer.tones[-1]} is a guide tone of {second.label}")
    assert seen


def test_the_clip_plays_both_chords_and_the_step(notes: tuple[Note, ...]) -> None:
    for note in notes:
        first, second = pair_of(note)
        strikes = [strike.midi for strike in note.clip.strikes]
        assert [strikes[3], strikes[7]] == [note.midi[0], note.midi[-1]]
        assert {tone.pitch_class for tone in first.chord.guide_tones} < {midi % 12 for midi in strikes[:3]}
        assert {tone.pitch_class for tone in second.chord.guide_tones} < {midi % 12 for midi in strikes[4:7]}
        assert note.clip.length < 3


@pytest.mark.parametrize(
    ("name", "answer", "over"),
    [
        ("ii/from-b3-to-V-plain", "B♭ (♭7)", "stays: the ♭3 of Gm7 becomes the ♭7 of C7"),
        ("ii/from-b7-to-V-altered", "E (3)", "F falls a semitone to the 3 of C7alt"),
        ("V/altered/from-3-to-I", "E (7)", "stays: the 3 of C7alt becomes the 7 of Fmaj7"),
        ("V/altered/from-b7-to-I", "A (3)", "B♭ falls a semitone to the 3 of Fmaj7"),
        ("VI/altered/from-3-to-ii", "F (♭7)", "F♯ falls a semitone to the ♭7 of Gm7"),
        ("I/from-7-to-VI-plain", "F♯ (3)", "E rises a whole step to the 3 of D7"),
    ],
)
def test_in_f_guide_tones_lead_as_players_know_them(notes: tuple[Note, ...], name: str, answer: str, over: str) -> None:
    """Common practice, no source: 7ths fall to 3rds, 3rds stay as 7ths."""
    found = [note for note in notes if note.subject.key == "F" and note.id.endswith(name)]
    assert len(found) == 5
    assert {(note.answer.label, note.answer.over) for note in found} == {(answer, over)}
    assert all(mark.role is not Role.TONE for note in found for mark in note.picture.marks)


def test_left_out_where_the_kind_is(notes: tuple[Note, ...]) -> None:
    found = syllabus(Outline(keys=("F",), kinds=(Kind.LOCATE,)))
    assert Fact.CONNECTION not in {note.subject.fact for note in found}
