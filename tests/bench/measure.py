"""What a command costs: seconds, processor seconds and memory of all its processes.

Run as a program it measures the command that follows; it adopts every process that the command leaves behind, so that
workers are counted however they were started. Linux only.
"""

import ctypes
import json
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from pathlib import Path

_PR_SET_CHILD_SUBREAPER = 36
_MEBI = 1024
"""KiB in a MiB; Linux tells memory in KiB."""


@dataclass(frozen=True)
class Cost:
    """What a command took.

    Args:
        wall: s.
        cpu: s of processor time, user's and system's, of all its processes.
        peak: MiB of the largest process.
        output: what it printed.
    """

    wall: float
    cpu: float
    peak: float
    output: str = ""


ROOT = Path(__file__).parents[2]
_SURROUNDINGS = {
    "SOURCE_DATE_EPOCH": "1700000000",
    "PYTHONDONTWRITEBYTECODE": "",
    "PYTHONPYCACHEPREFIX": str(Path(tempfile.gettempdir(), "deckbuilder-bench")),
}


def measured(command: Sequence[str], folder: Path, root: Path = ROOT) -> Cost:
    """Run a command in a folder and tell what it took.

    Modules stay compiled from one command to the next, as those of an installed program are.

    Args:
        command: program and arguments.
        folder: the working directory.
        root: the checkout whose program it runs.
    """
    done = subprocess.run(
        [sys.executable, str(Path(__file__).absolute()), *command],
        cwd=folder,
        env=os.environ | _SURROUNDINGS | {"PYTHONPATH": str(root)},
        stdout=subprocess.PIPE,
        text=True,
        check=True,
    )
    *output, told = done.stdout.splitlines()
    return Cost(**json.loads(told), output="\n".join(output))


def _measure(command: Sequence[str]) -> None:
    ctypes.CDLL(None).prctl(_PR_SET_CHILD_SUBREAPER, 1)
    started = time.monotonic()
    program = subprocess.Popen(command)
    cpu = peak = wall = 0.0
    failed = False
    while True:
        try:
            process, status, usage = os.wait4(-1, 0)
        except ChildProcessError:
            break
        if process == program.pid:
            wall = time.monotonic() - started
            failed = status != 0
            program.returncode = os.waitstatus_to_exitcode(status)
        cpu += usage.ru_utime + usage.ru_stime
        peak = max(peak, usage.ru_maxrss / _MEBI)
    told = asdict(Cost(wall, cpu, peak))
    del told["output"]
    print(json.dumps(told))
    sys.exit(failed)


if __name__ == "__main__":
    _measure(sys.argv[1:])
