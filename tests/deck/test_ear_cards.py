"""Cards for the ear as an app shows them: the front is a clip and a question, and gives nothing away."""

import re

import pytest

from deckbuilder.cards.cardtypes import CARD_TYPES
from deckbuilder.cards.facts import AnyFact, AnyKind, Fact, Kind
from deckbuilder.cards.note import Note
from deckbuilder.cards.recipe import Recipe
from deckbuilder.cards.syllabus import syllabus
from deckbuilder.deck.fields import fields_of
from deckbuilder.deck.listing import note_values
from deckbuilder.deck.notetypes import field_names, model_of

EAR = (Fact.COLOUR, Fact.SOURCE, Fact.TARGET, Fact.FUNCTION)


@pytest.fixture(scope="module")
def notes() -> tuple[Note, ...]:
    return syllabus(Recipe(keys=("F", "Db")))


def template(fact: AnyFact, kind: AnyKind, side: str) -> str:
    templates = model_of(CARD_TYPES[fact]).templates
    return str(next(each[side] for each in templates if each["name"] == kind.value))


def shown(html: str) -> set[str]:
    """Names of the fields whose text a side shows."""
    return set(re.findall(r"\{\{([^#/}]+)\}\}", html))


@pytest.mark.parametrize("fact", [*EAR, Fact.ARPEGGIO, Fact.SCALE])
def test_the_front_is_key_question_and_clip_alone(fact: Fact) -> None:
    assert shown(template(fact, Kind.HEAR, "qfmt")) == {"Key", "Question", "Clip", "Hint"}


@pytest.mark.parametrize("fact", [*EAR, Fact.ARPEGGIO])
def test_the_back_has_answer_reason_picture_and_clip(fact: Fact) -> None:
    assert {"Answer", "Over", "Why", "Picture", "Clip"} <= shown(template(fact, Kind.HEAR, "afmt"))


def test_an_improvisation_shows_its_neck_on_the_back_only() -> None:
    front = shown(template(Fact.IMPROVISATION, Kind.IMPROVISE, "qfmt"))
    assert front == {"Key", "Where", "Question", "Task", "Clip", "Hint"}
    assert {"Picture", "Why"} <= shown(template(Fact.IMPROVISATION, Kind.IMPROVISE, "afmt"))


def test_no_front_shows_tags(notes: tuple[Note, ...]) -> None:
    for row in CARD_TYPES.values():
        for ask in row.asks:
            assert "Tags" not in template(row.fact, ask.kind, "qfmt")


def test_a_clip_is_named_by_its_digest(notes: tuple[Note, ...]) -> None:
    for note in notes:
        if Kind.HEAR in note.kinds:
            assert re.search(r">\[sound:clip-[0-9a-f]{24}\.mp3\]<", fields_of(note)["Clip"])


def test_the_flag_of_every_kind_is_there_from_the_first_day(notes: tuple[Note, ...]) -> None:
    for note in notes:
        row, fields = CARD_TYPES[note.identity.fact], fields_of(note)
        assert set(fields) <= set(field_names(row))
        kinds = {ask.kind for ask in row.asks}
        assert set(note.kinds) <= kinds
        assert {kind for kind in kinds if fields.get(f"Ask {kind.value}")} == set(note.kinds)


def test_model_ids_are_fixed() -> None:
    ids = {fact.value: row.note_type for fact, row in CARD_TYPES.items()}
    assert {name: ids[name] for name in ("colour", "source", "target", "function", "improvisation")} == {
        "colour": 1_406_530_104,
        "source": 1_406_530_105,
        "target": 1_406_530_106,
        "function": 1_406_530_107,
        "improvisation": 1_406_530_108,
    }
    assert len(set(ids.values())) == len(ids)


def test_the_list_has_answers_for_the_ear_alone(notes: tuple[Note, ...]) -> None:
    for note in notes:
        answer = note_values(note)["answer"]
        assert (answer is not None) == (note.identity.fact in EAR)
        match note.identity.fact:
            case Fact.COLOUR:
                assert answer == note_values(note)["colour"]
            case Fact.SOURCE:
                assert answer == note_values(note)["source"]
            case Fact.FUNCTION:
                assert answer == note_values(note)["function"]
            case Fact.TARGET:
                assert [answer] == note_values(note)["degrees"]
