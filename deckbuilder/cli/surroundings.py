"""Surroundings: streams that are closed or take no ♭, and settings of other programs, on which no command may trip."""

import io
import os
import sys
import warnings

_STANDARD = 3
"""Standard streams: input, output, messages."""


def prepare() -> None:
    """Make the process fit for every command."""
    _open_streams()
    for stream in (sys.stdout, sys.stderr):
        # Where output goes into a file, Windows takes an encoding without ♭ and ♯. What no encoding has, such as the
        # stray bytes of a file name, is shown by its number.
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(encoding="utf-8", errors="backslashreplace")
    # Pictures are drawn without a window, whatever other programs are to use.
    os.environ["MPLBACKEND"] = "agg"
    # Nobody who builds a deck can mend what a library warns of, here or in a process started from here.
    os.environ["PYTHONWARNINGS"] = "ignore"
    sys.warnoptions.clear()
    warnings.simplefilter("ignore")


def _open_streams() -> None:
    """Open the null device for standard streams that are closed, lest a file of ours take their number."""
    while True:
        number = os.open(os.devnull, os.O_RDWR)
        if number >= _STANDARD:
            os.close(number)
            break
    if sys.stdout is None:
        sys.stdout = open(1, "w", encoding="utf-8", closefd=False)  # noqa: SIM115
    if sys.stderr is None:
        sys.stderr = open(2, "w", encoding="utf-8", closefd=False)  # noqa: SIM115
