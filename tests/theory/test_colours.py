"""Colours: scales without double accidentals, carriers by one rule, and results that new colours leave as they were."""

import re
from pathlib import Path

import pytest

from deckbuilder.theory.arpeggios import Relation, Source, arpeggio, carriers
from deckbuilder.theory.colours import COLOURS, Colour, colour_named
from deckbuilder.theory.functions import FUNCTIONS, Harmony, harmony
from deckbuilder.theory.keys import KEY_NAMES, Key
from deckbuilder.theory.scales import parent_tones
from deckbuilder.theory.tones import TheoryError, exactly_above, pretty

_PINNED = Path(__file__).with_name("pinned_arpeggios.txt")
_BY_DEGREES = {"altered", "half-whole-diminished", "whole-tone"}


def _dominant(key: str, colour: str) -> Harmony:
    return harmony(Key.parse(key), FUNCTIONS["V"], COLOURS[colour])


def _as_pinned(key: str, function: str, colour: str) -> str:
    chord = harmony(Key.parse(key), FUNCTIONS[function], COLOURS.get(colour))
    cells = [key, function, colour, " ".join(tone.name for tone in chord.scale.tones)]
    for source in Source:
        found = arpeggio(chord, source)
        named = zip(found.chord.tones, found.degrees, strict=True)
        cells.append(" ".join([found.chord.symbol, *(f"{tone.name}={degree}" for tone, degree in named)]))
    cells.append(" ".join(carrier.symbol for carrier in carriers(chord)))
    return " | ".join(cells)


def test_plain_and_altered_are_as_they_were_before_the_other_colours_came() -> None:
    lines = _PINNED.read_text().splitlines()
    assert len(lines) == len(KEY_NAMES) * 6
    for line in lines:
        key, function, colour = line.split(" | ")[:3]
        assert _as_pinned(key, function, colour) == line


@pytest.mark.parametrize("colour", COLOURS.values(), ids=lambda colour: colour.name)
def test_people_read_the_name_with_real_accidentals_and_words_apart(colour: Colour) -> None:
    assert colour.label == pretty(colour.label)
    assert not re.search("[b#][0-9]", colour.label)
    assert re.split("[ -]", colour.label.replace("♭", "b")) == colour.name.split("-")
    assert "-" not in colour.label.replace("half-whole", "")


@pytest.mark.parametrize("colour", COLOURS.values(), ids=lambda colour: colour.name)
@pytest.mark.parametrize("key", KEY_NAMES)
def test_a_colour_holds_its_dominant_and_shows_no_double_accidental(key: str, colour: Colour) -> None:
    chord = _dominant(key, colour.name)
    root, tones = chord.chord.root, chord.scale.tones
    parent = parent_tones(colour.parent, exactly_above(root, colour.tonic))
    assert {tone.pitch_class for tone in parent} == chord.scale.pitch_classes
    assert len(chord.scale.pitch_classes) == len(tones)
    assert tones[0] == root or colour.name == "plain"
    assert {tone.pitch_class for tone in chord.chord.guide_tones} <= chord.scale.pitch_classes
    assert all(abs(tone.accidental) <= 1 for tone in tones)


@pytest.mark.parametrize("colour", COLOURS)
@pytest.mark.parametrize("key", KEY_NAMES)
def test_every_colour_yields_two_arpeggios_that_hold_both_guide_tones(key: str, colour: str) -> None:
    chord = _dominant(key, colour)
    guides = {tone.pitch_class for tone in chord.chord.guide_tones}
    from_root, from_third = (arpeggio(chord, source) for source in Source)
    for found in (from_root, from_third):
        assert guides <= found.chord.pitch_classes <= chord.scale.pitch_classes
        assert len(found.reason.guides) == 2
        assert all(abs(tone.accidental) <= 1 for tone in found.chord.tones)
    assert from_third.chord.root.pitch_class == from_root.chord.tones[1].pitch_class
    substituted = from_root.reason.relation is Relation.TRITONE_SUBSTITUTE
    assert substituted == (colour == "altered")


@pytest.mark.parametrize("key", KEY_NAMES)
def test_carriers_are_found_in_every_key_at_the_same_distances(key: str) -> None:
    for colour in COLOURS:
        here, in_c = _dominant(key, colour), _dominant("C", colour)

        def shape(chord: Harmony) -> set[tuple[int, str]]:
            root = chord.chord.root.pitch_class
            return {((found.root.pitch_class - root) % 12, found.quality.suffix) for found in carriers(chord)}

        assert shape(here) == shape(in_c)


def test_colours_that_their_parent_spells_use_each_letter_once_where_no_double_accidental_is_respelled() -> None:
    for colour in COLOURS.keys() - _BY_DEGREES:
        assert sorted(tone.letter for tone in _dominant("F", colour).scale.tones) == list("ABCDEFG")


def test_every_colour_says_what_it_gives_in_a_phrase() -> None:
    phrases = [colour.gives for colour in COLOURS.values()]
    assert len(set(phrases)) == len(COLOURS)
    assert all(10 < len(phrase) < 80 and not phrase.endswith(".") for phrase in phrases)


def test_an_unknown_colour_is_refused_with_the_choice() -> None:
    with pytest.raises(TheoryError, match=r"'purple' is not a dominant colour; choose from plain, altered"):
        colour_named("purple")
