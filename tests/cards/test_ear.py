"""Questions for the ear: one right answer, balanced, nothing given away, spread over keys and regions."""

import re
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import replace
from functools import partial

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.cards.choices import Breadth, Breadths, InstrumentChoice
from deckbuilder.cards.context import Context
from deckbuilder.cards.ear import begins
from deckbuilder.cards.facts import AnyFact, Fact, Kind
from deckbuilder.cards.function import function_questions
from deckbuilder.cards.levels import LEVELS, Lesson
from deckbuilder.cards.note import Note
from deckbuilder.cards.recipe import Recipe
from deckbuilder.cards.spread import ITEMS, spread
from deckbuilder.cards.syllabus import syllabus
from deckbuilder.neck.regions import Region
from deckbuilder.picture.description import Role
from deckbuilder.sound.description import Clip, Patch
from deckbuilder.theory.chords import QUALITIES
from deckbuilder.theory.functions import FUNCTIONS, function_on
from deckbuilder.theory.keys import DEFAULT_KEYS, Key
from deckbuilder.theory.steps import Step
from deckbuilder.theory.tones import Tone
from tests.noted import clip_of, shown_in, tones_of

EAR = (Fact.COLOUR, Fact.SOURCE, Fact.TARGET, Fact.FUNCTION)


@pytest.fixture(scope="module")
def notes() -> tuple[Note, ...]:
    return syllabus(Recipe(kinds=(Kind.HEAR,)))


@pytest.fixture(scope="module")
def ear(notes: tuple[Note, ...]) -> tuple[Note, ...]:
    return tuple(note for note in notes if note.identity.fact in EAR)


def by_type(ear: Iterable[Note]) -> Mapping[tuple[AnyFact, int], list[Note]]:
    found = defaultdict(list)
    for note in ear:
        found[note.identity.fact, note.level].append(note)
    return found


def asked(note: Note) -> str:
    """Give the question without the name of its chord, so that it reads alike in every key."""
    return re.sub(r"^Over \S+,", f"Over {note.identity.function},", note.words.question)


def sounding(clip: Clip) -> tuple[tuple[float, int, Patch], ...]:
    return tuple((event.start, event.midi, event.patch) for event in clip.events)


def test_counts(ear: tuple[Note, ...]) -> None:
    counts = {kind: len(found) for kind, found in by_type(ear).items()}
    assert counts == {
        **{(fact, level): 12 for fact in (Fact.SOURCE, Fact.TARGET, Fact.FUNCTION) for level in (1, 2, 3)},
        **{(Fact.COLOUR, level): 12 for level in (2, 3)},
        (Fact.FUNCTION, 3): 24,
    }
    assert len({note.id for note in ear}) == len(ear) == 144


def test_hear_is_asked_of_every_arpeggio_and_of_no_scale(notes: tuple[Note, ...]) -> None:
    assert Counter(note.identity.fact for note in notes if note.identity.fact not in EAR) == {Fact.ARPEGGIO: 120}
    everything = syllabus(Recipe(keys=("F",), breadth=Breadths(hear=Breadth.EVERY_REGION)))
    assert all((Kind.HEAR in note.kinds) == (note.identity.fact is Fact.ARPEGGIO or note.words.heard is not None)
               for note in everything)  # fmt: skip


def test_answers_are_balanced(ear: tuple[Note, ...]) -> None:
    """Of each question every answer is right equally often, and no guess wins more often than chance."""
    for kind, found in by_type(ear).items():
        answers: defaultdict[str, Counter[str]] = defaultdict(Counter)
        for note in found:
            assert note.words.heard is not None
            answers[asked(note)][note.words.heard] += 1
        assert all(len(set(counts.values())) == 1 for counts in answers.values()), kind
        chance = 1 / min(len(counts) for counts in answers.values())
        often = Counter(note.words.heard for note in found)
        assert max(often.values()) / len(found) <= chance, kind


def test_the_question_names_every_answer(ear: tuple[Note, ...]) -> None:
    pretty = {"b9": "♭9", "#9": "♯9", "b3": "♭3", "b5": "♭5", "b13": "♭13", "b7": "♭7"}
    answers = defaultdict(set)
    for note in ear:
        answers[note.identity.fact, note.level, asked(note)].add(note.words.heard)
    for (_, _, question), right in answers.items():
        assert len(right) > 1
        for answer in right:
            assert answer is not None
            assert re.search(rf"\b{pretty.get(answer, answer)}\b|{pretty.get(answer, answer)}[,? ]", question)


def test_keys_and_regions_come_in_turn(ear: tuple[Note, ...]) -> None:
    for kind, found in by_type(ear).items():
        regions = Counter(note.identity.region for note in found)
        assert set(regions) == {1, 2, 3, 4, 5}
        assert max(regions.values()) <= 7, kind
    keys = Counter(note.identity.key for note in ear)
    assert set(keys) == set(DEFAULT_KEYS)
    assert max(keys.values()) <= 36


def test_no_front_tells_its_answer(ear: tuple[Note, ...]) -> None:
    """Whoever remembers the key and the question has to listen all the same."""
    fronts = defaultdict(set)
    for note in ear:
        fronts[note.identity.key, note.words.question].add(note.words.heard)
    assert min(len(answers) for answers in fronts.values()) >= 2
    again = Counter((note.identity.key, note.words.question, sounding(clip_of(note))) for note in ear)
    assert max(again.values()) == 1


def test_the_length_of_a_clip_tells_nothing(notes: tuple[Note, ...]) -> None:
    for fact in (*EAR, Fact.ARPEGGIO):
        lengths = {round(clip_of(note).length, 6) for note in notes if note.identity.fact is fact}
        assert len(lengths) == 1, fact


def test_plain_and_altered_differ_in_one_tone_of_one_chord(ear: tuple[Note, ...]) -> None:
    clips: dict[tuple[int, str], dict[str | None, Clip]] = defaultdict(dict)
    for note in ear:
        if note.identity.fact is Fact.COLOUR:
            clips[note.level, note.identity.key][note.words.heard] = clip_of(note)
    assert len(clips) == 12
    for pair in clips.values():
        plain, altered = (sounding(pair[answer]) for answer in ("plain", "altered"))
        assert len(plain) == len(altered)
        assert sum(one != other for one, other in zip(plain, altered, strict=True)) == 1


def test_the_tone_that_tells_a_colour_belongs_to_it_alone(ear: tuple[Note, ...]) -> None:
    for note in ear:
        if note.identity.fact is Fact.COLOUR:
            added = set(note.music.degrees) - {"1", "3", "b7"}
            assert added <= ({"9", "13", "5"} if note.words.heard == "plain" else {"b9", "#9", "b13"}), note.id


def test_sources_run_as_far_from_their_own_root(ear: tuple[Note, ...]) -> None:
    for note in ear:
        if note.identity.fact is Fact.SOURCE:
            assert note.words.heard == note.identity.source
            assert len(note.music.midi) == 5
            assert list(note.music.midi) == sorted(set(note.music.midi))
            assert note.music.midi[0] % 12 == Tone.parse(tones_of(note)[0]).pitch_class
            assert {midi % 12 for midi in note.music.midi} == {Tone.parse(tone).pitch_class for tone in tones_of(note)}
            assert [event.midi for event in clip_of(note).events][3:] == list(note.music.midi)


@pytest.mark.parametrize("tuning", ["ukulele", "plectrum", "bass-4"])
def test_a_small_neck_plays_whole_arpeggios_all_the_same(tuning: str) -> None:
    asked = Recipe(instrument=InstrumentChoice(tuning), kinds=(Kind.HEAR,))
    sources = [note for note in syllabus(asked) if note.identity.fact is Fact.SOURCE]
    assert sources
    for note in sources:
        run = [event.midi for event in clip_of(note).events[3:]]
        assert run == sorted(set(run))
        assert run[0] % 12 == Tone.parse(tones_of(note)[0]).pitch_class
        assert {midi % 12 for midi in run} == {Tone.parse(tone).pitch_class for tone in tones_of(note)}


def test_a_target_sounds_after_its_chord_and_in_its_upper_half(ear: tuple[Note, ...]) -> None:
    for note in ear:
        if note.identity.fact is Fact.TARGET:
            *chord, tone = (event.midi for event in clip_of(note).events)
            assert note.music.midi == (tone,)
            assert tone % 12 == Tone.parse(tones_of(note)[0]).pitch_class
            assert (note.words.heard,) == note.music.degrees
            assert tone > sorted(chord)[1]


def test_counting_bars_tells_no_function(ear: tuple[Note, ...]) -> None:
    for level in (1, 2, 3):
        answers: defaultdict[tuple[str, ...], Counter[str | None]] = defaultdict(Counter)
        for note in by_type(ear)[Fact.FUNCTION, level]:
            assert note.identity.item is not None
            _, way, place = note.identity.item.rsplit("-", 2)
            assert place != "1"
            answers[way, place][note.words.heard] += 1
        for counts in answers.values():
            assert len(counts) == (4 if level == 3 else 3)
            assert len(set(counts.values())) == 1


def test_the_chord_in_question_is_silent_or_marked(ear: tuple[Note, ...]) -> None:
    for note in ear:
        if note.identity.fact is not Fact.FUNCTION:
            continue
        loop, way, place = str(note.identity.item).rsplit("-", 2)
        count = 4 if loop == "turnaround" else 3
        bar = (clip_of(note).length - 0.04) / count
        bars = Counter(int((event.start - 0.04 + 1e-6) / bar) for event in clip_of(note).events if event.midi != 76)
        clicks = [event for event in clip_of(note).events if event.patch is Patch.CLICK]
        if way == "missing":
            assert set(range(count)) - set(bars) == {int(place) - 1}
            assert not clicks
        else:
            assert set(bars) == set(range(count))
            assert [int((click.start - 0.04 + 1e-6) / bar) for click in clicks] == [int(place) - 1]


def test_hear_has_one_right_answer(notes: tuple[Note, ...]) -> None:
    """In a key, the same question and the same sound always have the same answer, whatever the region."""
    right = defaultdict(set)
    for note in notes:
        if note.identity.fact is Fact.ARPEGGIO:
            heard = frozenset(midi % 12 for midi in note.music.midi)
            right[note.identity.key, note.words.question, heard].add((note.music.symbol, note.identity.source))
    assert all(len(answers) == 1 for answers in right.values())
    assert len(right) == 12 * 10


def test_the_hearing_question_is_the_same_for_every_alternative(notes: tuple[Note, ...]) -> None:
    questions = defaultdict(set)
    for note in notes:
        if note.identity.fact is Fact.ARPEGGIO:
            questions[note.identity.key, note.words.question].add((note.identity.colour, note.identity.source))
    # V plain or altered, VI altered; ii or I, of which each is to be told from the other.
    assert len(questions) == 12 * 3
    assert {len(alternatives) for alternatives in questions.values()} == {2, 4}
    for note in notes:
        if note.identity.fact is Fact.ARPEGGIO and note.identity.function in ("ii", "I"):
            assert "which chord is it" in note.words.question
            assert "ii" in note.words.question
            assert " or I " in note.words.question


def test_guide_tones_come_before_tensions(ear: tuple[Note, ...]) -> None:
    levels = by_type(ear)
    assert {note.words.heard for note in levels[Fact.TARGET, 1]} == {"b3", "3", "b7", "7"}
    assert {note.words.heard for note in levels[Fact.TARGET, 2]} == {"b9", "#9", "b5", "b13"}


def test_a_recipe_may_leave_the_ear_out() -> None:
    notes = syllabus(Recipe(keys=("F",), kinds=(Kind.LOCATE,)))
    assert not any(note.words.heard for note in notes)


@given(st.integers(1, 24), st.integers(1, 15), st.integers(1, 7), st.integers(0, 12))
def test_spread_is_balanced_and_never_repeats(questions: int, keys: int, regions: int, start: int) -> None:
    def never(_setting: Context, _region: Region, number: int) -> Note:
        raise AssertionError(number)

    asks = [partial(never, number=number) for number in range(questions)]
    items = list(spread(asks, keys, regions, start))
    assert len({(question, key) for question, key, _ in items}) == len(items)
    counts = Counter(question for question, _, _ in items)
    assert len(counts) == questions
    assert len(set(counts.values())) == 1
    assert len(items) >= min(ITEMS, questions * keys)
    assert set(Counter(key for _, key, _ in items).values()) == {questions}
    assert all(0 <= key < keys and 0 <= region < regions for _, key, region in items)


@pytest.mark.parametrize("part", [{"keys": ("F",)}, {"regions": (5,)}, {"keys": ("F", "Bb", "C"), "regions": (1, 4)}])
def test_a_smaller_deck_keeps_the_ear_busy(part: dict[str, tuple[str, ...]]) -> None:
    ear = [note for note in syllabus(Recipe(kinds=(Kind.HEAR,), **part)) if note.words.heard]  # type: ignore[arg-type]
    assert len({note.id for note in ear}) == len(ear)
    assert {note.identity.key for note in ear} <= set(part.get("keys", DEFAULT_KEYS))
    assert len(ear) >= 60 if len(part.get("keys", DEFAULT_KEYS)) == 1 else len(ear) >= 100
    again = Counter((note.words.key, note.words.question, sounding(clip_of(note))) for note in ear)
    assert max(again.values()) == 1


@pytest.mark.parametrize("tuning", ["drop-d", "all-fourths", "eight-string", "bass-4", "tenor", "ukulele", "E2,E2,C3"])
def test_on_any_neck_the_ear_is_asked_alike(tuning: str) -> None:
    """As many items, clips of one length for an arpeggio and for both sources of a place."""
    notes = syllabus(Recipe(keys=("F", "B"), instrument=InstrumentChoice(tuning), kinds=(Kind.HEAR,)))
    ear = [note for note in notes if note.words.heard]
    usual = [note for note in syllabus(Recipe(keys=("F", "B"), kinds=(Kind.HEAR,))) if note.words.heard]
    assert [(note.identity.fact, note.words.heard) for note in ear] == [
        (note.identity.fact, note.words.heard) for note in usual
    ]
    assert len({clip_of(note).length for note in notes if note.identity.fact is Fact.ARPEGGIO}) == 1
    places = defaultdict(set)
    for note in ear:
        if note.identity.fact is Fact.SOURCE:
            places[note.identity.key, note.identity.region, note.music.chord].add(clip_of(note).length)
    assert {len(lengths) for lengths in places.values()} == {1}


def test_the_picture_of_a_target_has_the_root_beside_it(ear: tuple[Note, ...]) -> None:
    for note in ear:
        if note.identity.fact is Fact.TARGET:
            labels = {mark.label for mark in shown_in(note).marks if mark.role is not Role.SCALE}
            assert labels == {"1", note.words.label}, note.id
            assert {mark.label for mark in shown_in(note).marks if mark.root} == {"1"}


def test_no_two_types_and_levels_begin_at_one_place_however_many_there_are() -> None:
    places = [begins(number, level) for number in range(30) for level in range(1, 60)]
    assert len(set(places)) == len(places)
    assert [begins(number, level) for level in (1, 2, 3) for number in range(4)] == list(range(4, 16))


def test_a_function_of_which_nothing_is_known_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(FUNCTIONS, "iii", function_on(Step(3), QUALITIES["m7"]))
    key, recipe = Key.parse("F"), Recipe()
    level = replace(LEVELS[1], changes=(Lesson("ii"), Lesson("iii")))
    about_iii = next(question for number, question in enumerate(function_questions(level)) if number % 2)
    with pytest.raises(ValueError, match="no sentence says how iii is heard"):
        about_iii(Context(recipe, key, 1), recipe.region(key, 1))
