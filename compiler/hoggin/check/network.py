"""The plant as a flat network of nodes and links, while it is being gathered from its text."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Literal

from hoggin.check.scope import Scope
from hoggin.diagnostics.source import Span
from hoggin.graph import reached
from hoggin.schema.plant import Feed, Machine, Product
from hoggin.syntax import tree

NodeKind = Literal["feed", "machine", "product", "port"]
MOST_NODES = 10_000


@dataclass(eq=False)
class Node:
    """A feed, machine, product, or a port of a template instance. `span` is its name, `section`
    the name of the instance that a port belongs to."""

    tag: str
    kind: NodeKind
    word: str  # "crusher", "screen", "feed", "port" ... for messages
    span: Span
    outlets: tuple[str, ...]
    has_inlet: bool
    machine: Machine | None = None
    feed: Feed | None = None
    product: Product | None = None
    section: Span | None = None
    parts: dict[str, tree.Ident] = field(default_factory=dict)  # decks and outlets by name

    @property
    def place(self) -> Span:
        """Where to mend a missing route: a port's section, else the thing itself."""
        return self.section or self.span

    def outlet_name(self, outlet: str) -> str:
        return self.tag if outlet in ("", "product") else f"{self.tag}.{outlet}"


@dataclass(frozen=True, eq=False)
class Link:
    """A route's one step: from a node's outlet to another node."""

    source: Node
    outlet: str
    target: Node
    span: Span


@dataclass(eq=False)
class Body:
    """One level of the plant: the plant itself or a template instance, with its local names."""

    prefix: str  # "" or "line_a."
    names: dict[str, Node | Body] = field(default_factory=dict)
    idents: dict[str, tree.Ident] = field(default_factory=dict)  # that declare the names
    ports_in: dict[str, Node] = field(default_factory=dict)
    ports_out: dict[str, Node] = field(default_factory=dict)
    word = "section"

    @property
    def ports(self) -> dict[str, tree.Ident]:
        """The names of its ports."""
        return {name: self.idents[name] for name in (*self.ports_in, *self.ports_out)}


@dataclass(eq=False)
class Network:
    nodes: dict[str, Node] = field(default_factory=dict)  # by tag, as declared
    links: list[Link] = field(default_factory=list)
    requirements: list[tuple[tree.Requirement, Body, Scope]] = field(default_factory=list)
    damaged: bool = False  # lines were lost: don't blame it for what may have been in them
    overflowed: bool = False
    elongation_ratio: float = 5.0  # the plant's, of what it counts as flat and elongated

    def upstream(self, tags: Iterable[str]) -> set[str]:
        """The tags of everything whose rock can run into one of these, and these."""
        into: dict[str, list[str]] = defaultdict(list)
        for link in self.links:
            into[link.target.tag].append(link.source.tag)
        return reached(tags, into)

    def add(self, node: Node) -> Node:
        self.nodes[node.tag] = node
        return node
