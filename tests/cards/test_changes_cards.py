"""Cards for changes of one's own: each fact once, the same in every key, the hand in the home key's regions."""

from collections import Counter
from pathlib import Path

import pytest

from deckbuilder.build import notes_of
from deckbuilder.cards.changes import changes_in
from deckbuilder.cards.choices import Sound
from deckbuilder.cards.facts import Fact, Kind, Slot
from deckbuilder.cards.note import Note
from deckbuilder.cards.passage import cut
from deckbuilder.cards.recipe import Recipe
from deckbuilder.cards.syllabus import first_of_changes, syllabus
from deckbuilder.cards.tunes import Tune
from deckbuilder.deck.package import subdeck_name
from deckbuilder.recipe import read_recipe
from deckbuilder.sound.loops import LONGEST_LOOP
from deckbuilder.theory.arpeggios import arpeggios
from deckbuilder.theory.keys import DEFAULT_KEYS, Key
from tests.noted import clip_of, example_of, heard_example, picture_of, region_of, shown_in, tones_of

DECKS = Path(__file__).parent.parent.parent / "deckbuilder" / "recipes"
TURNAROUND = "| ii | V7alt | Imaj7 | VI7alt |"


def tune(bars: str, key: str = "F", *, name: str = "Mine", transpose: bool = True) -> Tune:
    return Tune(name, key, transpose, (bars,))


def of(fact: Fact, notes: tuple[Note, ...]) -> list[Note]:
    return [note for note in notes if note.identity.fact is fact]


@pytest.fixture(scope="module", params=["blues", "rhythm", "minor"])
def deck(request: pytest.FixtureRequest) -> tuple[Note, ...]:
    return notes_of(read_recipe(DECKS / f"{request.param}.toml"))


def test_every_fact_of_a_form_is_there_once(deck: tuple[Note, ...]) -> None:
    assert max(Counter(note.id for note in deck).values()) == 1
    assert {note.identity.fact for note in deck} == {Fact.SCALE, Fact.ARPEGGIO, Fact.CONNECTION, Fact.IMPROVISATION}
    assert all(note.id.isascii() for note in deck)
    assert {note.level for note in deck} == {first_of_changes()}


def test_identify_has_one_right_answer_in_a_form_too(deck: tuple[Note, ...]) -> None:
    asked = Counter(
        (note.identity.fact, note.identity.region, picture_of(note, Slot.QUESTION_PICTURE))
        for note in deck
        if Kind.IDENTIFY in note.kinds
    )
    assert max(asked.values()) == 1


def test_a_form_is_a_subdeck_with_a_tag_and_no_level(deck: tuple[Note, ...]) -> None:
    for note in deck:
        assert subdeck_name("Mine", note).endswith(note.changes[0])
        assert sum(tag.startswith("changes::") for tag in note.tags) == 1
        assert not any(tag.startswith("level::") for tag in note.tags)


def test_every_run_holds_its_tones_and_every_arpeggio_its_guide_tones(deck: tuple[Note, ...]) -> None:
    for note in of(Fact.ARPEGGIO, deck):
        assert len(tones_of(note)) == 4
        held = sum(tone.is_guide for tone in note.words.tones)
        # Over a sixth chord no seventh on the third holds the sixth.
        sixth_from_third = note.music.chord.endswith("6") and note.identity.source == "third"
        assert held == (1 if sixth_from_third else 2), note.id


def test_what_a_form_shares_with_the_levels_is_the_same_note() -> None:
    levels = syllabus(Recipe(keys=("F",), kinds=tuple(Kind)))
    both = syllabus(Recipe(keys=("F",), kinds=tuple(Kind), changes=(tune(TURNAROUND),)))
    added = {note.id for note in both} - {note.id for note in levels}
    over_changes = {Fact.IMPROVISATION, Fact.CONNECTION, Fact.GUIDE_LINES}
    assert {note.identity.fact for note in both if note.id in added} <= over_changes
    by_id = {note.id: note for note in levels}
    for note in both:
        if note.id in by_id and note.media:
            assert (shown_in(note), clip_of(note), note.words.why, note.level) == (
                shown_in(by_id[note.id]),
                clip_of(by_id[note.id]),
                by_id[note.id].words.why,
                by_id[note.id].level,
            )
    tagged = [note for note in both if "changes::mine" in note.tags and "level::2" in note.tags]
    assert {note.identity.function for note in tagged} == {"V"}


def test_two_forms_share_their_facts() -> None:
    one, other = tune(TURNAROUND, name="One"), tune("| ii | V7alt | Imaj7 | % |", name="Other")
    notes = syllabus(Recipe(keys=("F",), regions=(1,), levels=(), changes=(one, other)))
    assert max(Counter(note.id for note in notes).values()) == 1
    shared_notes = [note for note in notes if note.changes == ("One", "Other")]
    assert {note.identity.function for note in of(Fact.ARPEGGIO, tuple(shared_notes))} == {"ii", "V", "I"}


def test_a_form_that_transposes_has_the_same_facts_in_every_key() -> None:
    blues = tune("| I7 | IV7 | I7 | I7alt | IV7 | #iv°7 | I7 | iiiø VI7alt | ii7 | V7alt | I7 VI7alt | ii7 V7alt |")
    notes = syllabus(Recipe(levels=(), regions=(1, 2), kinds=(Kind.LOCATE, Kind.CONNECT), changes=(blues,)))
    by_key = {
        key: {note.id.replace(f"/{key}/", "/*/") for note in notes if note.identity.key == key} for key in DEFAULT_KEYS
    }
    without_scales = [
        {name for name in names if "dim" not in name and "locrian" not in name} for names in by_key.values()
    ]
    assert all(names == without_scales[0] for names in without_scales)
    assert len({len(names) for names in by_key.values()}) == 1


def test_a_form_that_is_kept_stays_in_its_key() -> None:
    kept = tune(TURNAROUND, "Eb", transpose=False)
    notes = syllabus(Recipe(levels=(), regions=(1,), changes=(kept,)))
    assert {note.identity.key for note in notes} == {"Eb"}


def test_a_section_in_another_key_stays_in_the_home_keys_regions() -> None:
    away = tune("| Imaj7 | Bb: ii7 | V7 | Imaj7 |", "F", transpose=False)
    recipe = Recipe(levels=(), changes=(away,))
    home = {region.index_fret for region in recipe.instrument.neck.regions(Key.parse("F").tonic.pitch_class)}
    notes = syllabus(recipe)
    assert {note.identity.key for note in notes} == {"F"}
    assert {region_of(note).index_fret for note in notes} == home
    ids = {note.id for note in notes}
    assert any("/v/Bb-major" in name or "/v/" in name for name in ids)
    assert any(name.endswith("/I7/plain/root") for name in ids)


def test_a_minor_key_has_its_relative_majors_regions_and_scales_of_its_own() -> None:
    minor = tune("| im6 | iiø V7alt |", "Cm", transpose=False)
    recipe = Recipe(levels=(), changes=(minor,))
    notes = syllabus(recipe)
    relative = {region.index_fret for region in recipe.instrument.neck.regions(Key.parse("Eb").tonic.pitch_class)}
    assert {region_of(note).index_fret for note in notes} == relative
    assert {note.identity.key for note in notes} == {"Cm"}
    scales = {note.music.symbol for note in of(Fact.SCALE, notes)}
    assert scales == {"C melodic minor", "D locrian", "G altered"}
    assert any("im6/C-melodic-minor/root" in note.id for note in notes)


def test_another_scale_makes_another_fact_but_the_same_arpeggio_does_not() -> None:
    notes = syllabus(
        Recipe(levels=(), regions=(1,), keys=("F",), changes=(tune("| V7{lydian-dominant} | V7 | Imaj7 |"),))
    )
    assert {note.id.split("/", 2)[2] for note in of(Fact.ARPEGGIO, notes) if note.identity.function == "V"} == {
        "F/region-1-of-5/V/plain/root",
        "F/region-1-of-5/V/plain/third",
    }
    assert {note.music.symbol for note in of(Fact.SCALE, notes)} == {"C lydian dominant", "F major"}


@pytest.mark.parametrize(
    "colour", ["lydian-dominant", "half-whole-diminished", "whole-tone", "harmonic-minor", "plain"]
)
def test_levels_in_another_colour(colour: str) -> None:
    notes = syllabus(Recipe(keys=("F",), colours=(colour,)))
    assert max(Counter(note.id for note in notes).values()) == 1
    assert "altered" not in {note.identity.colour for note in notes}
    assert not any(note.id.endswith(("altered-cadence", "/turnaround")) for note in notes)
    both = syllabus(Recipe(keys=("F",), colours=("altered", colour)))
    assert {note.id for note in syllabus(Recipe(keys=("F",)))} <= {note.id for note in both}


@pytest.mark.parametrize(
    ("length", "parts"),
    [(1, [1]), (8, [8]), (12, [12]), (13, [8, 5]), (14, [8, 6]), (16, [8, 8]), (20, [8, 12]), (32, [8, 8, 8, 8])],
)
def test_long_sections_are_cut_into_eights(length: int, parts: list[int]) -> None:
    assert [len(part) for part in cut(length)] == parts
    assert [bar for part in cut(length) for bar in part] == list(range(length))


def test_an_improvisation_over_a_form_is_the_same_note_at_every_tempo() -> None:
    form = tune(4 * TURNAROUND)
    recipes = [
        Recipe(
            keys=("F",),
            regions=(1,),
            levels=(),
            kinds=(Kind.IMPROVISE,),
            changes=(form,),
            sound=Sound(loop_tempo=tempo),
        )
        for tempo in (40, 120, 240)
    ]
    ids = [[note.id.rpartition("/")[2] for note in syllabus(recipe)] for recipe in recipes]
    assert ids == 3 * [["mine-bars-1-8"]]


@pytest.mark.parametrize("tempo", [40, 60, 97, 120, 240])
def test_loops_over_a_form_fit_at_every_tempo(tempo: float) -> None:
    blues = tune("| I7 | IV7 | I7 | % | IV7 | % | I7 | VI7alt | ii7 | V7alt | I7 VI7alt | ii7 V7alt |")
    notes = syllabus(
        Recipe(
            keys=("F",),
            regions=(1,),
            levels=(),
            kinds=(Kind.IMPROVISE,),
            changes=(blues,),
            sound=Sound(loop_tempo=tempo),
        )
    )
    for note in notes:
        assert clip_of(note).length <= LONGEST_LOOP + 0.03
        assert heard_example(note).length <= LONGEST_LOOP + 0.03


@pytest.fixture(scope="module")
def examples() -> tuple[Note, ...]:
    """Every improvisation of a deck with the levels and a blues, in all keys and regions."""
    blues = tune("| I7 | IV7 | I7 | I7alt | IV7 | #iv°7 | I7 | iiiø VI7alt | ii7 | V7alt | I7 VI7alt | ii7 V7alt |")
    return syllabus(Recipe(kinds=(Kind.IMPROVISE,), changes=(blues,)))


def test_every_improvisation_has_an_example_line(examples: tuple[Note, ...]) -> None:
    assert len(examples) == 12 * 5 * 4
    assert all(example_of(note) for note in examples)


def test_a_seed_changes_the_lines_and_nothing_else() -> None:
    one, other = (syllabus(Recipe(keys=("F",), regions=(1,), kinds=(Kind.IMPROVISE,), seed=seed)) for seed in (1, 2))
    for first, second in zip(one, other, strict=True):
        assert first.id == second.id
        assert clip_of(first) == clip_of(second)
        assert example_of(first) != example_of(second)
    again = syllabus(Recipe(keys=("F",), regions=(1,), kinds=(Kind.IMPROVISE,), seed=1))
    assert again == one


def test_arpeggios_of_the_same_tones_are_one() -> None:
    diminished = changes_in(tune("| Imaj7 | #i°7 | ii7 |").form, "F").chords[1]
    assert [made.chord.symbol for made in arpeggios(diminished)] == ["F#dim7"]


@pytest.mark.parametrize(
    ("bars", "ending", "why"),
    [
        (
            "| F6 |",
            "I6/third",
            "Built on the third of F6: keeps the guide tone A (3), trades the root and the 6th for E (7) and G (9).",
        ),
        (
            "| C7sus4 |",
            "V7sus4/third",
            "Built on the fifth of C7sus4: keeps the guide tones B♭ (♭7) and F (4), trades the",
        ),
        (
            "| Gb7 | F6 |",
            "scale/F/region-1-of-5/bII7/lydian-dominant",
            "gives a bright ♯11 for a dominant that need not",
        ),
        ("| G13b9 | F6 |", "/II/half-whole-diminished", "gives ♭9 and ♯9 with a bright 13"),
        (
            "| C7#5 | F6 |",
            "/V/whole-tone",
            "C whole tone from its own root: keeps the guide tones E (3) and B♭ (♭7), gives ♯5 and",
        ),
        (
            "| Bbm7 | F6 |",
            "/iv/F-natural-minor",
            "F natural minor from B♭: it holds the guide tones D♭ (♭3) and A♭ (♭7), and brings",
        ),
    ],
)
def test_reasons_over_other_chords(bars: str, ending: str, why: str) -> None:
    notes = syllabus(Recipe(keys=("F",), regions=(1,), levels=(), changes=(tune(bars),)))
    assert why in next(note.words.why for note in notes if note.id.endswith(ending))
