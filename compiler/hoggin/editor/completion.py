"""Completion: proposals for a place that the checker accepts there."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from types import UnionType

from hoggin.check.machines import SHAPES
from hoggin.check.scope import ClassEntity
from hoggin.check.tables import TABLE_SAMPLES
from hoggin.editor.asking import Asking, Item, keywords
from hoggin.editor.case_lines import begun_from, case_lines
from hoggin.editor.cursor import Cursor, Words, cursor_at
from hoggin.editor.names import Symbol
from hoggin.editor.proposing import (
    class_calls,
    coefficient,
    facts,
    models,
    parameter_item,
    settings,
)
from hoggin.editor.reaching import outlets_after_dot, results, sizes, sources, targets
from hoggin.editor.reading import Reader
from hoggin.editor.snapshot import Snapshot
from hoggin.editor.values_at import expected, lets, units, values
from hoggin.editor.words import BODY, CLASS, IN_MACHINES, PLANT_ONLY, TOP
from hoggin.models import catalog
from hoggin.schema.facts import Fact, facts_of, listed_of, operation_of
from hoggin.schema.kinds import CLASS_KINDS, DECK_ORDER, KINDS, models_of
from hoggin.syntax import tree
from hoggin.world import installed_libraries

_BODY_HEADS = ("PLANT", "TEMPLATE", "OPTION")


def completions(snapshot: Snapshot, offset: int, reader: Reader | None = None) -> tuple[Item, ...]:
    """Proposals for the word at an offset, the best match first."""
    cursor = cursor_at(snapshot.source, offset)
    if cursor is None:
        return ()
    asking = Asking(snapshot, cursor, reader or Reader())
    unique = {item.label: item for item in reversed(list(_all(asking)))}
    return tuple(reversed(unique.values()))


def _all(asking: Asking) -> Iterator[Item]:
    line = asking.cursor.line
    if line and line[-1].kind == "NUMBER":
        yield from units(asking)
    elif asking.cursor.bracket is not None:
        yield from _in_brackets(asking)
    elif not line:
        yield from _first_words(asking)
    else:
        yield from _later_words(asking)


# --- the first word of a statement


def _first_words(asking: Asking) -> Iterator[Item]:
    cursor = asking.cursor
    head = cursor.head
    kind = head[0].kind if head else ""
    if not cursor.blocks:
        yield from _at_the_top(asking)
    elif kind in _BODY_HEADS:
        yield from _in_body(asking, kind)
    elif kind == "CLASS" and len(head) > 1:
        yield from keywords(CLASS)
        yield from _of_class(cursor, head[1].text)
    elif kind in ("KIND", "PRODUCT", "DEFINITION"):
        yield from _in_declaration(asking, head)
    elif kind == "NAME" and len(head) > 1 and head[-2].kind == "BY":
        yield from _words_of(asking.scope.value(head[-1].text))
    else:
        yield from _in_detail(asking, kind)


def _in_detail(asking: Asking, kind: str) -> Iterator[Item]:
    """In a block that has one kind of lines."""
    cursor = asking.cursor
    match kind:
        case "CASE":
            yield from case_lines(asking)
        case "CHOOSE":
            yield from keywords(("option",))
        case "MODEL":
            yield from _coefficients(cursor)
        case "DECK":
            yield from facts(cursor, facts_of("deck").values())
        case "PROJECT":
            yield from facts(cursor, facts_of("plant.project").values())
        case "OPERATION":
            yield from _that_say_something(cursor, operation_of(cursor.around))


def _at_the_top(asking: Asking) -> Iterator[Item]:
    statements = asking.snapshot.file.statements
    has_plant = any(isinstance(s, tree.PlantDefinition) for s in statements)
    yield from keywords(w for w in TOP if w != "plant" or not has_plant)
    yield from facts(asking.cursor, facts_of("file").values())


def _in_body(asking: Asking, kind: str) -> Iterator[Item]:
    yield from keywords(BODY)
    if kind == "TEMPLATE":
        yield from keywords(("in", "out"))
    if kind == "PLANT":
        yield from keywords(PLANT_ONLY)
        yield from facts(asking.cursor, facts_of("plant").values())
    yield from sources(asking)


def _in_declaration(asking: Asking, head: Words) -> Iterator[Item]:
    kind = head[0].text
    cursor = asking.cursor
    if kind == "feed":
        yield from _feed(asking)
    elif kind == "splitter":
        yield from keywords(("out",))
        yield from _of_splitter(cursor)
        yield from facts(cursor, listed_of(kind).values())
    elif kind in CLASS_KINDS:
        if KINDS[kind].decked:
            yield from keywords(("deck",))
        symbol = asking.class_of(head)
        if symbol is not None:
            yield from settings(asking, symbol)
            yield from _roles(asking, symbol, kind)
        yield from facts(cursor, facts_of("machine").values())
    else:
        yield from facts(cursor, facts_of(kind).values())
    if kind in KINDS:
        yield from keywords(IN_MACHINES)
    elif kind in ("feed", "product"):
        yield from keywords(IN_MACHINES if operation_of(kind) else ("note",))


def _of_class(cursor: Cursor, kind: str) -> Iterator[Item]:
    known = (*facts_of("class").values(), *facts_of(kind).values())
    return facts(cursor, known, repeat=("caution", "source"))


def _that_say_something(cursor: Cursor, named: Mapping[str, Fact]) -> Iterator[Item]:
    """Facts that say something by themselves; others are part of the sample of the one that they
    belong to."""
    known = named.values()
    parts = {word for one in known for word in one.sample.partition("; ")[2].split()}
    yield from facts(cursor, (one for one in known if one.name not in parts))


def _of_splitter(cursor: Cursor) -> Iterator[Item]:
    """Its position where its outlets take nothing yet."""
    outlets = [words for words in cursor.done if words[0].text == "out"]
    if "position" in cursor.stated or any(len(words) > 2 for words in outlets) or not outlets:
        return
    position = replace(facts_of("splitter")["position"], sample=outlets[0][1].text)
    yield from facts(cursor, (position,))


# Facts of a feed that name a thing of the file, and what kind of thing.
_NAMED = {"rock": "material", "passing": "grading"}


def _feed(asking: Asking) -> Iterator[Item]:
    for item in facts(asking.cursor, facts_of("feed").values()):
        named = asking.of_kind(_NAMED.get(item.label, ""))
        by_name = [Item(f"{item.label} {i.label}", "property", i.detail) for i in named]
        if item.label != "rock" or not by_name:
            yield item
        yield from by_name


def _roles(asking: Asking, symbol: Symbol, kind: str) -> Iterator[Item]:
    """Where a class has more than one model for a role, the machine may pick."""
    entity = asking.snapshot.names.entity(symbol)
    body = entity.node.body if isinstance(entity, ClassEntity) else ()
    defined = [s for s in body if isinstance(s, tree.ModelDefinition)]
    picked = {
        words[1].text for words in asking.cursor.done if words[0].kind == "MODEL" and len(words) > 1
    }
    for role in models_of(kind):
        names = dict.fromkeys(one.name.text for one in defined if one.role.text == role)
        if len(names) > 1 and role not in picked:
            for name in names:
                yield Item(f"model {role}: {name}", "enumMember", f"model for {role}")


def _coefficients(cursor: Cursor) -> Iterator[Item]:
    head = cursor.head
    if len(head) < 4:
        return
    model = catalog.find(head[1].text, head[3].text)
    for place, one in enumerate(model.coefficients if model is not None else ()):
        if one.name not in cursor.stated:
            yield coefficient(one, place)
    if model is not None and model.table and model.table not in cursor.stated:
        sample = TABLE_SAMPLES[model.table]
        yield Item(model.table, "property", "a table by setting", insert=sample)


# --- what follows in a statement


def _later_words(asking: Asking) -> Iterator[Item]:
    cursor = asking.cursor
    line, first = cursor.line, cursor.line[0]
    if any(token.kind == "ARROW" for token in line):
        yield from targets(asking)
    elif first.kind in _BY_FIRST_WORD:
        yield from _BY_FIRST_WORD[first.kind](asking)
    elif line[-1].kind == "BY":
        yield from _parameters(asking, tree.ChoiceType)
    elif first.kind == "LET":
        yield from values(asking)
    elif first.kind == "NAME":
        yield from _after_name(asking)


def _after_name(asking: Asking) -> Iterator[Item]:
    """What is given to a fact or setting, or what leaves a machine."""
    cursor = asking.cursor
    if cursor.path is not None and _within(cursor, "CASE"):
        yield from case_lines(asking)
    elif cursor.line[0].text == "sieves" and _within(cursor, "PLANT"):
        yield from asking.of_kind("series")
    elif cursor.line[0].text in _NAMED and _within(cursor, "feed"):
        yield from asking.of_kind(_NAMED[cursor.line[0].text])
    elif cursor.line[0].text == "position" and _within(cursor, "splitter"):
        outlets = (words[1].text for words in cursor.done if words[0].text == "out")
        yield from (Item(one, "enumMember", "outlet") for one in outlets)
    elif cursor.path is not None and cursor.head and cursor.head[0].kind in _BODY_HEADS:
        yield from outlets_after_dot(asking)
    else:
        yield from values(asking)


def _after_class(asking: Asking) -> Iterator[Item]:
    """Kinds of classes, or behind a colon the classes that one may extend."""
    line, words = asking.cursor.line, asking.cursor.words_before_path
    if len(line) == 1:
        yield from keywords(CLASS_KINDS)
    elif words and words[-1].kind == "COLON":
        yield from _named_classes(asking, line[1].text)


def _named_classes(asking: Asking, kind: str) -> Iterator[Item]:
    """Classes of a kind by name, without what a machine would give them."""
    for item in class_calls(asking, kind):
        yield replace(item, insert=item.label, hole="")


def _within(cursor: Cursor, word: str) -> bool:
    return bool(cursor.head) and word in (cursor.head[0].text, cursor.head[0].kind)


def _libraries(asking: Asking) -> Iterator[Item]:
    path = asking.cursor.path
    if path is None and len(asking.cursor.line) > 1:
        return
    before = "".join(f"{part}." for part in path or ())
    for name in installed_libraries():
        if name.startswith(before):
            whose = "standard library" if name.startswith("std.") else "library of a plug-in"
            yield Item(name.removeprefix(before), "namespace", whose)


def _classes(asking: Asking) -> Iterator[Item]:
    line = asking.cursor.line
    if len(line) >= 3 and line[2].kind == "COLON" and len(asking.cursor.words_before_path) == 3:
        yield from class_calls(asking, line[0].text)


def _deck(asking: Asking) -> Iterator[Item]:
    line = asking.cursor.line
    if len(line) == 1:
        stated = {words[1].text for words in asking.cursor.done if len(words) > 1}
        for name in DECK_ORDER:
            if name not in stated:
                yield Item(name, "property", "deck")
    elif len(line) == 2:
        yield from lets(asking, expected(asking))
    elif line[-1].kind in ("MEASURE", "NAME", "RPAR"):
        yield from (Item(shape, "enumMember", "shape of opening") for shape in SHAPES)


def _share(asking: Asking) -> Iterator[Item]:
    if len(asking.cursor.line) == 2 and _within(asking.cursor, "splitter"):
        if not any(words[-1].text == "rest" for words in asking.cursor.done):
            yield Item("rest", "keyword", "the rest, after the other outlets")
        yield from lets(asking, expected(asking))


def _rule(asking: Asking) -> Iterator[Item]:
    line = asking.cursor.line
    if line[-1].kind == "COMPARISON" and len(line) > 1:
        yield from _words_of(asking.scope.value(line[-2].text))
    elif line[-1].kind in ("RULE", "AND", "OR"):
        yield from _parameters(asking, tree.UnitType | tree.ChoiceType)


def _words_of(symbol: Symbol | None) -> Iterator[Item]:
    match symbol:
        case Symbol(node=tree.Parameter(type=tree.ChoiceType(choices=choices)), name=name):
            yield from (Item(choice.text, "enumMember", name) for choice in choices)


def _parameters(asking: Asking, types: type | UnionType) -> Iterator[Item]:
    for symbol in asking.scope.visible().values():
        if isinstance(symbol.node, tree.Parameter) and isinstance(symbol.node.type, types):
            yield Item(symbol.name, "variable", symbol.kind)


# --- arguments


def _in_brackets(asking: Asking) -> Iterator[Item]:
    cursor = asking.cursor
    bracket = cursor.bracket
    line = cursor.line
    if line[0].kind in ("REQUIRE", "AIM"):
        yield from sizes(asking)
        return
    if bracket is None or line[0].kind != "KIND":
        if line[0].kind in ("NAME", "LET", "KIND"):
            yield from values(asking)
        return
    if line[-1].kind in ("LPAR", "COMMA"):
        symbol = asking.class_of(line[:bracket])
        given = {line[i - 1].text for i, token in enumerate(line) if token.kind == "COLON"}
        members = asking.snapshot.names.members(symbol) if symbol is not None else {}
        for one in members.values():
            if one.kind == "parameter" and one.name not in given:
                yield parameter_item(one, ": ")
    elif line[-1].kind == "COLON":
        symbol = asking.class_of(line[:bracket])
        members = asking.snapshot.names.members(symbol) if symbol is not None else {}
        match members.get(line[-2].text):
            case Symbol(node=tree.Parameter(type=tree.ClassType(kind=kind))):
                yield from _named_classes(asking, kind.text)
            case _:
                yield from values(asking)


_BY_FIRST_WORD: dict[str, Callable[[Asking], Iterator[Item]]] = {
    "USE": _libraries,
    "REQUIRE": results,
    "AIM": results,
    "KIND": _classes,
    "DECK": _deck,
    "MODEL": models,
    "CLASS": _after_class,
    "RULE": _rule,
    "DIRECTION": _share,
    "CASE": begun_from,
}
