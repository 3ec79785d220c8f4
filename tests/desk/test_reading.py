"""Changes of one's own, read while they are being written: every bar with what it is, or with its own mistake."""

from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from deckbuilder.build import notes_of
from deckbuilder.cards.facts import Kind, Slot
from deckbuilder.desk.reading import read, written
from deckbuilder.medium import medium
from deckbuilder.recipe import RecipeError, parse_recipe
from deckbuilder.recipe.checks import cut
from deckbuilder.recipe.included import included
from deckbuilder.recipe.reading import read_recipe
from deckbuilder.recipe.writing import tables_of
from deckbuilder.theory.analysis import analyse
from tests.desk.asking import Answer, Asker

BLUES: dict[str, Any] = {
    "name": "My blues",
    "key": "F",
    "bars": ["| F7 | Bb7 | F7 | F7alt |", "| Gm7 | C7 | F7 D7alt | % |"],
}


def told(asker: Asker, tune: object, **recipe: object) -> Answer:
    return asker.post("/api/changes", {"recipe": {"regions": [1], **recipe}, "tune": tune})


def test_each_bar_is_told_with_function_and_scale(asker: Asker) -> None:
    found = told(asker, BLUES).json
    assert found["errors"] == []
    assert [(bar["number"], bar["text"]) for bar in found["bars"]][:4] == [
        (1, "F7"),
        (2, "Bb7"),
        (3, "F7"),
        (4, "F7alt"),
    ]
    chords = [chord for bar in found["bars"] for chord in bar["chords"]]
    assert [chord["understood"] for chord in chords[3:8]] == ["F7alt", "Gm7", "C7", "F7", "D7alt"]
    assert chords[4] == {
        "symbol": "Gm7",
        "understood": "Gm7",
        "function": "ii",
        "scale": "G dorian",
        "beats": 4,
    }
    assert chords[3]["scale"] == "F altered"
    assert [chord["beats"] for chord in chords[6:8]] == [2, 2]


def test_every_bar_has_its_own_mistake_and_the_others_are_read(asker: Asker) -> None:
    tune = {**BLUES, "bars": ["| F7 | Quux | | Gm7 {lydian-dominant} |", "| C7 | Bb7 Bb7 Bb7 Bb7 Bb7 | F7 |"]}
    found = told(asker, tune).json
    assert [(error["section"], error["bar"]) for error in found["errors"]] == [(0, 2), (0, 3), (0, 4), (0, 6)]
    assert "'Quux'" in found["errors"][0]["text"]
    assert found["errors"][1]["text"] == "the bar is empty; write a chord, or % to repeat the bar before"
    assert [bar["number"] for bar in found["bars"] if bar["chords"]] == [1, 5, 7]
    assert found["bars"][1]["text"] == "Quux"
    assert found["passages"] == []


@pytest.mark.parametrize(
    ("bars", "bar", "text"),
    [
        ("ii7 V7", 1, "stands before the first bar line"),
        ("| ii7 | V7", 2, "the bar line after 'V7' is missing"),
        ("|: ii7 | V7 |", 2, "the repeat that |: opens is not closed"),
        ("| ii7 :|", 1, ":| closes a repeat that |: has not opened"),
        ("| X: ii7 |", 1, "X"),
        ("| % |", 1, "% has no bar before it"),
        ("", None, "has no bars"),
    ],
)
def test_mistakes_of_bar_lines_keys_and_repeats_are_told(asker: Asker, bars: str, bar: int | None, text: str) -> None:
    found = told(asker, {**BLUES, "bars": [bars]}).json
    assert found["errors"][0]["bar"] == bar
    assert text in found["errors"][0]["text"]


def test_a_chord_that_no_scale_holds_is_told_at_its_bar(asker: Asker) -> None:
    found = told(asker, {**BLUES, "bars": ["| F7 | Gm7(b9,11) |", "| C13(b9,#9,#11,b13) |"]}).json
    assert {error["bar"] for error in found["errors"]} <= {2, 3}
    assert found["errors"]
    assert found["bars"][0]["chords"]


def test_sections_are_told_by_number_and_played_in_order(asker: Asker) -> None:
    tune = {
        "name": "Tune",
        "key": "Bb",
        "sections": [{"name": "A", "bars": ["| Imaj7 | Nix |"]}, {"name": "B", "key": "Eb", "bars": "| Imaj7 | V7 |"}],
        "order": ["A", "B", "A"],
    }
    found = told(asker, tune).json
    assert [(bar["section"], bar["number"]) for bar in found["bars"]] == [(0, 1), (0, 2), (1, 3), (1, 4)]
    assert [(error["section"], error["bar"]) for error in found["errors"]] == [(0, 2)]
    assert found["bars"][2]["chords"][0]["understood"] == "E♭maj7"
    mended = {**tune, "sections": [{"name": "A", "bars": ["| Imaj7 |"]}], "order": ["A", "C"]}
    (unknown,) = told(asker, mended).json["errors"]
    assert (unknown["where"], unknown["section"]) == (["order"], None)
    assert "there is no section 'C'" in unknown["text"]


@pytest.mark.parametrize(
    ("fields", "where"),
    [
        ({"name": ""}, ["name"]),
        ({"key": "X"}, ["key"]),
        ({"transpose": "yes"}, ["transpose"]),
        ({"tempo": 3}, ["tempo"]),
        ({"bars": [], "sections": [{"name": "A", "key": "X", "bars": ["| I |"]}]}, ["sections", 0, "key"]),
    ],
)
def test_other_fields_of_a_tune_have_their_mistakes_too(asker: Asker, fields: dict[str, Any], where: list[str]) -> None:
    assert where in [error["where"] for error in told(asker, {**BLUES, **fields}).json["errors"]]


@pytest.mark.parametrize(
    "tune", [None, [], {"name": "x"}, {"bars": [1]}, {"sections": [1]}, {"sections": [{"bars": {}}]}]
)
def test_what_is_no_tune_is_refused(asker: Asker, tune: object) -> None:
    assert told(asker, tune).status == 400
    assert asker.post("/api/changes", {"tune": BLUES}).status == 400


@pytest.mark.parametrize(
    ("tune", "text"),
    [
        ({**BLUES, "bars": "| F7 " * 10_000}, "bars: a text of 50,000 characters; write at most 20,000"),
        (
            {"name": "x", "key": "F", "sections": [{"bars": "F7"}], "order": [""] * 2000},
            "order: a list of 2,000 entries",
        ),
    ],
)
def test_a_tune_without_end_is_not_read(asker: Asker, tune: object, text: str) -> None:
    answer = told(asker, tune)
    assert answer.status == 200
    (error,) = answer.json["errors"]
    assert text in error["text"]
    assert answer.json["bars"] == []


def test_a_mistake_of_the_instrument_is_told_as_everywhere(asker: Asker) -> None:
    answer = told(asker, BLUES, instrument={"capo": 99})
    assert (answer.status, answer.json["where"]) == (422, ["instrument", "capo"])


def test_the_loop_and_the_line_are_those_of_the_card(asker: Asker) -> None:
    recipe = parse_recipe({"keys": ["F"], "regions": [1], "levels": [], "changes": [BLUES]}, "test")
    (note,) = (note for note in notes_of(recipe) if Kind.IMPROVISE in note.kinds)
    found = told(asker, BLUES).json
    name = {slot: medium(made.description).name for slot, made in note.media.items()}
    (passage,) = found["passages"]
    assert passage == {
        "title": "My blues",
        "loop": f"/media/{name[Slot.CLIP]}",
        "score": f"/media/{name[Slot.NOTATION]}",
        "example": f"/media/{name[Slot.EXAMPLE]}",
        "slow": f"/media/{name[Slot.SLOW_CLIP]}" if Slot.SLOW_CLIP in name else None,
        "task": note.words.question,
        "words": note.words.why,
    }
    score = asker.get(passage["score"])
    assert (score.status, score.headers["content-type"]) == (200, "image/svg+xml")
    assert asker.get(passage["loop"]).headers["content-type"] == "audio/mpeg"


def test_a_silent_recipe_has_no_loop_and_keeps_its_line(asker: Asker) -> None:
    (passage,) = told(asker, BLUES, sound={"silent": True}).json["passages"]
    assert passage["loop"] is None
    assert passage["example"] is None
    assert passage["score"]


def test_chords_are_read_and_told_with_the_names_of_the_recipe(asker: Asker) -> None:
    found = told(asker, {**BLUES, "bars": ["| H7 | B7 |"]}, names="german").json
    assert [bar["chords"][0]["understood"][:2] for bar in found["bars"]] == ["H7", "B7"]
    assert [bar["chords"][0]["scale"].split()[0] for bar in found["bars"]] == ["H", "B"]


@pytest.mark.parametrize("name", ["blues", "minor", "rhythm"])
def test_tunes_that_come_along_are_read_as_their_cards_read_them(name: str) -> None:
    recipe = read_recipe(included()[name])
    for tune, table in zip(recipe.changes, tables_of(recipe)["changes"], strict=True):
        bars, mistakes, form = read(written(table))
        assert mistakes == []
        assert form.bars == tune.form.bars
        first: dict[int, list[str]] = {}
        for chord in analyse(tune.form):
            labels = first.setdefault(chord.chord.bar, [])
            if len(labels) < len(next(bar["chords"] for bar in bars if bar["number"] == chord.chord.bar)):
                labels.append(chord.harmony.label)
        assert first == {bar["number"]: [chord["understood"] for chord in bar["chords"]] for bar in bars}


TOKENS = st.lists(
    st.sampled_from(
        ["|", "|:", ":|", "||", "ii7", "V7alt", "Imaj7", "Nix", "%", "/", "{dorian}", "Bb:", "[A]", ":", "\n"]
    ),
    max_size=20,
)


@settings(max_examples=150, deadline=None)
@given(TOKENS)
@example(["ii7", *["|"] * 40])
def test_bars_have_no_mistake_where_a_recipe_takes_them_and_one_where_it_does_not(tokens: list[str]) -> None:
    tune = {"name": "T", "key": "C", "bars": " ".join(tokens)}
    _, mistakes, form = read(written(tune))
    refusal = ""
    try:
        parse_recipe({"levels": [], "changes": [tune]}, "test")
    except RecipeError as error:
        refusal = str(error)
    assert bool(refusal) == bool(mistakes or not form.bars)
    # A long text is cut in what is told of a whole recipe.
    texts = [mistake["text"].replace(repr(tune["bars"]), repr(cut(tune["bars"]))) for mistake in mistakes]
    assert not mistakes or any(text in refusal for text in texts)
