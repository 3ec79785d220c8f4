"""A simulated class: twelve students, some with a weak spot that is put in, and exports of every sort."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from tests.progress.exports import StudiedCard, StudiedNote, write_export
from tests.progress.learner import Axes, studied

DAYS = 130
"""Days of study; they end at the start of 24 March 2024, UTC."""
DATE = "2024-03-24"
KEYS = ("F", "Bb", "Eb", "Ab")


@dataclass(frozen=True)
class Pupil:
    """A simulated student.

    Args:
        name: in the class's file.
        weak: what they do not know; None for nothing in particular.
        spot: what a report is to call that.
        container: form of the export; empty for none.
        title: of the deck, where it is not made of the name.
    """

    name: str
    weak: Callable[[Axes], bool] | None = None
    spot: str = ""
    container: str = "anki21b"
    title: str = ""

    @property
    def deck(self) -> str:
        return self.title or f"Tuesdays · {self.name}"


def _third(axes: Axes) -> bool:
    return axes.get("colour") == "altered" and axes["source"] == "third"


ALTERED = "altered from the third"
PUPILS = (
    Pupil("Ada"),
    Pupil("Ben", lambda axes: axes["key"] == "Bb", "B♭"),
    Pupil("Cy", lambda axes: axes.get("region") == 3, "region 3"),
    Pupil("Di", _third, ALTERED),
    Pupil("Ed", _third, ALTERED, container="anki2"),
    Pupil("Flo", _third, ALTERED, container="anki21"),
    Pupil("Gus"),
    Pupil("Hal", lambda axes: axes.get("region") == 3 and axes["key"] == "F", "region 3 in F"),
    Pupil("Ida <b>&", container="anki21"),
    Pupil("Jo"),
    Pupil("Kim", container=""),
    Pupil("Ada", lambda axes: axes["source"] == "third", "arpeggios from the third", title="Ada from the hill"),
)
EMPTY = "Jo"
"""Whose export has cards and no answers."""
BAD_ROW = '[[students]]\nname = "Lou"\nkeys = ["J"]\n'


def knowing(pupil: Pupil) -> Callable[[Axes, str], float]:
    """Return what a pupil knows of a card."""
    return lambda axes, _kind: 0.55 if pupil.weak and pupil.weak(axes) else 0.93


def history(pupil: Pupil, seed: int) -> list[StudiedNote]:
    if pupil.name == EMPTY:
        new = StudiedCard(0, type=0, queue=0)
        return [replace(note, cards=(new,)) for note in studied(knowing(pupil), seed, days=1, keys=KEYS)]
    return studied(knowing(pupil), seed, days=DAYS, keys=KEYS)


def write_class(folder: Path) -> tuple[Path, Path]:
    """Write a class's file and the folder of its exports, with some that are nobody's."""
    rows = []
    exports = folder / "exports"
    exports.mkdir()
    for number, pupil in enumerate(PUPILS):
        title = f"title = '{pupil.title}'\n" if pupil.title else ""
        rows.append(f"[[students]]\nname = '{pupil.name}'\n{title}")
        if pupil.container:
            deck = f"{pupil.deck}::Lap 1 · Region 1"
            write_export(exports / f"{number:02}.apkg", history(pupil, seed=number), pupil.container, deck=deck)
    write_export(exports / "foreign.apkg", [StudiedNote("x", {}, (), 3, guid="other")], "anki2", deck="French")
    stranger = studied(lambda *_: 0.9, 99, days=9, keys=("C",))
    write_export(exports / "stranger.apkg", stranger, "anki2", deck="Fridays · Zoe")
    whole = (exports / "00.apkg").read_bytes()
    (exports / "damaged.apkg").write_bytes(whole[: len(whole) // 2])
    (exports / "shopping.txt").write_text("strings")
    file = folder / "class.toml"
    keys = ", ".join(f'"{key}"' for key in KEYS)
    recipe = f"[recipe]\nkeys = [{keys}]\nkinds = ['locate', 'identify', 'spell', 'improvise']\n"
    file.write_text(f"title = 'Tuesdays'\n{recipe}{''.join(rows)}{BAD_ROW}", encoding="utf-8")
    return file, exports
