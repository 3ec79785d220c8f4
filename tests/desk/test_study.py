"""A study history that a page brings: read, told, worked on, and never kept."""

import socket
import tempfile
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any
from urllib.parse import quote

import pytest

from deckbuilder.deck.check import check_package
from deckbuilder.desk import histories
from tests.desk.asking import Asker, until
from tests.desk.commands import asker_at, started
from tests.progress.exports import write_export
from tests.progress.learner import Axes, studied
from tests.progress.read import read_history

WHERE = "/api/histories?name="


def uneven(axes: Axes, _kind: str) -> float:
    """Recall of a player who is weak in one region of one key."""
    return 0.5 if (axes.get("region"), axes["key"]) == (3, "Db") else 0.95


@pytest.fixture(scope="module")
def export(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """Give the export of a player of two tunings."""
    notes = studied(uneven, seed=3, days=100)
    other = [replace(note, tags={**note.tags, "tuning": "other"}) for note in notes[:3]]
    path = tmp_path_factory.mktemp("export") / "deck.apkg"
    return write_export(path, [*notes[3:], *other], "anki21b").read_bytes()


@pytest.fixture(scope="module")
def temporary(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """Give the folder for temporary files, empty but for what a desk puts there."""
    folder = tmp_path_factory.mktemp("temporary")
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(tempfile, "tempdir", str(folder))
        yield folder


@pytest.fixture(scope="module")
def told(asker: Asker, temporary: Path, export: bytes) -> Any:
    """Return what is said of the history."""
    answer = asker.ask("PUT", f"{WHERE}deck.apkg", export)
    assert answer.status == 200, answer.body
    return answer.json


def left(folder: Path) -> list[str]:
    return [path.name for path in folder.iterdir() if path.name.startswith("deckbuilder-desk-")]


def test_a_history_is_told(asker: Asker, told: Any, export: bytes, tmp_path: Path) -> None:
    (tmp_path / "export").write_bytes(export)
    history = read_history(tmp_path / "export", 4e9)
    assert told["tuning"] == history.tuning
    assert told["answers"] == sum(len(card.answers) for card in history.cards)
    assert all(row["name"].startswith("D♭") and "recalled" in row["line"] for row in told["weak"])
    *_, most = told["works"]
    assert most["search"].startswith("tag:tuning::standard ")
    assert most["search"].endswith(" tag:key::Db tag:region::3")
    assert most["what"].replace("\N{NO-BREAK SPACE}", " ").startswith("Your weakest places: D♭ · region 3 ")
    assert asker.get(f"/api/histories/{told['id']}").json == told


def test_a_history_is_told_under_the_names_that_the_page_uses(asker: Asker, temporary: Path, export: bytes) -> None:
    told = asker.ask("PUT", f"{WHERE}deck.apkg&names=german", export).json
    assert all(row["name"].startswith("Des") for row in told["weak"])
    assert told["works"][-1]["search"].endswith(" tag:key::Db tag:region::3"), "tags have one name everywhere"
    assert "Des" in asker.get(told["report"]).body.decode()
    assert asker.ask("PUT", f"{WHERE}deck.apkg&names=klingon", export).status == 400


def test_nothing_of_the_file_is_kept(told: Any, temporary: Path, asker: Asker) -> None:
    assert left(temporary) == []
    assert not [path for path in asker.desk.folder.parent.rglob("*") if path.suffix == ".apkg"]


def test_another_tuning_of_the_file_is_chosen(asker: Asker, told: Any) -> None:
    first, other = told["tunings"]
    assert (first["name"], first["id"]) == (told["tuning"], told["id"])
    assert asker.get(f"/api/histories/{other['id']}").json["tuning"] == other["name"] == "other"


def test_the_report_is_a_page_that_runs_nothing(asker: Asker, told: Any) -> None:
    answer = asker.get(told["report"])
    assert answer.status == 200
    assert "D♭" in answer.body.decode()
    policy = answer.headers["content-security-policy"]
    assert "script" not in policy
    assert {"sandbox", "frame-ancestors 'self'"} <= {part.strip() for part in policy.split(";")}


def test_the_maps_are_pictures(asker: Asker, told: Any) -> None:
    assert told["maps"]
    for shown in told["maps"]:
        assert asker.get(shown["url"]).body.startswith(b"\x89PNG")
    assert asker.get(f"/histories/{told['id']}/map-99.png").status == 404


def test_the_practice_sheet_is_a_page_to_print(asker: Asker, told: Any) -> None:
    answer = asker.get(f"{told['sheet']}?number=1")
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.body.startswith(b"%PDF")


def test_the_focus_deck_is_built(asker: Asker, told: Any) -> None:
    answer = asker.post(f"/api/histories/{told['id']}/focus", {"number": 1})
    assert answer.status == 202, answer.body
    name, data = asker.built()
    assert name == "done", data
    folder = asker.desk.folder
    assert data["deck"] == "focus.apkg"
    assert check_package(folder / "focus.apkg").problems == ()
    assert {path.name for path in folder.iterdir()} == {"focus.apkg", "focus.toml", "practice-sheet.pdf"}
    assert asker.get("/decks/focus.apkg").status == 200
    assert b"<h1>Focus</h1>" in asker.get("/preview/index.html").body


@pytest.mark.parametrize("number", [0, 21, -1, "x", True, 1.5, [], "²", "9" * 5000])
def test_a_number_of_cells_that_is_none_is_told(asker: Asker, told: Any, number: object) -> None:
    assert asker.post(f"/api/histories/{told['id']}/focus", {"number": number}).status == 400
    assert asker.get(f"{told['sheet']}?number={quote(str(number))}").status == 400


def test_the_recipe_of_another_neck_is_told(asker: Asker, told: Any) -> None:
    recipe = {"instrument": {"tuning": "drop-d"}}
    assert asker.post(f"/api/histories/{told['id']}/focus", {"number": 1, "recipe": recipe}).status == 202
    name, data = asker.built()
    assert name == "failed"
    assert data["error"].endswith("name the recipe that the deck was built from")


@pytest.mark.parametrize("path", ["", "/report.html", "/sheet.pdf", "/map-1.png"])
def test_a_history_that_is_not_here_is_told(asker: Asker, path: str) -> None:
    where = "/histories/nothing" if path else "/api/histories/nothing"
    answer = asker.get(f"{where}{path}")
    assert answer.status == 404
    assert "bring its file again" in answer.json["error"]


@pytest.mark.parametrize(
    ("data", "remedy"),
    [
        (b"", "export the deck"),
        (b"hello", "export the deck"),
        (b"PK\x03\x04broken", "export it again"),
        (b"SQLite format 3\0" + b"\0" * 100, "export it again"),
    ],
)
def test_a_broken_file_is_told_by_its_own_name(asker: Asker, temporary: Path, data: bytes, remedy: str) -> None:
    answer = asker.ask("PUT", f"{WHERE}{quote('../my “deck”.apkg')}", data)
    assert answer.status == 422
    assert answer.json["error"].startswith("my “deck”.apkg: ")
    assert remedy in answer.json["error"]
    assert left(temporary) == []


@pytest.mark.parametrize(
    "name", ["", "..", "/", "%00", "a%0Ab", "%E2%80%AEgpj.apkg", "x" * 300, quote("🎸" * 100), "con\\..\\deck", "%ff"]
)
def test_any_name_will_do(asker: Asker, temporary: Path, name: str) -> None:
    answer = asker.ask("PUT", f"{WHERE}{name}", b"hello")
    assert answer.status == 422
    assert str(temporary) not in answer.json["error"]
    assert answer.json["error"].isprintable()
    assert left(temporary) == []


def test_a_file_that_says_it_is_too_large_is_refused_unread(asker: Asker, temporary: Path) -> None:
    answer = asker.ask("PUT", f"{WHERE}deck.apkg", b"PK", content_length=str(3 << 30))
    assert answer.status == 413
    assert "larger than 2 GB" in answer.json["error"]


def test_a_file_that_is_larger_than_it_said_is_refused(
    asker: Asker, temporary: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It comes in chunks and says nothing of its size."""
    monkeypatch.setattr(histories, "LARGEST", 1 << 16)
    chunk = b"8000\r\n" + b"x" * 0x8000 + b"\r\n"
    answer = asker.ask(
        "PUT", f"{WHERE}deck.apkg", chunk * 4 + b"0\r\n\r\n", content_length=None, transfer_encoding="chunked"
    )
    assert answer.status == 413
    assert left(temporary) == []


def test_a_file_that_breaks_off_leaves_nothing(asker: Asker, temporary: Path) -> None:
    head = f"PUT {WHERE}deck.apkg HTTP/1.1\r\n"
    head += "".join(f"{name}: {value}\r\n" for name, value in asker.headers.items())
    with socket.create_connection(("127.0.0.1", asker.desk.port)) as raw:
        raw.sendall(f"{head}Content-Length: 1000\r\n\r\nPK".encode())
        until(lambda: left(temporary) != [])
    until(lambda: left(temporary) == [])
    until(lambda: not asker.desk.histories.reading.locked())
    assert asker.ask("PUT", f"{WHERE}deck.apkg", b"hello").status == 422


def test_a_file_that_stalls_gives_way(asker: Asker, temporary: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(histories, "_PATIENCE", 0.05)
    answer = asker.ask("PUT", f"{WHERE}deck.apkg", b"PK", content_length="5")
    assert answer.status == 408
    assert answer.json["error"] == "nothing more of this file came for 0.05 s; bring it again"
    assert not asker.desk.histories.reading.locked()
    assert left(temporary) == []


def test_one_file_is_read_at_a_time(asker: Asker) -> None:
    with asker.desk.histories.reading:
        assert asker.ask("PUT", f"{WHERE}deck.apkg", b"hello").status == 409


@pytest.mark.parametrize("method", ["POST", "DELETE", "GET"])
def test_a_history_is_brought_in_one_way(asker: Asker, method: str) -> None:
    assert asker.ask(method, "/api/histories").status == 405


def test_what_is_weak_everywhere_comes_with_its_search(asker: Asker, temporary: Path, tmp_path: Path) -> None:
    spread = studied(lambda axes, _kind: 0.5 if axes["source"] == "third" else 0.95, seed=1, days=90, keys=("F", "Bb"))
    told = asker.ask("PUT", f"{WHERE}deck.apkg", write_export(tmp_path / "spread", spread, "anki2").read_bytes()).json
    assert [row["search"] for row in told["patterns"]] == ["tag:source::third"]
    assert (told["weak"], len(told["works"])) == ([], 10)
    for work in told["works"]:
        assert "Needs work: arpeggios from the third everywhere. No place is clearly worse" in work["what"]
        assert work["search"].endswith(" tag:source::third")
    assert asker.get(f"{told['sheet']}?number=3").body.startswith(b"%PDF-")
    assert asker.post(f"/api/histories/{told['id']}/focus", {"number": 3}).status == 202
    name, data = asker.built()
    assert name == "done", data


def test_a_player_without_weak_places_is_told_so(asker: Asker, temporary: Path, tmp_path: Path) -> None:
    even = write_export(tmp_path / "even", studied(lambda _axes, _kind: 0.95, seed=1, days=20), "anki2").read_bytes()
    told = asker.ask("PUT", f"{WHERE}deck.apkg", even).json
    assert (told["weak"], told["works"], told["sheet"]) == ([], [], None)
    for answer in (
        asker.get(f"/histories/{told['id']}/sheet.pdf"),
        asker.post(f"/api/histories/{told['id']}/focus", {}),
    ):
        assert answer.status == 422
        assert "nothing to work on" in answer.json["error"]


def test_a_full_disk_is_told_while_a_file_comes(tmp_path: Path) -> None:
    full = "import resource, tempfile; resource.setrlimit(resource.RLIMIT_FSIZE, (60_000, 60_000))\n"
    full += f"tempfile.tempdir = {str(tmp_path)!r}\n"
    with started(tmp_path, "--no-browser", before=full) as (_, url):
        asker = asker_at(url, tmp_path)
        answer = asker.ask("PUT", f"{WHERE}deck.apkg", b"PK" * 60_000)
        assert answer.status == 507
        assert "no room for this file" in answer.json["error"]
        assert left(tmp_path) == []
        assert asker.get("/").status == 200


def test_the_histories_that_were_kept_longest_go_first(tmp_path: Path, export: bytes) -> None:
    (tmp_path / "export").write_bytes(export)
    history = read_history(tmp_path / "export", 4e9)
    kept = histories.Histories()
    ids = [kept.add([history]) for _ in range(14)]
    assert kept[ids[-1]].history is history
    with pytest.raises(KeyError):
        kept[ids[0]]
