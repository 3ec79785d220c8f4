"""Extensions: a small package adds one of everything, and what is broken is told and left out.

It is installed as an installer would, without a network: its package in a folder, and beside it the entry points that
its `pyproject.toml` names. A process of its own loads it, so that no other test knows of it.
"""

import json
import os
import re
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from tests.deck.reading import read_package

SOURCE = Path(__file__).with_name("extension")
RECIPE = """
title = "Sample"
keys = ["F"]
regions = [1]
levels = [1, 40]
kinds = ["locate", "hear", "spell", "improvise", "climb"]
[instrument]
tuning = "open-a"
"""


def install(site: Path, source: Path = SOURCE) -> None:
    """Put a package and its entry points into a folder that Python finds packages in."""
    project = tomllib.loads((source / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    shutil.copytree(source, site, dirs_exist_ok=True, ignore=shutil.ignore_patterns("__pycache__", "pyproject.toml"))
    info = site / f"{project['name'].replace('-', '_')}-{project['version']}.dist-info"
    info.mkdir()
    metadata = f"Metadata-Version: 2.1\nName: {project['name']}\nVersion: {project['version']}\n"
    (info / "METADATA").write_text(metadata, encoding="utf-8")
    groups = project["entry-points"].items()
    lines = [line for group, rows in groups for line in (f"[{group}]", *(f"{a} = {b}" for a, b in rows.items()))]
    (info / "entry_points.txt").write_text("\n".join(lines) + "\n", encoding="utf-8")


def broken(site: Path, name: str, source: str) -> None:
    """Install an extension of one module."""
    made = site.parent / f"source-{name}"
    made.mkdir()
    (made / f"{name}.py").write_text(source, encoding="utf-8")
    (made / "pyproject.toml").write_text(
        f'[project]\nname = "{name}"\nversion = "1"\n'
        f'[project.entry-points."deckbuilder.extensions"]\n{name} = "{name}:EXTENSION"\n',
        encoding="utf-8",
    )
    install(site, made)


def run(site: Path, *words: str, at: Path) -> subprocess.CompletedProcess[str]:
    path = os.pathsep.join([str(site), str(SOURCE.parent.parent)])
    environment = {**os.environ, "PYTHONPATH": path, "SOURCE_DATE_EPOCH": "1700000000"}
    return subprocess.run(
        [sys.executable, *words], cwd=at, env=environment, capture_output=True, text=True, encoding="utf-8", check=False
    )


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("extended") / "site"
    folder.mkdir()
    install(folder)
    return folder


@pytest.fixture(scope="module")
def built(site: Path) -> Path:
    """Build a deck with everything that the extension adds, on two processes."""
    folder = site.parent
    (folder / "sample.toml").write_text(RECIPE, encoding="utf-8")
    words = ("build", "sample.toml", "--workers", "2", "--store", "store", "--format", "apkg,prompts,page,csv")
    made = run(site, "-m", "deckbuilder", *words, at=folder)
    assert made.returncode == 0, made.stderr
    assert "extension" not in made.stderr
    return folder / "decks"


@pytest.fixture(scope="module")
def notes(built: Path) -> list[dict[str, object]]:
    made = run(built.parent / "site", "-m", "deckbuilder", "list", "sample.toml", "--json", at=built.parent)
    assert made.returncode == 0, made.stderr
    return [json.loads(line) for line in made.stdout.splitlines()]


def test_a_tuning_is_asked_for_by_its_name(notes: list[dict[str, object]]) -> None:
    assert all(str(note["id"]).startswith("E2-A2-E3-A3-Db4-E4/") for note in notes)


def test_a_colour_has_its_scale_and_arpeggios(notes: list[dict[str, object]]) -> None:
    dark = [note for note in notes if note["colour"] == "dark"]
    (scale,) = (note for note in dark if note["fact"] == "scale")
    assert scale["tones"] == ["C", "Db", "E", "F#", "G", "A", "Bb"]
    assert "gives ♭9 and ♯11 above a bright 13" in str(scale["why"])
    third = [note["tones"] for note in dark if note["fact"] == "arpeggio" and note["source"] == "third"]
    assert third == [["E", "G", "Bb", "Db"]]


def test_a_level_has_its_cards_its_loop_and_its_questions_for_the_ear(notes: list[dict[str, object]]) -> None:
    own = [note for note in notes if note["level"] == 40]
    assert {str(note["fact"]) for note in own} >= {"scale", "arpeggio", "target", "improvisation"}
    assert {str(note["id"]).rpartition("/")[2] for note in own if note["fact"] == "target"} == {"b9", "3"}
    assert any(str(note["id"]).endswith("/dark-cadence") for note in own)


def test_a_task_is_dealt(site: Path, built: Path) -> None:
    made = run(
        site, "-m", "deckbuilder", "list", "--kinds", "improvise", "--keys", "C,F", "--levels", "1", "--json", at=built
    )
    assert made.returncode == 0, made.stderr
    assert "Only roots and fifths." in made.stdout


def test_a_card_type_has_its_notes_type_and_picture_in_the_package(built: Path, site: Path) -> None:
    deck = built / "sample-open-a.apkg"
    found = read_package(deck)
    (*_, row) = (row for row in found.rows if row.model == "Sample: roots on the lowest string")
    name = row.fields["Picture"].split('"')[1]
    assert name.startswith("ladder-")
    assert found.media[name].startswith(b"<svg ")
    (heard,) = re.findall(r"aria-label=\"Play the root\">\[sound:(hum-\w+\.wav)\]", row.fields["Clip"])
    assert found.media[heard].startswith(b"RIFF")
    assert [template for template, _, _ in row.cards] == ["climb"]
    assert row.fields["Ask climb"] == "1"
    checked = run(site, "-m", "deckbuilder", "check", str(deck), at=built)
    assert checked.stdout.endswith(" 0 problems\n"), checked.stderr


def test_a_side_without_a_template_is_the_usual_one(built: Path) -> None:
    models = read_package(built / "sample-open-a.apkg").models.values()
    ((template,),) = (model["tmpls"] for model in models if model["name"] == "Sample: roots on the lowest string")
    assert '<p class="task">{{Task}}</p>\n<p class="ask">At which frets?</p>' in template["qfmt"]
    assert "{{Answer}}" not in template["afmt"]


def test_a_writer_writes(built: Path) -> None:
    text = (built / "sample-open-a-prompts" / "prompts.txt").read_text(encoding="utf-8")
    assert "F · Gm7 · roots on the lowest string" in text.splitlines()


def test_the_page_and_the_tables_show_its_cards(built: Path) -> None:
    page = (built / "sample-open-a-preview" / "cards.js").read_text(encoding="utf-8")
    assert ("At which frets?" in page, "lowest roots" in page) == (True, True)
    assert ",climb," in (built / "sample-open-a-tables" / "cards.csv").read_text(encoding="utf-8")


BROKEN = {
    "unready": "raise RuntimeError('not ready\\nyet')\n",
    "nothing": "EXTENSION = 3\n",
    "greedy": (
        "from deckbuilder.extensions import Extension\nfrom deckbuilder.neck.tunings import KnownTuning\n"
        "from deckbuilder.cards.tasks import Task\n"
        "EXTENSION = Extension(tunings=(KnownTuning('odd', 'C2 G2 D3 A3 E4'), KnownTuning('dadgad', 'C2 G2 D3')), "
        "tasks=(Task('Play.'),))\n"
    ),
}


def test_a_broken_extension_is_named_in_one_error_and_the_rest_goes_on(tmp_path: Path) -> None:
    site = tmp_path / "site"
    site.mkdir()
    install(site)
    for name, source in BROKEN.items():
        broken(site, name, source)
    made = run(site, "-m", "deckbuilder", "tunings", at=tmp_path)
    assert made.returncode == 0
    told = made.stderr.splitlines()
    assert len(told) == len(BROKEN)
    assert "the extension 'greedy' of greedy is left out (NeckError: there is a tuning 'dadgad' already" in told[0]
    assert (
        "the extension 'nothing' of nothing is left out (ExtensionError: nothing:EXTENSION is no Extension)" in told[1]
    )
    assert (
        "the extension 'unready' of unready is left out (RuntimeError: not ready yet); repair or uninstall" in told[2]
    )
    names = [line.split()[0] for line in made.stdout.splitlines()[1:]]
    assert "open-a" in names
    assert "odd" not in names


FAILING = """
from deckbuilder.cards.asks import Ask
from deckbuilder.cards.cardtypes import CardType
from deckbuilder.cards.facts import AnyFact, Kind
from deckbuilder.extensions import Extension

class Own(AnyFact):
    OWN = "own"

def make(context, harmony):
    yield from ()
    raise ZeroDivisionError("by the way")

EXTENSION = Extension(
    card_types=(CardType(Own.OWN, 1_900_000_002, "Own", (Ask(Kind.SPELL, ()),), on_chord_anywhere=make),)
)
"""


def test_a_card_type_that_fails_is_named_in_one_error(tmp_path: Path) -> None:
    site = tmp_path / "site"
    site.mkdir()
    broken(site, "failing", FAILING)
    made = run(site, "-m", "deckbuilder", "list", "--keys", "F", "--kinds", "spell", at=tmp_path)
    assert made.returncode == 2
    (told,) = made.stderr.splitlines()
    assert "the card type 'Own' of an extension fails (ZeroDivisionError: by the way); leave spell out of" in told


@pytest.mark.parametrize(
    ("source", "change", "asked", "told"),
    [
        ("drawing.py", ("rungs = ", "rungs = 1 / 0 + "), (), "what renders ladder-….svg of the extension"),
        (
            "roots.py",
            ("Ladder(neck.frets, frets)", "Ladder(1, {frets})"),
            (),
            "what describes ladder-….svg of the extension",
        ),
        (
            "prompts.py",
            ("def write(", "def write(self, folder, deck):\n        return deck['notes']\n\n    def formerly("),
            ("--format", "prompts"),
            "what writes into the-whole-neck-open-a--keys-f--regions-5--kinds-climb-prompts of the extension",
        ),
    ],
)
def test_what_fails_while_it_is_used_is_told_and_leaves_nothing_half_written(
    tmp_path: Path, source: str, change: tuple[str, str], asked: tuple[str, ...], told: str
) -> None:
    site = tmp_path / "site"
    site.mkdir()
    install(site)
    module = site / "deckbuilder_sample" / source
    text = module.read_text(encoding="utf-8")
    assert change[0] in text
    module.write_text(text.replace(*change), encoding="utf-8")
    chosen = ("--tuning", "open-a", "--keys", "F", "--regions", "5", "--kinds", "climb", "--out", "made")
    made = run(site, "-m", "deckbuilder", "build", *chosen, *asked, "--workers", "2", at=tmp_path)
    assert made.returncode == 2, made.stderr
    line = made.stderr.splitlines()[-1]
    assert line.startswith(f"deckbuilder: {told} deckbuilder_sample fails ("), line
    assert not list(tmp_path.glob("made/*"))


def test_a_program_has_the_extensions_too_and_is_warned_of_broken_ones(tmp_path: Path) -> None:
    site = tmp_path / "site"
    site.mkdir()
    install(site)
    broken(site, "unready", BROKEN["unready"])
    program = (
        "import sys, deckbuilder\n"
        "assert 'numpy' not in sys.modules and 'pydantic' not in sys.modules\n"
        "from deckbuilder import parse_recipe\n"
        "print(parse_recipe({'instrument': {'tuning': 'open-a'}}, 'mine').deck_title)\n"
    )
    made = run(site, "-c", program, at=tmp_path)
    assert made.stdout == "The whole neck (open-a)\n", made.stderr
    assert "UserWarning: the extension 'unready' of unready is left out" in made.stderr
