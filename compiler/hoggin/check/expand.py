"""From the body of a plant or template to nodes and links; templates are instantiated in place."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from hoggin.check.evaluate import evaluate
from hoggin.check.gradings import stated_grading
from hoggin.check.listing import Listing, Said
from hoggin.check.loader import misplaced
from hoggin.check.machines import machine, place
from hoggin.check.network import MOST_NODES, Body, Network, Node
from hoggin.check.operation import belongs_in_operation, loading_hours
from hoggin.check.parameters import bind, bind_unknown, given_arguments
from hoggin.check.routes import connect
from hoggin.check.scope import (
    LetEntity,
    MaterialEntity,
    Scope,
    Session,
    TemplateEntity,
    declare,
    mention,
    once,
    resolve,
)
from hoggin.check.shape import stated_share
from hoggin.check.stated import number
from hoggin.check.values import Quantity
from hoggin.diagnostics.families.classes import E0401, E0402, E0403
from hoggin.diagnostics.families.names import E0202, E0207
from hoggin.diagnostics.families.templates import E0701, E0703
from hoggin.diagnostics.source import Span
from hoggin.schema.facts import facts_of, listed_of
from hoggin.schema.kinds import KINDS
from hoggin.schema.measures import MEASURES
from hoggin.schema.plant import Feed, Product
from hoggin.syntax import tree

_FEED, _PRODUCT = facts_of("feed"), facts_of("product")
_OF_LOADS = ("moisture", "clay")  # what a feed brings beside its rock
_NUMBERS = {n for n, fact in _FEED.items() if fact.dimension is not None and not fact.share}


@dataclass
class Expander:
    """Gathers one plant. `materials` are those its feeds name, by the feed's tag."""

    session: Session
    network: Network = field(default_factory=Network)
    materials: dict[str, MaterialEntity] = field(default_factory=dict)
    open_templates: list[TemplateEntity] = field(default_factory=list)
    listing: Listing = field(init=False)
    sections: int = 0  # instantiated so far; they count as machines, or empty ones never end

    def __post_init__(self) -> None:
        self.listing = Listing(self.session)

    def body(
        self, statements: tuple[tree.Statement, ...], prefix: str, scope: Scope, where: str
    ) -> Body:
        """Expand a body: names first, then what they are, then the routes; so order is free."""
        body = Body(prefix)
        for statement in statements:
            if isinstance(statement, tree.Let):
                declare(scope, statement.name, LetEntity(statement, scope), self.session)
        for statement in statements:
            self._declaration(statement, body, scope, where)
        for statement in statements:
            if isinstance(statement, tree.Route):
                self._inline_products(statement, body)
        for statement in statements:
            if isinstance(statement, tree.Route):
                connect(statement, body, self.network, self.session)
        return body

    def check_template(self, entity: TemplateEntity) -> list[Node]:
        """Expand a template on its own, with its parameters unknown. Returns its ports."""
        scope = Scope(entity.scope)
        bind_unknown(entity.node.parameters, scope, self.session)
        self.open_templates.append(entity)
        body = self.body(entity.node.body, "", scope, "in a template")
        self.open_templates.pop()
        return [*body.ports_in.values(), *body.ports_out.values()]

    def _declaration(self, statement: tree.Statement, body: Body, scope: Scope, where: str) -> None:
        match statement:
            case tree.Let():
                evaluate(tree.Path(statement.name.span, (statement.name,)), scope, self.session)
            case tree.Route():
                pass
            case tree.Requirement():
                self.network.requirements.append((statement, body, scope))
            case tree.Declaration():
                self._declare(statement, body, scope)
            case tree.Port() if where == "in a template":
                self._port(statement, body)
            case tree.Fact() | tree.Aim() | tree.Operation() | tree.Project() if (
                where == "in a plant"
            ):
                pass  # the plant's own facts are read by the checker
            case _:
                misplaced(statement, where, self.session)

    def _claim(self, name: tree.Ident, what: Node | Body, body: Body) -> bool:
        first = body.idents.get(name.text)
        if first is not None:
            self.session.report(E0202.declared(name.text), name.span, first.span)
            return False
        body.names[name.text] = what
        body.idents[name.text] = name
        return True

    def _declare(self, node: tree.Declaration, body: Body, scope: Scope) -> None:
        if len(self.network.nodes) + self.sections >= MOST_NODES:
            self._overflow(node)
            return
        tag, kind = body.prefix + node.name.text, node.kind.text
        if kind == "section":
            self._section(node, tag, body, scope)
        elif kind == "feed":
            self._feed(node, tag, body, scope)
        elif kind == "product":
            self._product(node, tag, body, scope)
        elif kind in KINDS:
            said = self.listing.of(node, tag, scope)
            with self.session.traces.of(tag):
                made = machine(node, tag, scope, self.session).model_copy(update=said)
            entry = Node(tag, "machine", kind, node.name.span, made.outlets, True, machine=made)
            named = (part.name for part in node.body if isinstance(part, tree.Deck | tree.Port))
            entry.parts = {name.text: name for name in named}
            if self._claim(node.name, entry, body):
                self.network.add(entry)

    def _overflow(self, node: tree.Declaration) -> None:
        if not self.network.overflowed:
            self.session.report(E0703.machines(MOST_NODES), node.span)
        self.network.overflowed = self.session.overflowed = True
        self.session.lost_names.add(node.name.text)

    def _port(self, node: tree.Port, body: Body) -> None:
        if node.share is not None:
            self.session.report(E0207.share_of_port(), node.share.span)
        tag = body.prefix + node.name.text
        entry = Node(tag, "port", f"{node.direction} port", node.name.span, ("",), True)
        if self._claim(node.name, entry, body):
            ports = body.ports_in if node.direction == "in" else body.ports_out
            ports[node.name.text] = self.network.add(entry)

    def _inline_products(self, route: tree.Route, body: Body) -> None:
        """`-> product chips` declares the product, unless a block has done so."""
        for endpoint in route.endpoints:
            name = endpoint.path.parts[0]
            if endpoint.new_product and name.text not in body.names:
                self._add_product(name, body.prefix + name.text, {}, body)

    def _product(self, node: tree.Declaration, tag: str, body: Body, scope: Scope) -> None:
        for statement in node.body:
            if not isinstance(statement, tree.Fact | tree.Note):
                misplaced(statement, "in a product", self.session)
            elif isinstance(statement, tree.Fact) and statement.name.text not in _PRODUCT:
                self.session.report(
                    E0403.unknown("a product", statement.name.text, _PRODUCT), statement.name.span
                )
        self._add_product(node.name, tag, self.listing.of(node, tag, scope), body)

    def _add_product(self, name: tree.Ident, tag: str, said: Said, body: Body) -> None:
        titled = {"title": name.text, **said}
        product = Product(tag=tag, place=place(name.span), **titled)
        entry = Node(tag, "product", "product", name.span, (), True, product=product)
        if self._claim(name, entry, body):
            self.network.add(entry)

    def _section(self, node: tree.Declaration, tag: str, body: Body, scope: Scope) -> None:
        report = self.session.report
        if node.of is None:
            report(E0401.template_missing(node.name.text), node.name.span)
            return
        entity = resolve(node.of, scope, self.session)
        if not isinstance(entity, TemplateEntity):
            self.session.lost_names.add(node.name.text)
            for argument in node.arguments:
                mention(argument.value, scope, self.session)
            if entity is not None:
                report(E0401.not_a_template(node.of.dotted), node.of.span)
            return
        if entity in self.open_templates:
            ring = self.open_templates[self.open_templates.index(entity) :]
            report(E0701.circle(t.node.name.text for t in [*ring, entity]), node.span)
            self.session.lost_names.add(node.name.text)
            return
        self.sections += 1
        inner = Scope(entity.scope)
        given = given_arguments(node.arguments, self.session)
        bind(entity.node.parameters, given, inner, scope, node.name.span, "parameter", self.session)
        self.open_templates.append(entity)
        stated = self.listing.within(node, tag, scope)
        section = self.body(entity.node.body, tag + ".", inner, "in a template")
        self.listing.check(stated, section, self.network)
        self.open_templates.pop()
        for port in (*section.ports_in.values(), *section.ports_out.values()):
            port.section = node.name.span
        self._claim(node.name, section, body)

    def _feed(self, node: tree.Declaration, tag: str, body: Body, scope: Scope) -> None:
        with self.session.traces.of(tag):
            feed = self._read_feed(node, tag, scope)
        if node.of is not None:
            self.session.report(E0401.has_no_class("feed", node.of.dotted), node.of.span)
        entry = Node(tag, "feed", "feed", node.name.span, ("",), False, feed=feed)
        if self._claim(node.name, entry, body):
            self.network.add(entry)

    def _read_feed(self, node: tree.Declaration, tag: str, scope: Scope) -> Feed | None:
        report = self.session.report
        material: MaterialEntity | None = None
        numbers: dict[str, Quantity | None] = {}
        shapes: dict[str, tuple[tuple[float, float], ...]] = {}
        points: tuple[tuple[float, float], ...] | None = None
        seen: dict[str, Span] = {}
        loading = loading_hours(node.body, scope, self.session)
        said = self.listing.of(node, tag, scope)
        for statement in filter(_says_what_enters, node.body):
            match statement:
                case tree.Fact(name=tree.Ident(text="rock") as name, value=tree.Path() as path):
                    once(seen, name, self.session)
                    material = self._material(path, scope)
                    if material is not None:
                        self.materials[tag] = material
                case tree.Fact(name=tree.Ident(text="passing") as name):
                    once(seen, name, self.session)
                    points = stated_grading(statement, scope, self.session)
                case tree.Fact(name=name, value=value):
                    once(seen, name, self.session)
                    if name.text in (*_NUMBERS, *_OF_LOADS) and value is not None:
                        numbers[name.text] = number(
                            _FEED[name.text], value, scope, self.session, unknown=True
                        )
                    elif (measure := MEASURES.get(name.text)) is not None:
                        shapes[name.text] = stated_share(statement, measure, scope, self.session)
                    elif not belongs_in_operation(statement, "feed", self.session):
                        report(E0403.unknown("a feed", name.text, _FEED), name.span)
                case _:
                    misplaced(statement, "in a feed", self.session)
        self._ask_for_missing(node, seen)
        rate = numbers.pop("rate", None)
        if material is None or rate is None or points is None:
            return None
        self._keep_traces(tag, rate, points)
        return Feed(
            tag=tag,
            material=material.node.name.text,
            rate_t_h=rate.in_trade_unit(),
            grading=points,
            **self._loads(tag, numbers),
            **said,
            place=place(node.name.span),
            flakiness=shapes.get("flakiness"),
            flat_elongated=shapes.get("flat_elongated"),
            loading_h=loading,
            **{
                _FEED[name].field: one.in_trade_unit() if one is not None and one.known else None
                for name, one in numbers.items()
                if name in _NUMBERS
            },
        )

    def _loads(self, tag: str, numbers: Mapping[str, Quantity | None]) -> dict[str, float]:
        """What a feed states that it brings beside its rock."""
        stated = {name: one for name in _OF_LOADS if (one := numbers.get(name)) and one.known}
        found: dict[str, float] = {}
        for name, one in stated.items():
            found[name] = one.in_trade_unit()
            self.session.traces.keep(("feeds", tag, name), found[name])
            self.session.traces.name(one, f"{tag}.{name}")
        return found

    def _keep_traces(
        self, tag: str, rate: Quantity, points: tuple[tuple[float, float], ...]
    ) -> None:
        """Note the formulas of a feed's numbers, where any depend on free ones."""
        traces = self.session.traces
        traces.keep(("feeds", tag, "rate_t_h"), rate.in_trade_unit())
        traces.name(rate, f"{tag}.rate")
        traces.keep(("feeds", tag, "grading"), points)
        for size, passing in points:
            traces.name(passing, f"{tag}.passing({size:g} mm)")

    def _ask_for_missing(self, node: tree.Declaration, seen: Mapping[str, Span]) -> None:
        for name, fact in _FEED.items() if not self.network.damaged else ():
            if fact.needed and name not in seen:
                self.session.report(
                    E0402.fact_of_feed(node.name.text, name, f"{name} {fact.sample}"),
                    node.name.span,
                )

    def _material(self, path: tree.Path, scope: Scope) -> MaterialEntity | None:
        entity = resolve(path, scope, self.session)
        if entity is None or isinstance(entity, MaterialEntity):
            return entity
        return self.session.report(E0401.not_a_material(path.dotted), path.span)


def _says_what_enters(statement: tree.Statement) -> bool:
    """Whether a line of a feed is about its rock, and not about how it is run or listed."""
    if isinstance(statement, tree.Fact):
        return statement.name.text not in listed_of("feed")
    return not isinstance(statement, tree.Operation | tree.Note)
