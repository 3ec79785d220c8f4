"""Sound options of a recipe: what they change in the clips, and what is refused."""

import re
from pathlib import Path

import pytest

from deckbuilder.build import notes_of
from deckbuilder.cards.facts import Fact
from deckbuilder.cards.note import Note
from deckbuilder.recipe import RecipeError, parse_recipe
from deckbuilder.sound.arrangement import Direction, in_direction
from deckbuilder.sound.description import Patch
from tests.noted import clip_of
from tests.running import run


def notes(fact: Fact, **sound: object) -> list[Note]:
    recipe = parse_recipe({"keys": ["F"], "regions": [5], "sound": sound}, "r.toml")
    return [note for note in notes_of(recipe) if note.identity.fact is fact]


@pytest.mark.parametrize("direction", Direction)
def test_direction(direction: Direction) -> None:
    for note in (*notes(Fact.ARPEGGIO, direction=direction), *notes(Fact.SCALE, direction=direction)):
        assert tuple(event.midi for event in clip_of(note).events[3:]) == in_direction(note.music.midi, direction)
        assert list(note.music.midi) == sorted(note.music.midi)
    lengths = {clip_of(note).length for note in notes(Fact.ARPEGGIO, direction=direction)}
    assert len(lengths) == 1


def test_chord_off_leaves_the_chord_out_of_runs_and_not_out_of_questions_about_it() -> None:
    for note in notes(Fact.ARPEGGIO, chord=False):
        assert tuple(event.midi for event in clip_of(note).events) == note.music.midi
    for fact in (Fact.SOURCE, Fact.TARGET):
        assert notes(fact, chord=False) == notes(fact)


def test_tempo_and_concert_pitch() -> None:
    usual, slow = (clip_of(notes(Fact.ARPEGGIO, **sound)[0]) for sound in ({}, {"tempo": 72, "a4": 442}))
    assert slow.length - 0.04 == pytest.approx(2 * (usual.length - 0.04))
    assert (usual.a4, slow.a4) == (440.0, 442.0)
    loop = clip_of(notes(Fact.IMPROVISATION, loop_tempo=150, a4=415)[0])
    assert loop.length == pytest.approx(40 * 60 / 150, abs=0.1)
    assert loop.a4 == 415


def test_count_in() -> None:
    for wanted in (True, False):
        clips = [clip_of(note) for note in notes(Fact.IMPROVISATION, count_in=wanted)]
        assert all(any(event.patch is Patch.CLICK for event in clip.events) == wanted for clip in clips)


def test_no_sound_option_changes_an_id() -> None:
    usual, other = (
        [note.id for note in notes_of(parse_recipe({"keys": ["F"], "sound": sound}, "r.toml"))]
        for sound in ({}, {"tempo": 90, "loop_tempo": 90, "chord": False, "direction": "down", "count_in": False})
    )
    assert usual == other


@pytest.mark.parametrize(
    ("sound", "message"),
    [
        ({"tempo": 0}, "r.toml: sound.tempo = 0: .*use 40 to 240"),
        ({"loop_tempo": 500}, "r.toml: sound.loop_tempo = 500: .*use 40 to 240"),
        ({"a4": 379}, "r.toml: sound.a4 = 379: .*use 380 to 480"),
        ({"a4": 481}, "r.toml: sound.a4 = 481: .*use 380 to 480"),
        ({"direction": "sideways"}, 'r.toml: sound.direction = "sideways": .*choose from up, down, up-and-down'),
        ({"direction": "up-down"}, "did you mean 'up-and-down'"),
        ({"chord": "yes"}, 'r.toml: sound.chord = "yes": this has to be true or false'),
        ({"count_in": 1}, "r.toml: sound.count_in = 1: this has to be true or false"),
        ({"count-in": True}, "r.toml: sound.count-in: there is no such field; did you mean 'count_in'"),
    ],
)
def test_a_mistake_is_told(sound: dict[str, object], message: str) -> None:
    with pytest.raises(RecipeError) as caught:
        parse_recipe({"sound": sound}, "r.toml")
    assert re.search(message, str(caught.value)), str(caught.value)


def test_nothing_is_written_for_a_bad_recipe(tmp_path: Path) -> None:
    recipe = tmp_path / "bad.toml"
    recipe.write_text('[sound]\ndirection = "sideways"\ntempo = 0\na4 = 300\n')
    done = run(tmp_path, "build", "bad.toml")
    assert done.returncode == 2
    assert [line.split(": ")[2 if number == 0 else 1] for number, line in enumerate(done.stderr.splitlines())] == [
        "sound.a4 = 300",
        "sound.tempo = 0",
        'sound.direction = "sideways"',
    ]
    assert [path.name for path in tmp_path.iterdir()] == ["bad.toml"]
