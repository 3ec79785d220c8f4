"""The benchmark: what builds cost, beside the floor and the plain way, and how cost grows with notes.

    .venv/bin/python -m tests.bench.bench_build [--growth 300,1000,3000,10000] [--plot media/growth.png]

With `--before folder` the program of another checkout (`git worktree add folder commit`) builds its default deck too.
Prints tables in Markdown. Everything is measured in one run on one machine; run it on an idle one.
"""

import argparse
import json
import os
import platform
import re
import sys
import tempfile
import zipfile
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import numpy as np

from tests.bench.measure import Cost, measured

DECKBUILDER = (sys.executable, "-c", "from deckbuilder.cli import main; main()")
RECIPE = 'title = "Bench"\nkinds = [{kinds}]\n'
REWORDED = 'title = "Bench, reworded"\nkeys = ["F"]\nkinds = [{kinds}]\n'
STARTS = 5
MEDIA_SORTS = ("pictures", "clips")
"""Those that have a floor; what is engraved has none, since all of it is engraving."""
SORTS = {"pictures": ".png", "clips": ".mp3", "scores": ".svg"}


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description="What builds cost.")
    parser.add_argument("--growth", default="300,1000,3000,10000", help="numbers of notes; empty for none")
    parser.add_argument("--plot", type=Path, help="PNG that shows how cost grows")
    parser.add_argument("--before", type=Path, help="another checkout, to be held against")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        _tell(_builds(folder, asked.before))
        _tell(_shares(folder / "decks" / "the-whole-neck.apkg"))
        _tell(_ratios(folder))
        counts = [int(part) for part in asked.growth.split(",") if part]
        if counts:
            _tell(_growth(folder, counts, asked.plot))


def _tell(lines: Iterator[str]) -> None:
    for line in lines:
        print(line, flush=True)


def _builds(folder: Path, before: Path | None) -> Iterator[str]:
    """Measure the commands."""
    from deckbuilder.cards.facts import Kind

    kinds = ", ".join(f'"{kind.value}"' for kind in Kind)
    (folder / "bench.toml").write_text(RECIPE.format(kinds=kinds))
    (folder / "reworded.toml").write_text(REWORDED.format(kinds=kinds))
    yield f"{platform.system()}, Python {platform.python_version()}, {os.cpu_count()} cores\n"
    yield "| | wall s | CPU s | peak MiB a process | notes | cards | pictures | clips | MB |"
    yield "|---|---|---|---|---|---|---|---|---|"
    build = (*DECKBUILDER, "build", "--store", "media/store")
    yield _row("cold build, every kind of card", measured((*build, "bench.toml"), folder), folder / "cold.json")
    yield _row("the same, warm", measured((*build, "bench.toml"), folder))
    yield _row("one key, after a change of words", measured((*build, "reworded.toml"), folder))
    yield _row("cold build, default recipe", measured((*build, "--store", "another"), folder))
    yield _row("the same, warm", measured((*build, "--store", "another"), folder))
    if before:
        another = measured((*build, "--store", "before"), folder, before.absolute())
        yield _row("cold build, default recipe, before", another)
    yield _row("`list`", measured((*DECKBUILDER, "list", "bench.toml"), folder))
    starts = [measured((*DECKBUILDER, "--help"), folder) for _ in range(STARTS)]
    yield _row(f"`--help`, best of {STARTS}", min(starts, key=lambda cost: cost.wall))


def _row(name: str, cost: Cost, kept: Path | None = None) -> str:
    if kept:
        kept.write_text(json.dumps([cost.wall, cost.cpu, cost.peak]))
    found = re.search(r"(\d+) notes, (\d+) cards(?:, (\d+) pictures, (\d+) clips, ([\d.]+) MB)?", cost.output)
    counts = [count or "" for count in found.groups()] if found else [""] * 5
    return f"| {name} | {cost.wall:.2f} | {cost.cpu:.2f} | {cost.peak:.0f} | {' | '.join(counts)} |"


def _shares(deck: Path) -> Iterator[str]:
    """Tell what a deck's bytes are."""
    with zipfile.ZipFile(deck) as archive:
        names = json.loads(archive.read("media"))
        packed = {member.filename: member.compress_size for member in archive.infolist()}
    yield "\n| in the default deck | files | MB | KB a file |\n|---|---|---|---|"
    for sort, ending in SORTS.items():
        sizes = [packed[number] for number, name in names.items() if name.endswith(ending)]
        yield f"| {sort} | {len(sizes):,} | {sum(sizes) / 1e6:.1f} | {sum(sizes) / 1e3 / len(sizes):.1f} |"
    rest = sum(size for number, size in packed.items() if number not in names)
    yield f"| notes and cards | | {rest / 1e6:.1f} | |"


def _ratios(folder: Path) -> Iterator[str]:
    """Hold the cold build against the floor, and each medium against the plain way."""
    _, cold, _ = json.loads((folder / "cold.json").read_text())
    floor = _json(measured((sys.executable, "-m", "tests.bench.floor", "media/store"), folder))
    ways = _json(measured((sys.executable, "-m", "tests.bench.plain"), folder))
    encoding = sum(floor[sort][0] for sort in MEDIA_SORTS)
    yield f"\nFloor: encoding alone of the same media takes {encoding:.1f} CPU s; the whole cold build takes "
    yield f"{cold / encoding:.2f} times that.\n"
    yield "| ms a medium | encoding alone, CPU | ours, CPU | plain way, CPU | ours, wall, all cores | plain way, wall |"
    yield "|---|---|---|---|---|---|"
    for sort in MEDIA_SORTS:
        seconds, number = floor[sort]
        alone = 1000 * seconds / number
        ours, plain = (_each(ways[way][sort]) for way in ("ours", "plain"))
        shared, _ = _each(ways["workers"][sort])
        yield (
            f"| {sort} | {alone:.1f} | {ours[1]:.1f} | {plain[1]:.1f}: {plain[1] / ours[1]:.1f} times "
            f"| {shared:.1f} | {plain[0]:.1f}: {plain[0] / shared:.1f} times |"
        )
    shared, _ = _each(ways["workers"]["scores"])
    yield f"| scores | – | {_each(ways['ours']['scores'])[1]:.1f} | – | {shared:.1f} | – |"


def _each(timed: Sequence[float]) -> tuple[float, float]:
    """Return milliseconds of wall and processor time a medium."""
    wall, cpu, number = timed
    return 1000 * wall / number, 1000 * cpu / number


def _json(cost: Cost) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(cost.output.splitlines()[-1])
    return found


def _growth(folder: Path, counts: Sequence[int], plot: Path | None) -> Iterator[str]:
    """Build decks of growing size, fit a line, and plot both."""
    yield "\n| notes | media | wall s | CPU s | CPU ms a note | peak MiB a process |"
    yield "|---|---|---|---|---|---|"
    cpu = []
    for count in counts:
        place = folder / f"grow-{count}"
        place.mkdir()
        cost = measured((sys.executable, "-m", "tests.bench.grow", str(count), str(place)), folder)
        notes, media = cost.output.split()
        cpu.append(cost.cpu)
        yield (
            f"| {notes} | {media} | {cost.wall:.1f} | {cost.cpu:.1f} | "
            f"{1000 * cost.cpu / count:.1f} | {cost.peak:.0f} |"
        )
    slope, start = np.polyfit(counts, cpu, 1)
    fitted = start + slope * np.array(counts)
    unexplained = np.sum((np.array(cpu) - fitted) ** 2) / np.sum((np.array(cpu) - np.mean(cpu)) ** 2)
    yield f"\nLine of best fit: {start:.1f} s + {1000 * slope:.1f} ms a note, R² = {1 - unexplained:.4f}."
    if plot:
        _plot(counts, cpu, start, slope, plot)
        yield f"Plotted in {plot}."


def _plot(counts: Sequence[int], cpu: Sequence[float], start: float, slope: float, path: Path) -> None:
    from matplotlib.figure import Figure

    figure = Figure(figsize=(6, 4), dpi=120, layout="constrained")
    axes = figure.add_subplot()
    line = np.array([0, max(counts)])
    axes.plot(line, start + slope * line, color="#56b4e9", label=f"{start:.1f} s + {1000 * slope:.1f} ms a note")
    axes.plot(counts, cpu, "o", color="#e69f00", markeredgecolor="#15171a", label="measured")
    axes.set(xlabel="notes", ylabel="CPU seconds of a cold build", xlim=(0, None), ylim=(0, None))
    axes.legend(frameon=False)
    axes.spines[["top", "right"]].set_visible(False)
    path.parent.mkdir(parents=True, exist_ok=True)
    figure.savefig(path)


if __name__ == "__main__":
    main()
