"""How long the desk takes to answer: `.venv/bin/python -m tests.bench.desk`.

Wall time and the process's CPU time of each answer, in ms; on an idle core the first comes near the second. First
answers include what is loaded once; `wait` is an answer to a page that waits for what takes longer.
"""

import re
import tempfile
import time
from pathlib import Path
from typing import Any

from tests.desk.asking import Answer, Asker, open_desk

_MEDIA = re.compile(r'(?:src|data-clip)="(media/[^"]+)"')
_BLUES = {
    "name": "Blues",
    "key": "F",
    "bars": [
        "| I7 | IV7 | I7 | I7alt |",
        "| IV7 | #iv°7 | I7 | iiiø VI7alt |",
        "| ii7 | V7alt | I7 VI7alt | ii7 V7alt |",
    ],
}
_CHANGED: dict[str, dict[str, Any]] = {
    "without a key": {"keys": ["C", "F", "Bb", "Eb", "Ab", "Db", "Gb", "B", "E", "A", "D"]},
    "two levels": {"levels": [1, 2]},
    "two regions": {"regions": [1, 2]},
    "key by key": {"order": "key-first"},
    "another title": {"title": "Mine"},
    "fewer kinds": {"kinds": ["locate", "hear"]},
}


def timed(what: str, asker: Asker, method: str, path: str, body: object = None) -> Answer:
    wall, cpu = time.perf_counter(), time.process_time()
    answer = asker.ask(method, path, body)
    wall, cpu = time.perf_counter() - wall, time.process_time() - cpu
    print(f"{what:32} {answer.status} {wall * 1000:8.0f} {cpu * 1000:8.0f}")
    return answer


def main() -> None:
    print(f"{'':32}     {'wall ms':>8} {'CPU ms':>8}")
    with tempfile.TemporaryDirectory() as folder, open_desk(Path(folder)) as asker:
        for what in ("choices, first", "choices"):
            timed(what, asker, "GET", "/api/choices")
        timed("summary, first", asker, "POST", "/api/summary", {"recipe": {}})
        timed("summary, first, wait", asker, "POST", "/api/summary", {"recipe": {}, "wait": True})
        # As a desk does when it opens: else the collector of garbage walks through all notes again and again.
        asker.desk.warm()
        for what, recipe in _CHANGED.items():
            timed(f"summary {what}", asker, "POST", "/api/summary", {"recipe": recipe, "wait": True})
        tuned = {"instrument": {"tuning": "dadgad"}}
        timed("summary another tuning", asker, "POST", "/api/summary", {"recipe": tuned})
        timed("summary another tuning, wait", asker, "POST", "/api/summary", {"recipe": tuned, "wait": True})
        for number in range(4):
            body = {"recipe": {}, "number": number, "wait": True}
            card = timed(f"sample {number}", asker, "POST", "/api/sample", body).json
            for path in dict.fromkeys(_MEDIA.findall(card["front"] + card["back"])):
                timed(f"  {path.partition('/')[2][:5]}…{path[-4:]}", asker, "GET", f"/{path}")
        timed("plan", asker, "POST", "/api/plan", {"recipe": {}, "wait": True})
        for what in ("neck, first", "neck"):
            timed(what, asker, "POST", "/api/neck", {"recipe": {}, "key": "F"})
        for what in ("changes, first", "changes"):
            timed(what, asker, "POST", "/api/changes", {"recipe": {}, "tune": _BLUES})
        timed("recipes", asker, "GET", "/api/recipes")


if __name__ == "__main__":
    main()
