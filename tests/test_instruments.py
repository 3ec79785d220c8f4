"""Decks for other instruments: the laws of the default deck hold in any tuning."""

import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from deckbuilder.build import build, notes_of
from deckbuilder.cards.facts import Fact
from deckbuilder.cards.note import Note
from deckbuilder.deck.check import check_package
from deckbuilder.deck.store import Store
from deckbuilder.neck.instrument import Instrument
from deckbuilder.neck.tuning import TUNINGS, NeckError, pitch_name
from deckbuilder.picture.render import render
from deckbuilder.recipe import Recipe, RecipeError, parse_recipe
from deckbuilder.sound.description import Patch
from deckbuilder.theory.tones import Tone
from tests.noted import clip_of, heard_example, picture_of, tones_of

NECK_KINDS = ["locate", "identify", "spell"]
INSTRUMENTS: dict[str, dict[str, object]] = {
    **{name: {"tuning": name} for name in TUNINGS},
    "custom": {"tuning": ["E2", "A2", "D3", "G3", "C4", "F#4"]},
    "left": {"hand": "left"},
    "capo": {"capo": 2},
    "seven regions": {"regions": 7},
    "three regions": {"regions": 3},
}


def recipe(instrument: dict[str, object], **fields: object) -> Recipe:
    return parse_recipe({"keys": ["F", "E"], "kinds": NECK_KINDS, "instrument": instrument, **fields}, "test")


def neck_laws(notes: tuple[Note, ...], instrument: Instrument) -> None:
    """Check what has to hold for every fact on any instrument."""
    capo, frets = instrument.capo, instrument.frets
    for note in notes:
        tones = {Tone.parse(name).pitch_class for name in tones_of(note)}
        assert list(note.music.midi) == sorted(set(note.music.midi)), note.words.prompt
        assert [instrument.tuning.midi(place) for place in note.music.places] == list(note.music.midi), (
            note.words.prompt
        )
        assert all(capo <= place.fret <= frets for place in note.music.places), note.words.prompt
        assert {midi % 12 for midi in note.music.midi} <= tones, note.words.prompt
        if note.music.region is not None:
            reach = range(note.music.region.index_fret - 2, note.music.region.index_fret + 7)
            assert all(place.fret in reach or place.fret == capo for place in note.music.places), note.words.prompt
        if note.identity.fact is not Fact.SPELLING and note.music.midi:
            within = range(note.music.midi[0], note.music.midi[-1] + 1)
            wanted = [midi for midi in within if midi % 12 in tones]
            assert sorted({*note.music.midi, *note.music.missing}) == wanted, note.words.prompt
            assert not set(note.music.midi) & set(note.music.missing)


@pytest.mark.parametrize("name", INSTRUMENTS)
def test_the_laws_hold_on_every_instrument(name: str) -> None:
    asked = recipe(INSTRUMENTS[name])
    notes = notes_of(asked)
    neck_laws(notes, asked.instrument.neck)
    assert len({note.id for note in notes}) == len(notes)
    assert len(notes) == 2 * (13 * asked.instrument.regions + 10)


@pytest.mark.parametrize("name", ["dadgad", "drop-d", "all-fourths", "bass-4", "ukulele", "custom", "left", "capo"])
def test_a_deck_is_built_and_checked(name: str, tmp_path: Path) -> None:
    asked = recipe(INSTRUMENTS[name], keys=["F"], regions=[1, 5], levels=[2])
    target = tmp_path / "deck.apkg"
    build(asked, target, store=Store(tmp_path / "store"), timestamp=1.7e9)
    findings = check_package(target)
    assert findings.problems == ()
    assert findings.notes == 8


def test_what_the_hand_cannot_reach_is_told() -> None:
    """With neighbouring strings an octave and more apart, some tones lie under no finger."""
    notes = notes_of(recipe({"tuning": "E2,E3,E4"}, keys=["F"]))
    told = [note for note in notes if note.music.missing]
    assert told
    for note in told:
        assert note.words.missing.startswith("Out of the hand’s reach here: ")


def test_two_tunings_make_two_decks() -> None:
    standard, dadgad = recipe({}), recipe({"tuning": "DADGAD"})
    assert dadgad.deck_title == "The whole neck (dadgad)"
    assert not {note.id for note in notes_of(standard)} & {note.id for note in notes_of(dadgad)}


def test_the_hand_mirrors_pictures_and_changes_no_id() -> None:
    right, left = notes_of(recipe({})), notes_of(recipe({"hand": "left"}))
    assert [note.id for note in right] == [note.id for note in left]
    assert [note.music.places for note in right] == [note.music.places for note in left]
    assert render(picture_of(right[0])) != render(picture_of(left[0]))


def test_a_capo_is_part_of_the_id_and_fretted_from_the_nut() -> None:
    notes = notes_of(recipe({"capo": 2}))
    assert all(note.id.startswith("E2-A2-D3-G3-B3-E4+capo-2/") for note in notes)
    opens = [line for note in notes for line in note.words.places if "open" in line]
    assert opens
    assert not any(re.search(r": .*\b2\b", line) for note in notes for line in note.words.places)


def test_the_same_pitches_are_the_same_tuning_by_any_name() -> None:
    named, listed = recipe({"tuning": "drop-d"}), recipe({"tuning": ["D2", "A2", "D3", "G3", "B3", "E4"]})
    assert [note.id for note in notes_of(named)] == [note.id for note in notes_of(listed)]


@pytest.mark.parametrize("name", ["bass-4", "baritone", "ukulele"])
def test_chords_lie_in_the_instruments_register(name: str) -> None:
    lowest = min(TUNINGS[name].open_midi)
    for note in notes_of(recipe({"tuning": name}, keys=["F"])):
        chord = [event.midi for event in clip_of(note).events[:3]]
        assert lowest <= chord[0] < lowest + 12


@pytest.mark.parametrize(
    ("name", "patch"), [("standard", "guitar"), ("bass-4", "bass"), ("ukulele", "nylon"), ("mandolin", "mandolin")]
)
def test_the_player_hears_the_own_instrument(name: str, patch: str) -> None:
    notes = notes_of(recipe({"tuning": name}, keys=["F"], levels=[1], regions=[1], kinds=[*NECK_KINDS, "improvise"]))
    for note in notes:
        if note.identity.fact is Fact.IMPROVISATION:
            assert {"guitar", "bass", "ride", patch} == {event.patch.value for event in heard_example(note).events}
        else:
            assert {event.patch.value for event in clip_of(note).events} == {patch}


@pytest.mark.parametrize("name", TUNINGS)
def test_every_tuning_names_a_string_that_sounds(name: str) -> None:
    assert Patch(TUNINGS[name].patch) not in (Patch.RIDE, Patch.CLICK)


@settings(max_examples=40, deadline=None)
@given(
    lowest=st.integers(28, 76),
    steps=st.lists(st.integers(-12, 12), min_size=2, max_size=9),
    frets=st.integers(12, 24),
    capo=st.integers(0, 5),
    count=st.integers(3, 7),
)
def test_any_tuning_keeps_the_laws_or_is_refused_once(
    lowest: int, steps: list[int], frets: int, capo: int, count: int
) -> None:
    pitches = [lowest]
    for step in steps:
        pitches.append(pitches[-1] + step)
    if not all(21 <= pitch <= 76 for pitch in pitches):
        return
    fields = {"tuning": [pitch_name(pitch) for pitch in pitches], "frets": frets, "capo": capo, "regions": count}
    try:
        asked = recipe(fields, keys=["Bb"])
    except RecipeError as error:
        refused = str(error)
    else:
        refused = ""
    if refused:
        assert len(refused.splitlines()) == 1
        assert "instrument" in refused
        return
    notes = notes_of(asked)
    neck_laws(notes, asked.instrument.neck)
    for note in notes[::7]:
        assert render(picture_of(note))


@pytest.mark.parametrize(
    ("instrument", "said"),
    [
        ({"tuning": "dadgda"}, "did you mean 'dadgad'"),
        ({"tuning": ["E2"]}, "1 string; give the pitches of 3 to 10"),
        ({"tuning": ["E2"] * 11}, "3 to 10"),
        ({"tuning": "E9,A2,B2"}, "E9 is out of range"),
        ({"frets": 0}, "instrument.frets = 0"),
        ({"frets": 99}, "instrument.frets = 99"),
        ({"capo": 30}, "capo at fret 30 of 22"),
        ({"capo": -1}, "capo at fret -1"),
        ({"regions": 2}, "instrument.regions = 2"),
        ({"regions": 8}, "instrument.regions = 8"),
        ({"tuning": "ukulele", "regions": 7}, "instrument.regions = 7"),
        ({"hand": "up"}, "choose from right, left"),
    ],
)
def test_bad_instruments_are_refused(instrument: dict[str, object], said: str) -> None:
    with pytest.raises(RecipeError) as caught:
        recipe(instrument)
    assert said in str(caught.value)


def test_a_known_name_is_an_instrument_with_its_usual_frets() -> None:
    assert recipe({"tuning": "ukulele"}).instrument.frets == TUNINGS["ukulele"].usual_frets == 12
    with pytest.raises(NeckError):
        Instrument(TUNINGS["ukulele"], 5)
