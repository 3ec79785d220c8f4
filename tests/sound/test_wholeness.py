"""A clip is whole where its frames agree with themselves and each other."""

import random
from pathlib import Path

import numpy as np
import pytest

from deckbuilder.sound.format import RATE
from deckbuilder.sound.frames import HEADER, frame_bytes
from deckbuilder.sound.mp3 import encode
from deckbuilder.sound.wholeness import mp3_problem

SAMPLES = Path(__file__).parents[2] / "media"


@pytest.fixture(scope="module")
def clip() -> bytes:
    """Give a clip loud and quiet enough for its frames to lend each other bytes."""
    time = np.arange(RATE) / RATE
    sound = 0.5 * np.sin(2 * np.pi * 220 * time) + np.random.default_rng(1).normal(0, 0.1, RATE) * (time < 0.2)
    return encode(sound.astype(np.float32))


def starts(clip: bytes) -> list[int]:
    found = [0]
    while found[-1] < len(clip):
        found.append(found[-1] + frame_bytes(clip[found[-1] : found[-1] + HEADER]))
    return found[:-1]


def test_what_is_encoded_here_is_whole(clip: bytes) -> None:
    assert mp3_problem(clip) == ""
    for path in sorted(SAMPLES.glob("*.mp3")):
        assert mp3_problem(path.read_bytes()) == "", path


def changed(clip: bytes, place: int, mask: int) -> bytes:
    return clip[:place] + bytes((clip[place] ^ mask,)) + clip[place + 1 :]


def test_frames_that_are_lost_or_doubled_are_told(clip: bytes) -> None:
    places = starts(clip)
    one, two = places[5], places[6]
    assert "counts something else" in mp3_problem(clip[:one] + clip[two:])
    assert "counts something else" in mp3_problem(clip[:two] + clip[one:])
    # Without the frame that counts them, those are told that build on the lost one.
    assert "do not fit" in mp3_problem(clip[places[2] :])


def test_every_byte_after_the_mark_of_the_information_frame_is_checked(clip: bytes) -> None:
    mark = clip.index(b"Xing")
    for place in range(mark + 4, mark + 156):
        if place != mark + 7:
            assert mp3_problem(changed(clip, place, 0x40)), place


@pytest.mark.parametrize(
    ("byte", "mask", "said"),
    [
        (0, 0x01, "is no frame"),
        (1, 0x06, "is no frame"),
        (2, 0x0C, "is no frame"),
        (3, 0x40, "headers differ"),
        (3, 0x02, "headers differ"),
        (4, 0xFF, "do not fit"),
    ],
)
def test_a_header_that_says_something_else_is_told(clip: bytes, byte: int, mask: int, said: str) -> None:
    assert said in mp3_problem(changed(clip, starts(clip)[7] + byte, mask))


def test_truncated_and_changed_clips_never_raise(clip: bytes) -> None:
    chance = random.Random(13)
    for _ in range(200):
        kept = clip[: chance.randrange(len(clip))]
        assert mp3_problem(kept)
        damaged = changed(clip, chance.randrange(len(clip)), 1 << chance.randrange(8))
        assert isinstance(mp3_problem(damaged), str)
