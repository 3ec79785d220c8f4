"""How often the page of a class names a spot that was put in, and how often another one.

`.venv/bin/python -m tests.bench.spots [students]` simulates so many of each kind, who studied four keys at three levels
for 60 days, and looks at each as one of a class of twelve.
"""

import re
import sys
from collections.abc import Callable

from deckbuilder.progress.analysis import analyse
from deckbuilder.progress.spots import spots
from tests.progress.learner import Axes, history_of, studied

DAYS = 60
KEYS = ("F", "Bb", "Eb", "Ab")
CLASS = 12

Weak = Callable[[Axes], bool]
CASES: tuple[tuple[str, Weak | None, float, str, str], ...] = (
    ("93 % everywhere", None, 0.93, "", ""),
    ("75 % everywhere", None, 0.75, "", ""),
    ("one key at 75 %, the rest at 93 %", lambda axes: axes["key"] == "Bb", 0.75, "B♭", "B♭|flat keys"),
    ("one key at 85 %, the rest at 93 %", lambda axes: axes["key"] == "Bb", 0.85, "B♭", "B♭|flat keys"),
    ("one region at 85 %, the rest at 93 %", lambda axes: axes.get("region") == 3, 0.85, "region 3", "region.* 3"),
    (
        "“from the third” at 85 %, the rest at 93 %",
        lambda axes: axes["source"] == "third",
        0.85,
        "arpeggios from the third",
        "from the third",
    ),
)
"""Name, what is weak, how much of it is known, what it is to be called, and a pattern of what has a share in it."""


def measured(weak: Weak | None, low: float, spot: str, near: str, players: int) -> tuple[float, float, float]:
    """Return the shares of students whose spot is named so, or by a part of it, and of those of whom another one is."""
    high = 0.93 if weak else low
    found = part = other = 0
    for seed in range(players):
        notes = studied(lambda axes, _kind: low if weak and weak(axes) else high, 1000 + seed, days=DAYS, keys=KEYS)
        names = {told.words for told in spots(analyse(history_of(notes, DAYS)), CLASS)}
        touching = {name for name in names if near and re.search(near, name)}
        found += spot in names
        part += bool(touching) and spot not in names
        other += bool(names - touching)
    return found / players, part / players, other / players


def main() -> None:
    players = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    print(
        f"| {players} students a case | spot named | a part of it, or more than it | another one |\n|---|---|---|---|"
    )
    for name, weak, low, spot, near in CASES:
        found, part, other = measured(weak, low, spot, near, players)
        named = f"{found:.1%} | {part:.1%}" if spot else "– | –"
        print(f"| {name} | {named} | {other:.1%} |", flush=True)


if __name__ == "__main__":
    main()
