"""Cluster: the workers of a Dask cluster that is there already, as a place to render.

They have to have this program in the same version, and to see the store's folder under the same name: media do not
travel, each worker keeps what it has made in the store. Whether they do is tried before anything is rendered. A worker
that is lost costs its batch, which another one does again; the same description gives the same bytes everywhere.
"""

import tempfile
from collections.abc import Iterator
from concurrent.futures import CancelledError, Executor
from contextlib import contextmanager
from importlib.metadata import version
from pathlib import Path
from typing import Any

from deckbuilder.deck.unfinished import PREFIX
from deckbuilder.errors import UserError
from deckbuilder.printable import printable

CONNECT_SECONDS = 10
"""After which a scheduler that does not answer is given up."""
_SHOWN = 200
"""Characters of a reason that are told."""


class ClusterError(UserError, OSError):
    """A cluster that cannot be used; the message says why and what to do."""


@contextmanager
def connected(address: str, store: Path) -> Iterator[Executor]:
    """Offer the workers of a cluster for the time of a block.

    Args:
        address: of its scheduler, `tcp://192.168.1.5:8786`.
        store: the folder of rendered media; it is made.

    Raises:
        ClusterError: the library is not there, no scheduler answers, there is no worker that could render here, or the
            cluster was lost during the block.
    """
    called = f"--cluster {printable(address, _SHOWN)}"
    try:
        from distributed import Client
        from distributed.comm import CommClosedError
        from distributed.scheduler import KilledWorker
    except ImportError:
        raise ClusterError(f"{called}: this takes the library distributed; pip install 'deckbuilder[dask]'") from None
    try:
        client = Client(address, timeout=CONNECT_SECONDS, set_as_default=False)
    except Exception as error:  # whatever its libraries raise, from sockets up
        reason = f"no scheduler answers there ({_reason(error)})"
        raise ClusterError(f"{called}: {reason}; start one, or name its address: tcp://192.168.1.5:8786") from None
    try:
        _refuse_unfit(client, called, store)
        yield client.get_executor()
    except KilledWorker as error:
        lost = "several workers were lost over the same pictures or clips, perhaps for want of memory"
        raise ClusterError(f"{called}: {lost} ({_reason(error)}); give them more, and build again") from None
    except (CommClosedError, CancelledError) as error:
        lost = f"the scheduler was lost ({_reason(error)})"
        raise ClusterError(f"{called}: {lost}; what is rendered is kept: build again") from None
    finally:
        client.close()


def _refuse_unfit(client: Any, called: str, store: Path) -> None:
    """Refuse a cluster some of whose workers cannot do the work.

    Raises:
        ClusterError: it has no workers, or one lacks this program or the folder.
    """
    folder = store.absolute()
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.NamedTemporaryFile(dir=folder, prefix=PREFIX) as token:
            found = client.run(fitness, folder / Path(token.name).name, on_error="return")
    except OSError as error:
        reason = f"{folder}: this store cannot be written ({error.strerror})"
        raise ClusterError(f"{called}: {reason}; name another --store") from None
    if not found:
        raise ClusterError(f"{called}: it has no workers; start some there: dask worker {called.split()[-1]}")
    own = version("deckbuilder")
    for worker, told in found.items():
        if not isinstance(told, tuple):
            reason = f"worker {worker} cannot load this program ({_reason(told)})"
            raise ClusterError(f"{called}: {reason}; install deckbuilder {own} there")
        there, seen = told
        if there != own:
            raise ClusterError(f"{called}: worker {worker} has deckbuilder {there}, this is {own}; install the same")
        if not seen:
            reason = f"worker {worker} does not see the store {folder}"
            raise ClusterError(f"{called}: {reason}; name a folder that all machines share, with --store")


def fitness(token: Path) -> tuple[str, bool]:
    """Return a worker's version of this program, and whether it sees a file.

    Args:
        token: the file.
    """
    return version("deckbuilder"), token.is_file()


def _reason(error: object) -> str:
    return printable(str(error) or type(error).__name__, _SHOWN)
