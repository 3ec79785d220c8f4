"""A deck on its way to the phone: one file, under one address, for a while, and nothing else."""

import socket
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from ipaddress import IPv4Address
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import psutil
import pytest

from deckbuilder.desk import phone
from deckbuilder.desk.listening import LOOPBACK
from deckbuilder.desk.phone import local
from deckbuilder.desk.phones import qr_code
from tests.desk.asking import Asker, fetched, open_desk, until
from tests.desk.test_builds import NAME, SMALL

OTHER_LOOPBACK = "127.0.0.2"
"""Stands for a local network where a machine that tests has none: of this computer, but no desk listens there."""


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Asker]:
    with open_desk(tmp_path_factory.mktemp("phone")) as asker:
        asker.post("/api/builds", {"recipe": SMALL})
        assert asker.built()[0] == "done"
        yield asker


@pytest.fixture
def offered(built: Asker, monkeypatch: pytest.MonkeyPatch) -> Iterator[Any]:
    """Offer the deck, and take the offer back in the end."""
    monkeypatch.setattr(phone, "addresses", lambda: (OTHER_LOOPBACK,))
    yield built.post("/api/phone", {"deck": NAME}).json
    built.ask("DELETE", "/api/phone")


def listened_to() -> set[str]:
    """Return the addresses other than loopback's first that this process listens on."""
    found = psutil.Process().net_connections("inet")
    return {one.laddr.ip for one in found if one.status == psutil.CONN_LISTEN} - {LOOPBACK}


def assert_ended(asker: Asker) -> None:
    """Wait until the offer has come to an end by itself, and nothing listens for it."""
    until(lambda: asker.get("/api/phone").json["url"] is None)
    assert listened_to() == set()


def test_nothing_is_offered_unasked(built: Asker) -> None:
    assert built.get("/api/phone").json == {"deck": None, "url": None}
    assert listened_to() == set()


def test_the_phone_gets_the_deck(built: Asker, offered: Any) -> None:
    assert listened_to() == {OTHER_LOOPBACK}
    answer = fetched(offered["url"])
    assert answer.body == (built.desk.folder / NAME).read_bytes()
    assert answer.headers["content-type"] == "application/octet-stream"
    assert answer.headers["content-disposition"] == f'attachment; filename="{NAME}"'
    assert "server" not in answer.headers
    head = fetched(offered["url"], "HEAD")
    assert (head.status, head.headers["content-length"]) == (200, str(len(answer.body)))
    assert fetched(offered["url"], range="bytes=2-3").body == answer.body[2:4]
    assert built.get("/api/phone").json == offered


def test_the_address_holds_128_random_bits(built: Asker, offered: Any) -> None:
    def secret(url: str) -> str:
        return url.split("/")[3]

    again = built.post("/api/phone", {"deck": NAME}).json
    assert len(secret(offered["url"])) == len(secret(again["url"])) == 22, "base64 of 16 bytes"
    assert secret(offered["url"]) != secret(again["url"])
    assert offered["url"].split("/")[4] == NAME


@pytest.mark.parametrize(
    "path",
    [
        "",
        NAME,
        "{secret}",
        "{secret}/",
        "{secret}/other.apkg",
        f"{{secret}}/{NAME}/",
        f"{{secret}}//{NAME}",
        f"/{{secret}}/{NAME}",
        f"{{secret}}/../{{secret}}/{NAME}",
        f"{{secret}}/%2e%2e/{NAME}",
        f"{{secret}}/{NAME}%00",
        "{secret}/..%2f..%2fetc%2fpasswd",
        "etc/passwd",
        "api/builds/current",
        f"decks/{NAME}",
        "enter/{token}",
    ],
)
@pytest.mark.parametrize("method", ["GET", "POST", "DELETE"])
def test_there_is_nothing_else(built: Asker, offered: Any, path: str, method: str) -> None:
    base, secret = offered["url"].rsplit("/", 2)[:2]
    answer = fetched(f"{base}/{path.format(secret=secret, token=built.desk.token)}", method)
    assert (answer.status, answer.body) == (404, b"Not found")


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "OPTIONS", "PATCH"])
def test_the_deck_can_only_be_fetched(offered: Any, method: str) -> None:
    answer = fetched(offered["url"], method)
    assert (answer.status, answer.body, answer.headers["allow"]) == (405, b"Method not allowed", "GET, HEAD")


@pytest.mark.parametrize("host", ["evil.example", "localhost", "127.0.0.2", "127.0.0.1:{port}", ""])
def test_another_host_finds_nothing(offered: Any, host: str) -> None:
    port = offered["url"].split(":")[2].partition("/")[0]
    assert fetched(offered["url"], host=host.format(port=port)).status in (400, 404)


def test_a_question_mark_behind_the_address_does_no_harm(offered: Any) -> None:
    """Some apps that read QR codes add one."""
    assert fetched(f"{offered['url']}?source=qr").status == 200


def test_the_offer_ends_by_the_button(built: Asker, offered: Any) -> None:
    assert built.ask("DELETE", "/api/phone").json == {"deck": None, "url": None}
    assert listened_to() == set()
    with pytest.raises(OSError, match="refused"):
        fetched(offered["url"])


def test_the_offer_ends_by_time(built: Asker, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(phone, "addresses", lambda: (OTHER_LOOPBACK,))
    monkeypatch.setattr(built.desk.phone, "seconds", 0.2)
    offered = built.post("/api/phone", {"deck": NAME}).json
    assert_ended(built)
    with pytest.raises(OSError, match="refused"):
        fetched(offered["url"])


def test_a_computer_that_slept_offers_no_longer(built: Asker, monkeypatch: pytest.MonkeyPatch) -> None:
    """Its clock on the wall has gone on, the seconds that the program counts have not."""
    monkeypatch.setattr(phone, "addresses", lambda: (OTHER_LOOPBACK,))
    monkeypatch.setattr(phone, "_LOOK", 0.05)
    built.post("/api/phone", {"deck": NAME})
    offer = built.desk.phone.offer
    assert offer is not None
    built.desk.phone.offer = replace(offer, until=datetime.now(UTC))
    assert_ended(built)


def test_the_offer_lasts_ten_minutes(built: Asker, offered: Any) -> None:
    left = datetime.fromisoformat(offered["until"]) - datetime.now(UTC)
    assert 500 < left.total_seconds() <= 600


def test_the_offer_ends_with_the_desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(phone, "addresses", lambda: (OTHER_LOOPBACK,))
    with open_desk(tmp_path) as asker:
        asker.post("/api/builds", {"recipe": SMALL})
        asker.built()
        url = asker.post("/api/phone", {"deck": NAME}).json["url"]
        assert fetched(url).status == 200
    assert listened_to() == set()
    with pytest.raises(OSError, match="refused"):
        fetched(url)


def test_a_deck_that_was_taken_away_is_not_there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(phone, "addresses", lambda: (OTHER_LOOPBACK,))
    with open_desk(tmp_path) as asker:
        asker.post("/api/builds", {"recipe": SMALL})
        asker.built()
        url = asker.post("/api/phone", {"deck": NAME}).json["url"]
        (asker.desk.folder / NAME).unlink()
        assert fetched(url).status == 404


@pytest.mark.parametrize("deck", ["", "other.apkg", f"../decks/{NAME}", "/etc/passwd", None, 3, [NAME]])
def test_only_a_deck_that_was_built_here_is_offered(built: Asker, deck: object) -> None:
    answer = built.post("/api/phone", {"deck": deck})
    assert answer.status == 404
    assert listened_to() == set()


def test_a_computer_in_no_network_is_told(built: Asker, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(phone, "addresses", lambda: ())
    answer = built.post("/api/phone", {"deck": NAME})
    assert answer.status == 422
    assert "join the phone's wireless network" in answer.json["error"]


def test_several_addresses_are_offered(built: Asker, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(phone, "addresses", lambda: (OTHER_LOOPBACK, "127.0.0.3"))
    offered = built.post("/api/phone", {"deck": NAME}).json
    assert [one["address"] for one in offered["addresses"]] == [OTHER_LOOPBACK, "127.0.0.3"]
    assert offered["url"] == offered["addresses"][0]["url"]
    for one in offered["addresses"]:
        assert fetched(one["url"]).status == 200
    built.ask("DELETE", "/api/phone")
    assert listened_to() == set()


def test_addresses_of_local_networks_are_chosen() -> None:
    """Ranges: RFC 1918 (private), RFC 3927 (link-local), RFC 1122 (loopback)."""
    found = ["127.0.0.1", "169.254.1.1", "172.17.0.1", "8.8.8.8", "192.168.1.20", "10.0.0.3"]
    assert local(found, "192.168.1.20") == ("192.168.1.20", "172.17.0.1", "10.0.0.3")
    assert local(found, None) == ("172.17.0.1", "192.168.1.20", "10.0.0.3")
    assert local(["127.0.0.1", "8.8.8.8"], None) == ("8.8.8.8",)
    assert local(["127.0.0.1"], None) == ()


def test_this_computers_addresses_are_its_own() -> None:
    for address in phone.addresses():
        assert not IPv4Address(address).is_loopback
        with socket.create_server((address, 0)):
            pass


def test_the_code_is_black_on_white_with_its_quiet_zone() -> None:
    """ISO/IEC 18004: four modules around; a version of 41 modules with its zone has 33, version 4."""
    drawn = ElementTree.fromstring(qr_code("http://192.168.1.20:40123/abcdefghijklmnopqrstuv/small.apkg"))
    ground, dots = list(drawn)
    assert drawn.get("viewBox") == "0 0 41 41"
    assert (ground.get("fill"), ground.get("d")) == ("#fff", "M0 0h41v41h-41z")
    assert dots.get("stroke") == "#000"
    assert (dots.get("d") or "").startswith("M4 4.5h7m")
