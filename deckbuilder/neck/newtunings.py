"""Tunings that others add, extensions and recipes: what a row has to hold before it is taken."""

import re

from deckbuilder.neck.instrument import Instrument
from deckbuilder.neck.regions import check_compass
from deckbuilder.neck.tuning import NeckError, Tuning, read_row, tuning_names, tuning_of_pitches
from deckbuilder.neck.tunings import INSTRUMENTS, KnownTuning
from deckbuilder.suggestions import remedy

_NAME = re.compile(r"[a-z][a-z0-9]*(-[a-z0-9]+)*")
_LONGEST_NAME = 40
"""Characters, as many as a tag's value may have."""


def check_tuning_name(name: str) -> None:
    """Refuse what no tuning can be called.

    Raises:
        NeckError: it is no name, or a tuning has it already.
    """
    if not _NAME.fullmatch(name) or len(name) > _LONGEST_NAME:
        raise NeckError(
            f"{name!r} is no name for a tuning; write small letters and digits joined by '-', such as my-tuning, "
            f"{_LONGEST_NAME} at most"
        )
    if name in tuning_names():
        raise NeckError(f"there is a tuning {name!r} already; choose another name")


def check_pitches(pitches: str) -> None:
    """Refuse open strings that no neck here has, or that are a tuning with a name.

    Args:
        pitches: pitches in scientific notation from the lowest-sounding side, separated by spaces.

    Raises:
        NeckError: a text is no pitch or is out of range, there are too few or too many, or the tuning has a name.
    """
    made = tuning_of_pitches(pitches.split())
    check_compass(made)
    if made.name in tuning_names():
        raise NeckError(f"{pitches!r} is the tuning {made.name!r}; ask for it by that name")


def check_patch(patch: str) -> None:
    """Refuse an instrument that does not sound here.

    Raises:
        NeckError: it is none of `INSTRUMENTS`.
    """
    if patch not in INSTRUMENTS:
        raise NeckError(f"no instrument {patch!r} sounds here; {remedy(patch, INSTRUMENTS)}")


def new_tuning(row: KnownTuning) -> Tuning:
    """Return the tuning of a row that is to be added.

    Raises:
        NeckError: a name, pitches, frets or the instrument that sounds cannot be.
    """
    for name in filter(None, (row.name, row.also)):
        check_tuning_name(name)
    check_pitches(row.pitches)
    check_patch(row.patch)
    made = read_row(row)
    Instrument(made, row.frets)
    return made
