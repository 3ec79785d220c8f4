"""A build whose media are rendered by a Dask cluster, here two processes of this machine."""

from pathlib import Path

from distributed import Client, LocalCluster

from deckbuilder.build import build
from deckbuilder.deck.check import check_package
from deckbuilder.deck.store import Store
from deckbuilder.recipe import parse_recipe

RECIPE = parse_recipe({"keys": ["F", "B"], "regions": [5], "levels": [2], "kinds": ["locate", "identify"]}, "test")


def test_a_cluster_builds_the_same_deck(tmp_path: Path) -> None:
    build(RECIPE, tmp_path / "here.apkg", store=Store(tmp_path / "one"), timestamp=1.7e9)
    told: list[tuple[int, int]] = []
    with (
        LocalCluster(
            n_workers=2, threads_per_worker=2, host="127.0.0.1", dashboard_address=None, local_directory=str(tmp_path)
        ) as cluster,
        Client(cluster) as client,
    ):
        build(
            RECIPE,
            tmp_path / "there.apkg",
            store=Store(tmp_path / "other"),
            timestamp=1.7e9,
            executor=client.get_executor(),
            on_progress=lambda done, total: told.append((done, total)),
        )
    assert (tmp_path / "there.apkg").read_bytes() == (tmp_path / "here.apkg").read_bytes()
    assert check_package(tmp_path / "there.apkg").problems == ()
    assert told[-1] == (told[-1][1], told[-1][1])
