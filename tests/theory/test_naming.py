"""Laws of naming: what is shown is read back, in every way to name tones; the music is the same in all of them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.neck.tuning import NeckError, parse_pitch, pitch_label, read_pitch, read_tuning, write_tuning
from deckbuilder.speech import Names, Speech, speaking
from deckbuilder.theory.changes import SectionText, parse_form
from deckbuilder.theory.chordtypes import parse_type
from deckbuilder.theory.keys import KEY_NAMES, MINOR_KEY_NAMES, Key, key_label
from deckbuilder.theory.renaming import renamed
from deckbuilder.theory.symbols import ChordSymbol
from deckbuilder.theory.tones import TheoryError, Tone

ways = st.sampled_from(Names)
tones = st.builds(Tone, st.sampled_from("CDEFGAB"), st.integers(-2, 2))
simple_tones = st.builds(Tone, st.sampled_from("CDEFGAB"), st.integers(-1, 1))
TYPES = """, m, dim, aug, sus4, 6, m6, 6/9, add9, maj7, maj9, maj7#11, m7, m9, m11, m7b5, dim7, mMaj7, 7, 9, 13, 7alt,
7b9, 7#9, 7#11, 7b13, 13b9, 7sus4"""
types = st.sampled_from(TYPES.replace("\n", " ").split(", ")).map(parse_type)
symbols = st.builds(ChordSymbol, simple_tones, types, st.none() | simple_tones)
keys = st.sampled_from([*KEY_NAMES, *(f"{name}m" for name in MINOR_KEY_NAMES)]).map(Key.parse_either)


@given(ways, tones)
def test_a_tone_is_read_back_as_shown_and_as_written(names: Names, tone: Tone) -> None:
    with speaking(Speech(names=names)):
        assert Tone.read(tone.label) == Tone.read(tone.written) == tone
        assert tone.written.isascii()
    assert Tone.parse(tone.name) == tone


@given(ways, symbols)
def test_a_chord_is_read_back_as_shown_and_as_written(names: Names, symbol: ChordSymbol) -> None:
    with speaking(Speech(names=names)):
        assert ChordSymbol.parse(symbol.label) == symbol
        assert ChordSymbol.parse(symbol.written) == symbol


@given(ways, keys)
def test_a_key_is_read_back_as_shown_and_as_written(names: Names, key: Key) -> None:
    with speaking(Speech(names=names)):
        assert Key.read(key.label) == Key.read(key.written) == key
        assert key_label(key.name) == key.label


@given(ways, st.integers(21, 108))
def test_a_pitch_is_read_back_as_shown(names: Names, midi: int) -> None:
    with speaking(Speech(names=names)):
        english = read_pitch(pitch_label(midi))
        assert read_tuning(write_tuning(english)) == english
    assert parse_pitch(english)[0] == midi


@given(ways, ways, st.lists(symbols, min_size=1, max_size=4), keys)
def test_bars_keep_their_music_under_other_names(
    given_names: Names, wanted: Names, chords: list[ChordSymbol], key: Key
) -> None:
    with speaking(Speech(names=given_names)):
        bars = f"|: {key.written}: {' '.join(chord.written for chord in chords)} | % | V7alt {{altered}} | subV7/V :|"
        form = parse_form("a tune", key, [SectionText("", bars)])
    other = renamed(bars, given_names, wanted)
    with speaking(Speech(names=wanted)):
        again = parse_form("a tune", key, [SectionText("", other)])
    assert [(chord.step, chord.type, chord.bass, chord.key) for bar in again.bars for chord in bar.chords] == [
        (chord.step, chord.type, chord.bass, chord.key) for bar in form.bars for chord in bar.chords
    ]


@pytest.mark.parametrize(
    ("names", "text", "symbol"),
    [
        (Names.GERMAN, "Bm7", "Bbm7"),
        (Names.GERMAN, "H7", "B7"),
        (Names.GERMAN, "Hm7♭5", "Bm7b5"),
        (Names.GERMAN, "Fis7", "F#7"),
        (Names.GERMAN, "Esmaj7/B", "Ebmaj7/Bb"),
        (Names.GERMAN, "Esus4", "Esus4"),
        (Names.GERMAN, "Asus4", "Asus4"),
        (Names.GERMAN, "Bb7", "Bb7"),
        (Names.GERMAN, "F#m7", "F#m7"),
        (Names.SOLFEGE, "Sol7", "G7"),
        (Names.SOLFEGE, "Sim7b5", "Bm7b5"),
        (Names.SOLFEGE, "Do#m7", "C#m7"),
        (Names.SOLFEGE, "Do7", "C7"),
        (Names.SOLFEGE, "do°", "Cdim"),
        (Names.SOLFEGE, "Ré♭maj7/fa", "Dbmaj7/F"),
        (Names.SOLFEGE, "re-7", "Dm7"),
        (Names.SOLFEGE, "Faug", "Faug"),
        (Names.SOLFEGE, "Gm7", "Gm7"),
        (Names.ENGLISH, "Do7", "Ddim7"),
    ],
)
def test_chords_that_could_be_mistaken(names: Names, text: str, symbol: str) -> None:
    with speaking(Speech(names=names)):
        assert ChordSymbol.parse(text).symbol == symbol


@pytest.mark.parametrize("text", ["Cis(#9)", "Cis(#5)", "Des(b9)", "B(b5)/F"])
def test_what_alters_a_triad_is_not_taken_for_an_accidental_of_the_root(text: str) -> None:
    with speaking(Speech(names=Names.GERMAN)):
        meant = ChordSymbol.parse(text)
    assert ChordSymbol.parse(renamed(f"| {text} |", Names.GERMAN, Names.ENGLISH).strip("| ")) == meant


@pytest.mark.parametrize(
    ("names", "text", "remedy"),
    [
        (Names.ENGLISH, "H", r'German name of B: write that, or .*names = "german" in the recipe, or --names german'),
        (Names.ENGLISH, "Fism", "German name of F#m"),
        (Names.ENGLISH, "sol", "solfège name of G"),
        (Names.ENGLISH, "bb", "did you mean 'Bb'"),
        (Names.ENGLISH, "f", "did you mean 'F'"),
        (Names.ENGLISH, "F Bb", r"write each key by itself: F,Bb on the command line, \[\"F\", \"Bb\"\] in a recipe"),
        (Names.ENGLISH, "F,Bb", "write each key by itself"),
        (Names.ENGLISH, "G#", "not a key in use; write 'Ab', which sounds the same"),
        (Names.ENGLISH, "Fm", "write 'F'; level 4"),
        (Names.ENGLISH, "xyz", "choose from C, F, Bb"),
        (Names.GERMAN, "es", "did you mean 'Es'"),
        (Names.GERMAN, "Sib", "solfège name of B:"),
        (Names.GERMAN, "G#", "write 'As'"),
        (Names.SOLFEGE, "H", "German name of Si"),
        (Names.SOLFEGE, "f", "did you mean 'Fa'"),
        (Names.SOLFEGE, "xyz", "choose from Do, Fa, Sib"),
    ],
)
def test_a_key_of_other_names_is_told_with_its_own(names: Names, text: str, remedy: str) -> None:
    with speaking(Speech(names=names)), pytest.raises(TheoryError, match=remedy):
        Key.read_major(text)


@pytest.mark.parametrize(
    ("text", "remedy"),
    [
        ("gm7", "did you mean 'Gm7'"),
        ("Cmj7", "did you mean 'maj7'"),
        ("Hm7", "German name of Bm7"),
        ("Solm7", "solfège name of Gm7"),
        ("C/H", "German name of C/B"),
        ("C/x", "'x' is no tone for the bass; write A to G"),
    ],
)
def test_a_chord_of_other_names_is_told_with_its_own(text: str, remedy: str) -> None:
    with pytest.raises(TheoryError, match=remedy):
        ChordSymbol.parse(text)


@pytest.mark.parametrize(
    ("text", "remedy"), [("H3", "German name of B"), ("mi2", "solfège name of E"), ("x3", "A to G")]
)
def test_a_pitch_of_other_names_is_told_with_its_own(text: str, remedy: str) -> None:
    with pytest.raises(NeckError, match=remedy):
        read_pitch(text)
