"""Where each stream is routed in the text: the lines of the routes that it runs through."""

from __future__ import annotations

from hoggin.check.network import Network
from hoggin.check.wiring import streams
from hoggin.diagnostics.source import Span


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
