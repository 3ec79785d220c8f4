"""Written music of cards: lines and runs as scores, clefs, chord symbols, and what a recipe asks for."""

import pytest

from deckbuilder.build import notes_of
from deckbuilder.cards.facts import Fact, Slot
from deckbuilder.cards.written import chord_symbol, clef
from deckbuilder.neck.tuning import TUNINGS
from deckbuilder.notation.description import BEAT, Clef, Score, Staves, check
from deckbuilder.recipe import parse_recipe
from deckbuilder.theory.colours import COLOURS
from deckbuilder.theory.functions import FUNCTIONS, harmony
from deckbuilder.theory.keys import Key
from deckbuilder.theory.tones import pretty


@pytest.mark.parametrize("instrument", [{}, {"capo": 2}, {"hand": "left"}, {"tuning": "bass-4"}, {"tuning": "open-d"}])
def test_scores_are_the_notes_own_music(instrument: dict[str, object]) -> None:
    recipe = parse_recipe({"keys": ["Gb"], "regions": [1, 5], "instrument": instrument}, "test")
    seen = set()
    for note in notes_of(recipe):
        if Slot.NOTATION not in note.media:
            continue
        score = note.media[Slot.NOTATION].description
        assert isinstance(score, Score)
        check(score)
        music = note.music
        seen.add(note.identity.fact)
        played = music.line or music.run
        assert [each.pitch.midi for each in score.notes] == [each.midi for each in played]
        assert [(each.pitch.letter, each.pitch.accidental) for each in score.notes] == [
            (each.tone.letter, each.tone.accidental) for each in played
        ]
        assert [(each.string, each.fret) for each in score.notes] == [(n.place.string, n.place.fret) for n in played]
        assert [each.degree for each in score.notes] == [pretty(each.degree) for each in played]
        assert [symbol.label for symbol in score.chords] == [chord.label for chord in music.chords]
        if music.line:
            assert [each.onset for each in score.notes] == [each.onset for each in music.line]
            assert score.bars * 4 * BEAT == sum(music.beats) * BEAT
            assert Slot.SLOW_CLIP in note.media
    assert seen >= {Fact.ARPEGGIO, Fact.SCALE, Fact.IMPROVISATION}


@pytest.mark.parametrize("asked", ["both", "tablature", "staff", "none"])
def test_a_recipe_says_which_staves_are_shown(asked: str) -> None:
    notes = notes_of(parse_recipe({"keys": ["F"], "regions": [5], "levels": [1], "notation": asked}, "test"))
    found = {note.media[Slot.NOTATION].description for note in notes if Slot.NOTATION in note.media}
    staves = {score.staves for score in found if isinstance(score, Score)}
    assert staves == (set() if asked == "none" else {Staves(asked)})


@pytest.mark.parametrize(
    ("tuning", "wanted"),
    [
        ("standard", Clef.TREBLE_8),
        ("baritone", Clef.TREBLE_8),
        ("seven-string", Clef.TREBLE_8),
        ("bass-4", Clef.BASS_8),
        ("bass-6", Clef.BASS_8),
        ("cello", Clef.BASS),
        ("ukulele", Clef.TREBLE),
        ("mandolin", Clef.TREBLE),
    ],
)
def test_players_read_their_own_clef(tuning: str, wanted: Clef) -> None:
    assert clef(TUNINGS[tuning]) is wanted


@pytest.mark.parametrize("colour", COLOURS)
def test_every_dominant_has_a_symbol(colour: str) -> None:
    made = harmony(Key.parse("F"), FUNCTIONS["V"], COLOURS[colour])
    symbol = chord_symbol(made, 0)
    assert symbol.label == made.label
    assert symbol.kind in ("dominant", "augmented-seventh")
