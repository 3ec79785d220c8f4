"""Hostile and unlucky input: one clear error and exit status 2, at once, whatever is given."""

import errno
import os
import random
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner

from deckbuilder.cli import main
from deckbuilder.recipe.toml import MOST_BYTES, MOST_ENTRIES, MOST_TABLES

LONG = "n" * 5000
SMALL = ("--keys", "F", "--regions", "5", "--levels", "1", "--kinds", "spell")


def told(*arguments: str) -> str:
    """Run a command in this process and return its one error."""
    result = CliRunner().invoke(main, arguments)
    assert (result.exit_code, type(result.exception)) == (2, SystemExit), result.exception
    assert len(result.output) < 2000
    assert result.output.count("Error: ") + result.output.count("deckbuilder: ") == 1
    return result.output


def recipe(folder: Path, text: str) -> str:
    path = folder / "r.toml"
    path.write_bytes(text.encode())
    return str(path)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("seed = 0x" + "F" * 5000, "seed = 0xfff.*far too large"),
        ("seed = " + "9" * 5000, "a number of over 4300 digits"),
        ("a." * 400_000 + "b = 1", "a key of 400,001 parts"),
        ("[" + "a . " * 200_000 + "b]", "a key of 200,001 parts"),
        ("x = {" + '"a".' * 200_000 + "b = 1}", "a key of 200,001 parts"),
        ("keys = [" + '"F",' * 60_000 + "]", f"keys: a list of 60,000 entries; give at most {MOST_ENTRIES:,}"),
        ("\n".join(f"k{number} = 1" for number in range(60_000)), "a table of 60,000 entries"),
        ("[[changes]]\n" * (MOST_TABLES + 1), f"changes: a list of tables of {MOST_TABLES + 1} entries"),
        ("title = '" + "x" * 300_000 + "'", "title: a text of 300,000 characters"),
        ("#" * (MOST_BYTES + 1), "larger than 1,048,576 bytes"),
        ("# my deck\rkeys = ['F']\r", "line 1 ends as lines of the classic Mac do"),
        ("title = 'a'\r\n# mine\rlevels = [1]", "line 2 ends as lines of the classic Mac do"),
    ],
    ids=lambda value: value[:12],
)
def test_a_recipe_that_would_take_forever_or_says_something_else(tmp_path: Path, text: str, said: str) -> None:
    assert re.search(said, told("list", recipe(tmp_path, text)))


def test_dots_in_texts_comments_and_numbers_divide_no_key(tmp_path: Path) -> None:
    dots = "." * 100
    text = f"# {dots}\ntitle = \"{dots} 'a' \\\" {dots}\" # \"{dots}\nkeys = ['F']\r\nlevels = [1]\nkinds = ['spell']"
    result = CliRunner().invoke(main, ["list", recipe(tmp_path, text)])
    assert result.exit_code == 0, result.output


@pytest.mark.parametrize("command", ["list", "build", "preview", "plan"])
def test_a_pipe_a_device_or_a_folder_in_a_recipes_place(tmp_path: Path, command: str) -> None:
    os.mkfifo(tmp_path / "pipe")
    assert "this is a pipe or a device" in told(command, str(tmp_path / "pipe"))
    assert "this is a pipe or a device" in told(command, "/dev/zero")
    assert "this is a folder" in told(command, str(tmp_path))
    assert "File name too long" in told(command, LONG)


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("list", "--keys", "F," * 60_000), "60,000 names are listed"),
        (("list", "--levels", "1-99," * 20_000 + "1"), "over 1,000 numbers are listed"),
        (("list", "--levels", "x" * 100_000), "is no choice of numbers; write 5"),
        (("list", "--capo", "9" * 4000), "far too large"),
        (("list", "--tuning", "standrad"), "did you mean 'standard'?"),
        (("list", "--tuning", "x" * 100_000), "choose from standard"),
        (("list", "--kinds", "locte"), "did you mean 'locate'?"),
        (("plan", "--seed", "9" * 5000), "'--seed'"),
        (("plan", "--seed", "9" * 4000), "'--seed'"),
        (("build", *SMALL, "--format", "x" * 100_000), "choose from apkg, csv, tsv, jsonl"),
        (("progress", "none", "--date", "2024-02-30"), "there is no day 2024-02-30"),
        (("progress", "none", "--date", "yesterday"), "write year, month and day as 2024-02-29"),
        (("build", *SMALL, "--out", LONG), "this folder cannot be made (File name too long)"),
        (("build", *SMALL, "--store", LONG), "the media store cannot be read (File name too long)"),
        (("preview", *SMALL, "--store", LONG), "the media store cannot be read (File name too long)"),
        (("preview", *SMALL, "--out", LONG), "File name too long"),
        (("check", LONG), "File name too long"),
        (("progress", LONG), "File name too long"),
    ],
    ids=lambda value: " ".join(value)[:30] if isinstance(value, tuple) else "",
)
def test_options_that_nobody_means(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, arguments: tuple[str, ...], said: str
) -> None:
    monkeypatch.chdir(tmp_path)
    assert said in told(*arguments)


def test_an_output_folder_that_cannot_be_searched(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Rights do not bind the system's administrator, so what the system would say is put in its place."""
    real = os.access
    monkeypatch.setattr(os, "access", lambda path, mode: not mode & os.X_OK and real(path, mode))
    assert "this folder cannot be written; name another or change its rights" in told(
        "build", *SMALL, "--out", str(tmp_path)
    )


def test_a_recipe_in_a_folder_that_cannot_be_searched(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path, real = recipe(tmp_path, "title = 'a'"), os.stat

    def stat(asked: "os.PathLike[str] | str", *rest: object, **more: object) -> os.stat_result:
        if str(asked) == path:
            raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), path)
        return real(asked, *rest, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(os, "stat", stat)
    assert "cannot be read (Permission denied)" in told("list", path)


def _values(chance: random.Random) -> str:
    """Return some value as TOML writes it, sensible or not."""
    makers: tuple[Callable[[], str], ...] = (
        lambda: str(chance.choice((-1, 0, 1, 5, 99, 10**30))),
        lambda: chance.choice(("true", "nan", "-inf", "1e400", "2024-02-29", "0x" + "F" * 5000, "[[[[[[]]]]]]")),
        lambda: repr("".join(chance.choices("aF#♭,/|\u202e\U0001f3b8 ", k=chance.choice((0, 1, 40, 4000))))),
        lambda: (
            f"[{', '.join(chance.choice(('1', '1.5', repr('F'), repr('spell'))) for _ in range(chance.randint(0, 4)))}]"
        ),
        lambda: f"{{{chance.choice(('tuning', 'bars', 'x'))} = 'D2,A2,D3'}}",
    )
    return chance.choice(makers)()


def _recipe(chance: random.Random) -> bytes:
    """Return a small recipe in which something is changed: a value, a name, some bytes."""
    fields = {"keys": "['F']", "levels": "[1]", "kinds": "['spell']"}
    names = ("title", "keys", "regions", "levels", "kinds", "colours", "order", "labels", "seed", "changes", "x.y")
    tables = (
        "instrument.tuning",
        "instrument.frets",
        "instrument.capo",
        "instrument.regions",
        "sound.a4",
        "sound.tempo",
    )
    for name in chance.sample((*names, *tables), chance.randint(0, 2)):
        fields[name] = _values(chance)
    text = bytearray("\n".join(f"{name} = {value}" for name, value in fields.items()).encode())
    for _ in range(chance.choice((0, 0, 0, 1, 3))):
        text[chance.randrange(len(text))] = chance.randrange(256)
    return bytes(text)


def _options(chance: random.Random) -> list[str]:
    """Return at most two options with values sensible or not."""
    values = ("F", "1", "1-3", "", "-", "standard", "D2,A2,D3", "left", "9" * 5000, "x" * 9000, "\x1b[31m", "１", "♭,♯")
    names = ("--keys", "--regions", "--levels", "--kinds", "--tuning", "--capo", "--hand")
    return [part for name in chance.sample(names, chance.randint(0, 2)) for part in (name, chance.choice(values))]


def test_mutated_recipes_and_options_end_well_or_with_one_error(tmp_path: Path) -> None:
    path = tmp_path / "r.toml"
    for seed in range(50):
        chance = random.Random(seed)
        path.write_bytes(_recipe(chance))
        arguments = ["list", str(path), *_options(chance)]
        result = CliRunner().invoke(main, arguments)
        assert result.exit_code in (0, 2), (arguments, path.read_bytes(), result.exception)
        assert result.exception is None or isinstance(result.exception, SystemExit)
        if result.exit_code:
            assert result.output.count("Error: ") + result.output.count("deckbuilder: ") == 1, result.output
            assert len(result.output) < 5000
            assert "\x1b" not in result.output
