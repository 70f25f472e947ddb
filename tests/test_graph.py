"""Circles in graphs and the order of flow, against networkx on random graphs."""

from __future__ import annotations

from random import Random

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoggin.graph import flow_order, strongly_connected


def successors(graph: nx.DiGraph[int], random: Random) -> dict[int, list[int]]:
    found = {node: list(graph.successors(node)) for node in graph}
    for following in found.values():
        random.shuffle(following)
    return found


def random_graph(seed: int, count: int) -> tuple[nx.DiGraph[int], dict[int, list[int]]]:
    random = Random(seed)
    graph = nx.gnp_random_graph(count, random.uniform(0.0, 3.0) / count, seed=seed, directed=True)
    return graph, successors(graph, random)


@given(seed=st.integers(0, 10**6), count=st.integers(1, 50))
def test_components_are_those_of_networkx_in_topological_order(seed: int, count: int) -> None:
    graph, following = random_graph(seed, count)
    for found in (strongly_connected(following), flow_order(following)):
        expected = {frozenset(members) for members in nx.strongly_connected_components(graph)}
        assert {frozenset(members) for members in found} == expected
        position = {node: place for place, members in enumerate(found) for node in members}
        assert all(position[source] <= position[target] for source, target in graph.edges)


@given(seed=st.integers(0, 10**6), count=st.integers(1, 50))
def test_without_the_edges_against_the_flow_no_circle_is_left(seed: int, count: int) -> None:
    graph, following = random_graph(seed, count)
    order = [node for members in flow_order(following) for node in members]
    place = {node: at for at, node in enumerate(order)}
    backwards = [(a, b) for a, b in graph.edges if place[b] <= place[a]]
    graph.remove_edges_from(backwards)
    assert nx.is_directed_acyclic_graph(graph)
    assert all(nx.has_path(graph, target, source) for source, target in backwards)


@given(seed=st.integers(0, 10**6), count=st.integers(1, 30))
def test_order_of_flow_does_not_depend_on_the_order_in_which_nodes_are_listed(
    seed: int, count: int
) -> None:
    graph, following = random_graph(seed, count)
    rest = [*following][1:]
    Random(seed + 1).shuffle(rest)
    reached = nx.descendants(graph, 0) | {0}
    listed = {node: following[node] for node in (0, *rest) if node in reached}
    first = {node: following[node] for node in following if node in reached}
    assert flow_order(listed) == flow_order(first)


def test_a_circuit_reads_from_where_it_is_fed() -> None:
    # feed -> bars -> (over) crusher -> screen -> (over) crusher; bars and screen -> (under) belt
    plant = {
        "feed": ["bars"],
        "belt": [],
        "screen": ["crusher", "belt"],
        "crusher": ["screen"],
        "bars": ["crusher", "belt"],
    }
    assert flow_order(plant) == [("feed",), ("bars",), ("crusher", "screen"), ("belt",)]


def test_what_hangs_on_the_first_outlet_comes_first() -> None:
    lines = {
        "feed": ["a1", "b1"],
        "b1": ["b2"],
        "a1": ["a2"],
        "b2": ["end"],
        "a2": ["end"],
        "end": [],
    }
    order = [node for members in flow_order(lines) for node in members]
    assert order == ["feed", "a1", "a2", "b1", "b2", "end"]


@pytest.mark.slow
def test_a_long_chain_needs_no_deep_recursion() -> None:
    count = 5000
    circle = {node: [(node + 1) % count] for node in range(count)}
    assert flow_order(circle) == [tuple(range(count))]
    assert [set(members) for members in strongly_connected(circle)] == [set(range(count))]
