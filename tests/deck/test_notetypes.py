"""Note types: what the table of card types says and what the templates show are the same."""

import re

import pytest

from deckbuilder.cards.asks import Ask
from deckbuilder.cards.cardtypes import CARD_TYPES, CardType
from deckbuilder.cards.facts import Slot
from deckbuilder.deck.fields import slot_field
from deckbuilder.deck.notetypes import SPARE, field_names, model_of
from deckbuilder.speech import Language, Speech, speaking

ASKS = [pytest.param(row, ask, id=f"{row.fact}-{ask.kind}") for row in CARD_TYPES.values() for ask in row.asks]


def shown(html: str) -> set[str]:
    return set(re.findall(r"\{\{(?![#^/])([^{}]+)\}\}", html))


@pytest.mark.parametrize(("row", "ask"), ASKS)
def test_each_side_shows_the_slots_that_the_table_names(row: CardType, ask: Ask) -> None:
    slots = {slot_field(slot) for slot in Slot}
    template = next(each for each in model_of(row).templates if each["name"] == ask.kind.value)
    assert shown(template["qfmt"]) & slots == set(map(slot_field, ask.front))
    assert shown(template["afmt"]) & slots == set(map(slot_field, ask.back))
    assert shown(template["qfmt"]) | shown(template["afmt"]) <= set(field_names(row))


@pytest.mark.parametrize("row", CARD_TYPES.values(), ids=lambda row: row.fact)
def test_every_note_type_has_spare_fields_and_no_field_twice(row: CardType) -> None:
    names = field_names(row)
    assert len(set(names)) == len(names)
    assert {"Notation", "Slow clip", "Extra", "Hint", "Spare"} == set(SPARE) <= set(names)


def test_facts_note_types_and_numbers_for_the_ear_are_told_apart() -> None:
    rows = CARD_TYPES.values()
    assert len({row.note_type for row in rows}) == len({row.name for row in rows}) == len(rows)
    numbers = [row.ear_number for row in rows if row.ear]
    assert len(set(numbers)) == len(numbers)


@pytest.mark.parametrize(("language", "code"), [(Language.ENGLISH, "en"), (Language.GERMAN, "de")])
def test_every_side_names_its_language(language: Language, code: str) -> None:
    with speaking(Speech(language)):
        for row in CARD_TYPES.values():
            for template in model_of(row).templates:
                assert f'<div class="front" lang="{code}">' in template["qfmt"]
                assert f'<div class="back" lang="{code}">' in template["afmt"]
