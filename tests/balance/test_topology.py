"""Loops and solving order against networkx on random flowsheets."""

from __future__ import annotations

from random import Random

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoggin.balance.topology import PRODUCT, read_flowsheet, strongly_connected
from hoggin.schema.plant import Plant

from .builder import blend, closed_tertiary, crusher, feed, plant, screen
from .random_plants import random_plant


@given(seed=st.integers(0, 10**6), count=st.integers(1, 50))
def test_components_are_those_of_networkx_in_topological_order(seed: int, count: int) -> None:
    random = Random(seed)
    graph = nx.gnp_random_graph(count, random.uniform(0.0, 3.0) / count, seed=seed, directed=True)
    found = strongly_connected([sorted(graph.successors(node)) for node in range(count)])
    expected = {frozenset(members) for members in nx.strongly_connected_components(graph)}
    assert {frozenset(members) for members in found} == expected
    position = {node: place for place, members in enumerate(found) for node in members}
    assert all(position[source] <= position[target] for source, target in graph.edges)


@settings(deadline=None)
@given(seed=st.integers(0, 10**6), count=st.integers(2, 60))
def test_closing_streams_open_every_loop_and_none_can_be_spared(seed: int, count: int) -> None:
    sheet = read_flowsheet(random_plant(seed, count))
    for part in sheet.parts:
        if not part.is_loop:
            continue
        graph: nx.MultiDiGraph[int] = nx.MultiDiGraph()
        graph.add_nodes_from(part.machines)
        for stream in part.inner:
            if stream not in part.closing:
                graph.add_edge(sheet.links[stream].source, sheet.links[stream].target)
        assert nx.is_directed_acyclic_graph(graph)
        for stream in part.closing:
            link = sheet.links[stream]
            assert nx.has_path(graph, link.target, link.source)


def test_a_long_chain_of_machines_needs_no_deep_recursion() -> None:
    count = 5000
    found = strongly_connected([[node + 1] for node in range(count - 1)] + [[0]])
    assert found == [tuple(range(count))]


def test_screen_oversize_to_the_crusher_closes_the_loop() -> None:
    a_plant = closed_tertiary()
    (loop,) = [part for part in read_flowsheet(a_plant).parts if part.is_loop]
    assert [a_plant.streams[s].name for s in loop.closing] == ["sizing.d1.over -> cone"]


def unlinked(*, twice: bool) -> Plant:
    routes = ["rock -> cone -> sizing", "sizing.d1.over -> coarse"]
    return plant(
        [feed("rock")],
        [crusher("cone", 30.0), screen("sizing", 20.0), blend("spare")],
        [*routes, *(["sizing.under -> a", "sizing.under -> b"] if twice else [])],
    )


@pytest.mark.parametrize("twice", [False, True])
def test_outlet_without_exactly_one_stream_is_refused(twice: bool) -> None:
    with pytest.raises(ValueError, match="exactly one stream"):
        read_flowsheet(unlinked(twice=twice))


def test_links_follow_the_declared_streams() -> None:
    sheet = read_flowsheet(closed_tertiary())
    assert sheet.links[0].source == -1
    assert sheet.links[0].target == sheet.machines.index("jaw")
    assert [link.target for link in sheet.links].count(PRODUCT) == 3
