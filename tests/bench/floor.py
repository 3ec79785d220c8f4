"""The floor: encoding alone of the very pictures and clips of a store, and engraving alone of a recipe's written music.

Nothing is drawn and nothing sounded. Printed as JSON: processor seconds and number of the media, by their sort. What is
encoded is first decoded, and what is engraved is first written as MusicXML; only the libraries' own work is timed.
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

from deckbuilder.build import media_of, notes_of
from deckbuilder.notation.description import Score
from deckbuilder.notation.engraver import lay_out
from deckbuilder.notation.musicxml import musicxml
from deckbuilder.picture.png import png
from deckbuilder.recipe import Recipe, parse_recipe
from deckbuilder.sound.format import RATE
from deckbuilder.sound.mp3 import QUALITY, VBR, VBR_METHOD
from tests.bench.selection import everything

BATCH = 24
RECIPES = {"default": lambda: parse_recipe({}, "bench"), "every": everything}
"""What may be built."""


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


def engrave(document: bytes) -> float:
    """Have a document laid out and drawn by the engraver, its drawing left as it is; return processor seconds."""
    started = time.process_time()
    lay_out(document)
    return time.process_time() - started


Work = tuple[str, Sequence[Path] | Sequence[bytes]]
"""Some media of one sort: files of the store, or documents."""


def timed(work: Work) -> tuple[str, list[float]]:
    """Encode or engrave some media again; return their sort and the processor seconds of each."""
    sort, media = work
    if sort == "scores":
        documents = [medium for medium in media if isinstance(medium, bytes)]
        engrave(documents[0])  # the library is loaded
        return sort, [engrave(document) for document in documents]
    encode = encode_picture if sort == "pictures" else encode_clip
    return sort, [encode(path.read_bytes()) for path in media if isinstance(path, Path)]


def main(store: Path, recipe: Recipe) -> None:
    """Encode a store's media and engrave a recipe's on all cores."""
    scores = [medium.description for medium in media_of(notes_of(recipe)) if isinstance(medium.description, Score)]
    sorts: tuple[Work, ...] = (
        ("pictures", sorted(store.glob("*-*.png.*"))),
        ("clips", sorted(store.glob("*-*.mp3.*"))),
        ("scores", [musicxml(score) for score in scores]),
    )
    batches = [(sort, media[n : n + BATCH]) for sort, media in sorts for n in range(0, len(media), BATCH)]
    told: dict[str, list[float]] = {sort: [] for sort, _ in sorts}
    with ProcessPoolExecutor() as executor:
        for sort, seconds in executor.map(timed, batches):
            told[sort] += seconds
    print(json.dumps({sort: [sum(seconds), len(seconds)] for sort, seconds in told.items()}))


if __name__ == "__main__":
    main(Path(sys.argv[1]), RECIPES[sys.argv[2]]())
