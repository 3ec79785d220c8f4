"""Command line: where media are rendered, on this machine or on a cluster."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from deckbuilder.cli.telling import say

if TYPE_CHECKING:
    from concurrent.futures import Executor


def clustered(command: Any) -> Any:
    """Add the option of a cluster: `cluster`."""
    option = click.option(
        "--cluster",
        metavar="ADDRESS",
        help="Render on a Dask cluster that is there already, by its scheduler's address; all machines share --store.",
    )
    return option(command)


@contextmanager
def renderers(workers: int | None, cluster: str | None, store: Path) -> "Iterator[Executor | None]":
    """Offer where to render for the time of a block.

    Args:
        workers: processes of this machine; None for all cores.
        cluster: address of a cluster's scheduler; None for this machine.
        store: the folder of rendered media.

    Yields:
        An executor, or None where this process is to render.

    Raises:
        UsageError: both are named.
        ClusterError: the cluster cannot be used.
    """
    if cluster is None:
        from deckbuilder.workers import processes

        with processes(workers, say) as executor:
            yield executor
        return
    if workers is not None:
        raise click.UsageError("--workers are processes of this machine; leave it out, or --cluster")
    from deckbuilder.cluster import connected

    with connected(cluster, store) as executor:
        yield executor
