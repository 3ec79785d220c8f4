"""Tasks: neighbours get different ones, whatever their number, and every example line keeps to what its card asks."""

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.cards.changes import changes_in
from deckbuilder.cards.context import Context
from deckbuilder.cards.facts import Fact, Kind
from deckbuilder.cards.passage import Passage
from deckbuilder.cards.recipe import Recipe
from deckbuilder.cards.syllabus import first_of_changes, syllabus
from deckbuilder.cards.tasks import TASKS, Task, deal, dominants, fourths_from_c
from deckbuilder.cards.tunes import Tune
from deckbuilder.lines.notes import BAR, BEAT, EIGHTH
from deckbuilder.theory.arpeggios import Source, arpeggio
from deckbuilder.theory.changes import SectionText, parse_form
from deckbuilder.theory.keys import DEFAULT_KEYS, Key
from tests.lines.deck import Example, default_examples, form_examples
from tests.lines.yardstick import phrases
from tests.noted import task_of


def with_task(words: str) -> list[Example]:
    """Choose the examples whose task has some words; there are some of a level and some of a form."""
    found = [example for example in (*default_examples(), *form_examples()) if words in example.note.words.question]
    assert {example.note.level < first_of_changes() for example in found} == {True, False}
    return found


def passage_of(bars: str, key: str = "F") -> Passage:
    form = parse_form("Mine", Key.parse_either(key), [SectionText("", bars)])
    return next(changes_in(form, key.removesuffix("m")).passages())


def test_keys_in_fourths_are_counted_from_c() -> None:
    assert [fourths_from_c(Key.parse(name).tonic.pitch_class) for name in DEFAULT_KEYS] == list(range(12))


@given(st.integers(2, 40), st.integers(0, 11), st.integers(1, 7), st.integers(1, 2000))
def test_neighbours_are_dealt_different_tasks_whatever_their_number(
    count: int, tonic: int, region: int, passage: int
) -> None:
    tasks = [Task(str(number)) for number in range(count)]
    own = deal(tasks, tonic, region, passage)
    assert deal(tasks, (tonic + 5) % 12, region, passage) is not own
    assert deal(tasks, tonic, region + 1, passage) is not own
    assert deal(tasks, tonic, region, passage + 1) is not own


@pytest.mark.parametrize("count", range(2, 16))
def test_every_task_comes_about_equally_often(count: int) -> None:
    tasks = [Task(str(number)) for number in range(count)]
    dealt = [deal(tasks, tonic, region, level) for tonic in range(12) for region in range(1, 6) for level in (1, 2, 3)]
    assert min(dealt.count(task) for task in tasks) >= 0.5 * len(dealt) / count


def test_a_single_task_is_dealt_to_all() -> None:
    only = Task("only")
    assert deal([only], 5, 2, 3) is only


def test_every_task_has_an_example_in_levels_and_forms() -> None:
    for task in TASKS:
        assert with_task(task.text)


@pytest.mark.parametrize(
    ("bars", "begin"),
    [
        ("| ii7 | V7 | Imaj7 | % |", [4]),
        ("| ii7 | V7alt | Imaj7 | VI7alt |", [4, 12]),
        ("| III7 | % | VI7 | % | II7 | % | V7 | % |", [0, 8, 16, 24]),
        ("| Imaj7 | bII7 | Imaj7 | bVII7 |", [4]),
        ("| ii7 | V7 V7alt | iii7 | Imaj7 |", [4]),
        ("| I7 | IV7 | I7 | I7alt | IV7 | % | I7 | % | V7 | IV7 | I7 | V7 |", [12, 32, 44]),
        ("| Imaj7 | IVmaj7 | ii7 | % |", []),
    ],
)
def test_a_v_is_a_dominant_that_leads_on(bars: str, begin: list[int]) -> None:
    """A fifth or a semitone down, and the key's V anywhere; not the I7 and IV7 of a blues (common practice)."""
    assert dominants(passage_of(bars)) == begin


def test_where_v_comes_late_no_phrase_is_asked_to_start_on_it() -> None:
    """In the plain blues the first dominant that leads on comes after eight bars."""
    late = passage_of("| I7 | IV7 | I7 | % | IV7 | % | I7 | % | V7 | IV7 | I7 | V7 |")
    soon = passage_of("| I7 | IV7 | I7 | I7alt | IV7 | #iv°7 | I7 | VI7alt | ii7 | V7 | I7 | V7 |")
    task = next(task for task in TASKS if "on a dominant" in task.text)
    assert not task.fits(late)
    assert not task.fits(passage_of("| Imaj7 | IVmaj7 |"))
    assert task.fits(soon)


def test_a_line_starts_each_phrase_on_a_dominant_and_rests_a_bar_or_two_at_most_four() -> None:
    for example in with_task("Start every phrase on a dominant chord"):
        begins = {BEAT * beat for beat in dominants(example.passage)}
        found = list(phrases(example.line))
        assert {phrase[0].onset for phrase in found} <= begins, example.note.id
        rests = [following[0].onset - phrase[-1].end for phrase, following in pairwise(found)]
        assert max((found[0][0].onset, *rests)) <= 4 * BAR, example.note.id


@pytest.mark.parametrize(("words", "which"), [("Land on the 3rd", 0), ("Land on the 7th", 1)])
def test_a_line_lands_on_the_guide_tone_where_each_chord_comes(words: str, which: int) -> None:
    for example in with_task(words):
        for chord in example.chords:
            first = example.over(chord)[0]
            assert first.onset == chord.begin, example.note.id
            assert first.midi % 12 == chord.harmony.chord.guide_tones[which].pitch_class, example.note.id


def test_each_third_is_enclosed_by_the_step_above_and_the_semitone_below() -> None:
    for example in with_task("Enclose the 3rd"):
        for chord in example.chords:
            at = next(at for at, note in enumerate(example.line) if note.onset == chord.begin)
            third = example.line[at]
            assert third.midi % 12 == chord.harmony.chord.guide_tones[0].pitch_class, example.note.id
            if chord.begin:
                above, below = example.line[at - 2 : at]
                assert above.end == below.onset
                assert below.end == third.onset
                assert above.midi - third.midi in (1, 2), (example.note.id, third)
                assert third.midi - below.midi == 1, (example.note.id, third)
                assert above.midi % 12 in example.chord(above).scale.pitch_classes


def test_a_line_that_comes_early_holds_a_guide_tone_over_the_beginning_of_each_chord() -> None:
    for example in with_task("Come early"):
        for chord in example.chords:
            guides = {tone.pitch_class for tone in chord.harmony.chord.guide_tones}
            begin = chord.begin - EIGHTH if chord.begin else 0
            first = next(note for note in example.line if note.onset >= begin)
            assert first.onset == begin, (example.note.id, chord.begin)
            assert first.end > chord.begin
            assert first.midi % 12 in guides, (example.note.id, first)


@pytest.mark.parametrize(("words", "source"), [("from the root", Source.ROOT), ("from the third", Source.THIRD)])
def test_a_line_of_arpeggios_has_their_tones_alone(words: str, source: Source) -> None:
    for example in with_task(f"Only arpeggios {words}"):
        for chord in example.chords:
            tones = arpeggio(chord.harmony, source).chord.pitch_classes
            assert {note.midi % 12 for note in example.over(chord)} <= tones, (example.note.id, chord.harmony.symbol)


def test_guide_tones_are_held_or_move_to_the_nearest() -> None:
    for example in with_task("Only guide tones"):
        context = Context(example.recipe, Key.parse_either(example.note.identity.key), 1)
        for chord in example.chords:
            guides = {tone.pitch_class for tone in chord.harmony.chord.guide_tones}
            over = example.over(chord)
            assert over[0].onset == chord.begin
            assert over[-1].end == chord.end
            assert {note.midi % 12 for note in over} <= guides
            assert len({note.midi for note in over}) == 1
            assert len(over) <= (chord.end - chord.begin + 2 * BAR - 1) // (2 * BAR)
        for (_, before), (chord, after) in pairwise((chord, example.over(chord)[0]) for chord in example.chords):
            guides = {tone.pitch_class for tone in chord.harmony.chord.guide_tones}
            reached = {note.midi for note in context.fingering(chord.harmony.scale, example.region).notes}
            steps = [abs(midi - before.midi) for midi in reached if midi % 12 in guides]
            assert abs(after.midi - before.midi) == min(steps), example.note.id


def test_two_bars_are_played_and_two_are_left_empty() -> None:
    for example in with_task("two bars empty"):
        bars = {tick // BAR for note in example.line for tick in (note.onset, note.end - 1)}
        assert {bar % 4 for bar in bars} <= {0, 1}, example.note.id
        assert {bar // 4 for bar in bars} == set(range((len(example.passage.bars) + 3) // 4)), example.note.id


@pytest.mark.parametrize("words", ["Land on", "Only arpeggios"])
def test_where_the_task_says_nothing_of_rests_no_bar_is_empty_but_the_last(words: str) -> None:
    for example in with_task(words):
        bars = {note.onset // BAR for note in example.line}
        assert bars >= set(range(len(example.passage.bars) - 1)), example.note.id


def test_an_id_has_the_same_task_and_line_in_every_deck() -> None:
    """Whatever other keys, regions, levels, forms and kinds the deck has."""
    whole = {example.note.id: (example.note.words.question, example.line) for example in default_examples()}
    forms = {example.note.id: (example.note.words.question, example.line) for example in form_examples()}
    small = syllabus(Recipe(keys=("G", "Db"), regions=(4, 2), levels=(3, 1), kinds=(Kind.IMPROVISE, Kind.CONNECT)))
    checked = 0
    for note in small:
        if note.identity.fact is Fact.IMPROVISATION:
            checked += 1
            assert (note.words.question, note.music.line) == whole[note.id]
    assert checked == 8
    recipe = next(example.recipe for example in form_examples() if "blues" in example.note.id)
    other = Tune("Another", "C", bars=("| ii7 | V7 | Imaj7 |",))
    both = syllabus(replace(recipe, keys=("C", "F"), levels=(1,), changes=(other, *recipe.changes)))
    found = {note.id: (note.words.question, note.music.line) for note in both}
    blues = [key for key in forms if "/F/" in key]
    assert len(blues) == 5
    assert all(found[key] == forms[key] for key in blues)


def test_the_choice_of_a_task_stays() -> None:
    """A card's task is what its player has practised: a rebuilt deck asks for the same."""
    chosen = {
        (example.note.identity.region, example.note.level): task_of(example.note)
        for example in default_examples()
        if example.note.identity.key == "F"
    }
    texts = [task.text for task in TASKS]
    assert [[texts.index(chosen[region, level]) for level in (1, 2, 3)] for region in range(1, 6)] == [
        [6, 0, 3],
        [8, 2, 5],
        [1, 4, 7],
        [3, 6, 0],
        [5, 8, 2],
    ]
