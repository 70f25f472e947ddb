"""Routes: which outlet feeds which machine. Ports are found by name, with the trade's defaults."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from hoggin.check.network import Body, Link, Network, Node
from hoggin.check.scope import Session
from hoggin.diagnostics.families.classes import E0401
from hoggin.diagnostics.families.names import E0201
from hoggin.diagnostics.families.routes import E0501, E0506
from hoggin.diagnostics.source import Span
from hoggin.schema.kinds import KINDS
from hoggin.syntax import tree


@dataclass(frozen=True, eq=False)
class _Found:
    """An endpoint's node or section, and the port named after it ("" when none is)."""

    what: Node | Body
    port: str
    path: tree.Path

    @property
    def span(self) -> Span:
        return self.path.span


def connect(route: tree.Route, body: Body, network: Network, session: Session) -> None:
    """Enter the links of one route line. Faults: unknown machine (E0201), unknown or unnamed
    port (E0501), a route into what takes none or out of what gives none (E0506)."""
    ends = [_find(endpoint, body, session) for endpoint in route.endpoints]
    if None in ends:
        network.damaged = True  # what depends on it is not at fault
    for start, end in pairwise(ends):
        if start is None or end is None:
            continue
        source = _outlet(start, session)
        target = _inlet(end, session)
        if source is None or target is None:
            network.damaged = True
            continue
        node, outlet = source
        network.links.append(Link(node, outlet, target, start.span.to(end.span)))


def _find(endpoint: tree.Endpoint, body: Body, session: Session) -> _Found | None:
    head, *rest = endpoint.path.parts
    what = body.names.get(head.text)
    if what is None:
        if head.text not in session.lost_names:
            session.report(E0201.not_in_plant(head.text, body.names), head.span)
        return None
    uses = session.names.uses
    uses[head] = body.idents[head.text]
    if rest:
        inner = what.parts if isinstance(what, Node) else what.ports
        if rest[0].text in inner:
            uses[rest[0]] = inner[rest[0].text]
    if endpoint.new_product and not (isinstance(what, Node) and what.kind == "product"):
        return session.report(E0401.not_a_product(head.text, what.word), endpoint.span)
    return _Found(what, ".".join(part.text for part in rest), endpoint.path)


def _outlet(found: _Found, session: Session) -> tuple[Node, str] | None:
    """The node and outlet a route starts from."""
    report = session.report
    what, port = found.what, found.port
    if isinstance(what, Body):
        node = _section_port(found, what.ports_out, "out", session)
        return (node, "") if node else None
    inward = what.kind == "port" and _is_out_port(what)
    if what.kind == "product":
        return report(E0506.from_product(what.tag), found.span)
    if inward:
        return report(E0506.from_out_port(found.path.dotted), found.span)
    if port in what.outlets:
        return what, port
    if not port and len(what.outlets) == 1:
        return what, what.outlets[0]
    if port == "over" and len(what.outlets) == 2 and "under" in what.outlets:
        return what, what.outlets[0]  # a screen of one deck
    if not what.outlets or (_is_decked(what) and "deck" in session.lost_names):
        return None  # a screen whose decks were wrong: reported there
    if port:
        report(E0501.no_outlet(f"{what.word} `{what.tag}`", port, what.outlets), found.span)
    else:
        report(
            E0501.which_outlet(f"{what.word} `{what.tag}`", map(what.outlet_name, what.outlets)),
            found.span,
        )
    return None


def _is_decked(node: Node) -> bool:
    return node.machine is not None and KINDS[node.machine.kind].decked


def _inlet(found: _Found, session: Session) -> Node | None:
    """The node a route runs into."""
    report = session.report
    what, port = found.what, found.port
    if isinstance(what, Body):
        return _section_port(found, what.ports_in, "in", session)
    if what.kind == "feed":
        return report(E0506.into_feed(what.tag), found.span)
    if what.kind == "port" and not _is_out_port(what):
        return report(E0506.into_in_port(found.path.dotted), found.span)
    if port and port != "feed":
        # `a -> sizing.under -> b` reads as through the screen; the outlet belongs on the left only.
        return report(E0501.into_outlet(found.path.dotted, what.tag), found.span)
    return what


def _section_port(
    found: _Found, ports: dict[str, Node], direction: str, session: Session
) -> Node | None:
    name = found.path.parts[0].text
    if found.port in ports:
        return ports[found.port]
    if not found.port and len(ports) == 1:
        return next(iter(ports.values()))
    if found.port:
        fault = E0501.no_port(name, direction, found.port, ports)
    elif ports:
        fault = E0501.which_port(name, direction, (f"{name}.{port}" for port in ports))
    else:
        fault = E0501.no_ports(name, direction)
    return session.report(fault, found.span)


def _is_out_port(node: Node) -> bool:
    return node.word == "out port"
