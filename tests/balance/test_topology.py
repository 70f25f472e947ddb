"""Loops and solving order against networkx on random flowsheets."""

from __future__ import annotations

from collections.abc import Sequence
from random import Random
from typing import TypeVar

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoggin.balance.topology import PRODUCT, read_flowsheet
from hoggin.schema.plant import Plant

from .builder import blend, closed_tertiary, crusher, feed, plant, screen
from .random_plants import random_plant

T = TypeVar("T")


@pytest.mark.slow
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


def closing(a_plant: Plant) -> list[str]:
    (loop,) = [part for part in read_flowsheet(a_plant).parts if part.is_loop]
    return [a_plant.streams[s].name for s in loop.closing]


def test_what_runs_back_to_where_the_loop_is_fed_closes_it() -> None:
    assert closing(closed_tertiary()) == ["cone -> sizing"]
    fed_at_the_crusher = plant(
        [feed("rock")],
        [crusher("cone", 30.0), screen("sizing", 20.0)],
        ["rock -> cone -> sizing", "sizing.d1.over -> cone", "sizing.under -> fines"],
    )
    assert closing(fed_at_the_crusher) == ["sizing.d1.over -> cone"]


@pytest.mark.slow
@given(seed=st.integers(0, 10**6), count=st.integers(2, 40))
def test_loops_do_not_depend_on_the_order_of_machines_and_streams(seed: int, count: int) -> None:
    a_plant, random = random_plant(seed, count), Random(seed)

    def shuffled(items: Sequence[T]) -> tuple[T, ...]:
        return tuple(random.sample(items, len(items)))

    other = a_plant.model_copy(
        update={
            "machines": (a_plant.machines[0], *shuffled(a_plant.machines[1:])),
            "streams": shuffled(a_plant.streams),
        }
    )

    def loops(one: Plant) -> list[tuple[list[str], set[str]]]:
        sheet = read_flowsheet(one)
        return [
            (
                [sheet.machines[m] for m in part.machines],
                {one.streams[s].name for s in part.closing},
            )
            for part in sheet.parts
            if part.is_loop
        ]

    assert loops(other) == loops(a_plant)


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
