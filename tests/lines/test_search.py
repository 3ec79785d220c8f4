"""The search: nothing is cheaper than what it finds, and no two pitches alternate twice."""

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from deckbuilder.lines.search import Costs, cheapest, turn_costs

PITCHES = 4


def costs_of(seed: int, notes: int) -> tuple[list[Costs], list[Costs]]:
    chance = np.random.default_rng(seed)
    nodes = [chance.random(PITCHES) * 3 for _ in range(notes)]
    return nodes, [chance.random((PITCHES, PITCHES)) * 3 for _ in range(notes - 1)]


def cost(way: tuple[int, ...], nodes: list[Costs], edges: list[Costs]) -> float:
    """Add up what a way costs, one note after the other; infinity for what the law forbids."""
    total = sum(float(node[index]) for node, index in zip(nodes, way, strict=True))
    total += sum(float(edge[pair]) for edge, pair in zip(edges, itertools.pairwise(way), strict=True))
    for first, second, third in zip(way, way[1:], way[2:], strict=False):
        total += turn_costs(first, second, third)
    alternating = any(way[at : at + 2] == way[at + 2 : at + 4] for at in range(len(way) - 3))
    return float("inf") if alternating else total


@given(st.integers(0, 10**6), st.integers(1, 6))
@settings(max_examples=60, deadline=None)
def test_no_way_is_cheaper_than_the_one_found(seed: int, notes: int) -> None:
    nodes, edges = costs_of(seed, notes)
    found = tuple(cheapest(nodes, edges))
    least = min(cost(way, nodes, edges) for way in itertools.product(range(PITCHES), repeat=notes))
    assert cost(found, nodes, edges) == pytest.approx(least)
