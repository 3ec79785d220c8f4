"""`deckbuilder preview` as a user meets it, in a process of its own."""

import re
from pathlib import Path

from tests.running import run

BLUES = Path(__file__).parents[2] / "deckbuilder" / "recipes" / "blues.toml"
SMALL = ("--keys", "F", "--regions", "5", "--levels", "2", "--kinds", "locate,identify")


def test_a_page_is_written_with_all_it_shows(tmp_path: Path) -> None:
    done = run(tmp_path, "preview", *SMALL)
    assert done.returncode == 0, done.stderr
    assert "3 notes, 5 cards" in done.stdout
    index = tmp_path / done.stdout.splitlines()[-1]
    assert index.name == "index.html"
    assert index.parent.parent == tmp_path / "decks"
    asked = set(re.findall(r"media/([a-z]+-[0-9a-f]{24}\.\w{3})", (index.parent / "cards.js").read_text("utf-8")))
    assert asked == {path.name for path in (index.parent / "media").iterdir()}
    assert {path.name for path in index.parent.iterdir()} == {
        *("index.html", "page.css", "page.js", "cards.js", "card.css", "media")
    }


def test_changes_of_ones_own_stand_beside_levels(tmp_path: Path) -> None:
    done = run(tmp_path, "preview", str(BLUES), *SMALL[:4], "--kinds", "locate", "--out", "page")
    assert done.returncode == 0, done.stderr
    assert '"level":"Twelve-bar blues"' in (tmp_path / "page" / "cards.js").read_text("utf-8")


def test_another_page_takes_its_place_and_other_files_stay(tmp_path: Path) -> None:
    assert run(tmp_path, "preview", *SMALL, "--out", "page").returncode == 0
    own = tmp_path / "page" / "media" / "holiday.png"
    own.write_bytes(b"mine")
    before = {path.name for path in own.parent.iterdir()}
    assert run(tmp_path, "preview", "--keys", "Bb", *SMALL[2:], "--out", "page").returncode == 0
    after = {path.name for path in own.parent.iterdir()}
    cards = (tmp_path / "page" / "cards.js").read_text("utf-8")
    assert own.read_bytes() == b"mine"
    assert before - after
    assert all(name in cards for name in after - {own.name})


def test_bad_input_is_told_and_nothing_is_written(tmp_path: Path) -> None:
    for arguments, said in (
        (("--keys", "H"), "'H' is not a key"),
        (("none.toml",), "there is no such file"),
        (("--kinds", ","), "nothing is selected"),
    ):
        done = run(tmp_path, "preview", *arguments)
        assert done.returncode == 2
        assert said in done.stderr
        assert "Traceback" not in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    done = run(tmp_path, "preview", *SMALL, "--out", "file/page")
    assert done.returncode == 2
    assert "file/page: this folder cannot be made" in done.stderr


def test_two_titles_with_one_folder_name_do_not_replace_each_other(tmp_path: Path) -> None:
    small = ("--keys", "F", "--regions", "5", "--levels", "1", "--kinds", "spell", "--workers", "1")
    for name, title in (("one", "A & B"), ("other", "A - B")):
        (tmp_path / f"{name}.toml").write_text(f'title = "{title}"\n')
    for _ in range(2):
        assert run(tmp_path, "preview", "one.toml", *small).returncode == 0
    (page,) = (tmp_path / "decks").iterdir()
    before = (page / "index.html").read_bytes()
    refused = run(tmp_path, "preview", "other.toml", *small)
    assert refused.returncode == 2
    assert "this is the page of another deck, and “A - B” would take its place" in refused.stderr
    assert (page / "index.html").read_bytes() == before
