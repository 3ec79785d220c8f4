"""What a screen reader says: no sign that it would skip, and a name for every sound."""

import re

import pytest

from deckbuilder.build import notes_of
from deckbuilder.cards.cardtypes import shown
from deckbuilder.cards.facts import Fact, Kind, Slot
from deckbuilder.cards.spoken import spoken
from deckbuilder.deck.fields import fields_of, slot_field
from deckbuilder.medium import MediaType
from deckbuilder.recipe import parse_recipe
from deckbuilder.speech import Names, Speech, speaking

NOTES = notes_of(parse_recipe({"keys": ["Db"], "regions": [5], "kinds": [kind.value for kind in Kind]}, "test"))
UNSAID = re.compile(r"[♭♯ø°]|maj7|m7|7alt|dim7| {2}| [.,;:]")


@pytest.mark.parametrize(
    ("shown_text", "said"),
    [
        ("6th string: fret 10 is ♭7, fret 12 is 1.", "6th string: fret 10 is flat 7, fret 12 is 1."),
        ("Bar 1, Gm7: B♭ D F A.", "Bar 1, G minor 7: B flat D F A."),
        ("B♭m7♭5", "B flat minor 7 flat 5"),
        ("C7alt and E♭maj7", "C 7 altered and E flat major 7"),
        ("♭♭7 of F♯dim7", "double flat 7 of F sharp diminished 7"),
        ("♯iv°7, iiiø7", "sharp iv diminished 7, iii half-diminished 7"),
        ("E♭mMaj7/B♭", "E flat minor major 7/B flat"),
        ("G7sus4", "G 7 suspended 4"),
        ("A scale in region 5 (IX)", "A scale in region 5 (IX)"),
        ("An example: Dm", "An example: D minor"),
        ("", ""),
    ],
)
def test_signs_and_symbols_are_written_out(shown_text: str, said: str) -> None:
    assert spoken(shown_text) == said


@pytest.mark.parametrize(
    ("names", "shown_text", "said"),
    [
        (Names.GERMAN, "Bm7♭5, Fism7 and Esus4", "B minor 7 flat 5, Fis minor 7 and E suspended 4"),
        (Names.GERMAN, "Esmaj7/B: H D", "Es major 7/B: H D"),
        (Names.SOLFEGE, "Solm7 and Ré♭maj7/Fa", "Sol minor 7 and Ré flat major 7/Fa"),
        (Names.SOLFEGE, "A scale, Dodim7", "A scale, Do diminished 7"),
    ],
)
def test_symbols_are_written_out_in_all_names(names: Names, shown_text: str, said: str) -> None:
    with speaking(Speech(names=names)):
        assert spoken(shown_text) == said


def test_no_alternative_text_has_a_sign_that_is_skipped() -> None:
    said = {each.alt for note in NOTES for each in shown(note).values()}
    assert len(said) > 50
    assert not [text for text in said if UNSAID.search(text)]


def test_every_sound_says_what_it_is() -> None:
    named: dict[Fact | Slot, set[str]] = {}
    for note in NOTES:
        for slot, each in shown(note).items():
            if each.description.media_type is MediaType.SOUND:
                assert f' aria-label="{each.alt}">' in fields_of(note)[slot_field(slot)]
                about = Fact(note.identity.fact) if slot is Slot.CLIP else slot
                named.setdefault(about, set()).add(each.alt)
    assert named.keys() == {*Fact, Slot.EXAMPLE, Slot.SLOW_CLIP} - {Fact.SIGHT}
    assert all(len(names) == 1 and names.pop().startswith("Play ") for names in map(set, named.values()))
    assert {"Play the sound"} not in named.values()
    loop = [named[about] for about in (Fact.IMPROVISATION, Slot.EXAMPLE, Slot.SLOW_CLIP)]
    assert loop == [{"Play the loop"}, {"Play the example line"}, {"Play the example line slowly"}]
