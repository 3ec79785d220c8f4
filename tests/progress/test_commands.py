"""The commands: what they say, what they write and nothing else, how they fail."""

import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from deckbuilder.cli import main
from deckbuilder.deck.check import check_package
from deckbuilder.recipe import read_recipe
from tests.progress.exports import CREATED, DAY, Log, StudiedCard, StudiedNote, write_export
from tests.progress.learner import studied

DATE = "2024-03-24"


def run(*arguments: str | Path) -> Result:
    return CliRunner().invoke(main, [str(argument) for argument in arguments])


def files(folder: Path) -> set[str]:
    return {str(path.relative_to(folder)) for path in folder.rglob("*") if path.is_file()}


def test_without_out_nothing_is_written(export: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    before = files(export.parent)
    result = run("progress", export, "--date", DATE, "--focus", "2")
    assert result.exit_code == 0, result.output
    assert "Weakest first" in result.output
    assert "tag:key::" in result.output
    assert files(tmp_path) == set()
    assert files(export.parent) == before


def test_out_holds_report_maps_and_a_focus_deck_that_is_whole(
    export: Path, tmp_path: Path, tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    store = tmp_path_factory.mktemp("store")
    options = ("--out", "out", "--store", store, "--workers", "1")
    result = run("progress", export, "--date", DATE, "--focus", "1", *options)
    assert result.exit_code == 0, result.output
    written = {"progress.html", "practice-sheet.pdf", "focus.toml", "focus.apkg"}
    written |= {f"heat-map-level-{level}.png" for level in (1, 2, 3)}
    assert files(tmp_path) == {f"out/{name}" for name in written}
    findings = check_package(Path("out/focus.apkg"))
    assert findings.problems == ()
    recipe = read_recipe(Path("out/focus.toml"))
    assert (len(recipe.keys), len(recipe.regions), len(recipe.levels)) == (1, 1, 1)
    for name in written:
        assert f"out/{name}" in result.output


@pytest.fixture(scope="module")
def first_looks(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give the export of a player who looked at every card once and knows nothing in G♭."""
    notes = studied(lambda axes, _kind: 0.9, 1, days=1, first_days=1)
    looked = [
        replace(
            note,
            cards=tuple(
                replace(card, log=(replace(card.log[0], grade=1 if note.tags["key"] == "Gb" and place else 3),))
                for place, card in enumerate(note.cards)
            ),
        )
        for note in notes
    ]
    return write_export(tmp_path_factory.mktemp("looks") / "x", looked, "anki21b")


def test_keys_of_a_report_have_the_names_that_are_asked_for(first_looks: Path, tmp_path: Path) -> None:
    options = ("--date", DATE, "--out", tmp_path / "out", "--names", "german")
    result = run("progress", first_looks, *options)
    assert result.exit_code == 0, result.output
    assert "Clearly weaker than the rest: Ges." in result.output
    assert "tag:key::Gb -tag:instrument::needed" in result.output
    assert "♭" not in result.output
    recipe = tmp_path / "out" / "check-up.toml"
    assert 'names = "german"' in recipe.read_text(encoding="utf-8")
    assert '"Ges"' in recipe.read_text(encoding="utf-8")
    assert read_recipe(recipe).keys == ("Gb",)


def test_first_looks_alone_make_a_check_up_and_its_recipe(first_looks: Path, tmp_path: Path) -> None:
    result = run("progress", first_looks, "--date", DATE, "--out", tmp_path / "out")
    assert result.exit_code == 0, result.output
    assert "Clearly weaker than the rest: G♭." in result.output
    assert "tag:key::Gb -tag:instrument::needed" in result.output
    assert "Not enough yet" not in result.output
    assert read_recipe(tmp_path / "out" / "check-up.toml").keys == ("Gb",)
    page = (tmp_path / "out" / "progress.html").read_text(encoding="utf-8")
    assert "<code>tag:key::Gb -tag:instrument::needed</code>" in page


def test_a_steady_player_has_nothing_to_focus_on(tmp_path: Path) -> None:
    log = tuple(Log(CREATED + day * DAY + 3600, 3) for day in range(30))
    tags = {"level": 1, "key": "C", "region": 1, "fact": "arpeggio", "tuning": "standard"}
    notes = [StudiedNote(f"E2/{number}/region-1-of-5", tags, (StudiedCard(0, log),)) for number in range(3)]
    result = run("progress", write_export(tmp_path / "x", notes, "anki2"), "--date", "2023-12-20", "--focus", "3")
    assert result.exit_code == 0
    assert "nothing to work on apart" in result.output


@pytest.mark.parametrize(("content", "status"), [(b"", 2), (b"SQLite format 3\0cut", 2), (b"PK\x03\x04cut", 2)])
def test_an_unreadable_file_is_told_in_one_line(tmp_path: Path, content: bytes, status: int) -> None:
    path = tmp_path / "export.apkg"
    path.write_bytes(content)
    result = run("progress", path, "--out", tmp_path / "out")
    assert result.exit_code == status
    assert result.output.startswith(f"deckbuilder: {path}: ")
    assert result.output.count("\n") == 1
    assert not (tmp_path / "out").exists()


def test_nothing_to_say_is_an_exit_status_of_its_own(tmp_path: Path) -> None:
    path = write_export(tmp_path / "x", [StudiedNote("word", {}, (StudiedCard(0),), note_type=3)], "anki21b")
    result = run("progress", path)
    assert result.exit_code == 1
    assert "no note in it was made by deckbuilder" in result.output


def test_an_output_that_cannot_be_written_is_told(export: Path, tmp_path: Path) -> None:
    (tmp_path / "out").write_text("a file, no folder")
    result = run("progress", export, "--date", DATE, "--out", tmp_path / "out")
    assert result.exit_code == 2
    assert "out" in result.output


def test_plan_tells_and_draws(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    recipe = tmp_path / "quick.toml"
    recipe.write_text('keys = ["F"]\nregions = [1, 5]\n')
    result = run("plan", recipe, "--minutes", "5", "--out", "out")
    assert result.exit_code == 0, result.output
    assert "Every card seen: day " in result.output
    assert files(tmp_path) == {"quick.toml", "out/load.png"}
    assert run("plan", recipe, "--minutes", "5").output.splitlines()[1] == result.output.splitlines()[1]


def test_plan_refuses_what_makes_no_sense(tmp_path: Path) -> None:
    assert run("plan", "--minutes", "0").exit_code == 2
    assert run("plan", "--minutes", "nan").exit_code == 2
    assert run("plan", tmp_path / "missing.toml").exit_code == 2


MEASURED = """
import re, sys, time
from pathlib import Path
from deckbuilder.cli import main
try:
    main(sys.argv[1:])
except SystemExit as leave:
    assert not leave.code, leave.code
peak = re.search(r"VmHWM:\\s+(\\d+) kB", Path("/proc/self/status").read_text())
print("MEASURED", time.process_time(), int(peak[1]) / 1024)
"""
"""A process that tells its seconds and its own peak memory; what `getrusage` tells takes in the one that started it."""


def test_a_hundred_thousand_reviews_are_read_and_reported_soon(tmp_path: Path) -> None:
    """Under 5 s and 500 MB on an idle machine; other work on the same cores slows even processor seconds."""
    from tests.progress.learner import studied

    notes = studied(lambda axes, _kind: 0.7 if axes["key"] == "Db" else 0.85, 1, days=2000, first_days=400)
    log = [card.log for note in notes for card in note.cards]
    rounds = -(-100_000 // sum(map(len, log)))
    more = [
        StudiedNote(f"{note.id}/{copy}", note.tags, note.cards, note.note_type)
        for copy in range(rounds)
        for note in notes
    ]
    assert rounds * sum(map(len, log)) >= 100_000
    path = write_export(tmp_path / "large.apkg", more, "anki21b")
    command = [
        sys.executable,
        "-c",
        MEASURED,
        "progress",
        str(path),
        "--date",
        "2029-06-01",
        "--out",
        str(tmp_path / "out"),
    ]
    environment = {**os.environ, "OMP_NUM_THREADS": "1"}
    result = subprocess.run(command, capture_output=True, text=True, check=True, env=environment)
    seconds, megabytes = map(float, result.stdout.rpartition("MEASURED")[2].split())
    assert (tmp_path / "out" / "progress.html").exists()
    assert seconds < 10
    assert megabytes < 500
