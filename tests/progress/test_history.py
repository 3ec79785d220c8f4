"""Reading: whose notes are ours, which answers count, and what the schedule says."""

import json
from pathlib import Path

import pytest

from deckbuilder.build import notes_of
from deckbuilder.deck.package import write_package
from deckbuilder.progress.history import NothingToSayError
from deckbuilder.progress.memory import recall_today
from deckbuilder.progress.records import Card, Memory
from deckbuilder.recipe import parse_recipe
from tests.progress.exports import CREATED, DAY, Log, StudiedCard, StudiedNote, write_export
from tests.progress.read import read_history

NOW = CREATED + 30.5 * DAY
TAGS = {"level": 1, "key": "F", "region": 5, "fact": "arpeggio", "tuning": "standard"}
ID = "E2-A2/arpeggio/F/region-5-of-5/ii/root"
LOG = (Log(CREATED + 3600, 3),)


def read(tmp_path: Path, *notes: StudiedNote, now: float = NOW, tuning: str | None = None) -> list[Card]:
    return list(read_history(write_export(tmp_path / "export", notes, "anki2"), now, tuning).cards)


def one_card(tmp_path: Path, card: StudiedCard) -> Card:
    (found,) = read(tmp_path, StudiedNote(ID, TAGS, (card,)))
    return found


def test_the_notes_of_a_real_package_are_known_again(tmp_path: Path) -> None:
    recipe = parse_recipe({"keys": ["F"], "regions": [1, 5]}, "test")
    notes = notes_of(recipe)
    path = tmp_path / "deck.apkg"
    write_package(path, "Deck", notes, {}, CREATED)
    with pytest.raises(NothingToSayError, match="nothing was studied yet"):
        read_history(path, NOW)
    answered = _answer_first_card_of_each_note(path)
    history = read_history(path, NOW)
    assert answered == len(notes)
    assert sorted(card.note for card in history.cards if card.answers) == sorted(note.id for note in notes)
    assert len(history.cards) == sum(len(note.kinds) for note in notes)
    kinds = {(card.note, card.kind) for card in history.cards}
    assert kinds == {(note.id, kind.value) for note in notes for kind in note.kinds}
    assert {card.axes["tuning"] for card in history.cards} == {"standard"}


def _answer_first_card_of_each_note(path: Path) -> int:
    import sqlite3
    import zipfile

    with zipfile.ZipFile(path) as archive:
        data = archive.read("collection.anki2")
    connection = sqlite3.connect(":memory:")
    connection.deserialize(data)
    cards = connection.execute("select min(id) from cards group by nid").fetchall()
    for number, (card,) in enumerate(cards):
        at = round((CREATED + DAY) * 1000) + number
        connection.execute("insert into revlog values (?, ?, -1, 3, 1, 1, 2500, 8000, 0)", (at, card))
    connection.commit()
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("collection.anki2", connection.serialize())
    connection.close()
    return len(cards)


def test_other_notes_are_passed_over(tmp_path: Path) -> None:
    ours = StudiedNote(ID, TAGS, (StudiedCard(0, LOG),))
    stranger = StudiedNote("somebody’s", {"key": "C"}, (StudiedCard(0, LOG),), note_type=3)
    copied = StudiedNote(f"{ID}/copy", TAGS, (StudiedCard(0, LOG),), guid="made-by-hand")
    untagged = StudiedNote(f"{ID}/untagged", {}, (StudiedCard(0, LOG),))
    assert [card.note for card in read(tmp_path, stranger, copied, ours, untagged)] == [ID]


def test_an_axis_repeats_no_hostile_words(tmp_path: Path) -> None:
    tags = {**TAGS, "colour": "<script>", "source": "\x1b[31mred"}
    (card,) = read(tmp_path, StudiedNote(ID, tags, (StudiedCard(0, LOG),), more_tags=("leech", "key::C")))
    assert dict(card.axes) == {axis: str(value) for axis, value in TAGS.items()}


def test_answers_that_moved_no_card_do_not_count(tmp_path: Path) -> None:
    log = (
        Log(CREATED + 100, 3, study=0),
        Log(CREATED + 200, 0, study=4),  # a due date set by hand
        Log(CREATED + 300, 3, study=3, factor=0),  # looked through, without effect on the schedule
        Log(CREATED + 400, 2, study=3, factor=2300),  # a filtered deck that does reschedule
        Log(NOW + DAY, 3),  # after the day that is looked back from
        Log(1000.0, 3),  # a clock that stood in 1970
    )
    card = one_card(tmp_path, StudiedCard(0, log))
    assert [round(answer.at - CREATED) for answer in card.answers] == [100, 400]


def test_the_schedule_is_read_in_days(tmp_path: Path) -> None:
    assert one_card(tmp_path, StudiedCard(0, LOG, due=31)).due == 31
    learning = StudiedCard(0, LOG, type=1, queue=1, due=CREATED + 30 * DAY + 60, interval=-600)
    found = one_card(tmp_path, learning)
    assert (found.due, found.interval) == (30, None)
    filtered = StudiedCard(0, LOG, due=-100_000, original_due=40, original_deck=9)
    assert one_card(tmp_path, filtered).due == 40
    assert one_card(tmp_path, StudiedCard(0, LOG, queue=-1, due=3)).due is None
    assert one_card(tmp_path, StudiedCard(0, LOG, queue=-2, due=3)).due == 3


@pytest.mark.parametrize(
    ("data", "memory"),
    [
        (json.dumps({"s": 12.5, "d": 6.1, "dr": 0.9}), Memory(12.5, 0.5)),
        (json.dumps({"s": 12.5, "d": 6.1, "decay": 0.2}), Memory(12.5, 0.2)),
        (json.dumps({"s": 12.5, "d": 6.1, "decay": 0.0001}), None),
        (json.dumps({"pos": 4}), None),
        ("", None),
        ("not json", None),
        ("[3]", None),
        (json.dumps({"s": -3}), None),
        (json.dumps({"s": "NaN"}), None),
        ('{"s": NaN}', None),
        ('{"s": 1e999}', None),
    ],
)
def test_a_stored_memory_state_is_read_where_it_makes_sense(tmp_path: Path, data: str, memory: Memory | None) -> None:
    card = one_card(tmp_path, StudiedCard(0, LOG, data=data))
    assert card.memory == memory
    recall = recall_today(card, NOW)
    assert recall is not None
    assert 0 < recall < 1


def test_each_tuning_has_a_history_of_its_own(tmp_path: Path) -> None:
    here = StudiedNote(ID, TAGS, (StudiedCard(0, LOG), StudiedCard(1, LOG)))
    there = StudiedNote("E2-A3/x", {**TAGS, "tuning": "other"}, (StudiedCard(0, LOG),))
    path = write_export(tmp_path / "export", [there, here], "anki2")
    most = read_history(path, NOW)
    assert (most.tuning, most.other_tunings, len(most.cards)) == ("standard", ("other",), 2)
    asked = read_history(path, NOW, "other")
    assert (asked.tuning, asked.instrument, len(asked.cards)) == ("other", "E2-A3", 1)
    with pytest.raises(NothingToSayError, match="no answer in tuning third; choose with --tuning: other, standard"):
        read_history(path, NOW, "third")


def test_another_number_of_regions_is_not_mixed_in(tmp_path: Path) -> None:
    five = [StudiedNote(f"E2/a/F/region-{n}-of-5", TAGS, (StudiedCard(0, LOG),)) for n in (1, 2)]
    four = StudiedNote("E2/a/F/region-1-of-4", TAGS, (StudiedCard(0, LOG),))
    spelling = StudiedNote("E2/spelling/F", TAGS, (StudiedCard(0, LOG),))
    found = read(tmp_path, four, *five, spelling)
    assert {card.note for card in found} == {five[0].id, five[1].id, spelling.id}
