"""Hover: what the thing at a place is, its range in both unit systems, the source of its figures,
and its results in the last balance."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from hoggin.check.gradings import band, series
from hoggin.check.scope import BandEntity, ClassEntity, SeriesEntity, Session
from hoggin.check.tables import TABLE_SAMPLES
from hoggin.check.values import Quantity, String, Value, Word
from hoggin.check.words import typed, words
from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Span
from hoggin.editor.faults import explained
from hoggin.editor.hints import STALE, requirement_words, sections_of, tags_of
from hoggin.editor.names import Symbol, flat
from hoggin.editor.snapshot import Snapshot, step_key
from hoggin.editor.telling import both, both_of, deck_line, shown, stream_lines, tag_lines
from hoggin.editor.valuing import value_of
from hoggin.editor.words import meaning, word_lines
from hoggin.models import catalog
from hoggin.schema.facts import Fact, facts_of, operation_of
from hoggin.schema.kinds import CLASS_KINDS
from hoggin.schema.units import describe, known, number_text, unit_named, units_of, written_unit
from hoggin.syntax import tree
from hoggin.syntax.cases import cases_of, hours_of, lines_of, plant_of
from hoggin.syntax.walk import nodes_at


@dataclass(frozen=True, slots=True)
class Hover:
    """Lines of Markdown for the text of a span."""

    span: Span
    lines: tuple[str, ...]


def hover(snapshot: Snapshot, offset: int) -> Hover | None:
    """None if nothing is known of the place."""
    found = _hover(snapshot, offset)
    codes = explained(snapshot, offset)
    if not codes:
        return found
    span = found.span if found is not None else Span(snapshot.source, offset, offset)
    return Hover(span, (*(found.lines if found is not None else ()), *codes))


def _hover(snapshot: Snapshot, offset: int) -> Hover | None:
    path = nodes_at(snapshot.file, offset)
    named = snapshot.names.at(snapshot.name, offset)
    if _is_other_option(path):
        snapshot = replace(snapshot, balanced=None)  # its results are of the one that applies
    step = _step(snapshot, path, offset)
    if step is not None:
        return step
    if named is not None:
        lines = _of_symbol(snapshot, named.symbol, path)
        return Hover(named.span, tuple(lines)) if lines else None
    word = word_lines(snapshot, offset)
    for node in reversed(path):
        lines = _of_node(snapshot, node, path, offset)
        if lines:
            return Hover(_head(node), (*word, *lines))
    return Hover(Span(snapshot.source, offset, offset), word) if word else None


def _is_other_option(path: list[tree.Node]) -> bool:
    """Whether a place is in an option of a `choose` that is not in the balance."""
    return any(
        isinstance(outer, tree.Choose)
        and isinstance(inner, tree.Option)
        and inner is not outer.standing
        for outer, inner in pairwise(path)
    )


def _head(node: tree.Node) -> Span:
    """The first line of a node's text."""
    span = node.span
    return Span(span.source, span.start, span.start + len(span.text.partition("\n")[0]))


def _balanced(snapshot: Snapshot, lines: list[str]) -> list[str]:
    if not lines:
        return []
    stale = [] if snapshot.is_fresh else [STALE]
    return ["", "Balanced (a prediction for design):", *(f"- {line}" for line in lines), *stale]


# --- nodes that are not names


def _step(snapshot: Snapshot, path: list[tree.Node], offset: int) -> Hover | None:
    """The stream of a route's arrow."""
    route = next((n for n in path if isinstance(n, tree.Route)), None)
    results, balanced = snapshot.results, snapshot.balanced
    if route is None or results is None or balanced is None:
        return None
    for start, end in pairwise(route.endpoints):
        if start.path.span.end < offset < end.span.start:
            span = start.path.span.to(end.path.span)
            names = balanced.streams.get(step_key(snapshot.name, span.text), ())
            found = [stream for stream in results.streams if stream.name in names]
            lines = [line for stream in found[:3] for line in stream_lines(stream)]
            return Hover(span, tuple(_balanced(snapshot, lines))) if lines else None
    return None


def _of_node(snapshot: Snapshot, node: tree.Node, path: list[tree.Node], offset: int) -> list[str]:
    match node:
        case tree.Measure(number=number, unit=name) if (found := written_unit(name)) is not None:
            told = both(number * found.size, found)
            names = (n for n in units_of(found.dimension, found.currency) if n != found.name)
            others = ", ".join(f"`{name}`" for name in names)
            return [
                f"**{told}**",
                describe(found.dimension) + (others and f"; other units: {others}"),
            ]
        case tree.Fact():
            return _of_fact(node, path, offset)
        case tree.ModelDefinition(role=role, name=name) if offset <= name.span.end:
            return _of_model(role.text, name.text)
        case tree.Requirement():
            told = requirement_words(snapshot, node)
            return [] if not told else _balanced(snapshot, [told])[1:]
    return []


def _of_fact(node: tree.Fact, path: list[tree.Node], offset: int) -> list[str]:
    if offset > node.name.span.end:
        return []
    model = next((n for n in path if isinstance(n, tree.ModelDefinition)), None)
    if model is not None:
        return _of_coefficient(model, node.name.text)
    declared = _declared(node.name.text, path)
    return [
        shown(node.span.text[:300]),
        *_in_both(node.value),
        *([meaning(declared)] if declared is not None else []),
        *_source(node),
    ]


def _in_both(node: tree.Expression | None) -> list[str]:
    """A measure in both unit systems; empty for any other expression."""
    unit = written_unit(node.unit) if isinstance(node, tree.Measure) else None
    if isinstance(node, tree.Measure) and unit is not None:
        return [both(node.number * unit.size, unit)]
    return []


def _source(node: tree.Fact | tree.Parameter) -> list[str]:
    return [] if node.source is None else [f"source: {shown(node.source.text)}"]


def _declared(name: str, path: list[tree.Node]) -> Fact | None:
    """A fact as it is declared for the innermost block around it."""
    block = ""  # the kind of thing that an `operation` stands in
    owners: tuple[str, ...] = ("file",)
    for around in path:
        match around:
            case tree.ClassDefinition(kind=kind):
                owners = (kind.text, "class")
            case tree.Declaration(kind=kind):
                block = kind.text
                owners = (block, "machine") if block in CLASS_KINDS else (block,)
            case tree.Definition(keyword=keyword):
                owners = (keyword.text,)
            case tree.Deck():
                owners = ("deck",)
            case tree.Case():
                owners = ("case",)
            case tree.PlantDefinition():
                block = "plant"
                owners = (block,)
            case tree.Operation():
                return operation_of(block).get(name)
            case tree.Project():
                owners = ("plant.project",)
    return next((found for one in owners if (found := facts_of(one).get(name))), None)


def _of_model(role: str, name: str) -> list[str]:
    model = catalog.find(role, name)
    if model is None:
        return []
    lines = [f"**{name}**, a {role} model: {model.meaning}", f"source: {model.source}"]
    lines += [f"- {_coefficient(one)}" for one in model.coefficients]
    if model.table:
        lines.append(f"- a table by setting, `{TABLE_SAMPLES[model.table]}`")
    return lines


def _of_coefficient(node: tree.ModelDefinition, name: str) -> list[str]:
    model = catalog.find(node.role.text, node.name.text)
    found = [one for one in model.coefficients if one.name == name] if model is not None else []
    return [_coefficient(one) for one in found]


def _coefficient(one: catalog.Coefficient) -> str:
    text = f"`{one.name}`: {one.meaning}; {one.low:g} to {one.high:g} {one.unit}".rstrip()
    return text if one.default is None else f"{text}; {one.default:g} by default"


# --- names


def _of_symbol(snapshot: Snapshot, symbol: Symbol, path: list[tree.Node]) -> list[str]:
    node = symbol.node
    match node:
        case tree.Parameter():
            return _of_parameter(snapshot, symbol, node, path)
        case tree.ClassDefinition():
            return _of_class(snapshot, symbol, node)
        case tree.TemplateDefinition(parameters=parameters):
            given = [f"- `{one.name.text}`: {shown(typed(one))}" for one in parameters]
            return [f"template **{symbol.name}**", *given]
        case tree.Use():
            return [f"library {shown(snapshot.names.used_file(node))}"]
        case tree.Deck():
            return _of_deck(snapshot, symbol, node)
        case tree.Case():
            return _of_case(snapshot, node)
        case tree.Let() | tree.Definition() | tree.Series():
            return _of_value(snapshot, symbol)
    return _of_thing(snapshot, symbol, node)


def _of_case(snapshot: Snapshot, node: tree.Case) -> list[str]:
    """What the plant is in a case: all that it states otherwise, and what is required in it."""
    plant = plant_of(snapshot.file.statements)
    cases = {} if plant is None else cases_of(plant)
    lines = [words(node)]
    lines += [f"- {shown(words(line))}" for line in lines_of(node, cases).values()]
    hours = hours_of(node)
    lines += [] if hours is None else [f"- {shown(words(hours))} of the year"]
    for one in flat(plant.body) if plant is not None else ():
        if isinstance(one, tree.Requirement) and node.name.text in [n.text for n in one.cases]:
            lines.append(f"- {shown(words(one))}")
    return lines


def _of_thing(snapshot: Snapshot, symbol: Symbol, node: tree.Node) -> list[str]:
    lines = [f"{symbol.kind} **{symbol.name}**"]
    if isinstance(node, tree.Declaration) and node.of is not None:
        lines[0] += f": `{node.of.dotted}`"
        kind = snapshot.names.type_of(node)
        if kind is not None and isinstance(kind.node, tree.ClassDefinition):
            lines += _texts(kind.node, "about")
    if isinstance(node, tree.Port) and node.share is not None:
        lines[0] += f" {shown(words(node.share))}"
    results = snapshot.results
    if results is not None:
        found: list[str] = []
        for tag in _tags(snapshot, symbol, symbol.name)[:3]:
            told = tag_lines(results, tag)
            found += [f"`{tag}`", *told] if told and "." in tag else told
        lines += _balanced(snapshot, found)
    return lines


def _tags(snapshot: Snapshot, symbol: Symbol, name: str) -> list[str]:
    """The tags of what has a name in the body in which a symbol is declared."""
    place = symbol.span.start
    for body in snapshot.names.files[symbol.file].statements:
        if body.span.start <= place < body.span.end:
            return sorted(tags_of(sections_of(snapshot), body, name))
    return []


def _of_class(snapshot: Snapshot, named: Symbol, node: tree.ClassDefinition) -> list[str]:
    lines = [f"{node.kind.text} class **{node.name.text}**", *_texts(node, "about")]
    if node.of is not None:
        lines[0] += f": `{node.of.dotted}`"
    entity = snapshot.names.entity(named)
    if isinstance(entity, ClassEntity):  # with what it inherits
        node = entity.node
    for symbol in snapshot.names.members(named).values():
        if isinstance(symbol.node, tree.Parameter):
            lines.append(f"- {symbol.kind} `{symbol.name}`: {shown(typed(symbol.node))}")
    lines += [f"source: {text}" for text in _texts(node, "source")]
    return lines + [f"Caution: {text}" for text in _texts(node, "caution")]


def _texts(node: tree.ClassDefinition, name: str) -> list[str]:
    facts = (s for s in node.body if isinstance(s, tree.Fact) and s.name.text == name)
    return [shown(s.value.text) for s in facts if isinstance(s.value, tree.Text)]


def _of_parameter(
    snapshot: Snapshot, symbol: Symbol, node: tree.Parameter, path: list[tree.Node]
) -> list[str]:
    lines = [f"{symbol.kind} **{symbol.name}** of `{symbol.owner}`: {shown(typed(node))}"]
    match [told for limit in node.limits for told in _in_both(limit)]:
        case [low, high]:
            lines.append(f"valid range: {low} to {high}")
    lines += _source(node)
    machine = next((n for n in path if isinstance(n, tree.Declaration)), None)
    if machine is None:
        return lines
    body = next((n for n in path if isinstance(n, tree.Statement)), None)
    tags = sorted(tags_of(sections_of(snapshot), body, machine.name.text))
    results = snapshot.results
    found = [line for tag in tags[:3] for line in tag_lines(results, tag)] if results else []
    return lines + _given(snapshot, tags, symbol.name) + _balanced(snapshot, found)


def _given(snapshot: Snapshot, tags: list[str], name: str) -> list[str]:
    """The value that a machine has for a setting, in both unit systems."""
    plant = snapshot.plant
    machines = [m for m in (plant.machines if plant else ()) if m.tag in tags]
    told = dict.fromkeys(
        s.text
        if s.value is None or (unit := unit_named(s.unit)) is None
        else both(s.value * unit.size, unit)
        for machine in machines
        for s in machine.settings
        if s.name == name
    )
    return [f"value: {text}" for text in list(told)[:3]]


def _of_deck(snapshot: Snapshot, symbol: Symbol, node: tree.Deck) -> list[str]:
    lines = [f"deck **{symbol.name}** of `{symbol.owner}`: {words(node.aperture)}"]
    lines += _in_both(node.aperture)
    tags = _tags(snapshot, symbol, symbol.owner)
    found = [
        deck_line(deck)
        for machine in (snapshot.results.machines if snapshot.results else ())
        if machine.tag in tags
        for deck in machine.decks
        if deck.name == symbol.name
    ]
    return lines + _balanced(snapshot, found[:3])


# --- values, as the checker finds them


def _of_value(snapshot: Snapshot, symbol: Symbol) -> list[str]:
    node = symbol.node
    lines = [f"{symbol.kind} **{symbol.name}**"]
    match node:
        case tree.Let(value=value):
            lines[0] += f" = {shown(words(value))}"
            lines += [f"= {text}" for text in _told(value_of(snapshot.names, symbol))]
        case tree.Series():
            lines += [", ".join(words(one) for one in node.entries[:60])]
        case tree.Definition(body=body):
            for fact in body or ():
                if isinstance(fact, tree.Fact):
                    lines += list(_fact_lines(fact))
    entity = snapshot.names.entity(symbol)
    session = Session(Diagnostics())
    if isinstance(entity, SeriesEntity):
        sizes = series(entity, session) or ()
        lines.append("in mm: " + ", ".join(number_text(size) for size in sizes))
    if isinstance(entity, BandEntity):
        limits = band(entity, symbol.name, entity.scope, session)
        for point in limits.points if limits is not None else ():
            lines.append(
                f"- {both(point.size_mm / 1000, known('mm'))}: "
                f"{100 * point.low:g} % to {100 * point.high:g} % passing"
            )
    return lines


def _fact_lines(fact: tree.Fact) -> Iterator[str]:
    name = fact.name.text
    if isinstance(fact.value, tree.Text):
        text = shown(fact.value.text)
        yield text if name == "about" else f"{name}: {text}"
    elif fact.value is not None:
        text = "".join(_in_both(fact.value)) or shown(words(fact.value))
        yield f"- {name} {text}"


def _told(value: Value) -> list[str]:
    match value:
        case Quantity() if value.known:
            return [both_of(float(value.si), value.dimension, value.written_in)]
        case Word(text=text) | String(text=text):
            return [shown(text)]
    return []
