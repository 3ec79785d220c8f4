"""The plain way, on a sample: a new figure saved by `savefig` for each picture, an encoder process for each clip.

The notes of a clip are computed anew for it, and its loudness is measured whole. Beside it ours, on the whole deck, in
one process and with workers. Printed as JSON: wall seconds, processor seconds and number of media, by way and sort.
"""

import json
import os
import subprocess
import tempfile
import time
import wave
from collections.abc import Callable, Sequence
from pathlib import Path

import imageio_ffmpeg
import matplotlib as mpl
import numpy as np
import pyloudnorm

from deckbuilder.build import media_of, notes_of
from deckbuilder.deck.store import Store
from deckbuilder.medium import Medium
from deckbuilder.notation.description import Score
from deckbuilder.picture.canvas import Letters
from deckbuilder.picture.description import NeckPicture, NeckSheet
from deckbuilder.picture.geometry import lay_out
from deckbuilder.picture.marks import mark_layers
from deckbuilder.picture.neck import neck_layers
from deckbuilder.rendering import affinity, render_all
from deckbuilder.sound.description import Clip, Patch
from deckbuilder.sound.format import RATE
from deckbuilder.sound.instruments import BASS, GUITAR
from deckbuilder.sound.loudness import TARGET, limit
from deckbuilder.sound.mp3 import QUALITY, VBR
from deckbuilder.sound.percussion import click, ride
from deckbuilder.sound.string import pluck
from deckbuilder.workers import processes
from tests.bench.selection import everything

SAMPLE = 120


def plain_picture(picture: NeckPicture, folder: Path) -> None:
    """Draw a picture on a figure of its own."""
    from matplotlib import pyplot as plt
    from matplotlib.patches import Polygon

    layout = lay_out(picture.window)
    figure = plt.figure(figsize=(layout.width / 100, layout.height / 100), dpi=100)
    axes = figure.add_axes((0, 0, 1, 1))
    axes.set_xlim(0, layout.width)
    axes.set_ylim(layout.height, 0)
    axes.axis("off")
    layers = [(layer, (0.0, 0.0)) for layer in neck_layers(picture.window, layout)]
    for mark in picture.marks:
        layers += [(layer, layout.centre(mark.string, mark.fret)) for layer in mark_layers(mark, layout.size, 0.0)]
    for layer, (x, y) in layers:
        if isinstance(layer, Letters):
            axes.text(
                *(layer.x + x, layer.y + y, layer.text),
                color=layer.colour,
                fontsize=layer.size * 0.72,
                ha="center",
                va="center",
            )
        else:
            axes.add_patch(Polygon(layer.outline + np.array((x, y)), facecolor=layer.colour))
    figure.savefig(folder / "picture.png")
    plt.close(figure)


def plain_clip(clip: Clip, folder: Path) -> None:
    """Sound a clip, all its notes anew, and encode it by a process."""
    sound = np.zeros(round(clip.length * RATE))
    for event in clip.events:
        match event.patch:
            case Patch.GUITAR | Patch.BASS:
                model = GUITAR if event.patch is Patch.GUITAR else BASS
                note = pluck(model, event.midi, event.length, event.velocity, clip.a4, event.release)
            case Patch.RIDE:
                note = ride(event.length, event.velocity).astype(np.float64)
            case Patch.CLICK:
                note = click(event.length, event.velocity).astype(np.float64)
        start = round(event.start * RATE)
        sound[start : start + len(note)] += note[: len(sound) - start]
    loudness = pyloudnorm.Meter(RATE).integrated_loudness(sound)
    louder = (sound * 10 ** ((TARGET - loudness) / 20)).astype(np.float32)
    limit(louder, RATE)
    with wave.open(str(folder / "clip.wav"), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE)
        file.writeframes(np.round(louder * 32767).astype("<i2").tobytes())
    subprocess.run(
        [
            *(imageio_ffmpeg.get_ffmpeg_exe(), "-y", "-loglevel", "error", "-i", str(folder / "clip.wav")),
            *("-q:a", str(VBR), "-compression_level", str(QUALITY), str(folder / "clip.mp3")),
        ],
        check=True,
    )


def timed(work: Callable[[Medium], object], media: Sequence[Medium]) -> tuple[float, float, int]:
    """Do the work on every medium; return wall and processor seconds, with those of ended processes, and the number."""
    work(media[0])  # libraries and fonts are loaded, on either way
    cpu, wall = _cpu(), time.monotonic()
    for medium in media:
        work(medium)
    return time.monotonic() - wall, _cpu() - cpu, len(media)


def timed_with_workers(media: Sequence[Medium], folder: Path) -> tuple[float, float, int]:
    """Render media as a build does, on all cores into a store; return wall seconds twice, and the number."""
    started = time.monotonic()
    with processes(None, print) as executor:
        render_all(Store(folder / "store"), media, executor, lambda _done, _total: None)
    wall = time.monotonic() - started
    return wall, wall, len(media)


def _cpu() -> float:
    times = os.times()
    return times.user + times.system + times.children_user + times.children_system


def fair_sample(media: Sequence[Medium]) -> list[Medium]:
    """Choose media of all sizes: every so manieth when they are sorted by it."""
    by_size = sorted(media, key=lambda medium: (_size(medium), medium.name))
    return by_size[len(media) // SAMPLE // 2 :: len(media) // SAMPLE]


def _size(medium: Medium) -> float:
    match medium.description:
        case Clip(events=events):
            return sum(event.length for event in events)
        case NeckPicture(marks=marks) | NeckSheet(marks=marks):
            return len(marks)
        case other:
            raise TypeError(other.prefix)


def main() -> None:
    """Time both ways."""
    mpl.use("agg")
    media = sorted(media_of(notes_of(everything())), key=affinity)
    sorts = {
        "pictures": [medium for medium in media if isinstance(medium.description, NeckPicture)],
        "clips": [medium for medium in media if isinstance(medium.description, Clip)],
        "scores": [medium for medium in media if isinstance(medium.description, Score)],
    }
    told: dict[str, dict[str, tuple[float, float, int]]] = {"plain": {}, "ours": {}, "workers": {}}
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)

        def plainly(medium: Medium) -> None:
            if isinstance(medium.description, Clip):
                plain_clip(medium.description, folder)
            elif isinstance(medium.description, NeckPicture):
                plain_picture(medium.description, folder)

        for sort, some in sorts.items():
            # Written music has no plain way: nothing else engraves it.
            if sort != "scores":
                told["plain"][sort] = timed(plainly, fair_sample(some))
            told["ours"][sort] = timed(lambda made: made.description.render(), some)
            told["workers"][sort] = timed_with_workers(some, folder)
    print(json.dumps(told))


if __name__ == "__main__":
    main()
