"""Where each stream is routed in the text: the lines of the routes that it runs through."""

from __future__ import annotations

from hoggin.check.machines import place
from hoggin.check.network import Network
from hoggin.check.plant import Place
from hoggin.check.wiring import streams


def route_places(network: Network) -> dict[str, tuple[Place, ...]]:
    """By the stream's name, from its source on; more than one where it runs through a section's
    ports. Only for a network that has passed the checks of `wiring`."""
    links = {(link.source.tag, link.outlet): link for link in network.links}
    found: dict[str, tuple[Place, ...]] = {}
    for stream in streams(network):
        link = links[(stream.source, stream.outlet)]
        places = [place(link.span)]
        while link.target.kind == "port":
            link = links[(link.target.tag, "")]
            places.append(place(link.span))
        found[stream.name] = tuple(places)
    return found
