"""Mistakes as players make them: each is answered with the nearest right word, by the command itself."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from deckbuilder.cli import main
from deckbuilder.cli.unknown import recipe_fields

FILES = {
    "curly.toml": "keys = [“F”]\n",
    "low.toml": "keys = ['F', „Bb“]\n",
    "bare.toml": "keys = [F, Bb]\n",
    "one-text.toml": 'keys = "F Bb"\n',
    "joined.toml": 'keys = ["F,Bb"]\n',
    "number.toml": "levels = 1\n",
    "numbers.toml": 'levels = "1, 2"\n',
    "field.toml": 'key = ["F"]\n',
    "table.toml": '[instrument]\ntunning = "standard"\n',
    "kind.toml": 'kinds = ["locat"]\n',
    "colour.toml": 'colours = ["alterd"]\n',
    "order.toml": 'order = "region_first"\n',
    "chord.toml": '[[changes]]\nname = "Mine"\nkey = "C"\nbars = "| Cmj7 |"\n',
    "small.toml": '[[changes]]\nname = "Mine"\nkey = "c"\nbars = "| gm7 |"\n',
    "colon.toml": '[[changes]]\nname = "Mine"\nkey = "C"\nbars = "| H: I |"\n',
    "pupils.toml": '[[students]]\nname = "A. B."\n',
    "of-pupils.toml": 'extends = "pupils.toml"\n',
    "twice.toml": 'names = "german"\nkeys = ["B", "Hb"]\n',
    "block.toml": '[study]\nkeys = ["F"]\n',
    "section.toml": '[[changes]]\nname = "Mine"\nkey = "C"\n[changes.sections]\nname = "A"\n',
    "other.toml": 'extends = "curli.toml"\n',
}


def told(folder: Path, monkeypatch: pytest.MonkeyPatch, *words: str) -> str:
    for name, text in FILES.items():
        (folder / name).write_text(text, encoding="utf-8")
    monkeypatch.chdir(folder)
    done = CliRunner().invoke(main, words)
    assert done.exit_code == 2, done.output
    assert not (folder / "decks").exists()
    return done.output


@pytest.mark.parametrize(
    ("words", "remedy"),
    [
        ("bild", "there is no command 'bild'; did you mean 'build'?"),
        ("curly.toml", "a recipe comes after one: deckbuilder build curly.toml"),
        ("list --title x", "list has no option --title; a recipe says it: write title = … there"),
        ("list --tempo 100", "a recipe says it: write sound.tempo = … there"),
        ("build --minutes 3", "build has no option --minutes; it belongs to plan"),
        ("plan --keys F", "it belongs to build, list, preview; a recipe says it: write keys = … there"),
        ("list --level 1", "list has no option --level; did you mean '--levels'?"),
        ("list --keys bb", "--keys bb: 'bb' is not a key; did you mean 'Bb'?"),
        ("list --keys f", "--keys f: 'f' is not a key; did you mean 'F'?"),
        ("list --keys H", 'names = "german" in the recipe, or --names german'),
        ("list --keys F Bb", "Bb: there is no such recipe; for several keys write --keys F,Bb"),
        ("list --levels 1 2", "2: there is no such recipe; for several levels write --levels 1,2"),
        ("list --kinds locate hear", "hear: there is no such recipe; for several kinds write --kinds locate,hear"),
        ("list --keys F Bb Eb", "names in a list are divided by commas: --keys F,Bb"),
        ("list --kinds locat", "'locat' is not one of them; did you mean 'locate'?"),
        ("list --levels 9", "there is no level 9: levels are 1, 2, 3, 4"),
        ("list --hand lef", "did you mean 'left'?"),
        ("list --tuning dagdad", "did you mean 'dadgad'?"),
        ("list --tuning E2,A2,D3,G3,H3,E4", "'H3' is not a pitch; this is the German name of B"),
        ("list --names germna", "'germna' is none of them; did you mean 'german'?"),
        ("build --format apk", "--format apk: there is no such format; did you mean 'apkg'?"),
        ("list quik", "quik: there is no such file; did you mean quick?"),
        ("list curli.toml", "curli.toml: there is no such file; did you mean curly.toml?"),
        ("list other.toml", "there is no such file; did you mean curly.toml?"),
        ("list xyz.toml", "xyz.toml: there is no such file; name a recipe's file"),
        (
            "list pupils.toml",
            "pupils.toml: this is the file of a class; its decks are built by: deckbuilder class",
        ),
        ("list of-pupils.toml", 'extends = "pupils.toml": pupils.toml: this is the file of a class'),
        (
            "class one-text.toml",
            "this is no class, since it has no [[students]]; write [[students]] and below it",
        ),
        ("list twice.toml", "'B' is there twice; name each once"),
        ("list block.toml", "there may be several of these: write [[study]], in double brackets"),
        ("list section.toml", "there may be several of these: write [[changes.sections]], in double brackets"),
        ("list curly.toml", "“ is a typographic quote: write straight ones"),
        ("list low.toml", "„ is a typographic quote: write straight ones"),
        ("list bare.toml", 'a text stands in quotes: write "F"'),
        ("list one-text.toml", 'keys = "F Bb": this has to be a list in square brackets: ["F", "Bb"]'),
        ("list joined.toml", r'write each key by itself: F,Bb on the command line, ["F", "Bb"] in a recipe'),
        ("list number.toml", "levels = 1: this has to be a list in square brackets: [1]"),
        ("list numbers.toml", "this has to be a list in square brackets: [1, 2]"),
        ("list field.toml", "key: there is no such field; did you mean 'keys'?"),
        ("list table.toml", "instrument.tunning: there is no such field; did you mean 'tuning'?"),
        ("list kind.toml", "did you mean 'locate'?"),
        ("list colour.toml", "did you mean 'altered'?"),
        ("list order.toml", "did you mean 'region-first'?"),
        (
            "list chord.toml",
            "bar 1: 'Cmj7' is not a chord that is known here: 'j7' in 'mj7' is not understood; did you",
        ),
        ("list small.toml", "changes 1.key = \"c\": 'c' is not a key; did you mean 'C'?"),
        ("list colon.toml", "bar 1: 'H' is not a key; this is the German name of B"),
    ],
)
def test_a_mistake_is_answered_with_the_right_word(
    words: str, remedy: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    message = told(tmp_path, monkeypatch, *words.split())
    assert remedy in message
    assert "Traceback" not in message


def test_lists_may_be_divided_by_spaces(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    rest = ("--levels", "1", "--kinds", "spell")
    spaces = CliRunner().invoke(main, ["list", "--keys", "F Bb", "--regions", "4 5", *rest])
    commas = CliRunner().invoke(main, ["list", "--keys", "F,Bb", "--regions", "4,5", *rest])
    assert spaces.exit_code == commas.exit_code == 0
    assert spaces.output == commas.output


def test_fields_of_a_recipe_are_named_as_toml_names_them() -> None:
    assert {"title", "keys", "instrument.tuning", "sound.tempo", "breadth.hear"} <= set(recipe_fields())
