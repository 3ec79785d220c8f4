"""Makes the virtual environment `.venv` and installs deckbuilder into it, and says what it does meanwhile."""

import importlib.util
import os
import subprocess
import sys
import time
from collections.abc import Sequence
from pathlib import Path

from prepare import system
from prepare.following import follow

HERE = Path(__file__).parent.parent
ENVIRONMENT = HERE / ".venv"
_PYTHON = ENVIRONMENT / ("Scripts/python.exe" if os.name == "nt" else "bin/python")

COST = {(): "a minute or two and 520 MB", ("test",): "two minutes and 1.4 GB"}
"""What the first run takes, by what it installs."""


class SetupError(Exception):
    """The set-up cannot go on; the message says why and what to do."""


def main(extras: Sequence[str]) -> int:
    """Set up the environment.

    Args:
        extras: groups of pyproject.toml to install besides what the program needs, such as `test`.

    Returns:
        The exit status: 0 done, 1 told why not, 2 asked for something unknown, 130 interrupted.
    """
    if tuple(extras) not in COST:
        print(f"prepare: {' '.join(extras)!r} is not known; say `prepare`, or `prepare test`", file=sys.stderr)
        return 2
    started = time.monotonic()
    try:
        _set_up(extras)
    except SetupError as error:
        print(f"prepare: {error}", file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        print("prepare: interrupted; run the same command again and it goes on", file=sys.stderr)
        return 130
    print(f"prepare: done in {time.monotonic() - started:.0f} s", flush=True)
    return 0


def _set_up(extras: Sequence[str]) -> None:
    kept = _version_in(_PYTHON) == sys.version_info[:2]
    if kept:
        print("prepare: .venv is there and is brought up to date", flush=True)
    else:
        print(
            f"prepare: makes .venv with Python {sys.version_info[0]}.{sys.version_info[1]} and installs what is "
            f"needed; the first time this takes about {COST[tuple(extras)]} of disk",
            flush=True,
        )
        _make_possible()
        made = follow((sys.executable, "-m", "venv", "--clear", str(ENVIRONMENT)))
        if made.status != 0:
            raise SetupError(f"{ENVIRONMENT} cannot be made; python -m venv says:\n{made.last_words}")
    asked = f"{HERE}[{','.join(extras)}]" if extras else str(HERE)
    options = ("--disable-pip-version-check", "--no-input", "--progress-bar", "off")
    installed = follow((str(_PYTHON), "-m", "pip", "install", *options, "--editable", asked))
    if installed.status != 0:
        raise SetupError(
            f"packages cannot be installed; pip says:\n{installed.last_words}\n"
            "prepare: look at the network and the space on the disk, and run the same command again"
        )


def _version_in(python: Path) -> tuple[int, ...] | None:
    """Return the version of an environment's Python, None where there is none that starts and has pip."""
    ask = "import pip, sys; print(*sys.version_info[:2])"
    try:
        answer = subprocess.run([python, "-c", ask], capture_output=True, text=True, timeout=60, check=True).stdout
    except (OSError, subprocess.SubprocessError):
        return None
    return tuple(map(int, answer.split()))


def _make_possible() -> None:
    """Install what Debian splits off from Python and a virtual environment needs, or say so."""
    if importlib.util.find_spec("ensurepip") is not None:
        return
    package = f"python{sys.version_info[0]}.{sys.version_info[1]}-venv"
    if system.may_install():
        print(f"prepare: installs {package}, without which this Python makes no virtual environment", flush=True)
        ended = system.install((package,))
        importlib.invalidate_caches()
        if ended.status == 0 and importlib.util.find_spec("ensurepip") is not None:
            return
    raise SetupError(missing_venv(package, debian=system.here_is_debian()))


def missing_venv(package: str, *, debian: bool) -> str:
    """Say in one sentence what makes virtual environments possible.

    Args:
        package: what Debian calls it.
        debian: whether this is Debian or Ubuntu.
    """
    remedy = f"sudo apt-get install {package}" if debian else "install Python from python.org, or its full package"
    return (
        f"{sys.executable} makes no virtual environment, as its module ensurepip is missing: {remedy}, "
        "and run this again"
    )
