"""Processes: which machine this is, and whether a process that wrote something still runs."""

import hashlib
import socket

_CLOCKS_DIFFER = 600.0
"""s by which a process may seem to have begun after what it wrote: a file server has a clock of its own."""


def machine() -> str:
    """Return this machine's name, as names of files can hold it."""
    return hashlib.sha256(socket.gethostname().encode()).hexdigest()[:8]


def was_running(process: int, when: float) -> bool:
    """Tell whether a process still runs that ran at some time, in seconds since 1970.

    One that has ended but that nobody has asked after (a zombie, as containers keep them) does not run; nor does one
    that took over the number later.
    """
    import psutil  # needed only where something was left behind

    if not psutil.pid_exists(process):
        return False
    try:
        found = psutil.Process(process)
        return bool(found.status() != psutil.STATUS_ZOMBIE and found.create_time() <= when + _CLOCKS_DIFFER)
    except psutil.NoSuchProcess:
        return False
    except psutil.AccessDenied:
        return True
