"""The table of sound in a recipe; the SoundFont that it names is opened, told apart by its digest, and checked."""

import hashlib
from dataclasses import dataclass, replace
from io import BufferedReader
from pathlib import Path
from typing import Annotated, Final, cast

from pydantic import AfterValidator, BeforeValidator, StrictBool, StrictFloat, ValidationInfo

from deckbuilder.cards.choices import Sound
from deckbuilder.inputs import InputError, opened_input
from deckbuilder.recipe.checks import Count, one_of, passes
from deckbuilder.recipe.table import CheckedTable
from deckbuilder.sound.arrangement import Direction, check_a4, check_tempo
from deckbuilder.sound.description import OwnSound, Patch, SoundError

_MOST_BYTES: Final = 1 << 30
"""Bytes of a SoundFont; those of a whole orchestra have some hundred million."""


def _named_soundfont(value: object, info: ValidationInfo) -> object:
    """Take a file's name for the SoundFont in it; a name without a folder is looked for beside the recipe.

    Raises:
        ValueError: it cannot be read, or is no SoundFont that can be played here.
    """
    if not isinstance(value, str):
        if value is None or isinstance(value, OwnSound):
            return value
        raise ValueError('this has to be a text in quotes, the name of a file: "strings.sf2"')
    path = ((info.context or Path()) / value).absolute()
    try:
        with opened_input(path, "name a SoundFont file (.sf2)") as file:
            size = path.stat().st_size
            if size > _MOST_BYTES:
                raise ValueError(f"it has {size:,} bytes; use a SoundFont of at most {_MOST_BYTES:,}")
            own = OwnSound(hashlib.file_digest(cast(BufferedReader, file), "sha256").hexdigest(), path=str(path))
        _check(own)
    except InputError as error:
        raise ValueError(str(error)) from None
    except OSError as error:
        raise ValueError(f"it cannot be read ({error.strerror}); name another SoundFont file (.sf2)") from None
    return own


def _known_preset(value: int, info: ValidationInfo) -> int:
    """Refuse a preset that the recipe's SoundFont does not have.

    Raises:
        ValueError: there is no such preset, or no SoundFont.
    """
    # A SoundFont with a mistake is told already.
    if "soundfont" in info.data:
        if info.data["soundfont"] is None:
            raise ValueError('there is no SoundFont to take it from; write soundfont = "file.sf2" too')
        _check(replace(info.data["soundfont"], preset=value))
    return value


def _check(own: OwnSound) -> None:
    """Look at every zone that may come to sound, whatever the player's instrument."""
    # Here, since the libraries of sound take long to load.
    from deckbuilder.sound.sampled import zones_for

    try:
        for patch in Patch:
            zones_for(replace(own, player=patch), patch)
    except SoundError as error:
        raise ValueError(str(error).removeprefix(f"{own.path}: ")) from None


@dataclass(frozen=True)
class CheckedSound(CheckedTable, Sound):
    """How clips are played."""

    PLAIN = Sound

    a4: Annotated[StrictFloat, passes(check_a4)]
    tempo: Annotated[StrictFloat, passes(check_tempo)]
    loop_tempo: Annotated[StrictFloat, passes(check_tempo)]
    chord: StrictBool
    direction: Annotated[Direction, one_of(Direction)]
    count_in: StrictBool
    soundfont: Annotated[OwnSound | None, BeforeValidator(_named_soundfont)]
    preset: Annotated[Count, AfterValidator(_known_preset)] | None
    silent: StrictBool
