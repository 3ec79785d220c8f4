"""The benchmark: what builds cost, beside the floor and the plain way, and how cost grows with notes.

    .venv/bin/python -m tests.bench.bench_build [--growth 300,1000,3000,10000] [--plot media/growth.png]

With `--before folder` the program of another checkout (`git worktree add folder commit`) builds its default deck too,
and both build the notes that both have. Prints tables in Markdown, and last the figures that are held to a bound.
Everything is measured in one run on one machine; run it on an idle one.
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

from tests.bench.measure import ROOT, Cost, measured

DECKBUILDER = (sys.executable, "-m", "deckbuilder")
EARLIER = (sys.executable, "-c", "from deckbuilder.cli import main; main()")
"""The program of a checkout that may not have a `__main__` yet."""
RECIPE = 'title = "Bench"\nkinds = [{kinds}]\n'
REWORDED = 'title = "Bench, reworded"\nkeys = ["F"]\nkinds = [{kinds}]\n'
SHARED = Path(__file__).with_name("shared.py")
STARTS = 5
ENCODED = ("pictures", "clips")
"""Sorts of media that are encoded; written music is engraved, and has no other way to be held against."""
COLD = {"every": ("every kind of card", "media/store"), "default": ("default recipe", "media/default")}
"""Recipes that are built cold: what they are called, and their stores."""
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
        figures: dict[str, str] = {}
        _tell(_builds(folder, asked.before, figures))
        _tell(_shares(folder / "decks" / "the-whole-neck.apkg"))
        if asked.before:
            _tell(_compared(folder, asked.before.absolute(), figures))
        _tell(_ratios(folder, figures))
        counts = [int(part) for part in asked.growth.split(",") if part]
        if counts:
            _tell(_growth(folder, counts, asked.plot))
        _tell(f"{name}: {figure}  " for name, figure in ({"\nFigures held to a bound": ""} | figures).items())


def _tell(lines: Iterator[str]) -> None:
    for line in lines:
        print(line, flush=True)


def _builds(folder: Path, before: Path | None, figures: dict[str, str]) -> Iterator[str]:
    """Measure the commands."""
    from deckbuilder.cards.facts import Kind

    kinds = ", ".join(f'"{kind.value}"' for kind in Kind)
    (folder / "bench.toml").write_text(RECIPE.format(kinds=kinds))
    (folder / "reworded.toml").write_text(REWORDED.format(kinds=kinds))
    yield f"{platform.system()}, Python {platform.python_version()}, {os.cpu_count()} cores\n"
    yield "| | wall s | CPU s | peak MiB a process | notes | cards | pictures | clips | MB |"
    yield "|---|---|---|---|---|---|---|---|---|"
    build = (*DECKBUILDER, "build", "--store", "media/store")
    small = ("build", "--store", "media/small", "--keys", "F", "--regions", "5")
    measured((*DECKBUILDER, *small), folder)  # compiles what is not compiled yet
    yield _row("cold build, every kind of card", measured((*build, "bench.toml"), folder), folder / "every.json")
    yield _row("the same, warm", measured((*build, "bench.toml"), folder))
    yield _row("one key, after a change of words", measured((*build, "reworded.toml"), folder))
    yield _row(
        "cold build, default recipe", measured((*build, "--store", "media/default"), folder), folder / "default.json"
    )
    warm = min(
        (measured((*build, "--store", "media/default"), folder) for _ in range(STARTS)), key=lambda cost: cost.cpu
    )
    yield _row(f"the same, warm, best of {STARTS}", warm)
    figures["warm rebuild of the default deck (1.5 s)"] = f"{warm.wall:.2f} s, {warm.cpu:.2f} CPU s"
    if before:
        apart = folder / "another"
        apart.mkdir()
        measured((*EARLIER, *small), apart, before.absolute())
        another = measured((*EARLIER, *build[len(DECKBUILDER) :]), apart, before.absolute())
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


def _compared(folder: Path, before: Path, figures: dict[str, str]) -> Iterator[str]:
    """Build the notes that two checkouts share by each, with the media of then and with those of now."""
    program, ids = (sys.executable, str(SHARED)), folder / "ids.json"
    lists = [_json(measured((*program, "ids"), folder, root)) for root in (ROOT, before)]
    ids.write_text(json.dumps(sorted(set(lists[0]) & set(lists[1]))))
    yield "\n| notes of both | notes | media | CPU s | of before | MB | of before |\n|---|---|---|---|---|---|---|"
    costs: dict[str, tuple[float, float]] = {}
    for name, root, same in (("before", before, True), ("now", ROOT, True), ("with what came later", ROOT, False)):
        place = folder / name.split()[0]
        place.mkdir(exist_ok=True)
        cost = measured((*program, "build", str(ids), str(place), *(("same",) if same else ())), folder, root)
        notes, media, size = cost.output.splitlines()[-1].split()
        costs[name] = cost.cpu, int(size) / 1e6
        shares = [f"{now:.1f} | {now / then:.0%}" for now, then in zip(costs[name], costs["before"], strict=True)]
        yield f"| {name} | {notes} | {media} | {' | '.join(shares)} |"
    (then, large), (now, small) = costs["before"], costs["now"]
    figures["cold build of the notes of both, of before's CPU (60 %)"] = f"{now / then:.0%}"
    figures["deck of the notes of both (55 MB)"] = f"{small:.1f} MB of {large:.1f}"


def _ratios(folder: Path, figures: dict[str, str]) -> Iterator[str]:
    """Hold cold builds against their floors, and each medium against the plain way."""
    ways = _json(measured((sys.executable, "-m", "tests.bench.plain"), folder))
    engraved = _each(ways["ours"]["scores"])[1]
    yield "\n| cold build | CPU s | encoding alone | and engraving | of both | without scores, of encoding |"
    yield "|---|---|---|---|---|---|"
    floors = {}
    for recipe, (name, store) in COLD.items():
        _, cold, _ = json.loads((folder / f"{recipe}.json").read_text())
        floors[recipe] = _json(measured((sys.executable, "-m", "tests.bench.floor", store, recipe), folder))
        encoding = sum(floors[recipe][sort][0] for sort in ENCODED)
        engraving, number = floors[recipe]["scores"]
        whole = f"{cold / (encoding + engraving):.2f}"
        without = f"{(cold - number * engraved / 1000) / encoding:.2f}"
        yield f"| {name} | {cold:.1f} | {encoding:.1f} | {engraving:.1f} | {whole} | {without} |"
        figures[f"cold build, {name}, of encoding and engraving alone (1.6)"] = whole
        figures["the same without scores, of encoding alone of pictures and clips, " + name] = without
    yield "\n| ms a medium | the floor, CPU | ours, CPU | plain way, CPU | ours, wall, all cores | plain way, wall |"
    yield "|---|---|---|---|---|---|"
    for sort in SORTS:
        seconds, number = floors["every"][sort]
        ours, shared = (_each(ways[way][sort]) for way in ("ours", "workers"))
        told = f"| {sort} | {1000 * seconds / number:.1f} | {ours[1]:.1f} "
        if sort in ENCODED:
            plain = _each(ways["plain"][sort])
            told += f"| {plain[1]:.1f}: {plain[1] / ours[1]:.1f} times | {shared[0]:.1f} "
            yield told + f"| {plain[0]:.1f}: {plain[0] / shared[0]:.1f} times |"
        else:
            yield told + f"| – | {shared[0]:.1f} | – |"


def _each(timed: Sequence[float]) -> tuple[float, float]:
    """Return milliseconds of wall and processor time a medium."""
    wall, cpu, number = timed
    return 1000 * wall / number, 1000 * cpu / number


def _json(cost: Cost) -> Any:
    found: Any = json.loads(cost.output.splitlines()[-1])
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
