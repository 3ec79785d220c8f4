"""True harmony: what cards say of chords, against the changes that they come from and the voices that sound."""

import re
from functools import lru_cache
from pathlib import Path

import pytest

from deckbuilder.build import notes_of
from deckbuilder.cards.changes import changes_in
from deckbuilder.cards.comping import change, loop_harmonies
from deckbuilder.cards.facts import Fact, Kind
from deckbuilder.cards.levels import LEVELS
from deckbuilder.cards.note import Note
from deckbuilder.cards.recipe import Recipe
from deckbuilder.cards.syllabus import syllabus
from deckbuilder.cards.tasks import TASKS
from deckbuilder.recipe import parse_recipe, read_recipe
from deckbuilder.sound.voice_leading import voice_led
from deckbuilder.theory.changes import SectionText, parse_form
from deckbuilder.theory.keys import DEFAULT_KEYS, Key
from deckbuilder.theory.tones import Tone, pretty
from tests.noted import tones_of

DECKS = Path(__file__).parents[2] / "deckbuilder" / "recipes"
EVERYTHING = [kind.value for kind in Kind]


@lru_cache
def notes(recipe: str) -> tuple[Note, ...]:
    return notes_of(read_recipe(DECKS / f"{recipe}.toml"))


def ending(recipe: str, end: str) -> Note:
    return next(note for note in notes(recipe) if note.id.endswith(f"region-1-of-5/{end}"))


@pytest.mark.parametrize("recipe", ["blues", "rhythm", "minor"])
def test_no_card_names_a_chord_that_the_changes_do_not_have(recipe: str) -> None:
    read = read_recipe(DECKS / f"{recipe}.toml")
    there = {chord.symbol for chord in changes_in(read.changes[0].form, read.keys[0]).chords}
    there |= {symbol.split("7")[0] + "7" for symbol in there if "7" in symbol}  # a colour may go without its name
    for note in notes(recipe):
        assert {chord.upper.symbol for chord in note.music.chords} <= there, note.id


def test_a_chord_that_alone_draws_on_the_key_has_its_own_scale_and_numbers() -> None:
    gm7 = ending("blues", "ii")
    assert gm7.words.label == "G dorian"
    assert gm7.words.task == "ii · scale"
    assert [(tone.name, tone.degree) for tone in gm7.words.tones if tone.is_guide] == [("B♭", "♭3"), ("F", "♭7")]
    assert gm7.music.degrees == ("1", "9", "b3", "11", "5", "13", "b7")
    assert gm7.words.why == "F major from G: it holds the guide tones B♭ (♭3) and F (♭7)."
    assert not [note for note in notes("blues") if note.words.task == "the key’s scale"]


def test_a_chord_on_a_scale_of_the_key_counts_it_from_its_own_root() -> None:
    sixth = ending("minor", "vim7b5/C-melodic-minor")
    assert sixth.words.label == "A locrian natural 9"
    assert sixth.music.degrees[0] == "1"
    assert tones_of(sixth)[0] == "A"


def test_a_keys_scale_without_its_tonic_chord_marks_no_guide_tones_and_sounds_a_chord_of_the_tune() -> None:
    scale = next(note for note in notes("minor") if note.words.task == "the key’s scale")
    assert (scale.words.label, scale.music.chord) == ("C natural minor", "Dm7b5")
    assert not any(tone.is_guide for tone in scale.words.tones)
    with_tonic = next(note for note in notes("rhythm") if note.words.task == "the key’s scale")
    assert [tone.name for tone in with_tonic.words.tones if tone.is_guide] == ["D", "A"]


def test_over_iii_before_vi_the_arpeggio_from_the_third_is_that_of_dorian() -> None:
    third = ending("rhythm", "iii/D-dorian/third")
    assert (third.words.label, third.words.over) == ("Fmaj7", "over Dm7 · iii in B♭")
    assert not [note for note in notes("rhythm") if note.words.label == "F7" and "over Dm7" in note.words.over]


ARPEGGIOS = (Fact.ARPEGGIO, Fact.SPELLING, Fact.SOURCE, Fact.INVERSIONS, Fact.READING)
"""Facts whose tones are named by the arpeggio's own symbol, a guide tone as the sounding chord names it beside."""


@pytest.mark.parametrize("key", DEFAULT_KEYS)
def test_the_third_of_an_altered_dominant_has_one_name_on_every_card(key: str) -> None:
    fields = {"keys": [key], "regions": [1], "kinds": EVERYTHING, "levels": [2, 3]}
    found = 0
    for note in notes_of(parse_recipe(fields, "test")):
        (*_, chord) = note.music.chords
        if chord.symbol.endswith("7alt") and len(note.music.chords) == 1:
            third = Tone.parse(chord.chord.root.name).above("M3")
            row = [tone.name for tone in note.words.tones if tone.degree == "3"]
            assert {name.split(" = ")[-1] for name in row} <= {third.label}, note.id
            arpeggio = note.identity.fact in ARPEGGIOS
            assert arpeggio or all(" = " not in name for name in row), note.id
            found += bool(row)
    assert found > 6


_MOVE = re.compile(r"its ([♭0-9]+) (\S+) (stays|falls|rises)(?: (a semitone|a whole step))?(?: as| to) the ([♭0-9]+)")
_WAYS = {"stays": 0, "falls": -1, "rises": 1}
_SIZES = {"": 0, "a semitone": 1, "a whole step": 2}


@lru_cache
def functions_asked() -> tuple[Note, ...]:
    found = tuple(note for note in syllabus(Recipe(kinds=(Kind.HEAR,))) if note.identity.fact is Fact.FUNCTION)
    assert {note.identity.function for note in found} == {"ii", "V", "I", "VI"}
    return found


def test_the_reason_of_a_function_says_what_the_voices_do() -> None:
    """Where the next chord sounds too, the voice with a guide tone goes as the reason says."""
    checked = 0
    for note in functions_asked():
        assert note.identity.item is not None
        (level,) = (level for level in LEVELS.values() if note.identity.item.startswith(f"{level.loop}-m"))
        loop = loop_harmonies(level, note.music.key)
        place = int(note.identity.item[-1]) - 1
        (start,) = (at for at, chord in enumerate(loop) if chord == note.music.chords[0])
        chords = (*loop, *loop)[(start - place) % len(loop) :][: len(loop)]
        voicings = voice_led([change(chord, 12 // len(loop)) for chord in chords])
        for _, name, way, size, _ in _MOVE.findall(note.words.why):
            if place + 1 < len(loop):
                step = _WAYS[way] * _SIZES[size]
                before, then = voicings[place : place + 2]
                pitches = [pitch for pitch in before[1:] if pitch % 12 == Tone.parse(name).pitch_class]
                assert pitches
                assert all(pitch + step in then for pitch in pitches), note.words.why
                checked += 1
    assert checked > 20


def test_over_v_to_i_the_third_stays_and_the_seventh_falls() -> None:
    """Common practice: the third of V becomes the seventh of I, its flat seventh falls to the third."""
    said_of = {"ii": set(), "V": set(), "VI": set()}  # type: dict[str, set[tuple[str, str, str]]]
    for note in functions_asked():
        if note.identity.function != "I":
            moves = _MOVE.findall(note.words.why)
            assert moves, note.words.why
            said_of[str(note.identity.function)] |= {(own, way, end) for own, _, way, _, end in moves}
            if note.identity.function == "V":
                assert moves[0][0::2] == ("3", "stays", "7"), note.words.why
    assert said_of == {
        "ii": {("♭3", "stays", "♭7"), ("♭7", "falls", "3")},
        "V": {("3", "stays", "7"), ("♭7", "falls", "3")},
        "VI": {("3", "falls", "♭7"), ("♭7", "falls", "♭3")},
    }


def said(task: str, bars: str, key: str = "C") -> str:
    form = parse_form("Mine", Key.parse_either(key), [SectionText("", bars)])
    passage = next(changes_in(form, key.removesuffix("m")).passages())
    return next(each for each in TASKS if each.text.startswith(task)).said(passage)


def test_a_task_says_what_it_means_over_chords_without_a_third_or_a_seventh() -> None:
    assert said("Land on the 7th", "| Dm7 G7 | Cmaj7 |") == "Land on the 7th of each chord, on its first beat."
    assert said("Land on the 7th", "| Dm7b5 G7 | Cm6 | Fm6 |", "Cm").endswith(" Over Cm6 and Fm6 the 6th.")
    assert said("Land on the 3rd", "| G7sus4 G7 | C6 |").endswith(" Over G7sus4 the 4th.")


def test_a_task_of_arpeggios_says_whose_third_is_meant() -> None:
    assert said("Only arpeggios from the third", "| Dm7 G7 | Cmaj7 |") == "Only arpeggios from the third."
    assert said("Only arpeggios from the third", "| Dm7 G7alt | Cmaj7 A7alt |").endswith(
        " Over G7alt and A7alt that is the third of the tritone substitute."
    )
    assert said("Only arpeggios from the root", "| Dm7 G7alt | Cmaj7 |").endswith(
        " Over G7alt that is the root of the tritone substitute."
    )


def test_no_task_speaks_of_beat_one_where_chords_may_arrive_on_another_beat() -> None:
    asked = [note for name in ("blues", "rhythm", "minor") for note in notes(name) if Kind.IMPROVISE in note.kinds]
    assert asked
    assert not [note.words.question for note in asked if "beat one" in note.words.question]


def test_a_spelling_with_an_accidental_says_that_another_name_is_right_too() -> None:
    spelled = [note for note in syllabus(Recipe(kinds=(Kind.SPELL,))) if note.identity.fact is Fact.SPELLING]
    for note in spelled:
        other = any(tone[1:] for tone in tones_of(note))
        assert note.words.why.endswith(" Another name of the same fret is right too.") == other, note.id
    assert pretty("Gb") in {tone.name for note in spelled for tone in note.words.tones}
