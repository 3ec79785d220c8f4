"""Connections: the answer is the nearest tone by brute force, and picture, clip and words agree about it."""

import re
from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest

from deckbuilder.cards.choices import Breadth, Breadths
from deckbuilder.cards.facts import Fact, Kind, Slot
from deckbuilder.cards.levels import LEVELS, Lesson
from deckbuilder.cards.note import Note
from deckbuilder.cards.recipe import Recipe
from deckbuilder.cards.syllabus import syllabus
from deckbuilder.neck.regions import Region
from deckbuilder.neck.tuning import TUNINGS
from deckbuilder.picture.description import Role
from deckbuilder.recipe import read_recipe
from deckbuilder.theory.arpeggios import Source, arpeggio
from deckbuilder.theory.colours import COLOURS
from deckbuilder.theory.functions import FUNCTIONS, Harmony, harmony
from deckbuilder.theory.keys import DEFAULT_KEYS, Key
from deckbuilder.theory.tones import Tone, pretty
from tests.noted import clip_of, picture_of, sheet_of, shown_in
from tests.theory.harmonies import chord_in

RECIPE = Recipe(kinds=(Kind.CONNECT,), breadth=Breadths(connect=Breadth.EVERY_REGION))
STANDARD = TUNINGS["standard"]
PAIRS = [pair for level in LEVELS.values() if not level.minor for pair in level.pairs]
DECKS = Path(__file__).parent.parent.parent / "deckbuilder" / "recipes"

_PLAIN = {"1": 0, "3": 4, "5": 7, "b7": 10}
CHORD_TONES = {
    "maj7": {"1": 0, "3": 4, "5": 7, "7": 11},
    "6": {"1": 0, "3": 4, "5": 7, "6": 9},
    "m7": {"1": 0, "b3": 3, "5": 7, "b7": 10},
    "m6": {"1": 0, "b3": 3, "5": 7, "6": 9},
    "mMaj7": {"1": 0, "b3": 3, "5": 7, "7": 11},
    "m7b5": {"1": 0, "b3": 3, "b5": 6, "b7": 10},
    "dim7": {"1": 0, "b3": 3, "b5": 6, "bb7": 9},
    "7": _PLAIN,
    "7b9b13": _PLAIN,
    "7#11": _PLAIN,
    "7b13": _PLAIN,
    "13b9": _PLAIN,
    "7#5": {"1": 0, "3": 4, "#5": 8, "b7": 10},
    "7alt": {"1": 0, "3": 4, "b7": 10},
}
"""Chord tones as a symbol tells them, semitones above the root by degree: tensions are none, an altered fifth that is
named stands for the fifth, and `alt` leaves the fifth open. Common practice, no source."""
GUIDES = {"3", "b3", "6", "bb7", "b7", "7"}
UNSAID = ("7alt", "7#5", "7b9b13", "7#11", "7b13", "13b9")
"""Types whose question has to say which tones count."""


@pytest.fixture(scope="module")
def notes() -> tuple[Note, ...]:
    return syllabus(RECIPE)


def pair_of(note: Note) -> tuple[Harmony, Harmony]:
    """Find a note's chords by their symbols."""
    key = Key.parse(note.identity.key)

    def symbols(pair: tuple[Lesson, Lesson]) -> str:
        return " ".join(lesson.harmony(key).symbol for lesson in pair)

    first, second = next(pair for pair in PAIRS if symbols(pair) == note.music.chord)
    return first.harmony(key), second.harmony(key)


def region_of(note: Note) -> Region:
    return RECIPE.region(Key.parse(note.identity.key), note.identity.region or 0)


def pitches(note: Note, chord: Harmony, tones: tuple[Tone, ...]) -> list[int]:
    found = RECIPE.instrument.neck.fingering(chord.scale.pitch_classes, region_of(note).index_fret)
    return [one.midi for one in found.run({tone.pitch_class for tone in tones})]


def test_every_pair_guide_tone_key_and_region_once(notes: tuple[Note, ...]) -> None:
    assert {note.identity.fact for note in notes} == {Fact.CONNECTION}
    assert len(notes) == len({note.id for note in notes}) == 4 * 2 * 12 * 5
    assert Counter(note.level for note in notes) == {1: 240, 3: 240}
    assert Counter(note.identity.key for note in notes) == dict.fromkeys(DEFAULT_KEYS, 40)


def test_by_default_one_lap_asks_for_connections() -> None:
    asked = syllabus(Recipe(kinds=(Kind.CONNECT,)))
    assert {note.lap for note in asked} == {"Lap 1 · Region 1"}
    assert len(asked) == 4 * 2 * 12


def test_a_level_alone_asks_for_its_own_connections() -> None:
    alone = syllabus(Recipe(kinds=(Kind.CONNECT,), keys=("F",), levels=(2,)))
    assert [note.music.chord for note in alone] == ["Gm7 C7alt"] * 2 + ["C7alt Fmaj7"] * 2


@pytest.fixture(scope="module", params=[*COLOURS, "blues", "rhythm", "minor"])
def everywhere(request: pytest.FixtureRequest) -> tuple[Note, ...]:
    """Make the connections of the levels in a colour, or of a deck's changes, in every key."""
    name = request.param
    recipe = Recipe(colours=(name,)) if name in COLOURS else read_recipe(DECKS / f"{name}.toml")
    found = syllabus(replace(recipe, kinds=(Kind.CONNECT,), keys=DEFAULT_KEYS))
    return tuple(note for note in found if note.identity.fact is Fact.CONNECTION)


def read(symbol: str) -> tuple[int, str]:
    """Read a symbol's root as a pitch class, and its type."""
    found = re.fullmatch("([A-G][b#]?)(.+)", symbol)
    assert found
    return Tone.parse(found[1]).pitch_class, found[2]


def expected(note: Note) -> list[str]:
    """Count from the start which guide tones of the next chord are nearest: their degrees, the first to be chosen."""
    (first_root, first), (second_root, second) = map(read, note.music.chord.split())
    start = first_root + CHORD_TONES[first][start_of(note)]
    guides = {"3", "6"} if second == "6" else {"b3", "6"} if second == "m6" else GUIDES
    tones = {name: up for name, up in CHORD_TONES[second].items() if name in guides}
    steps = {name: (second_root + up - start + 6) % 12 - 6 for name, up in tones.items()}
    least = min(map(abs, steps.values()))
    found = [name for name, step in steps.items() if abs(step) == least]
    return sorted(found, key=lambda name: (name not in GUIDES, steps[name]))


def start_of(note: Note) -> str:
    assert note.identity.item
    return note.identity.item.split("-")[1]


def named(text: str) -> list[tuple[int, str]]:
    """Find every tone that a text names with its degree: pitch class and degree, ASCII."""
    plain = text.replace("♭", "b").replace("♯", "#")
    return [(Tone.parse(tone).pitch_class, name) for tone, name in re.findall(r"([A-G][b#]?) \((\S+)\)", plain)]


def test_the_answer_names_exactly_the_nearest_tones_of_the_chord(everywhere: tuple[Note, ...]) -> None:
    for note in everywhere:
        root, second = read(note.music.chord.split()[1])
        assert [name for _, name in named(note.words.label)] == expected(note), note.words.prompt
        for pitch_class, name in named(note.words.label) + named(note.words.why):
            assert (pitch_class - root) % 12 == CHORD_TONES[second][name], (note.words.prompt, note.words.why)
        assert list(note.music.degrees[len(note.music.places) - 1 :]) == expected(note)
        assert note.music.midi[-1] % 12 == named(note.words.label)[0][0]


def test_words_hide_no_tone_that_is_as_near(everywhere: tuple[Note, ...]) -> None:
    for note in everywhere:
        tones = expected(note)
        assert (" or " in note.words.label) == (", or " in note.words.over) == (len(tones) == 2), note.words.prompt
        for name in tones:
            assert re.search(f"the {re.escape(pretty(name))}( of|$)", note.words.over), (
                note.words.prompt,
                note.words.over,
            )
        if len(tones) == 2:
            for label in re.findall(r"(\S+) \(", note.words.label):
                assert label in note.words.why.split()


def test_the_question_asks_for_a_guide_tone_of_the_next_chord(everywhere: tuple[Note, ...]) -> None:
    for note in everywhere:
        assert note.words.question.endswith(f": nearest guide tone of {pretty(note.music.chord.split()[1])}?")


@pytest.mark.parametrize("key", DEFAULT_KEYS)
@pytest.mark.parametrize("function", ["V", "VI"])
def test_the_tones_that_count_are_those_of_the_arpeggio_that_the_deck_shows(key: str, function: str) -> None:
    """But for the altered dominant, which has no arpeggio of its own."""
    for colour in COLOURS.keys() - {"altered"}:
        chord = harmony(Key.parse(key), FUNCTIONS[function], COLOURS[colour])
        shown = arpeggio(chord, Source.ROOT).chord
        assert {tone.pitch_class for tone in chord.stable_tones} == shown.pitch_classes
        assert all(abs(tone.accidental) <= 1 for tone in chord.stable_tones)
    altered = chord_in(key, function, "altered")
    assert {altered.degree_of(tone) for tone in altered.stable_tones} == {"1", "3", "b7"}


def test_the_step_is_played_where_the_hand_finds_it(notes: tuple[Note, ...]) -> None:
    for note in notes:
        first, second = pair_of(note)
        guide = next(tone for tone in first.chord.guide_tones if tone.pitch_class == note.music.midi[0] % 12)
        starts, targets = pitches(note, first, (guide,)), pitches(note, second, second.chord.guide_tones)
        step = note.music.midi[-1] - note.music.midi[0]
        assert note.music.midi[0] in starts
        assert note.music.midi[-1] in targets
        assert abs(step) == min(abs(target - start) for start in starts for target in targets), note.words.prompt


def test_the_question_shows_where_it_starts_and_nothing_else(notes: tuple[Note, ...]) -> None:
    for note in notes:
        assert picture_of(note, Slot.QUESTION_PICTURE)
        assert not picture_of(note, Slot.QUESTION_PICTURE).paths
        classes = {
            STANDARD.open_midi[-mark.string] + mark.fret for mark in picture_of(note, Slot.QUESTION_PICTURE).marks
        }
        assert {midi % 12 for midi in classes} == {note.music.midi[0] % 12}
        assert note.music.midi[0] in classes
        first, _ = pair_of(note)
        start = first.degree_of(next(t for t in first.chord.guide_tones if t.pitch_class == note.music.midi[0] % 12))
        assert {mark.label for mark in picture_of(note, Slot.QUESTION_PICTURE).marks} == {pretty(start)}
        assert note.words.question.startswith(f"From the {pretty(start)} of {first.label}: nearest ")


def test_the_picture_leads_from_tone_to_tone(notes: tuple[Note, ...]) -> None:
    for note in notes:
        (picture,) = sheet_of(note).pictures
        places = tuple((place.string, place.fret) for place in note.music.places)
        marks = {(mark.string, mark.fret): mark for mark in shown_in(note).marks}
        assert marks[places[-1]].label == pretty(note.music.degrees[len(places) - 1])
        if len(places) == 2:
            assert places in picture.paths
        else:
            assert note.words.over.startswith("stays: ")
        first, second = pair_of(note)
        for path in picture.paths:
            start, end = (STANDARD.open_midi[-string] + fret for string, fret in path)
            assert start % 12 in {tone.pitch_class for tone in first.chord.guide_tones}
            assert end % 12 in {tone.pitch_class for tone in second.chord.guide_tones}


def test_every_nearest_guide_tone_is_shown(everywhere: tuple[Note, ...]) -> None:
    for note in everywhere:
        root, second = read(note.music.chord.split()[1])
        (picture,) = sheet_of(note).pictures
        ends = {(STANDARD.open_midi[-path[-1][0]] + path[-1][1]) % 12 for path in picture.paths}
        shown = {name for name, up in CHORD_TONES[second].items() if (root + up) % 12 in ends}
        stays = len(note.music.places) == 1
        assert shown == set(() if stays else expected(note)), note.words.prompt


def test_the_row_of_tones_names_all_of_the_answer_and_the_chord_of_each(everywhere: tuple[Note, ...]) -> None:
    for note in everywhere:
        first, second = (pretty(symbol) for symbol in note.music.chord.split())
        *before, _ = [""] * len(note.music.places)
        row = [(tone.name, tone.degree.split(" of ")) for tone in note.words.tones]
        answer = re.findall(r"(\S+) \((\S+)\)", note.words.label)
        assert [(name, degree) for name, (degree, _) in row[len(before) :]] == answer, note.words.prompt
        assert [chord for _, (_, chord) in row] == [*(first for _ in before), *(second for _ in answer)]
        assert sheet_of(note).titles == ((f"{first} → {second}", f"from the {pretty(start_of(note))}"),)


def test_where_a_tone_with_an_accidental_is_named_its_other_name_is_right_too(everywhere: tuple[Note, ...]) -> None:
    said = [note for note in everywhere if "Another name of the same fret is right too." in note.words.why]
    assert said
    assert len(said) < len(everywhere)
    for note in everywhere:
        assert (note in said) == bool(re.search("[A-G][♭♯] ", note.words.label)), note.words.label


def test_the_clip_plays_both_chords_and_the_step(notes: tuple[Note, ...]) -> None:
    for note in notes:
        first, second = pair_of(note)
        events = [event.midi for event in clip_of(note).events]
        assert [events[3], events[7]] == [note.music.midi[0], note.music.midi[-1]]
        assert {tone.pitch_class for tone in first.chord.guide_tones} < {midi % 12 for midi in events[:3]}
        assert {tone.pitch_class for tone in second.chord.guide_tones} < {midi % 12 for midi in events[4:7]}
        assert clip_of(note).length < 3


@pytest.mark.parametrize(
    ("name", "answer", "over"),
    [
        ("ii/from-b3-to-V-plain", "B♭ (♭7)", "stays: the ♭3 of Gm7 becomes the ♭7 of C7"),
        ("ii/from-b7-to-V-plain", "E (3)", "F falls a semitone to the 3 of C7"),
        ("V/plain/from-3-to-I", "E (7)", "stays: the 3 of C7 becomes the 7 of Fmaj7"),
        ("V/plain/from-b7-to-I", "A (3)", "B♭ falls a semitone to the 3 of Fmaj7"),
        ("VI/plain/from-3-to-ii", "F (♭7)", "F♯ falls a semitone to the ♭7 of Gm7"),
        ("VI/plain/from-b7-to-ii", "B♭ (♭3)", "C falls a whole step to the ♭3 of Gm7"),
        (
            "I/from-3-to-VI-plain",
            "F♯ (3) or C (♭7)",
            "A falls a minor third to the 3 of D7, or rises as far to the ♭7",
        ),
        ("I/from-7-to-VI-plain", "F♯ (3)", "E rises a whole step to the 3 of D7"),
    ],
)
def test_in_f_guide_tones_lead_as_players_know_them(notes: tuple[Note, ...], name: str, answer: str, over: str) -> None:
    """Common practice, no source: 7ths fall to 3rds, 3rds stay as 7ths."""
    found = [note for note in notes if note.identity.key == "F" and note.id.endswith(name)]
    assert len(found) == 5
    assert {(note.words.label, note.words.over) for note in found} == {(answer, over)}
    others = {pretty(degree) for _, degree in named(answer) if degree not in GUIDES}
    assert {mark.label for note in found for mark in shown_in(note).marks if mark.role is Role.TONE} == others


def test_left_out_where_the_kind_is(notes: tuple[Note, ...]) -> None:
    found = syllabus(Recipe(keys=("F",), kinds=(Kind.LOCATE,)))
    assert Fact.CONNECTION not in {note.identity.fact for note in found}
