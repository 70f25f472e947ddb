"""Where plants are cut, against networkx's components and against plants cut by hand."""

from __future__ import annotations

from pathlib import Path

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.balance.builder import HERE, feed
from tests.balance.builder import plant as built

from hoggin.check.checker import check_file
from hoggin.schema.plant import Machine, Plant, Product, Stream
from hoggin.studies.simulate.cutting import cut

QUARRY = Path(__file__).parents[3] / "examples" / "quarry.hog"


def test_the_quarry_is_cut_at_its_surge_pile_and_not_in_its_closed_circuit() -> None:
    plant = check_file(QUARRY).plant
    assert plant is not None
    found = cut(plant, {"surge": 6000.0, "tertiary_bin": 150.0})
    assert found.stores == ("surge",)
    assert found.inside == ("tertiary_bin",)
    assert len(found.sections) == 2
    assert {"primary", "dirt", "fill"} <= set(found.sections[0])
    assert {"secondary", "tertiary", "tertiary_bin", "sand"} <= set(found.sections[1])


def machine(tag: str, kind: str, *outlets: str) -> Machine:
    shares = {outlet: 1 / len(outlets) for outlet in outlets} if kind == "splitter" else {}
    return Machine.model_validate(
        {
            "tag": tag,
            "kind": kind,
            "class_name": "",
            "shares": shares,
            "outlets": outlets or ("product",),
            "place": HERE,
        }
    )


def test_a_store_that_is_passed_by_parts_nothing() -> None:
    """Half runs past the bin to where the bin's other half comes in."""
    plant = built(
        [feed("f")],
        [machine("d", "splitter", "s1", "s2"), machine("b", "bin"), machine("m", "blend")],
        ["f -> d", "d.s1 -> b -> m -> p", "d.s2 -> m"],
    )
    found = cut(plant, {"b": 100.0})
    assert found.stores == () and found.inside == ("b",)
    assert len(found.sections) == 1


def test_from_store_to_store_runs_a_section_without_machines() -> None:
    plant = built(
        [feed("f")], [machine("a", "stockpile"), machine("b", "bin")], ["f -> a -> b -> p"]
    )
    found = cut(plant, {"a": 100.0, "b": 10.0})
    assert found.stores == ("a", "b")
    assert found.sections == (("f",), ("p",), ())


@st.composite
def plants(draw: st.DrawFn) -> tuple[Plant, dict[str, float]]:
    """Splitters of two outlets that lead anywhere, some of them stores that lead on to one."""
    count = draw(st.integers(2, 9))
    stores = [draw(st.booleans()) for _ in range(count)]
    machines = [
        machine(f"m{n}", "bin") if is_store else machine(f"m{n}", "splitter", "s1", "s2")
        for n, is_store in enumerate(stores)
    ]
    targets = [*(one.tag for one in machines), "p", "q"]
    streams = [Stream(source="f", outlet="", target="m0")]
    for one in machines:
        for outlet in one.outlets:
            target = draw(st.sampled_from([t for t in targets if t != one.tag]))
            streams.append(Stream(source=one.tag, outlet=outlet, target=target))
    plant = built([feed("f")], [machine("m0", "blend")], ["f -> m0 -> p"]).model_copy(
        update={
            "machines": tuple(machines),
            "streams": tuple(streams),
            "products": tuple(Product(tag=t, title=t, place=HERE) for t in ("p", "q")),
        }
    )
    return plant, {f"m{n}": 10.0 for n, is_store in enumerate(stores) if is_store}


@pytest.mark.slow
@settings(max_examples=150, deadline=None)
@given(plants())
def test_sections_are_the_components_that_are_left_without_the_stores(
    case: tuple[Plant, dict[str, float]],
) -> None:
    """networkx: weak components without the stores that are left; they and the stores make no
    circle, and each store that counts as inside would close one at the cut it was dropped from."""
    plant, live = case
    found = cut(plant, live)
    assert set(found.stores) | set(found.inside) == set(live)
    graph = _graph(plant, set(found.stores))
    components = {frozenset(c) for c in nx.weakly_connected_components(graph)}
    ours: dict[int, set[str]] = {}
    for node, section in found.section_of.items():
        ours.setdefault(section, set()).add(f"stream {node}" if isinstance(node, int) else node)
    assert {frozenset(nodes) for nodes in ours.values()} == components
    assert nx.is_directed_acyclic_graph(_quotient(plant, set(found.stores)))
    if found.inside:
        assert not nx.is_directed_acyclic_graph(_quotient(plant, set(live)))


def _graph(plant: Plant, stores: set[str]) -> nx.DiGraph[str]:
    graph: nx.DiGraph[str] = nx.DiGraph()
    tags = [one.tag for one in plant.feeds] + [one.tag for one in plant.products]
    tags += [one.tag for one in plant.machines]
    graph.add_nodes_from(tag for tag in tags if tag not in stores)
    for place, stream in enumerate(plant.streams):
        graph.add_node(f"stream {place}")
        if stream.source not in stores:
            graph.add_edge(stream.source, f"stream {place}")
        if stream.target not in stores:
            graph.add_edge(f"stream {place}", stream.target)
    return graph


def _quotient(plant: Plant, stores: set[str]) -> nx.DiGraph[str]:
    """Sections and stores, and what runs between them."""
    parts = nx.weakly_connected_components(_graph(plant, stores))
    section = {node: f"section {n}" for n, nodes in enumerate(parts) for node in nodes}
    graph: nx.DiGraph[str] = nx.DiGraph()
    for place, stream in enumerate(plant.streams):
        if stream.source in stores:
            graph.add_edge(stream.source, section[f"stream {place}"])
        if stream.target in stores:
            graph.add_edge(section[f"stream {place}"], stream.target)
    return graph
