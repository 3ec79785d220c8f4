"""The page's folder: what is the user's own is never lost, and a page is whole or as it was."""

from collections.abc import Callable, Iterator, Mapping
from pathlib import Path

import pytest
from click.testing import CliRunner

from deckbuilder.build import media_of, notes_of
from deckbuilder.cards.note import Note
from deckbuilder.cli import main
from deckbuilder.deck.store import Store
from deckbuilder.deck.unfinished import OccupiedError
from deckbuilder.deck.writers import PackageError
from deckbuilder.preview.page import refuse_foreign, write_page
from deckbuilder.recipe import parse_recipe
from deckbuilder.rendering import render_all
from tests.policy import INLINE, assert_nothing_foreign, policy_of
from tests.preview.test_command import SMALL
from tests.running import run

RECIPE = parse_recipe({"keys": ["F"], "regions": [5], "levels": [2], "kinds": ["locate"]}, "test")
OTHER = parse_recipe({"keys": ["Bb"], "regions": [5], "levels": [2], "kinds": ["locate"]}, "test")
PAGE = ("index.html", "page.css", "page.js", "cards.js", "card.css")

Page = tuple[tuple[Note, ...], Mapping[str, bytes]]


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> tuple[Page, Page]:
    """Return the notes and media of two pages."""
    store = Store(tmp_path_factory.mktemp("store"))
    both = [
        (notes, dict(render_all(store, media_of(notes), None, lambda _done, _total: None)))
        for notes in (notes_of(RECIPE), notes_of(OTHER))
    ]
    return both[0], both[1]


def tree(folder: Path) -> dict[str, bytes]:
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def write(folder: Path, page: Page) -> None:
    notes, media = page
    write_page(folder, "A page", notes, media)


def test_its_policy_lets_only_its_own_files_in(tmp_path: Path, pages: tuple[Page, Page]) -> None:
    write(tmp_path, pages[0])
    policy = policy_of((tmp_path / "index.html").read_text(encoding="utf-8"))
    assert_nothing_foreign(policy)
    assert {name for name, sources in policy.items() if "'self'" in sources} == {
        *("script-src", "style-src", "img-src", "media-src")
    }
    assert INLINE not in policy["style-src"]


@pytest.mark.parametrize("name", [*PAGE, "media"])
def test_a_users_own_file_is_refused_before_anything_is_rendered(tmp_path: Path, name: str) -> None:
    site = tmp_path / "site"
    site.mkdir()
    (site / name).write_text("<h1>My band</h1>")
    told = CliRunner().invoke(main, ["preview", *SMALL, "--out", str(site), "--store", str(tmp_path / "store")])
    assert (told.exit_code, type(told.exception)) == (2, SystemExit)
    assert f"{name}: this is of no earlier preview" in told.output
    assert "move it away or name another --out" in told.output
    assert tree(tmp_path) == {f"site/{name}": b"<h1>My band</h1>"}
    assert not (tmp_path / "store").exists()


@pytest.mark.parametrize("name", ["index.html", "cards.js"])
def test_a_users_own_file_in_an_earlier_page_is_refused(tmp_path: Path, pages: tuple[Page, Page], name: str) -> None:
    write(tmp_path, pages[0])
    (tmp_path / name).write_text("mine")
    before = tree(tmp_path)
    with pytest.raises(OccupiedError, match=name):
        write(tmp_path, pages[1])
    assert tree(tmp_path) == before


def test_a_users_own_style_beside_a_page_of_the_first_kind_is_refused(tmp_path: Path, pages: tuple[Page, Page]) -> None:
    """The first pages had the style of their cards in `cards.js`."""
    write(tmp_path, pages[0])
    cards = tmp_path / "cards.js"
    cards.write_text(cards.read_text("utf-8").replace('"card.css"', '"p { margin: 0 }"', 1), "utf-8")
    (tmp_path / "card.css").write_text("mine")
    with pytest.raises(OccupiedError, match=r"card\.css"):
        write(tmp_path, pages[1])
    (tmp_path / "card.css").unlink()
    write(tmp_path, pages[1])


@pytest.mark.parametrize("name", PAGE)
def test_a_folder_in_a_files_place_is_refused(tmp_path: Path, pages: tuple[Page, Page], name: str) -> None:
    write(tmp_path, pages[0])
    (tmp_path / name).unlink()
    (tmp_path / name / "mine").mkdir(parents=True)
    with pytest.raises(OccupiedError, match=name):
        write(tmp_path, pages[1])
    assert (tmp_path / name / "mine").is_dir()


def test_an_earlier_page_is_known_by_its_mark_and_one_without_by_its_cards(
    tmp_path: Path, pages: tuple[Page, Page]
) -> None:
    mark = '<meta name="generator" content="deckbuilder">\n'
    write(tmp_path, pages[0])
    refuse_foreign(tmp_path)
    index, cards = tmp_path / "index.html", tmp_path / "cards.js"
    text = index.read_text("utf-8")
    cards.rename(tmp_path / "away")
    refuse_foreign(tmp_path)
    assert mark in text
    index.write_text(text.replace(mark, ""), "utf-8")
    with pytest.raises(OccupiedError, match=r"index\.html"):
        refuse_foreign(tmp_path)
    (tmp_path / "away").rename(cards)
    write(tmp_path, pages[1])
    assert mark in index.read_text("utf-8")


def test_only_media_that_the_earlier_page_shows_are_taken_away(tmp_path: Path, pages: tuple[Page, Page]) -> None:
    own = tmp_path / "media" / f"neck-{'0' * 24}.png"
    own.parent.mkdir()
    own.write_bytes(b"mine, though it is called like one of theirs")
    for page in (*pages, pages[0]):
        write(tmp_path, page)
        cards = (tmp_path / "cards.js").read_text("utf-8")
        assert {path.name for path in own.parent.iterdir()} == {own.name} | {name for name in page[1] if name in cards}


@pytest.mark.parametrize("damage", [lambda data: data[:-100], lambda data: bytes(len(data)), lambda _data: b""])
def test_a_damaged_medium_is_written_again(
    tmp_path: Path, pages: tuple[Page, Page], damage: Callable[[bytes], bytes]
) -> None:
    write(tmp_path, pages[0])
    before = tree(tmp_path)
    for path in (tmp_path / "media").iterdir():
        path.write_bytes(damage(path.read_bytes()))
    write(tmp_path, pages[0])
    assert tree(tmp_path) == before


def test_a_whole_medium_is_left_alone(tmp_path: Path, pages: tuple[Page, Page]) -> None:
    write(tmp_path, pages[0])
    before = {path: path.stat().st_ino for path in (tmp_path / "media").iterdir()}
    write(tmp_path, pages[0])
    assert {path: path.stat().st_ino for path in (tmp_path / "media").iterdir()} == before


class Failing(Mapping[str, bytes]):
    """Media of which the third that is asked for cannot be had."""

    def __init__(self, media: Mapping[str, bytes], error: BaseException) -> None:
        self._media, self._error, self._asked = media, error, 0

    def __getitem__(self, name: str) -> bytes:
        self._asked += 1
        if self._asked == 3:
            raise self._error
        return self._media[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._media)

    def __len__(self) -> int:
        return len(self._media)


@pytest.mark.parametrize("error", [OSError(28, "No space left on device"), KeyboardInterrupt()])
def test_a_page_that_fails_leaves_what_was_there(
    tmp_path: Path, pages: tuple[Page, Page], error: BaseException
) -> None:
    wanted = PackageError if isinstance(error, OSError) else KeyboardInterrupt
    notes, media = pages[1]
    with pytest.raises(wanted):
        write(tmp_path / "new" / "page", (notes, Failing(media, error)))
    assert list(tmp_path.iterdir()) == []
    write(tmp_path / "page", pages[0])
    before = tree(tmp_path)
    with pytest.raises(wanted):
        write(tmp_path / "page", (notes, Failing(media, error)))
    assert tree(tmp_path) == before


@pytest.mark.parametrize("name", PAGE)
def test_a_page_of_which_one_file_cannot_be_placed_leaves_the_earlier_one(
    tmp_path: Path, pages: tuple[Page, Page], name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    write(tmp_path, pages[0])
    before, rename = tree(tmp_path), Path.rename

    def fail_once(self: Path, target: Path) -> Path:
        if target == tmp_path / name:
            raise OSError(5, "Input/output error")
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", fail_once)
    with pytest.raises(PackageError, match="Input/output error"):
        write(tmp_path, pages[1])
    assert tree(tmp_path) == before


def test_a_full_disk_leaves_no_part_of_a_page(tmp_path: Path) -> None:
    """A small limit on the size of files stands for a full disk: some media fit, others do not."""
    assert run(tmp_path, "preview", *SMALL, "--out", "page", "--store", "store").returncode == 0
    before = tree(tmp_path)
    limit = sorted(path.stat().st_size for path in (tmp_path / "page" / "media").iterdir())[-1] - 1
    failed = run(
        *(tmp_path, "preview", *SMALL, "--out", "new/page", "--store", "store", "--workers", "1"), largest=limit
    )
    assert failed.returncode == 2, failed.stderr
    assert "new/page: the page cannot be written (File too large)" in failed.stderr
    assert "Traceback" not in failed.stderr
    assert tree(tmp_path) == before
    assert not (tmp_path / "new").exists()
