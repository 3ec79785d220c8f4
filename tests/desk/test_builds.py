"""Builds asked for by the page: their progress, their end, and the decks to take away."""

import signal
from collections.abc import Iterator
from pathlib import Path
from threading import Event
from typing import Any

import psutil
import pytest

from deckbuilder.build import Summary, build
from deckbuilder.deck.check import check_package
from deckbuilder.deck.unfinished import PREFIX
from deckbuilder.desk import building
from deckbuilder.desk.building import Built, Watch
from tests.desk.asking import PATIENCE, Asker, open_desk
from tests.desk.commands import asker_at, started

SMALL = {"title": "Small", "keys": ["F"], "regions": [5], "levels": [1], "kinds": ["locate"], "sound": {"silent": True}}
NAME = "small.apkg"
BOTH_STATES = ("progress", "done")


@pytest.fixture(scope="module")
def built(asker: Asker) -> Any:
    """Return what is told of a small deck that was built."""
    assert asker.post("/api/builds", {"recipe": SMALL}).status == 202
    name, told = asker.built()
    assert name == "done", told
    return told


@pytest.fixture
def waiting(tmp_path: Path) -> Iterator[Asker]:
    """Open a desk at which a build waits until it is told to end."""
    release = Event()

    def wait(watch: Watch) -> list[Built]:
        while not release.wait(0.02):
            watch.tell(building.Stage.MEDIA, 1, 2)
        return []

    with open_desk(tmp_path) as asker:
        asker.desk.building.start(wait)
        yield asker
        release.set()


def test_nothing_is_built_unasked(tmp_path: Path) -> None:
    with open_desk(tmp_path) as asker:
        assert asker.get("/api/builds/current").json == {"status": "idle", "id": 0}
        assert asker.get("/api/decks").json == {"decks": []}
        assert asker.get("/preview/index.html").status == 404
        assert next(asker.events())[0] == "idle"
    assert list(tmp_path.iterdir()) == []


def test_a_deck_is_built_and_told(asker: Asker, built: Any) -> None:
    place = asker.desk.folder / NAME
    found = check_package(place)
    assert found.problems == ()
    assert (built["deck"], built["notes"], built["cards"]) == (NAME, found.notes, found.cards)
    assert built["size"] == place.stat().st_size
    assert [deck["title"] for deck in built["decks"]] == ["Small"]
    assert asker.get("/api/builds/current").json == built


def test_a_page_that_is_loaded_again_is_told_how_it_stands(asker: Asker, built: Any) -> None:
    assert next(asker.events()) == ("done", built)
    assert next(asker.events()) == ("done", built)


def test_the_deck_is_downloaded_whole(asker: Asker, built: Any) -> None:
    answer = asker.get(f"/decks/{built['deck']}")
    assert answer.body == (asker.desk.folder / NAME).read_bytes()
    assert answer.headers["content-disposition"] == f'attachment; filename="{NAME}"'
    assert answer.headers["content-type"] == "application/octet-stream"
    (listed,) = asker.get("/api/decks").json["decks"]
    assert listed == {"deck": NAME, "title": "Small", "size": len(answer.body)}


def test_only_decks_that_were_built_here_are_downloaded(asker: Asker, built: Any) -> None:
    folder = asker.desk.folder
    (folder / "foreign.apkg").write_bytes(b"PK")
    (folder / "small.toml").write_text("")
    (folder.parent / "outside.apkg").write_bytes((folder / NAME).read_bytes())
    for name in (
        "foreign.apkg",
        "small.toml",
        "..%2foutside.apkg",
        "%2e%2e/outside.apkg",
        "nothing.apkg",
        f"{NAME}%00",
    ):
        assert asker.get(f"/decks/{name}").status == 404


def test_every_card_is_looked_at(asker: Asker, built: Any) -> None:
    index = asker.get("/preview/index.html")
    assert b"<h1>Small</h1>" in index.body
    assert "frame-ancestors 'self'" in index.headers["content-security-policy"]
    cards = asker.get("/preview/cards.js")
    assert cards.headers["content-type"].startswith("text/javascript")
    picture = cards.body.partition(b"media/neck-")[2].partition(b".png")[0].decode()
    path = f"/preview/media/neck-{picture}.png"
    shown = asker.get(path)
    assert (shown.status, shown.headers["content-type"]) == (200, "image/png")
    part = asker.get(path, range="bytes=1-3")
    assert (part.status, part.body) == (206, shown.body[1:4])
    for file in asker.desk.store.folder.iterdir():
        file.unlink()
    assert asker.get(path).body == shown.body, "what was taken from the store is rendered again"


@pytest.mark.parametrize("path", ["media/nothing.png", "media/", "cards.js/", "nothing", "media/../index.html"])
def test_the_page_of_cards_has_nothing_else(asker: Asker, built: Any, path: str) -> None:
    assert asker.get(f"/preview/{path}").status == 404


@pytest.mark.parametrize(
    ("recipe", "where"), [({"keys": ["X"]}, ["keys"]), ({"sound": {"tempo": 0}}, ["sound", "tempo"])]
)
def test_a_recipe_that_cannot_be_built_is_told(asker: Asker, recipe: dict[str, Any], where: list[object]) -> None:
    answer = asker.post("/api/builds", {"recipe": recipe})
    assert answer.status == 422
    assert answer.json["where"] == where
    assert answer.json["error"].startswith("the recipe: ")


@pytest.mark.parametrize("body", [b"", b"[]", b"{", b"\xff", b'{"recipe": []}', b'{"recipe": {}, "formats": ["x"]}'])
def test_what_is_no_request_is_told(asker: Asker, body: bytes) -> None:
    answer = asker.ask("POST", "/api/builds", body)
    assert answer.status == 400
    assert "error" in answer.json


def test_a_body_without_end_is_refused(asker: Asker) -> None:
    assert asker.ask("POST", "/api/builds", b'{"recipe": "' + b"x" * (2 << 20)).status == 413


@pytest.mark.parametrize("path", ["/api/builds", "/api/builds/cancel"])
def test_looking_starts_and_ends_nothing(asker: Asker, path: str) -> None:
    assert asker.get(path).status == 405


def test_one_build_at_a_time(waiting: Asker) -> None:
    answer = waiting.post("/api/builds", {"recipe": SMALL})
    assert answer.status == 409
    assert "wait until it is done, or stop it" in answer.json["error"]


def test_a_build_that_is_cancelled_ends_and_the_next_one_begins(waiting: Asker) -> None:
    events = waiting.events()
    assert next(events)[0] == "progress"
    assert waiting.post("/api/builds/cancel", {}).status == 200
    assert next(name for name, _ in events if name != "progress") == "cancelled"
    assert waiting.post("/api/builds", {"recipe": SMALL}).status == 202
    assert waiting.built()[0] == "done"


@pytest.mark.parametrize("moment", ["on_progress", "on_written"])
def test_a_cancelled_build_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, moment: str) -> None:
    """It is told to end while the first medium comes to hand, and while the deck is written."""
    with open_desk(tmp_path) as asker:

        def cancelled(*args: Any, **extra: Any) -> Summary:
            tell = extra[moment]

            def cancel_and_tell(done: int, total: int) -> None:
                asker.desk.building.cancel()
                tell(done, total)

            return build(*args, **{**extra, moment: cancel_and_tell})

        monkeypatch.setattr(building, "build", cancelled)
        asker.post("/api/builds", {"recipe": SMALL})
        assert asker.built()[0] == "cancelled"
        assert not list(tmp_path.rglob(f"{PREFIX}*"))
        assert not (tmp_path / "decks").exists()


@pytest.mark.parametrize("stage", ["notes", "media"])
def test_a_large_build_is_left_at_once(tmp_path: Path, stage: str) -> None:
    """Most of the whole deck is never made: neither its notes, nor the media that processes have in hand."""
    with open_desk(tmp_path) as asker:
        asker.post("/api/builds", {"recipe": {"regions": [5]} if stage == "media" else {}})
        for name, data in asker.events():
            assert name == "progress", data
            if data["stage"] == stage and data["total"] >= data["done"]:
                break
        asker.post("/api/builds/cancel", {})
        assert asker.built()[0] == "cancelled"
        assert len(asker.desk.store.names()) < 100
        assert not list(tmp_path.rglob(f"{PREFIX}*"))


def test_a_file_in_the_way_is_told_and_kept(tmp_path: Path) -> None:
    with open_desk(tmp_path) as asker:
        asker.desk.folder.mkdir()
        (asker.desk.folder / NAME).write_text("a letter")
        asker.post("/api/builds", {"recipe": SMALL})
        name, told = asker.built()
        assert name == "failed"
        assert "this was not built here, and would be lost; move it away or name another --folder" in told["error"]
        assert (asker.desk.folder / NAME).read_text() == "a letter"


def test_a_mistake_of_the_program_ends_the_build_and_not_the_desk(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shown: list[str] = []
    monkeypatch.setattr("threading.excepthook", lambda given: shown.append(given.exc_type.__name__))
    monkeypatch.setattr(building, "build", lambda *_args, **_extra: 1 / 0)
    with open_desk(tmp_path) as asker:
        asker.post("/api/builds", {"recipe": SMALL})
        name, told = asker.built()
        assert (name, told["error"]) == ("failed", building.MISTAKE)
        assert asker.get("/").status == 200
    assert shown == ["ZeroDivisionError"]


def test_a_full_disk_is_told_and_the_desk_goes_on(tmp_path: Path) -> None:
    full = "import resource; resource.setrlimit(resource.RLIMIT_FSIZE, (60_000, 60_000))\n"
    with started(tmp_path, "--no-browser", "--workers", "1", before=full) as (_, url):
        asker = asker_at(url, tmp_path)
        asker.post("/api/builds", {"recipe": SMALL})
        name, told = asker.built()
        assert name == "failed"
        assert "cannot be written (File too large)" in told["error"]
        assert asker.get("/api/builds/current").json["status"] == "failed"
        assert not list(tmp_path.rglob(f"{PREFIX}*"))


@pytest.mark.parametrize(("number", "to_all"), [(signal.SIGTERM, False), (signal.SIGHUP, True), (signal.SIGINT, True)])
def test_a_desk_that_is_closed_ends_its_build(tmp_path: Path, number: signal.Signals, to_all: bool) -> None:
    """Its workers end, by themselves where the terminal tells all of them, and nothing is half-written."""
    larger = {**SMALL, "regions": [1, 2, 3, 4, 5]}
    with started(tmp_path, "--no-browser", "--workers", "2") as (process, url):
        asker = asker_at(url, tmp_path)
        asker.post("/api/builds", {"recipe": larger})
        for name, data in asker.events():
            assert name == "progress", data
            if data["stage"] == "media" and data["done"]:
                break
        family = psutil.Process(process.pid).children(recursive=True)
        assert len(family) >= 2
        for one in psutil.Process(process.pid), *(family if to_all else ()):
            one.send_signal(number)
        _, err = process.communicate(timeout=PATIENCE)
    assert process.returncode == 0, err
    assert "Traceback" not in err
    _, alive = psutil.wait_procs(family, PATIENCE)
    assert alive == []
    assert not list(tmp_path.rglob(f"{PREFIX}*"))
    assert not (tmp_path / "decks").exists()
