"""Checks on the finished network, and its streams: every port joined once, every feed with a way
out. Template ports are dissolved into the streams that run through them."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from hoggin.check.network import Link, Network, Node
from hoggin.check.scope import Session
from hoggin.diagnostics.families.routes import E0502, E0503, E0504, E0505
from hoggin.diagnostics.families.templates import E0702
from hoggin.diagnostics.source import Span
from hoggin.graph import flow_order
from hoggin.schema.plant import Stream


def check_outlets(network: Network, session: Session) -> None:
    """E0502: two routes from one outlet."""
    first: dict[tuple[str, str], Link] = {}
    for link in network.links:
        key = (link.source.tag, link.outlet)
        if key in first:
            name = link.source.outlet_name(link.outlet)
            session.report(E0502.second(name), link.span, first[key].span)
        else:
            first[key] = link


def check_template_ports(nodes: Iterable[Node], network: Network, session: Session) -> None:
    """E0702: a port that nothing inside the template is joined to."""
    sources = {link.source.tag for link in network.links}
    targets = {link.target.tag for link in network.links}
    for node in nodes:
        name = node.tag.rpartition(".")[2]
        if node.word == "in port" and node.tag not in sources:
            session.report(E0702.inlet(name), node.span)
        if node.word == "out port" and node.tag not in targets:
            session.report(E0702.outlet(name), node.span)


def check_joined(network: Network, session: Session, own_ports: Collection[Node] = ()) -> None:
    """E0503: an outlet that nothing drains; E0504: a machine or product that nothing feeds.

    `own_ports` are those of a template that is checked on its own: they are joined where it is
    instantiated.
    """
    drained = {(link.source.tag, link.outlet) for link in network.links}
    fed = {link.target.tag for link in network.links}
    for node in network.nodes.values():
        if node in own_ports:
            continue
        for outlet in node.outlets:
            if (node.tag, outlet) not in drained and node.word != "in port":
                name = node.outlet_name(outlet)
                fault = (
                    E0503.outlet(node.word, name)
                    if node.kind == "machine"
                    else E0503.node(node.word, node.tag, name)
                )
                session.report(fault, node.place)
        if node.has_inlet and node.tag not in fed and node.word != "out port":
            session.report(E0504.never_fed(node.word, node.tag), node.place)


def check_ways_out(network: Network, session: Session) -> None:
    """E0505: material that can never reach a product."""
    drains = network.upstream(n.tag for n in network.nodes.values() if n.kind == "product")
    stuck = [node for node in network.nodes.values() if node.tag not in drains]
    feeds = [node for node in stuck if node.kind == "feed"]
    inside = [node for node in stuck if node.kind == "machine"]
    names = ", ".join(f"`{node.tag}`" for node in inside[:6]) + (" ..." if len(inside) > 6 else "")
    for feed in feeds:
        session.report(
            E0505.of_circuit(feed.tag, names) if inside else E0505.of_feed(feed.tag), feed.span
        )
    if inside and not feeds:
        session.report(E0505.of_loop(names), inside[0].span)


def in_order_of_flow(network: Network) -> dict[str, Node]:
    """Feeds, machines and products by tag, each where material reaches it: feeds by name, then what
    the first outlet leads to before what the second leads to. The order in which they are declared
    makes no difference. Only for a network that has passed the checks above."""
    onward = _onward(network)
    ranked = sorted(network.nodes.values(), key=lambda node: (node.kind != "feed", node.tag))
    successors = {
        node.tag: [onward[node.tag, outlet].tag for outlet in node.outlets]
        for node in ranked
        if node.kind != "port"
    }
    return {tag: network.nodes[tag] for part in flow_order(successors) for tag in part}


def streams(network: Network) -> tuple[Stream, ...]:
    """The plant's streams: those of feeds, then those of machines, a source's outlets in their
    order. Only for a network that has passed the checks above."""
    onward = _onward(network)
    return tuple(
        Stream(source=node.tag, outlet=outlet, target=onward[node.tag, outlet].tag)
        for kind in ("feed", "machine")
        for node in network.nodes.values()
        if node.kind == kind
        for outlet in node.outlets
    )


def _onward(network: Network) -> dict[tuple[str, str], Node]:
    """Where each outlet leads, by its node's tag and its name, through ports of sections."""
    linked = {(link.source.tag, link.outlet): link.target for link in network.links}
    found: dict[tuple[str, str], Node] = {}
    for (tag, outlet), target in linked.items():
        while target.kind == "port":
            target = linked[target.tag, ""]
        found[tag, outlet] = target
    return found


def route_places(network: Network) -> dict[str, tuple[Span, ...]]:
    """By the stream's name, from its source on; more than one where it runs through a section's
    ports. Only for a network that has passed the checks of `wiring`."""
    links = {(link.source.tag, link.outlet): link for link in network.links}
    found: dict[str, tuple[Span, ...]] = {}
    for stream in streams(network):
        link = links[(stream.source, stream.outlet)]
        spans = [link.span]
        while link.target.kind == "port":
            link = links[(link.target.tag, "")]
            spans.append(link.span)
        found[stream.name] = tuple(spans)
    return found
