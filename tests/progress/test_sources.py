"""Several exports of one player: every answer counts once, whatever the devices did."""

from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st

from deckbuilder.cli import main
from deckbuilder.progress.history import NothingToSayError, history_of, read_source
from deckbuilder.progress.records import DAY, Answer, Card, Memory
from deckbuilder.progress.sources import Source, joined
from tests.progress.exports import CREATED, Log, StudiedCard, StudiedNote, write_export
from tests.progress.learner import end_of, studied
from tests.progress.read import read_history

NOTES = ("a", "b")
AXES = {"tuning": "standard", "fact": "scale"}

ANSWERS = st.lists(
    st.tuples(st.integers(0, 40 * DAY), st.integers(1, 4)), max_size=6, unique_by=lambda answer: answer[0]
).map(sorted)
LOGS = st.fixed_dictionaries(dict.fromkeys(NOTES, ANSWERS))
Logs = dict[str, list[tuple[int, int]]]


def source(logs: Logs, created: int = CREATED, name: str = "one") -> Source:
    def answer(at: int, grade: int) -> Answer:
        return Answer(float(CREATED + at), (CREATED + at - created) // DAY, grade, 5.0)

    cards = tuple(
        Card(
            note=note,
            axes=AXES,
            kind="locate",
            interval=len(log) or None,
            due=len(log) + (CREATED - created) // DAY if log else None,
            lapses=len(log),
            memory=Memory(1.0 + len(log), 0.5) if log else None,
            answers=tuple(answer(at, grade) for at, grade in log),
        )
        for note, log in logs.items()
    )
    return Source(name, created, cards)


@given(LOGS)
def test_an_export_twice_is_the_export(logs: Logs) -> None:
    one = source(logs)
    assert joined([one, one]).cards == joined([one]).cards == one.cards


@given(LOGS, st.data())
def test_what_two_devices_have_of_one_log_is_the_log(logs: Logs, data: st.DataObject) -> None:
    """Each device has the answers up to some moment, and some that the other has too."""
    cut = {note: data.draw(st.integers(0, len(log))) for note, log in logs.items()}
    older = {note: log[: cut[note]] for note, log in logs.items()}
    again = joined([source(older, name="phone"), source(logs, name="tablet")])
    assert [(card.note, card.answers) for card in again.cards] == [(c.note, c.answers) for c in source(logs).cards]
    assert again.cards == source(logs).cards
    assert again.name == "phone, tablet"


@given(LOGS, LOGS)
def test_the_order_of_files_counts_for_nothing(one: Logs, other: Logs) -> None:
    def answers(sources: list[Source]) -> dict[str, tuple[Answer, ...]]:
        return {card.note: card.answers for card in joined(sources).cards}

    assert answers([source(one), source(other)]) == answers([source(other), source(one)])
    every = {note: sorted({*one[note], *other[note]}) for note in NOTES}
    found = answers([source(one), source(other)])
    assert {note: [(a.at - CREATED, a.grade) for a in found[note]] for note in NOTES} == every


@given(LOGS, LOGS, st.integers(-30, 30))
def test_days_are_counted_from_one_day_whatever_day_a_collection_began(one: Logs, other: Logs, days: int) -> None:
    moved = joined([source(one), source(other, CREATED + days * DAY)])
    plain = joined([source(one), source(other)])
    shift = (plain.created - moved.created) // DAY

    def counted_from(card: Card) -> Card:
        answers = tuple(answer._replace(day=answer.day + shift) for answer in card.answers)
        return replace(card, answers=answers, due=None if card.due is None else card.due + shift)

    assert moved.cards == tuple(map(counted_from, plain.cards))


@pytest.mark.parametrize("container", ["anki2", "anki21b"])
def test_decks_of_our_cards_are_read(tmp_path: Path, container: str) -> None:
    notes = studied(lambda _axes, _kind: 0.9, 1, days=5, keys=("F",))
    path = write_export(tmp_path / "x.apkg", notes, container, deck="Class · A. B.::Lap 1")
    assert read_source(path, end_of(5)).decks == {"Class · A. B.::Lap 1"}


@settings(max_examples=5)
@given(st.integers(1, 5))
def test_two_exports_on_the_command_line_are_one_player(tmp_path_factory: pytest.TempPathFactory, seed: int) -> None:
    folder = tmp_path_factory.mktemp("two")
    notes = studied(lambda _axes, _kind: 0.9, seed, days=20, keys=("F",))
    first = [replace(note, cards=tuple(replace(card, log=card.log[:2]) for card in note.cards)) for note in notes]
    one, two = (write_export(folder / f"{n}.apkg", part, "anki21") for n, part in enumerate((first, notes)))
    together = history_of([read_source(one, end_of(20)), read_source(two, end_of(20))], end_of(20))
    assert together == read_history(two, end_of(20))
    told = [
        CliRunner().invoke(main, ["progress", *map(str, files), "--date", "2023-12-10"]).output
        for files in ([one, two], [two], [two, two])
    ]
    assert told[0] == told[1] == told[2]
    assert "recalls" in told[0]


def test_tunings_of_several_files_are_told_apart(tmp_path: Path) -> None:
    def note(name: str, tuning: str, times: int) -> StudiedNote:
        log = tuple(Log(CREATED + day * DAY + 5.0, 3) for day in range(times))
        return StudiedNote(f"{name}/scale/C/region-1-of-5", {"tuning": tuning, "fact": "scale"}, (StudiedCard(0, log),))

    files = [
        write_export(tmp_path / "a", [note("E2-A2-D3-G3-B3-E4", "standard", 2)], "anki2"),
        write_export(tmp_path / "b", [note("D2-A2-D3-G3-A3-D4", "dadgad", 3)], "anki2"),
    ]
    sources = [read_source(file, end_of(9)) for file in files]
    found = history_of(sources, end_of(9))
    assert (found.tuning, found.other_tunings, len(found.cards)) == ("dadgad", ("standard",), 1)
    assert history_of(sources, end_of(9), "standard").tuning == "standard"
    told = f"{files[0]}, {files[1]}: no answer in tuning open-g; choose with --tuning"
    with pytest.raises(NothingToSayError, match=told):
        history_of(sources, end_of(9), "open-g")
