"""The floor: encoding alone of the very pictures and clips of a store, nothing drawn, nothing sounded.

Printed as JSON: processor seconds and number of the media, by their sort. What is encoded is first decoded; only
encoding is timed.
"""

import io
import json
import sys
import time
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import lameenc
import numpy as np
import soundfile
from PIL import Image

from deckbuilder.picture.png import png
from deckbuilder.sound.format import RATE
from deckbuilder.sound.mp3 import QUALITY, VBR, VBR_METHOD

BATCH = 24


def encode_picture(data: bytes) -> float:
    """Encode a PNG's pixels again; return processor seconds."""
    with Image.open(io.BytesIO(data)) as image:
        image.apply_transparency()
        indices, palette = np.asarray(image), np.array(image.getpalette("RGBA"), dtype=np.uint8).reshape(-1, 4)
        started = time.process_time()
        png(indices, palette)
        return time.process_time() - started


def encode_clip(data: bytes) -> float:
    """Encode an MP3's sound again; return processor seconds."""
    sound, _ = soundfile.read(io.BytesIO(data))
    samples = np.round(sound * 32767).astype("<i2").tobytes()
    started = time.process_time()
    encoder = lameenc.Encoder()
    encoder.silence()
    encoder.set_channels(1)
    encoder.set_in_sample_rate(RATE)
    encoder.set_vbr(VBR_METHOD)
    encoder.set_vbr_quality(VBR)
    encoder.set_quality(QUALITY)
    encoder.encode(samples)
    encoder.flush()
    return time.process_time() - started


def encode_batch(paths: Sequence[Path]) -> list[tuple[str, float]]:
    """Encode some media again."""
    timed = []
    for path in paths:
        sort, encode = ("pictures", encode_picture) if ".png." in path.name else ("clips", encode_clip)
        timed.append((sort, encode(path.read_bytes())))
    return timed


def main(store: Path) -> None:
    """Encode a store's media again on all cores."""
    # Written music is left out: it is text, and all its work is engraving.
    paths = sorted((*store.glob("*-*.png.*"), *store.glob("*-*.mp3.*")))
    told: dict[str, list[float]] = {"pictures": [], "clips": []}
    with ProcessPoolExecutor() as executor:
        for timed in executor.map(encode_batch, [paths[n : n + BATCH] for n in range(0, len(paths), BATCH)]):
            for sort, seconds in timed:
                told[sort].append(seconds)
    print(json.dumps({sort: [sum(seconds), len(seconds)] for sort, seconds in told.items()}))


if __name__ == "__main__":
    main(Path(sys.argv[1]))
