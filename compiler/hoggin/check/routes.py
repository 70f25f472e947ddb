"""Routes: which outlet feeds which machine. Ports are found by name, with the trade's defaults."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from hoggin.check.network import Body, Link, Network, Node
from hoggin.check.scope import Session
from hoggin.diagnostics.diagnostic import did_you_mean
from hoggin.diagnostics.source import Span
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
        network.damaged = True  # what hangs on it is not to blame
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
            session.diagnostics.report(
                "E0201",
                head.span,
                f"no machine, feed or product is named `{head.text}`",
                did_you_mean(head.text, body.names),
            )
        return None
    if endpoint.new_product and not (isinstance(what, Node) and what.kind == "product"):
        session.diagnostics.report(
            "E0401",
            endpoint.span,
            f"`{head.text}` is a {what.word}, no product",
            f"write `-> {head.text}`, or give the product another name",
        )
        return None
    return _Found(what, ".".join(part.text for part in rest), endpoint.path)


def _outlet(found: _Found, session: Session) -> tuple[Node, str] | None:
    """The node and outlet a route starts from."""
    report = session.diagnostics.report
    what, port = found.what, found.port
    if isinstance(what, Body):
        node = _section_port(found, what.ports_out, "out", session)
        return (node, "") if node else None
    inward = what.kind == "port" and _is_out_port(what)
    if what.kind == "product":
        report(
            "E0506",
            found.span,
            f"nothing leaves product `{what.tag}`: the plant ends there",
            "to use it again, put a splitter or stockpile before it",
        )
        return None
    if inward:
        report(
            "E0506",
            found.span,
            f"`{found.path.dotted}` leads out of the template",
            "inside the template, routes run into an `out` port",
        )
        return None
    if port in what.outlets:
        return what, port
    if not port and len(what.outlets) == 1:
        return what, what.outlets[0]
    if port == "over" and len(what.outlets) == 2 and "under" in what.outlets:
        return what, what.outlets[0]  # a screen of one deck
    if not what.outlets or (what.word == "screen" and "deck" in session.lost_names):
        return None  # a screen whose decks were wrong: reported there
    if port:
        report(
            "E0501",
            found.span,
            f"{what.word} `{what.tag}` has no outlet `{port}`",
            did_you_mean(port, what.outlets),
        )
    else:
        report(
            "E0501",
            found.span,
            f"{what.word} `{what.tag}` has more than one outlet",
            "name one: " + ", ".join(f"`{what.outlet_name(o)}`" for o in what.outlets),
        )
    return None


def _inlet(found: _Found, session: Session) -> Node | None:
    """The node a route runs into."""
    report = session.diagnostics.report
    what, port = found.what, found.port
    if isinstance(what, Body):
        return _section_port(found, what.ports_in, "in", session)
    if what.kind == "feed":
        report("E0506", found.span, f"nothing runs into feed `{what.tag}`: material enters there")
        return None
    if what.kind == "port" and not _is_out_port(what):
        report(
            "E0506",
            found.span,
            f"`{found.path.dotted}` leads into the template",
            "inside the template, routes run out of an `in` port",
        )
        return None
    if port and port != "feed":
        # `a -> sizing.under -> b` reads as through the screen; the outlet belongs on the left only.
        report(
            "E0501",
            found.span,
            f"`{found.path.dotted}` is an outlet, routes run into `{what.tag}`",
            f"write `-> {what.tag}` here and start a new line with `{found.path.dotted} -> ...`",
        )
        return None
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
        message = f"section `{name}` has no `{direction}` port `{found.port}`"
        hint = did_you_mean(found.port, ports)
    elif ports:
        message = f"section `{name}` has more than one `{direction}` port"
        hint = "name one: " + ", ".join(f"`{name}.{port}`" for port in ports)
    else:
        message, hint = f"section `{name}` has no `{direction}` port", ""
    session.diagnostics.report("E0501", found.span, message, hint)
    return None


def _is_out_port(node: Node) -> bool:
    return node.word == "out port"
