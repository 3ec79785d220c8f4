"""Where to work: places that are weak, or those in which to work on what is weak wherever it is asked."""

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pypdfium2
import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st

from deckbuilder.build import notes_of
from deckbuilder.cli import main
from deckbuilder.deck.check import check_package
from deckbuilder.progress.analysis import Analysis, analyse
from deckbuilder.progress.cells import NECK, Cell
from deckbuilder.progress.focus import base_recipe, notes_to_practise
from deckbuilder.progress.practice import MOST, hardest_note
from deckbuilder.progress.sheet import practice_sheet
from deckbuilder.progress.study import study_of
from deckbuilder.progress.today import today
from deckbuilder.progress.words import verdict
from deckbuilder.progress.work import Part, Place, places, recipes, search, work
from deckbuilder.progress.work_words import nothing_apart, set_aside, what, why
from deckbuilder.recipe import read_recipe
from tests.pdf import words_of
from tests.progress.exports import write_export
from tests.progress.learner import Axes, Truth, history_of, studied
from tests.progress.test_focus import matches

DAYS, KEYS = 130, ("F", "Bb", "Eb", "Ab")


def weak_where(test: Callable[[Axes, str], bool], low: float = 0.55) -> Truth:
    return lambda axes, kind: low if test(axes, kind) else 0.93


def from_the_third(axes: Axes, _kind: str) -> bool:
    return axes["source"] == "third"


def altered(axes: Axes, _kind: str) -> bool:
    return axes.get("colour") == "altered"


def spelled(_axes: Axes, kind: str) -> bool:
    return kind == "spell"


def player(truth: Truth, seed: int = 3) -> Analysis:
    return analyse(history_of(studied(truth, seed, days=DAYS, keys=KEYS), DAYS))


EVERYWHERE = [
    (from_the_third, "arpeggios from the third everywhere", "tag:source::third", ("source::third",)),
    (altered, "altered everywhere", "tag:colour::altered", ("colour::altered",)),
    (spelled, "spell cards everywhere", "card:spell", ("fact::spelling",)),
]


@pytest.fixture(scope="module", params=EVERYWHERE, ids=lambda row: row[1])
def weak_everywhere(request: pytest.FixtureRequest) -> tuple[Analysis, str, str, tuple[str, ...]]:
    weak, *said = request.param
    return (player(weak_where(weak)), *said)


def test_what_is_weak_everywhere_has_places_a_search_a_deck_and_a_sheet(
    weak_everywhere: tuple[Analysis, str, str, tuple[str, ...]],
) -> None:
    analysis, named, about, tags = weak_everywhere
    history = analysis.history
    assert analysis.weak == ()
    (part,) = work(analysis, 4)
    assert part.weakness is not None
    assert part.weakness.words == named
    assert len(set(part.cells)) == 4
    assert why(part) == f"Needs work: {named}. No place is clearly worse than another; these came up last"
    assert search(history, [part]).endswith(f" {about}")
    for place in part.places:
        assert 0 < place.known < place.asked

    made = recipes(history, base_recipe(history), [part])
    notes = notes_to_practise(history, made)
    assert {recipe.tags for recipe in made} == {tags}
    assert {(note.level, note.identity.key, note.identity.region or NECK) for note in notes.values()} == set(part.cells)
    for note in notes.values():
        assert set(tags) <= set(note.tags)
        # What finds the cards in the app finds the notes of the deck.
        if "card:" not in about:
            assert matches(search(history, [part]), set(note.tags))

    sheet = practice_sheet(analysis, [part], notes)
    with pypdfium2.PdfDocument(sheet) as document:
        assert len(document) == 1
        said = words_of(document[0]).replace("\r\n", " ")
    assert f"Needs work: {named}. No place is clearly worse" in said
    assert len(re.findall(r"level \d · known here \d+% of \d+ times", said)) == 4
    assert sheet.count(b"/Subtype /Image") == 4
    for place in part.places:
        hardest = hardest_note(analysis.study, place, notes)
        assert hardest is not None
        assert set(tags) <= set(hardest.tags)


def test_today_says_the_same(weak_everywhere: tuple[Analysis, str, str, tuple[str, ...]]) -> None:
    analysis, named, *_ = weak_everywhere
    parts = work(analysis, 4)
    assert today(analysis).what == what(analysis, parts)
    assert today(analysis).what.startswith(f"Needs work: {named}. No place is clearly worse than another; ")
    assert today(analysis).search == search(analysis.history, parts)


def test_where_it_goes_worse_it_is_worked_on() -> None:
    """Every arpeggio from the third is weak, those in E♭ most; no place of its own has enough answers to be named."""

    def truth(axes: Axes, _kind: str) -> float:
        if axes["source"] != "third":
            return 0.95
        return 0.35 if axes["key"] == "Eb" and axes["level"] == 2 else 0.75

    analysis = player(truth, 5)
    found = [part for part in work(analysis, 20) if part.weakness is not None and "third" in part.weakness.words]
    assert found
    assert found[0].differ
    assert [(cell.key, cell.level) for cell in found[0].cells[:3]].count(("Eb", 2)) >= 2
    assert "It went worst in these places" in why(found[0])


def test_places_that_are_surely_weak_come_first_and_the_rest_is_of_what_is_weak(analysis: Analysis) -> None:
    count = len(analysis.weak)
    for number in (1, 3, count):
        (sure,) = work(analysis, number)
        assert (sure.weakness, sure.cells) == (None, analysis.weak[:number])
    sure, *more = work(analysis, count + 4)
    assert sure.cells == analysis.weak
    chosen = places([sure, *more])
    assert len(chosen) == len({place.cell for place in chosen}) == count + 4
    rows = {row for pattern in analysis.patterns for row in pattern.rows}
    for part in more:
        assert part.weakness is not None
        assert part.weakness.rows <= rows
        for place in part.places:
            assert any(place.holds(row, card) for row, card in enumerate(analysis.history.cards) if row in rows)


@settings(max_examples=6, deadline=None)
@given(st.integers(100, 10_000), st.sampled_from((0.6, 0.8, 0.95)))
def test_a_player_who_is_even_has_nothing_to_work_on_apart(seed: int, share: float) -> None:
    """Whatever is worked on was named; of one who is even, chance names something once in about ten histories."""
    analysis = analyse(history_of(studied(lambda _axes, _kind: share, seed, days=60, keys=("F", "Bb")), 60))
    named = bool(analysis.weak or analysis.patterns or analysis.checkup.weak)
    assert bool(work(analysis, 4)) == named


def test_of_twenty_even_players_hardly_one_is_given_work() -> None:
    """Three ways of looking name something by chance in at most one history of twenty each; seeds are fixed."""
    given_work = sum(
        bool(work(analyse(history_of(studied(lambda *_: 0.85, seed, days=60, keys=("F", "Bb")), 60)), 4))
        for seed in range(20)
    )
    assert given_work <= 3


def test_suspended_places_are_left_out_unless_all_are() -> None:
    analysis = player(weak_where(from_the_third))
    (part,) = work(analysis, 4)

    def suspended(cells: tuple[Cell, ...]) -> Part:
        cards = tuple(
            replace(card, due=None) if any(one == card_cell(card.axes) for one in cells) else card
            for card in analysis.history.cards
        )
        (found,) = work(analyse(replace(analysis.history, cards=cards)), 4)
        return found

    def card_cell(axes: Axes) -> Cell:
        return Cell(int(str(axes["level"])), str(axes["key"]), int(str(axes.get("region", NECK))))

    assert not set(suspended(part.cells).cells) & set(part.cells)
    everything = tuple({card_cell(card.axes) for card in analysis.history.cards})
    assert suspended(everything).cells == part.cells


def test_the_command_writes_the_sheet_and_the_deck(tmp_path: Path) -> None:
    notes = studied(weak_where(from_the_third), 3, days=DAYS, keys=KEYS)
    export = write_export(tmp_path / "deck.apkg", notes, "anki21b", deck="Mine::Lap 1")
    options = ["--date", "2024-03-24", "--focus", "2", "--out", str(tmp_path / "out"), "--store", str(tmp_path / "s")]
    result = CliRunner().invoke(main, ["progress", str(export), *options, "--workers", "1"])
    assert result.exit_code == 0, result.output
    assert "Needs work: arpeggios from the third everywhere. No place is clearly worse" in result.output
    decks = sorted((tmp_path / "out").glob("focus*.apkg"))
    assert decks
    for path in decks:
        assert check_package(path).problems == ()
        recipe = read_recipe(path.with_suffix(".toml"))
        assert recipe.tags == ("source::third",)
        assert {note.identity.source for note in notes_of(recipe)} == {"third"}
    page = (tmp_path / "out" / "progress.html").read_text(encoding="utf-8")
    assert 'href="practice-sheet.pdf"' in page
    assert f'href="{decks[0].name}"' in page


def test_no_more_than_a_sheet_has_room_for_is_drawn() -> None:
    analysis = player(weak_where(from_the_third))
    parts = work(analysis, 20)
    history = analysis.history
    assert len(places(parts)) == 20
    notes = notes_to_practise(history, recipes(history, base_recipe(history), parts))
    assert practice_sheet(analysis, parts, notes).count(b"/Subtype /Image") == MOST


def retold(analysis: Analysis, change: Callable[[dict[str, str]], dict[str, str]]) -> Analysis:
    """Return the same history with other tags."""
    cards = tuple(replace(card, axes=change(dict(card.axes))) for card in analysis.history.cards)
    return analyse(replace(analysis.history, cards=cards))


def test_minor_keys_have_places_and_a_deck() -> None:
    """Level 4 is in the minor key on each tonic, whose tags are `key::Fm`; a recipe asks for it by the tonic."""
    major = player(weak_where(from_the_third))
    minor = retold(major, lambda axes: {**axes, "level": "4", "key": f"{axes['key'].replace('Ab', 'G#')}m"})
    assert {cell.key for cell in minor.cells} == {"Fm", "Bbm", "Ebm", "G#m"}
    (part,) = work(minor, 4)
    (recipe,) = recipes(minor.history, base_recipe(minor.history), [part])
    assert set(recipe.keys) <= {"F", "Bb", "Eb", "Ab"}
    assert recipe.levels == (4,)
    notes = notes_of(recipe)
    assert {(note.identity.key, note.identity.region) for note in notes} == {
        (cell.key, cell.region) for cell in part.cells
    }
    assert "m · region" in what(minor, [part]).replace("\N{NO-BREAK SPACE}", " ")


def test_the_colours_of_a_history_are_those_of_its_small_deck() -> None:
    for met, wanted in (("lydian-dominant", ("lydian-dominant",)), ("plain", ("plain",)), ("of-my-own", ("altered",))):

        def coloured(axes: dict[str, str], met: str = met) -> dict[str, str]:
            return {**axes, "colour": met} if axes.get("colour") == "altered" else axes

        other = retold(player(weak_where(altered)), coloured).history
        base = base_recipe(replace(other, cards=tuple(card for card in other.cards if card.axes["level"] != "1")))
        assert base.colours == wanted


def test_of_what_is_told_by_its_answer_alone_all_of_the_place_is_worked_on() -> None:
    """Beyond level 1 only the question which colour sounds is plain, and of one colour alone it is none."""
    analysis = player(weak_where(altered))
    (part,) = work(analysis, 4)
    assert part.weakness
    plain = replace(part, weakness=replace(part.weakness, tags=("colour::plain",)))
    sure = Part(None, (Place(Cell(1, "F", 1)),), differ=True)
    (recipe,) = recipes(analysis.history, base_recipe(analysis.history), [sure, plain])
    assert recipe.tags == ()
    cells = {(note.level, note.identity.key, note.identity.region) for note in notes_of(recipe)}
    assert cells >= {(cell.level, cell.key, cell.region) for cell in (*sure.cells, *plain.cells)}


def test_a_weakness_takes_the_place_of_what_the_recipe_says_of_its_axis() -> None:
    analysis = player(weak_where(from_the_third))
    parts = work(analysis, 2)
    base = replace(base_recipe(analysis.history), tags=("source::root", "source::third", "function::V"))
    (recipe,) = recipes(analysis.history, base, parts)
    assert recipe.tags == ("function::V", "source::third")


def test_cards_that_an_app_does_not_ask_are_told() -> None:
    analysis = player(weak_where(from_the_third))
    parts = work(analysis, 4)
    assert set_aside(analysis, parts) == ""
    cards = analysis.history.cards
    held = [row for row, card in enumerate(cards) if parts[0].places[0].holds(row, card)]

    def told(rows: list[int]) -> str:
        changed = tuple(replace(card, suspended=row in rows) for row, card in enumerate(cards))
        return set_aside(replace(analysis, study=study_of(replace(analysis.history, cards=changed))), parts)

    assert told(held[:1]).startswith("1 of these cards is suspended, ")
    assert told(held[:2]).startswith("2 of these cards are suspended, ")


def test_cards_of_no_level_are_told_with_their_search() -> None:
    """Cards of own changes have keys and regions and no level."""
    own = retold(player(weak_where(from_the_third)), lambda axes: {k: v for k, v in axes.items() if k != "level"})
    assert work(own, 4) == ()
    assert "of no level" in verdict(own)
    assert "Clearly weaker than the rest: arpeggios from the third everywhere." in verdict(own)
    assert (today(own).what, today(own).search) == (
        "Needs work: arpeggios from the third everywhere",
        "tag:source::third",
    )
    assert nothing_apart(own).endswith("search in your app: tag:source::third")


def test_who_forgets_half_of_all_is_not_told_to_go_on() -> None:
    hard, fine = player(lambda _axes, _kind: 0.5, 8), player(lambda _axes, _kind: 0.9, 8)
    assert not work(hard, 4)
    assert "it is hard everywhere. You recall 50%" in verdict(hard)
    assert "go on as you are" in verdict(fine)
