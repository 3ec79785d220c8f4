"""What studying a deck comes to is what the command says."""

import json
from threading import Thread
from typing import Any

import pytest

from deckbuilder.cli import main
from tests.desk.asking import Answer, Asker

SMALL: dict[str, Any] = {"keys": ["F"], "regions": [5]}


def planned(asker: Asker, recipe: dict[str, Any] = SMALL, **body: object) -> Answer:
    return asker.post("/api/plan", {"recipe": recipe, "wait": True, **body})


def test_the_days_are_those_of_the_command(asker: Asker, capsys: pytest.CaptureFixture[str]) -> None:
    asker.post("/api/recipes/save", {"name": "planned", "recipe": SMALL})
    found = planned(asker, minutes=20, known=0.25).json
    with pytest.raises(SystemExit):
        main(["plan", str(asker.desk.folder / "planned.toml"), "--minutes", "20", "--known", "0.25", "--json"])
    told = json.loads(capsys.readouterr().out)
    assert found["days"] == told["all"]
    assert found["cards"] == told["cards"]
    assert [(str(row["level"]), row["day"]) for row in found["levels"]] == list(told["levels"].items())
    assert [(row["name"], row["day"]) for row in found["laps"]] == list(zip(told["names"], told["laps"], strict=True))


def test_a_course_begins_with_the_first_level_and_has_its_reviews(asker: Asker) -> None:
    found = planned(asker, minutes=10).json
    assert found["minutes"] == 10
    assert found["levels"][0] == {"level": 1, "title": "The cadence", "day": 1}
    assert 0 < found["reviews_a_day"] <= 10 * 60 / 8
    assert found["days"] <= found["within"]


def test_who_studies_longer_is_done_sooner(asker: Asker) -> None:
    days = [planned(asker, minutes=minutes).json["days"] for minutes in (60, 5, 1)]
    assert days == sorted(set(days))


@pytest.mark.parametrize(
    "wrong", [{"minutes": 0}, {"minutes": 1e9}, {"minutes": "15"}, {"minutes": True}, {"known": 2}, {"known": None}]
)
def test_a_course_that_nobody_can_take_is_refused(asker: Asker, wrong: dict[str, Any]) -> None:
    answer = planned(asker, **wrong)
    assert answer.status == 422
    assert answer.json["error"].startswith(f"{next(iter(wrong))}: give a number from ")


def test_a_newer_question_overtakes_a_course_under_way(asker: Asker) -> None:
    large = {"levels": [1, 2, 3, 4], "colours": ["altered", "plain"]}
    assert asker.post("/api/summary", {"recipe": large, "wait": True}).status == 200
    older: list[Answer] = []
    asked = Thread(target=lambda: older.append(planned(asker, large, minutes=5)))
    asked.start()
    while asker.desk.plans.turn()():
        newer = planned(asker, large, minutes=600)
        if not asked.is_alive():
            break
    asked.join()
    assert (older[0].status, older[0].json) == (409, {"overtaken": True})
    assert newer.status == 200
