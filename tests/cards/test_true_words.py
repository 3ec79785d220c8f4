"""What cards say is true of the music they show: in every colour and over every kind of chord in one's own changes."""

import re
from collections.abc import Iterator
from itertools import chain

import pytest

from deckbuilder.build import notes_of
from deckbuilder.cards.facts import Fact, Kind, Slot
from deckbuilder.cards.note import Note
from deckbuilder.cards.recipe import Recipe
from deckbuilder.cards.spoken import spoken
from deckbuilder.cards.syllabus import syllabus
from deckbuilder.cards.tunes import Tune
from deckbuilder.picture.description import NeckPicture, Role
from deckbuilder.preview.cards import values_of
from deckbuilder.recipe import read_recipe
from deckbuilder.theory.colours import COLOURS
from deckbuilder.theory.symbols import ChordSymbol
from deckbuilder.theory.tones import Tone
from tests.cards.test_changes_cards import DECKS
from tests.noted import picture_of, shown_in, tones_of

EVERY_KIND_OF_CHORD = (
    "| C7#5 | F6 | Fm6 | G7sus4 | C#dim7 | AbmMaj7 | Ebmaj7#5 | B7b9 "
    "| F#7alt | A7#5 | D13b9 | Bm7b5 | E7b13 | Bb7#11 | Db6 | Am6 | Dm7 | G7 |"
)
LETTERS = "CDEFGAB"


def tune(bars: str, name: str = "Mine") -> Tune:
    return Tune(name, "C", bars=(bars,))


@pytest.fixture(scope="module")
def notes() -> tuple[Note, ...]:
    """One region of every key: the levels in every colour, and changes with every kind of chord."""
    kinds = tuple(kind for kind in Kind if kind is not Kind.CONNECT)
    asked = Recipe(regions=(1,), colours=tuple(COLOURS), kinds=kinds, changes=(tune(EVERY_KIND_OF_CHORD),))
    return syllabus(asked)


def of(fact: Fact, notes: tuple[Note, ...]) -> list[Note]:
    return [note for note in notes if note.identity.fact is fact]


def pitch_classes(note: Note) -> set[int]:
    return {Tone.parse(name).pitch_class for name in tones_of(note)}


def named_tones(text: str) -> list[int]:
    """Return the pitch classes of tones that a text names with their degrees, `A (3) and E♯ = F (7)`."""
    return [Tone.parse(name).pitch_class for name in re.findall(r"([A-G][♭♯]?) \(", text)]


def test_what_an_arpeggio_from_the_third_trades_is_what_the_one_from_the_root_has_and_it_has_not(
    notes: tuple[Note, ...],
) -> None:
    by_id = {note.id: note for note in notes}
    asked = (*of(Fact.ARPEGGIO, notes), *of(Fact.SPELLING, notes))
    thirds = [note for note in asked if note.identity.source == "third" and " trades " in note.words.why]
    degrees_left = set()
    for note in thirds:
        root_id = note.id.removesuffix("third") + "root"
        # The arpeggio of the chord itself is one fact in several colours: that of the plain chord.
        root = by_id.get(root_id) or by_id[root_id.replace(f"/{note.identity.colour}/", "/plain/")]
        found = re.search(r"keeps the guide tones? (.+), trades (the .+) for (.+?)\.", note.words.why)
        assert found is not None, note.words.why
        kept, left, gained = found.groups()
        gone = pitch_classes(root) - pitch_classes(note)
        assert len(re.findall(r"the (?:root|\dth|\drd)", left)) == len(gone), (note.id, note.words.why)
        assert ("the root" in left) == (Tone.parse(tones_of(root)[0]).pitch_class in gone)
        assert sorted(named_tones(gained)) == sorted(pitch_classes(note) - pitch_classes(root)), (
            note.id,
            note.words.why,
        )
        assert set(named_tones(kept)) <= pitch_classes(note) & pitch_classes(root)
        degrees_left.add(left)
    assert len(thirds) > 300
    assert degrees_left == {"the root", "the root and the 6th"}


def test_no_sixth_chord_is_called_a_seventh(notes: tuple[Note, ...]) -> None:
    sixths = [note for note in of(Fact.ARPEGGIO, notes) if note.music.chord.endswith("6")]
    assert sixths
    for note in sixths:
        assert "seventh" not in note.words.question
        assert "seventh" not in note.words.prompt


def test_guide_tones_are_called_what_they_are() -> None:
    def why(bars: str) -> str:
        asked = Recipe(keys=("C",), regions=(1,), levels=(), kinds=(Kind.IMPROVISE,), changes=(tune(bars),))
        (note,) = syllabus(asked)
        return note.words.why

    assert why("| Dm7 | G7 | Cmaj7 |").startswith("Guide tones, 3rd and 7th of each chord: F C – B F – E B")
    assert why("| Fm6 | C6 |").startswith("Guide tones, 3rd and 6th of each chord: A♭ D – E A")
    assert why("| Fm6 | C#dim7 | G7sus4 | C6 | Dm7 |").startswith(
        "Guide tones, 3rd and 7th of each chord, 3rd and 6th of Fm6 and C6, 4th and 7th of G7sus4: A♭ D – "
    )


@pytest.mark.parametrize("recipe", ["minor", "rhythm"])
def test_the_keys_scale_is_said_to_serve_the_chords_that_draw_on_it(recipe: str) -> None:
    found = notes_of(read_recipe(DECKS / f"{recipe}.toml"))
    played = {ChordSymbol.parse(note.music.chord).label: note.music.chord for note in of(Fact.ARPEGGIO, found)}
    scales = [note for note in of(Fact.SCALE, found) if note.identity.function is None]
    assert scales
    for note in scales:
        said = re.search(r"^In “.+” (.+) draws? on it; the other chords bring tones of their own\.", note.words.why)
        assert said is not None, note.words.why
        labels = re.split(", | and ", said[1])
        for label in labels:
            chord = ChordSymbol.parse(played[label])
            assert chord.pitch_classes <= pitch_classes(note), (note.words.why, label)
        assert len(re.split(", | and ", note.words.over.split(" · ")[0])) <= len(labels)


def test_the_keys_scale_alone_carries_diatonic_changes() -> None:
    asked = Recipe(keys=("C",), regions=(1,), levels=(), changes=(tune("| Dm7 | G7 | Cmaj7 | Am7 |", name="Home"),))
    (scale,) = of(Fact.SCALE, syllabus(asked))
    assert scale.words.why == "Every chord of “Home” draws on it."
    assert scale.words.over == "over ii, V, I and vi · the scale of C"


def test_levels_and_changes_together_keep_the_words_of_the_levels() -> None:
    recipe = Recipe(keys=("C",), regions=(1,), changes=(tune("| Dm7 | G7alt | Cm6 |"),))
    for note in syllabus(recipe):
        if note.identity.fact is Fact.SCALE and note.identity.function is None:
            assert note.words.over == "over ii, V and I · the scale of C"
            assert note.words.why.startswith("ii, V and I of C all draw on it: one scale carries the whole cadence.")


def test_thirds_and_sevenths_are_named_by_the_letter_that_they_have_on_paper(notes: tuple[Note, ...]) -> None:
    letters = {"3": 2, "b3": 2, "7": 6, "b7": 6}
    guides = [note for note in of(Fact.TARGET, notes) if note.words.heard in letters]
    assert {note.words.heard for note in guides} == letters.keys()
    for note in guides:
        assert note.words.heard is not None
        named = note.words.over.split(" · ")[0]
        assert named == note.words.tones[0].name
        assert named[0] == LETTERS[(LETTERS.index(note.music.chord[0]) + letters[note.words.heard]) % 7], (
            note.words.over
        )
        assert note.words.why.startswith(f"{named} is ")


def read_by_people(note: Note) -> Iterator[str]:
    words = note.words
    yield from (
        note.words.prompt,
        note.words.task,
        note.words.question,
        note.words.why,
        *(attachment.alt for attachment in note.media.values()),
    )
    yield from (words.label, words.over, words.missing, *words.places)
    yield from (text for tone in words.tones for text in (tone.name, tone.degree))
    yield from (value for kind in note.kinds for value in values_of(note, kind).values() if value)


def test_people_read_no_ascii_accidentals_and_no_names_with_hyphens(notes: tuple[Note, ...]) -> None:
    ascii_names = [name for name, colour in COLOURS.items() if name != colour.label]
    assert len(ascii_names) == 5
    for text in set(chain.from_iterable(map(read_by_people, notes))):
        assert not re.search(r"#|[A-G]b|b[0-9]|(?<![a-z])b[IViv]|m7b5|dim7 in\b.*#", text), text
        assert not any(name in text for name in ascii_names), text


def test_filters_of_the_page_say_functions_and_colours_as_the_cards_do(notes: tuple[Note, ...]) -> None:
    for note in of(Fact.ARPEGGIO, notes):
        values = values_of(note, note.kinds[0])
        place = " ".join(filter(None, (values["function"], values["colour"])))
        assert place == note.words.task.split(" · ")[0]
    functions = {values_of(note, kind)["function"] for note in notes for kind in note.kinds}
    assert {"♯i°7", "viiø7", "♭II6"} <= functions


def test_a_clip_that_is_played_once_is_no_loop(notes: tuple[Note, ...]) -> None:
    for note in of(Fact.FUNCTION, notes):
        assert "loop" not in note.words.question + note.words.why
        chord, _, changes = note.words.over.partition(", in ")
        assert chord in changes.split(" – ")


def test_alternative_text_says_what_each_fret_is(notes: tuple[Note, ...]) -> None:
    for note in of(Fact.ARPEGGIO, notes):
        assert isinstance(picture_of(note), NeckPicture)
        _, rows = note.media[Slot.PICTURE].alt.rstrip(".").split(": ", 1)
        said = {
            (int(re.sub(r"\D.*", "", string)), fret)
            for string, frets in (row.split(": ") for row in rows.split("; "))
            for fret in frets.split(", ")
        }
        assert said == {
            (mark.string, f"{f'fret {mark.fret}' if mark.fret else 'open'} is {spoken(mark.label)}")
            for mark in shown_in(note).marks
            if mark.role is not Role.SCALE
        }
        assert " is " not in note.media[Slot.QUESTION_PICTURE].alt
