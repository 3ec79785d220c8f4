"""A recipe's own SoundFont, and silent recipes: from the file to the deck."""

import shutil
import tomllib
import zipfile
from dataclasses import replace
from pathlib import Path

import pytest

from deckbuilder.build import EmptySelectionError, media_of, notes_of
from deckbuilder.cards.facts import Kind
from deckbuilder.medium import medium
from deckbuilder.preview.cards import cards_of
from deckbuilder.recipe import Recipe, RecipeError, parse_recipe, read_recipe
from deckbuilder.recipe import sound as recipe_sound
from deckbuilder.recipe.writing import recipe_toml
from deckbuilder.sound.description import Clip, Patch
from deckbuilder.sound.wholeness import mp3_problem
from tests.noted import clip_of
from tests.running import run
from tests.sound.soundfonts import BASS, GUITAR, TONES, Voice, duo, soundfont

SMALL = 'keys = ["F"]\nregions = [5]\nlevels = [1]\n'


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "own.sf2").write_bytes(duo())
    (tmp_path / "own.toml").write_text(f'{SMALL}sound.soundfont = "own.sf2"\n')
    return tmp_path


def small(**sound: object) -> Recipe:
    return parse_recipe({"keys": ["F"], "regions": [5], "levels": [1], "sound": sound}, "r.toml")


def test_every_clip_is_played_by_it_and_pictures_stay(folder: Path) -> None:
    own, usual = (media_of(notes_of(recipe)) for recipe in (read_recipe(folder / "own.toml"), small()))
    assert all(made.description.own for made in own if isinstance(made.description, Clip))
    pictures = {made.name for made in usual if not isinstance(made.description, Clip)}
    assert {made.name for made in own} & {made.name for made in usual} == pictures


def test_names_follow_from_what_the_file_holds_and_not_from_its_place(folder: Path) -> None:
    def names() -> set[str]:
        return {made.name for made in media_of(notes_of(read_recipe(folder / "own.toml")))}

    first = names()
    (folder / "elsewhere").mkdir()
    shutil.move(folder / "own.sf2", folder / "elsewhere" / "other.sf2")
    (folder / "own.toml").write_text(f'{SMALL}sound.soundfont = "elsewhere/other.sf2"\n')
    assert names() == first
    (folder / "elsewhere" / "other.sf2").write_bytes(soundfont(TONES, (GUITAR,)))
    assert names() != first


def test_the_preset_and_the_player_are_told_apart(folder: Path) -> None:
    recipe = read_recipe(folder / "own.toml", {"sound": {"preset": 32}})
    clip = clip_of(notes_of(recipe)[0])
    assert clip.own is not None
    assert (clip.own.player, clip.own.preset) == (Patch.GUITAR, 32)
    assert medium(clip) != medium(replace(clip, own=replace(clip.own, preset=26)))
    bass = notes_of(read_recipe(folder / "own.toml", {"instrument": {"tuning": "bass-4"}}))
    own = clip_of(bass[0]).own
    assert own is not None
    assert (own.player, own.preset) == (Patch.BASS, None)


def test_a_recipe_that_is_written_names_the_same_file(folder: Path) -> None:
    recipe = read_recipe(folder / "own.toml")
    again = parse_recipe(tomllib.loads(recipe_toml(recipe)), "again")
    assert again == recipe
    assert again.sound.soundfont is not None
    assert Path(again.sound.soundfont.path) == folder / "own.sf2"


@pytest.mark.parametrize(
    ("sound", "said"),
    [
        (
            'soundfont = "none.sf2"',
            r'sound.soundfont = "none.sf2": .*none.sf2: there is no such file; name a',
        ),
        ('soundfont = "."', r'sound.soundfont = ".": .*: this is a folder, not a plain file; name a SoundFont'),
        ("soundfont = 3", "sound.soundfont = 3: this has to be a text in quotes, the name of a file"),
        ('soundfont = "own.toml"', 'sound.soundfont = "own.toml": this is no SoundFont; use a SoundFont 2 file'),
        ('soundfont = "cut.sf2"', r'sound.soundfont = "cut.sf2": it is cut off \(999 bytes of .*; get the whole file'),
        ('soundfont = "empty.sf2"', 'sound.soundfont = "empty.sf2": it cannot be read .*empty'),
        ('soundfont = "new.sf3"', r'sound.soundfont = "new.sf3": its samples are compressed .*; convert it'),
        (
            'soundfont = "kit.sf2"',
            'sound.soundfont = "kit.sf2": it has no preset but percussion; use one with a',
        ),
        ('soundfont = "own.sf2"\npreset = 3', "sound.preset = 3: it has no preset 3; choose from 26, 32"),
        ("preset = 3", "sound.preset = 3: there is no SoundFont to take it from; write soundfont ="),
        ('soundfont = "own.sf2"\npreset = true', "sound.preset = true: this has to be a whole number"),
        ("silent = 1", "sound.silent = 1: this has to be true or false"),
    ],
)
def test_a_mistake_is_told(folder: Path, sound: str, said: str) -> None:
    (folder / "cut.sf2").write_bytes(duo()[:999])
    (folder / "empty.sf2").write_bytes(b"")
    (folder / "new.sf3").write_bytes(soundfont(TONES, (GUITAR, BASS), version=3))
    (folder / "kit.sf2").write_bytes(soundfont(TONES, (Voice("Kit", 128, 0, ((0, ()),)),)))
    recipe = folder / "bad.toml"
    recipe.write_text(f"[sound]\n{sound}\n")
    with pytest.raises(RecipeError, match=said) as caught:
        read_recipe(recipe)
    (line,) = caught.value.lines
    assert line.startswith(f"{recipe}: sound.")


def test_a_file_that_is_far_too_large_is_refused_unread(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(recipe_sound, "_MOST_BYTES", 1000)
    with pytest.raises(RecipeError, match=r"it has [0-9,]+ bytes; use a SoundFont of at most 1,000"):
        read_recipe(folder / "own.toml")


def test_a_deck_is_built_with_it_and_is_the_same_bytes_on_any_number_of_processes(folder: Path) -> None:
    decks = []
    for workers in ("1", "2"):
        options = ("--kinds", "locate", "--workers", workers, "--store", f"store{workers}", "--out", f"out{workers}")
        done = run(folder, "build", "own.toml", *options, SOURCE_DATE_EPOCH="1700000000")
        assert done.returncode == 0, done.stderr
        (deck,) = (folder / f"out{workers}").glob("*.apkg")
        decks.append(deck.read_bytes())
    assert decks[0] == decks[1]
    clips = [path for path in (folder / "store1").rglob("*") if ".mp3" in path.name and path.is_file()]
    assert clips
    assert not any(mp3_problem(path.read_bytes()) for path in clips)


def test_a_silent_deck_has_pictures_alone() -> None:
    notes = notes_of(parse_recipe({"keys": ["F"], "regions": [5], "sound": {"silent": True}}, "r.toml"))
    assert {kind for note in notes for kind in note.kinds} == {
        Kind.LOCATE,
        Kind.IDENTIFY,
        Kind.SPELL,
        Kind.CONNECT,
    }
    assert {medium.name.rpartition(".")[2] for medium in media_of(notes)} == {"png", "svg"}
    for card in cards_of(notes):
        assert not any(mark in side for side in (card.front, card.back) for mark in ("sound", "data-clip", "button"))
        assert not any(f'<div class="{name}">' in card.front + card.back for name in ("clip", "plays"))


def test_a_silent_deck_has_the_notes_of_the_other_one_but_for_the_ear() -> None:
    usual, silent = notes_of(small()), notes_of(small(silent=True))
    known = {note.id: note for note in usual}
    assert {note.id for note in silent} == {note.id for note in usual if set(note.kinds) - {Kind.HEAR, Kind.IMPROVISE}}
    assert all(note.tags == known[note.id].tags or Kind.HEAR in known[note.id].kinds for note in silent)


def test_a_silent_deck_of_what_needs_the_ear_is_told() -> None:
    fields = {"kinds": ["hear", "improvise"], "sound": {"silent": True}}
    with pytest.raises(EmptySelectionError, match=r"hear, improvise need the ear, .* add a kind such as locate"):
        notes_of(parse_recipe(fields, "r.toml"))


def test_a_silent_deck_is_whole(tmp_path: Path) -> None:
    (tmp_path / "quiet.toml").write_text(f"{SMALL}sound.silent = true\n")
    done = run(tmp_path, "build", "quiet.toml", "--workers", "1", "--store", "store")
    assert done.returncode == 0, done.stderr
    assert " 0 clips, " in done.stdout
    (deck,) = (tmp_path / "decks").glob("*.apkg")
    assert zipfile.is_zipfile(deck)
    checked = run(tmp_path, "check", str(deck))
    assert (checked.returncode, " 0 clips, 0 problems" in checked.stdout) == (0, True)
