"""What a player reads on the cards of F, region five."""

import pytest

from deckbuilder.cards.facts import Fact, Slot
from deckbuilder.cards.note import Note
from deckbuilder.cards.recipe import Recipe
from deckbuilder.cards.rounds import round_of
from deckbuilder.cards.syllabus import syllabus


@pytest.fixture(scope="module")
def by_prompt() -> dict[str, Note]:
    return {note.words.prompt: note for note in syllabus(Recipe(keys=("F",), regions=(5,)))}


def test_a_prompt_names_key_region_position_chord_and_source(by_prompt: dict[str, Note]) -> None:
    assert "F · region 5 (X) · V altered · arpeggio from the third" in by_prompt
    assert "F · region 5 (X) · ii · arpeggio from the root" in by_prompt
    assert "F · region 5 (X) · the key’s scale" in by_prompt
    spelling = by_prompt["F · VI altered · arpeggio from the root · spell it"]
    assert "spell" not in spelling.words.task, "the card’s own line asks for it"


def test_the_answer_gives_symbol_tones_degrees_places_and_reason(by_prompt: dict[str, Note]) -> None:
    note = by_prompt["F · region 5 (X) · V altered · arpeggio from the third"]
    assert note.words.label == "B♭m7♭5"
    assert note.words.over == "over C7alt · V altered in F"
    assert [(tone.name, tone.degree, tone.is_guide) for tone in note.words.tones] == [
        ("B♭", "♭7", True),
        ("D♭", "♭9", False),
        ("F♭ = E", "3", True),
        ("A♭", "♭13", False),
    ]
    assert note.words.places[0] == "6th string: 12"
    assert note.words.why == (
        "Built on the third of G♭7, the tritone substitute: "
        "the guide tones B♭ (♭7) and F♭ = E (3), coloured by D♭ (♭9) and A♭ (♭13)."
    )


def test_the_alternative_text_says_what_the_picture_shows(by_prompt: dict[str, Note]) -> None:
    note = by_prompt["F · region 5 (X) · V altered · arpeggio from the third"]
    assert "6th string: fret 12 is 3;" in note.media[Slot.PICTURE].alt
    assert note.media[Slot.PICTURE].alt.count("fret") == len(note.music.midi)


@pytest.mark.parametrize(
    ("prompt", "why"),
    [
        ("F · region 5 (X) · ii · arpeggio from the third", "Built on the minor third of Gm7"),
        ("F · region 5 (X) · V altered · arpeggio from the root", "G♭7 is the tritone substitute of C7"),
        ("F · region 5 (X) · V altered · scale", "The same notes as D♭ melodic minor, heard over C"),
        ("F · region 5 (X) · the key’s scale", "ii, V and I of F all draw on it"),
    ],
)
def test_reasons(by_prompt: dict[str, Note], prompt: str, why: str) -> None:
    assert by_prompt[prompt].words.why.startswith(why)


def test_tags_name_every_axis(by_prompt: dict[str, Note]) -> None:
    note = by_prompt["F · region 5 (X) · V altered · arpeggio from the third"]
    assert set(note.tags) == {
        "level::2",
        "key::F",
        "region::5",
        "function::V",
        "colour::altered",
        "source::third",
        f"fact::{Fact.ARPEGGIO}",
        "tuning::standard",
        f"round::{round_of(note.identity)}",
    }
