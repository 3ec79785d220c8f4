"""What the system is, and the packages of a distribution."""

import os
import shutil
import sys
from collections.abc import Sequence
from pathlib import Path

from prepare.following import Ended, follow

_DEBIAN = {"debian", "ubuntu"}
_RELEASE = Path("/etc/os-release")


def is_debian(release: str) -> bool:
    """Whether a distribution is Debian, Ubuntu, or made from one.

    Args:
        release: the text of its /etc/os-release, whose ID and ID_LIKE say so (os-release(5)).
    """
    fields = dict(line.split("=", 1) for line in release.splitlines() if "=" in line)
    names = f"{fields.get('ID', '')} {fields.get('ID_LIKE', '')}".replace('"', " ").replace("'", " ")
    return not _DEBIAN.isdisjoint(names.split())


def here_is_debian() -> bool:
    """Whether this machine runs Debian, Ubuntu, or what is made from one."""
    return sys.platform == "linux" and _RELEASE.is_file() and is_debian(_RELEASE.read_text(encoding="utf-8"))


def may_install() -> bool:
    """Whether the distribution's packages can be installed without asking: Debian or Ubuntu, as root."""
    return here_is_debian() and os.geteuid() == 0 and shutil.which("apt-get") is not None


def install(packages: Sequence[str]) -> Ended:
    """Install packages of Debian or Ubuntu; needs `may_install`.

    Args:
        packages: their names.
    """
    environment = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    follow(("apt-get", "update", "-q"), environment=environment)
    return follow(("apt-get", "install", "-y", "-q", "--no-install-recommends", *packages), environment=environment)
