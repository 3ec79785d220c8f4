"""Laws over every fact of the default deck: what a player would call wrong, in any key or region."""

from collections import Counter

import pytest

from deckbuilder.cards.choices import Breadth, Breadths
from deckbuilder.cards.facts import Fact, Kind, Slot
from deckbuilder.cards.note import Note
from deckbuilder.cards.recipe import Recipe
from deckbuilder.cards.syllabus import syllabus
from deckbuilder.neck.hand import FINGER_A_FRET
from deckbuilder.neck.tuning import TUNINGS
from deckbuilder.picture.description import Role
from deckbuilder.theory.keys import DEFAULT_KEYS, Key
from deckbuilder.theory.tones import Tone
from tests.noted import clip_of, picture_of, shown_in, tones_of

STANDARD = TUNINGS["standard"]
LOWEST_STRING = STANDARD.open_midi[0] % 12
EVERYWHERE = Breadths(*(Breadth.EVERY_REGION for _ in range(5)))
NECK_FACTS = (Fact.SCALE, Fact.ARPEGGIO, Fact.SPELLING)


@pytest.fixture(scope="module")
def notes() -> tuple[Note, ...]:
    found = syllabus(Recipe(kinds=(Kind.LOCATE, Kind.IDENTIFY, Kind.SPELL), breadth=EVERYWHERE))
    return tuple(note for note in found if note.identity.fact in NECK_FACTS)


def test_counts(notes: tuple[Note, ...]) -> None:
    facts = Counter(note.identity.fact for note in notes)
    spellings = len({(note.music.chord, note.music.symbol) for note in notes if note.identity.fact is Fact.SPELLING})
    assert facts == {Fact.SCALE: 180, Fact.ARPEGGIO: 600, Fact.SPELLING: spellings}
    assert 96 <= spellings <= 100  # B and C♭ sound alike and are spelled apart
    assert sum(len(note.kinds) for note in notes) == 180 + 2 * 600 + spellings
    placed = Counter(note.level for note in notes if note.identity.region)
    assert placed == {1: 12 * 5 * 7, 2: 12 * 5 * 3, 3: 12 * 5 * 3}


def test_ids_are_unique_ascii_and_name_the_pitches(notes: tuple[Note, ...]) -> None:
    ids = [note.id for note in notes]
    assert len(set(ids)) == len(ids)
    assert all(text.isascii() and text.startswith("E2-A2-D3-G3-B3-E4/") for text in ids)


def test_every_pitch_once_and_ascending(notes: tuple[Note, ...]) -> None:
    for note in notes:
        assert list(note.music.midi) == sorted(set(note.music.midi)), note.words.prompt


def test_places_give_the_pitches(notes: tuple[Note, ...]) -> None:
    for note in notes:
        assert [STANDARD.midi(place) for place in note.music.places] == list(note.music.midi), note.words.prompt


def test_runs_hold_the_tones_and_nothing_else(notes: tuple[Note, ...]) -> None:
    for note in notes:
        tones = {Tone.parse(name).pitch_class for name in tones_of(note)}
        assert {midi % 12 for midi in note.music.midi} == tones, note.words.prompt
        within = range(note.music.midi[0], note.music.midi[-1] + 1)
        assert [midi for midi in within if midi % 12 in tones] == list(note.music.midi), note.words.prompt
        assert note.music.missing == ()


def test_a_spelling_runs_one_octave_from_the_root(notes: tuple[Note, ...]) -> None:
    for note in notes:
        if note.identity.fact is Fact.SPELLING:
            assert [midi % 12 for midi in note.music.midi] == [Tone.parse(name).pitch_class for name in tones_of(note)]
            assert note.music.midi[-1] - note.music.midi[0] < 12


def test_frets_lie_within_reach_of_the_region(notes: tuple[Note, ...]) -> None:
    for note in notes:
        if note.music.region is not None:
            for place in note.music.places:
                assert (
                    max(note.music.region.index_fret - 1, 0)
                    <= place.fret
                    <= note.music.region.index_fret + FINGER_A_FRET.span
                ), note.words.prompt


def test_index_frets_are_the_five_positions_of_every_key(notes: tuple[Note, ...]) -> None:
    for name in DEFAULT_KEYS:
        root = (Key.parse(name).tonic.pitch_class - LOWEST_STRING) % 12
        by_region = {
            note.identity.region: note.music.region.index_fret
            for note in notes
            if note.identity.key == name and note.music.region
        }
        index_frets = [by_region[region] for region in range(1, 6)]
        assert index_frets == sorted(fret for fret in index_frets if fret is not None)
        above_root = {(fret - root) % 12 for fret in index_frets if fret is not None}
        assert above_root in [{11, low, 4, high, 9} for low in (1, 2) for high in (6, 7)]


def test_every_arpeggio_lies_in_its_scale(notes: tuple[Note, ...]) -> None:
    scales = {
        (note.identity.key, note.identity.function, note.identity.colour): {
            Tone.parse(tone).pitch_class for tone in tones_of(note)
        }
        for note in notes
        if note.identity.fact is Fact.SCALE
    }
    for note in notes:
        if note.identity.fact is Fact.ARPEGGIO:
            subject = note.identity
            own = (subject.key, subject.function, subject.colour)
            scale = scales.get(own, scales[subject.key, None, None])
            assert {Tone.parse(tone).pitch_class for tone in tones_of(note)} <= scale, note.words.prompt


def test_altered_arpeggios_hold_both_guide_tones(notes: tuple[Note, ...]) -> None:
    altered = [note for note in notes if note.identity.colour == "altered" and note.identity.source]
    assert len([note for note in altered if note.identity.region]) == 12 * 4 * 5
    for note in altered:
        assert {"3", "b7"} <= set(note.music.degrees), note.words.prompt
        guides = {mark.label for mark in shown_in(note).marks if mark.role is Role.GUIDE}
        names = {
            Tone.parse(tone).label
            for tone, degree in zip(tones_of(note), note.music.degrees, strict=True)
            if degree in ("3", "b7")
        }
        assert guides == (names if note.identity.fact is Fact.SPELLING else {"3", "♭7"})


def test_no_double_accidental_is_shown(notes: tuple[Note, ...]) -> None:
    for note in notes:
        assert not any(tone.endswith(("bb", "##")) for tone in tones_of(note)), note.words.prompt


def test_identify_has_one_right_answer(notes: tuple[Note, ...]) -> None:
    """Within a key and a region, no two questions look the same."""
    asked = Counter(
        (note.identity.key, note.identity.region, picture_of(note, Slot.QUESTION_PICTURE))
        for note in notes
        if Kind.IDENTIFY in note.kinds
    )
    assert max(asked.values()) == 1


def test_the_question_gives_nothing_away(notes: tuple[Note, ...]) -> None:
    for note in notes:
        if Slot.QUESTION_PICTURE in note.media:
            assert {(mark.role, mark.label, mark.root) for mark in picture_of(note, Slot.QUESTION_PICTURE).marks} == {
                (Role.TONE, "", False)
            }
            assert note.words.label not in note.media[Slot.QUESTION_PICTURE].alt


def test_pictures_show_the_run(notes: tuple[Note, ...]) -> None:
    for note in notes:
        shown = {(mark.string, mark.fret) for mark in shown_in(note).marks if mark.role is not Role.SCALE}
        run = {(place.string, place.fret) for place in note.music.places}
        assert run == shown if note.music.region else run <= shown, note.words.prompt


def test_clips_play_the_run_after_the_chord(notes: tuple[Note, ...]) -> None:
    for note in notes:
        midi = [event.midi for event in clip_of(note).events]
        assert midi[3:] == list(note.music.midi), note.words.prompt
        assert len({pitch % 12 for pitch in midi[:3]}) == 3
        assert clip_of(note).length < 5.3  # about 5 s: the longest scale has eighteen notes


def test_no_fact_is_left_without_words(notes: tuple[Note, ...]) -> None:
    for note in notes:
        assert note.words.prompt.startswith(note.words.key)
        assert note.words.why.endswith(".")
        assert note.media[Slot.PICTURE].alt.endswith(".")
        assert len(tones_of(note)) == len(note.music.degrees) == len(note.words.tones)
