"""The plant as a plain graph in the DOT language, for those who draw it with tools of their own.

The flowsheet itself is made in `report.drawing`. Here a node is a feed, machine or product, and an
edge is a stream with its number and rate.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from hoggin.report.fields import shown
from hoggin.report.wording import PREDICTION, clean
from hoggin.schema.results import Results

if TYPE_CHECKING:
    from graphviz import Digraph

SHAPES = {"feed": "invhouse", "product": "triangle"}  # any other kind is a plain box


def dot(results: Results) -> str:
    """The graph as a DOT text. Nodes have names of their own (n1, n2 ...), so that any tag is a
    label and nothing else."""
    return str(_graph(results).source)


def _graph(results: Results) -> Digraph:
    from graphviz import Digraph, escape

    graph = Digraph(
        graph_attr={"label": escape(f"{clean(results.title)}\n{PREDICTION}"), "labelloc": "t"},
        node_attr={"shape": "box"},
    )
    names: dict[str, str] = {}
    for number, (tag, kind) in enumerate(_nodes(results), start=1):
        names[tag] = f"n{number}"
        shape = {"shape": SHAPES[kind]} if kind in SHAPES else {}
        graph.node(names[tag], escape(f"{clean(tag)}\n{kind}"), **shape)
    for stream in results.streams:
        look = {"style": "dashed", "constraint": "false"} if stream.recirculating else {}
        label = escape(f"{stream.number}: {shown(stream, 'rate_t_h')}")
        graph.edge(names[stream.source], names[stream.target], label, **look)
    return graph


def _nodes(results: Results) -> Iterator[tuple[str, str]]:
    yield from ((feed.tag, "feed") for feed in results.feeds)
    yield from ((machine.tag, machine.kind.replace("_", " ")) for machine in results.machines)
    yield from ((product.tag, "product") for product in results.products)
