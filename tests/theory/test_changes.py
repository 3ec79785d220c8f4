"""Changes: forms from text, transposition with right spelling, and mistakes named by bar and chord."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.theory.changes import (
    MOST_BARS,
    ChangesError,
    SectionText,
    parse_form,
    read_sections,
    texts_of_bars,
)
from deckbuilder.theory.forms import BEATS, Form
from deckbuilder.theory.keys import DEFAULT_KEYS, KEY_NAMES, MINOR_KEY_NAMES, Key
from deckbuilder.theory.steps import Step
from deckbuilder.theory.tones import TheoryError, Tone


def form_of(bars: str, home: str = "C") -> Form:
    return parse_form("a tune", Key.parse_either(home), [SectionText("", bars)])


def symbols(form: Form) -> str:
    return " | ".join(" ".join(chord.symbol for chord in bar.chords) for bar in form.bars)


def test_numerals_and_symbols_give_the_same_form() -> None:
    numerals = form_of("| ii7 | V7alt | Imaj7 | VI7alt |", "F")
    written = form_of("| Gm7 | C7alt | Fmaj7 | D7alt |", "F")
    assert symbols(numerals) == symbols(written) == "Gm7 | C7alt | Fmaj7 | D7alt"
    assert [chord.step for chord in numerals.chords] == [Step(2), Step(5), Step(1), Step(6)]


@pytest.mark.parametrize(
    ("bar", "beats"),
    [
        ("C", [(1, 4)]),
        ("C F", [(1, 2), (3, 2)]),
        ("C F G", [(1, 2), (3, 1), (4, 1)]),
        ("C F G C", [(1, 1), (2, 1), (3, 1), (4, 1)]),
        ("C / / G7", [(1, 3), (4, 1)]),
        ("C G7 / /", [(1, 1), (2, 3)]),
        ("C /", [(1, 4)]),
    ],
)
def test_chords_share_a_bar(bar: str, beats: list[tuple[int, int]]) -> None:
    assert [(chord.beat, chord.beats) for chord in form_of(f"| {bar} |").chords] == beats


def test_repeats_are_played_out_and_keep_their_bar_numbers() -> None:
    form = form_of("|: C | F :|: G | % :|\n| C ||")
    assert symbols(form) == "C | F | C | F | G | G | G | G | C"
    assert [bar.number for bar in form.bars] == [1, 2, 1, 2, 3, 4, 3, 4, 5]
    assert [chord.bar for chord in form.chords] == [bar.number for bar in form.bars]


def test_keys_change_within_a_section_and_from_section_to_section() -> None:
    sections = [SectionText("A", "| ii7 | Eb: ii7 V7 |"), SectionText("B", "| ii7 |", Key.parse("D"))]
    form = parse_form("a tune", Key.parse("F"), sections, order=["A", "B", "A"])
    assert symbols(form) == "Gm7 | Fm7 Bb7 | Em7 | Gm7 | Fm7 Bb7"
    assert [chord.key.name for chord in form.chords] == ["F", "Eb", "Eb", "D", "F", "Eb", "Eb"]


def test_a_key_has_its_colon_and_a_repeat_its_own() -> None:
    form = form_of("|: Eb: ii7 V7 :|: F:ii7 | Bb:| Gm: V B♭: I |:C:|")
    assert symbols(form) == "Fm7 Bb7 | Fm7 Bb7 | Gm7 | Bb | Gm7 | Bb | D Bb | C | C"
    assert [chord.key.name for chord in form.chords[-4:]] == ["Gm", "Bb", "Bb", "Bb"]


def test_a_choice_overrules_colour_or_scale() -> None:
    first, second, third = form_of("| G7{lydian-dominant} | Cm7{ dorian } | V{altered} |").chords
    assert (first.choice, second.choice, third.choice) == ("lydian-dominant", "dorian", "altered")
    assert third.type.is_dominant


@pytest.mark.parametrize(
    ("home", "to", "expected"),
    [
        ("F", "Gb", "Abm7 Db7 | Gbmaj7/Bb | E7 | Fbmaj7 | Cbm6 | Gdim7 | G7 | Dbm7 Gb7"),
        ("F", "C", "Dm7 G7 | Cmaj7/E | Bb7 | Bbmaj7 | Fm6 | C#dim7 | Db7 | Gm7 C7"),
        ("F", "B", "C#m7 F#7 | Bmaj7/D# | A7 | Amaj7 | Em6 | Cdim7 | C7 | F#m7 B7"),
        ("F", "F#", "G#m7 C#7 | F#maj7/A# | E7 | Emaj7 | Bm6 | Gdim7 | G7 | C#m7 F#7"),
    ],
)
def test_transposed_chords_are_spelled_for_the_key(home: str, to: str, expected: str) -> None:
    form = form_of("| Gm7 C7 | Fmaj7/A | Eb7 | Ebmaj7 | Bbm6 | F#dim7 | Gb7 | Cm7 F7 |", home)
    expected = expected.replace("Fbmaj7", "Emaj7")
    assert symbols(form.on(Tone.parse(to))) == expected


def test_sections_keep_their_distance_from_home_and_minor_stays_minor() -> None:
    form = form_of("| im | Ab: ii7 V7 | Db: I | Fm: im |", "Fm")
    moved = form.on(Tone.parse("Db"))
    assert (form.home.name, moved.home.name) == ("Fm", "C#m")
    assert [chord.key.name for chord in moved.chords] == ["C#m", "E", "E", "A", "C#m"]


FORMS = (
    "| iiø V7alt | im | bVImaj7 | subV/V | V7 |",
    "| Imaj7 #i°7 | ii7 V7/ii | Eb: iv6 bVII7 | Am: iiø V7b9 |",
    "| Cmaj7 C#dim7 | Dm7/C Eb7 | F#m7b5 B7alt | Ebmaj7 |",
)


@given(st.sampled_from(FORMS), st.sampled_from(KEY_NAMES), st.sampled_from(KEY_NAMES), st.booleans())
def test_transposing_moves_every_tone_alike_and_back_again(bars: str, home: str, to: str, minor: bool) -> None:
    form = form_of(bars, Key.on(Tone.parse(home), minor=minor).name)
    moved = form.on(Tone.parse(to))
    by = (Tone.parse(to).pitch_class - form.home.tonic.pitch_class) % 12
    for before, after in zip(form.chords, moved.chords, strict=True):
        assert (after.root.pitch_class - before.root.pitch_class) % 12 == by
        assert (after.beat, after.beats, after.type, after.step) == (
            before.beat,
            before.beats,
            before.type,
            before.step,
        )
        assert abs(after.root.accidental) <= 1
        assert after.key.tonic.name in (MINOR_KEY_NAMES if after.key.minor else KEY_NAMES)
    assert symbols(moved.on(form.home.tonic)) == symbols(form)


@given(st.sampled_from(FORMS), st.sampled_from(DEFAULT_KEYS))
def test_the_bars_of_a_form_are_filled(bars: str, home: str) -> None:
    for bar in form_of(bars, home).bars:
        assert sum(chord.beats for chord in bar.chords) == BEATS
        assert [chord.beat for chord in bar.chords] == sorted({chord.beat for chord in bar.chords})


@pytest.mark.parametrize(
    ("bars", "message"),
    [
        ("| ii | | V |", "bar 2: the bar is empty; write a chord, or %"),
        ("| ii | V", "bar 2: the bar line after 'V' is missing; end the line with |"),
        ("ii | V |", "bar 1: 'ii' stands before the first bar line"),
        ("|: ii | V |", r"bar 2: the repeat that \|: opens is not closed"),
        ("| ii | V :|", r"bar 2: :\| closes a repeat that \|: has not opened"),
        ("|: ii |: V :|", r"bar 2: \|: opens a repeat inside a repeat"),
        ("| ii | Qm7 |", "bar 2: 'Qm7' is not a chord; write a root A to G"),
        ("| ii | VIII |", "bar 2: 'VIII' is not a chord that is known here"),
        ("| ii7alt |", "bar 1: 'ii7alt' .* only a dominant seventh can"),
        ("| F | Gm7alt |", "bar 2: 'Gm7alt' .* only a dominant seventh can"),
        ("| Gm7{altered} |", "bar 1: 'Gm7' cannot be altered: only a dominant seventh has a colour"),
        ("| C7{purple} |", "bar 1: 'purple' is not a dominant colour; choose from"),
        ("| C7b9{plain} |", "bar 1: 'C7b9' has a tension that plain does not hold; choose from altered"),
        ("| Cm7{purple} |", "bar 1: 'purple' is not a chord scale; choose from"),
        ("| Cmaj7{dorian} |", "bar 1: 'Cmaj7' has a tone that the dorian scale does not hold"),
        ("| C {} |", "bar 1: '{}' overrules no chord"),
        ("| {altered} C7 |", "bar 1: '{altered}' overrules no chord"),
        ("| % |", "bar 1: % has no bar before it"),
        ("| / C |", "bar 1: / holds the chord before it"),
        ("| A B C D E |", "bar 1: 'A B C D E' is more than 4 chords in a bar"),
        ("| H: C |", "bar 1: 'H' is not a key; this is the German name of B"),
        ("| Fbm: C |", "bar 1: 'Fbm' is not a key in use; write 'Em'"),
        ("| C | G7: C |", "bar 2: 'G7' is not a key; did you mean 'G'"),
        ("| Bb : C |", "bar 1: the colon has no key before it; write the key and the colon together, such as Bb:"),
        ("| C | [Bb] ii7 |", r"bar 2: '\[Bb\]' is no chord; write a change of key with a colon, such as Bb:"),
        ("| [Bb C |", r"bar 1: '\[Bb C' is no chord; write a change of key with a colon"),
        ("ii V I", "bar 1: 'ii' stands before the first bar line"),
        ("Bb:", "bar 1: .* has no bar lines"),
        ("", "'a tune' has no bars"),
        ("\n".join(["| ii | V | I | VI |"] * 100), f"'a tune' has 400 bars; a form has at most {MOST_BARS}"),
        ("|:" + "|".join(["C"] * 101) + ":|", f"has 202 bars; a form has at most {MOST_BARS}"),
    ],
)
def test_mistakes_are_named_by_bar_and_chord(bars: str, message: str) -> None:
    with pytest.raises(ChangesError, match=message):
        form_of(bars)


def test_an_unknown_section_is_refused() -> None:
    sections = [SectionText("A", "| C |"), SectionText("B", "| F |")]
    with pytest.raises(ChangesError, match="there is no section 'C'; choose from A, B"):
        parse_form("a tune", Key.parse("C"), sections, order=["A", "C"])


def test_bars_are_numbered_through_all_sections() -> None:
    sections = [SectionText("A", "| C | F |"), SectionText("B", "| G | X |")]
    with pytest.raises(ChangesError, match="bar 4: 'X'"):
        parse_form("a tune", Key.parse("C"), sections)


@given(st.text("|:%/[]{} CFmi7VbI\n", max_size=30))
def test_any_text_is_a_form_or_a_clear_error(text: str) -> None:
    assert _said(text).startswith(("bar ", "'a tune'", "read"))


def _said(text: str) -> str:
    """Return `read` if the text is a form within the limit, else what the error says."""
    try:
        form = form_of(text)
    except TheoryError as error:
        return str(error)
    return "read" if 0 < len(form.bars) <= MOST_BARS else f"{len(form.bars)} bars"


def test_bars_behind_a_mistake_are_read_all_the_same() -> None:
    texts = [SectionText("A", "| ii7 | Nix | V7 |"), SectionText("B", "| Imaj7 | | % |")]
    sections, mistakes = read_sections(Key.parse("F"), texts)
    assert [(error.bar, error.reason) for error in mistakes[1]] == [
        (5, "the bar is empty; write a chord, or % to repeat the bar before")
    ]
    assert [error.bar for error in mistakes[0]] == [2]
    assert [[len(bar.chords) for bar in section.bars] for section in sections] == [[1, 0, 1], [1, 0, 0]]
    assert sections[1].bars[0].number == 4


def test_the_first_mistake_is_the_one_that_a_form_is_refused_for() -> None:
    text = SectionText("", "| Nix | ii7 | Nox |")
    _, ((first, second),) = read_sections(Key.parse("F"), [text])
    with pytest.raises(ChangesError) as refused:
        parse_form("T", Key.parse("F"), [text])
    assert str(refused.value) == str(first) != str(second)


def test_bars_are_told_as_they_are_written() -> None:
    text = "|: ii7 V7 | {x} % :|\n\n  || Bb: I / / | Nix |]"
    assert texts_of_bars(text) == ("ii7 V7", "{x} %", "Bb: I / /", "Nix")
