"""One pass over a file for every name in it that stands for something."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from hoggin.check.facts import ALLOWED_MODELS
from hoggin.editor.names import Names, Occurrence, Scope, Table, flat, parts_of, scope_of
from hoggin.syntax import tree

_HOURS = ("shifts", "loading")  # lists whose keys are labels, and no names
SIZED = ("passing", "retained")  # results that take a size


def occurrences_in(names: Names, file: str) -> Iterator[Occurrence]:
    """In no order, and one more than once."""
    return _Walk(names, file).run()


class _Walk:
    """One pass over a file."""

    def __init__(self, names: Names, file: str) -> None:
        self._names = names
        self._file = names.files[file]
        self._top = names.top(file)

    def run(self) -> Iterator[Occurrence]:
        yield from _declared(self._top)
        for statement in self._file.statements:
            yield from self._of_file(statement)

    def _of_file(self, statement: tree.Statement) -> Iterator[Occurrence]:
        scope = scope_of(statement, self._top)
        match statement:
            case tree.PlantDefinition(body=body):
                yield from self._body(body, scope)
            case tree.TemplateDefinition(body=body, parameters=parameters):
                yield from self._parameters(parameters, scope)
                yield from self._body(body, scope)
            case tree.ClassDefinition():
                yield from self._class(statement, scope)
            case tree.Series(entries=entries):
                yield from self._entries(entries, scope)
            case tree.Definition(body=body):
                yield from self._facts(body or (), scope)
            case tree.Let(value=value):
                yield from self._expression(value, scope)

    def _class(self, node: tree.ClassDefinition, scope: Scope) -> Iterator[Occurrence]:
        yield from _declared(scope.values[0])
        settings = [s.parameter for s in node.body if isinstance(s, tree.SettingDefinition)]
        yield from self._parameters((*node.parameters, *settings), scope)
        for statement in node.body:
            match statement:
                case tree.Rule(condition=condition):
                    yield from self._condition(condition, scope)
                case tree.Let(value=value):
                    yield from self._expression(value, scope)
                case tree.ModelDefinition(body=body):
                    yield from self._facts(body, scope)
                case tree.Fact():
                    yield from self._facts((statement,), scope)

    def _parameters(
        self, parameters: Iterable[tree.Parameter], scope: Scope
    ) -> Iterator[Occurrence]:
        """Ranges and defaults see the parameters before them, and then the file's own names."""
        before: Table = {}
        outer = Scope((before, *scope.values[1:]))
        for one in parameters:
            for part in (one.low, one.high):
                if part is not None:
                    yield from self._expression(part, outer)
            if one.default is not None:
                yield from self._given(one.default, one.type, outer)
            before[one.name.text] = scope.values[0][one.name.text]

    def _body(self, body: Iterable[tree.Statement], scope: Scope) -> Iterator[Occurrence]:
        yield from _declared(scope.values[0])
        yield from _declared(scope.things)
        for statement in flat(body):
            match statement:
                case tree.Declaration():
                    yield from self._declaration(statement, scope)
                case tree.Route(endpoints=endpoints):
                    for endpoint in endpoints:
                        yield from self._endpoint(endpoint, scope)
                case tree.Requirement(condition=condition):
                    yield from self._condition(condition, scope, results=True)
                case tree.Aim(expression=expression):
                    yield from self._expression(expression, scope, results=True)
                case tree.Let(value=value):
                    yield from self._expression(value, scope)
                case tree.Fact():
                    yield from self._facts((statement,), scope)

    def _declaration(self, node: tree.Declaration, scope: Scope) -> Iterator[Occurrence]:
        members: Table = {}
        if node.of is not None:
            yield from self._path(node.of, scope)
            symbol = self._names.found_in(node.of, scope.values)
            members = self._names.members(symbol) if symbol is not None else {}
        for argument in node.arguments:
            yield from self._set(argument.name, argument.value, members, "parameter", scope)
        kind = node.kind.text
        roles = ALLOWED_MODELS.get(kind, ())
        yield from _declared(parts_of(node.body, node.name.text))
        for statement in node.body:
            match statement:
                case tree.Fact(name=name) if name.text in roles:
                    pass  # the name of a model
                case tree.Fact(name=name, value=value) if value is not None and members:
                    yield from self._set(name, value, members, "setting", scope)
                case tree.Fact() | tree.Definition():
                    yield from self._facts((statement,), scope)
                case tree.Deck(aperture=aperture, body=body):
                    yield from self._expression(aperture, scope)
                    yield from self._facts(body, scope)
                case tree.Port(share=share) if share is not None:
                    if not (isinstance(share, tree.Path) and share.dotted == "rest"):
                        yield from self._expression(share, scope)

    def _set(
        self, name: tree.Ident, value: tree.Expression, members: Table, kind: str, scope: Scope
    ) -> Iterator[Occurrence]:
        """A parameter or setting and the value it is given."""
        symbol = members.get(name.text)
        if symbol is None or symbol.kind != kind or not isinstance(symbol.node, tree.Parameter):
            yield from self._expression(value, scope)
            return
        yield Occurrence(name.span, symbol, declares=False)
        yield from self._given(value, symbol.node.type, scope)

    def _given(
        self, value: tree.Expression, kind: tree.UnitType | tree.ChoiceType, scope: Scope
    ) -> Iterator[Occurrence]:
        """A value for a parameter: the words of a choice are no names."""
        if isinstance(kind, tree.ChoiceType):
            words = [choice.text for choice in kind.choices]
            if isinstance(value, tree.Path) and value.dotted in words:
                return
            if isinstance(value, tree.Call) and value.function.dotted == "any":
                for argument in value.arguments:
                    yield from self._given(argument, kind, scope)
                return
        yield from self._expression(value, scope)

    def _endpoint(self, endpoint: tree.Endpoint, scope: Scope) -> Iterator[Occurrence]:
        head, *rest = endpoint.path.parts
        symbol = scope.things.get(head.text)
        if symbol is None:
            return
        yield Occurrence(head.span, symbol, declares=False)
        inner = self._names.members(symbol).get(rest[0].text) if rest else None
        if inner is not None and (symbol.kind != "section" or inner.kind.endswith(" port")):
            yield Occurrence(rest[0].span, inner, declares=False)

    def _result(self, path: tree.Path, scope: Scope) -> Iterator[Occurrence]:
        """`tertiary.cone.load`, `sizing.top.rate`: the thing that a result is of."""
        table = scope.things
        for part in path.parts:
            symbol = table.get(part.text)
            if symbol is None or symbol.kind == "outlet":
                return
            yield Occurrence(part.span, symbol, declares=False)
            table = self._names.members(symbol)

    def _facts(self, body: Iterable[tree.Statement], scope: Scope) -> Iterator[Occurrence]:
        for statement in body:
            match statement:
                case tree.Fact(name=name, value=value, entries=entries):
                    if value is not None:
                        yield from self._expression(value, scope)
                    yield from self._entries(entries or (), scope, name.text in _HOURS)
                case tree.Definition(path=path, body=None):
                    yield from self._path(path, scope)

    def _entries(
        self, entries: Iterable[tree.Entry], scope: Scope, labelled: bool = False
    ) -> Iterator[Occurrence]:
        for entry in entries:
            for part in (entry.key, entry.value, entry.upper):
                if part is not None and not (labelled and part is entry.key):
                    yield from self._expression(part, scope)

    def _condition(
        self, node: tree.Condition, scope: Scope, results: bool = False
    ) -> Iterator[Occurrence]:
        match node:
            case tree.All(conditions=parts) | tree.AnyOf(conditions=parts):
                for part in parts:
                    yield from self._condition(part, scope, results)
            case tree.Comparison(left=left, right=right):
                yield from self._expression(left, scope, results)
                if not (isinstance(right, tree.Path) and _is_choice(left, scope)):
                    yield from self._expression(right, scope, results)
            case tree.Between(value=value, low=low, high=high):
                for part_of in (value, low, high):
                    yield from self._expression(part_of, scope, results)
            case tree.MeetsBand(product=product, band=band):
                yield from self._result(product, scope)
                yield from self._path(band, scope)

    def _expression(
        self, node: tree.Expression, scope: Scope, results: bool = False
    ) -> Iterator[Occurrence]:
        match node:
            case tree.Path():
                is_result = results and node.parts[0].text in scope.things
                yield from self._result(node, scope) if is_result else self._path(node, scope)
            case tree.Call(function=function):
                if results and function.parts[-1].text in SIZED:
                    yield from self._result(function, scope)
            case tree.By(choice=choice):
                yield from self._path(choice, scope)
        for part in operands(node):
            yield from self._expression(part, scope, results)

    def _path(self, path: tree.Path, scope: Scope) -> Iterator[Occurrence]:
        head, *rest = path.parts
        symbol = scope.value(head.text)
        if symbol is None:
            return
        yield Occurrence(head.span, symbol, declares=False)
        for part in rest:
            inner = self._names.members(symbol) if symbol.kind == "library" else {}
            symbol = inner.get(part.text)
            if symbol is None:
                return
            yield Occurrence(part.span, symbol, declares=False)


def _declared(table: Table) -> Iterator[Occurrence]:
    for symbol in table.values():
        for span in symbol.spans:
            yield Occurrence(span, symbol, declares=True)


def _is_choice(node: tree.Expression, scope: Scope) -> bool:
    symbol = scope.value(node.dotted) if isinstance(node, tree.Path) else None
    return (
        symbol is not None
        and isinstance(symbol.node, tree.Parameter)
        and isinstance(symbol.node.type, tree.ChoiceType)
    )


def operands(node: tree.Expression) -> tuple[tree.Expression, ...]:
    """The expressions that one is made of; the keys of a `by` are words of its choice."""
    match node:
        case tree.Negated(operand=operand):
            return (operand,)
        case tree.Arithmetic(left=left, right=right):
            return left, right
        case tree.Call(arguments=arguments):
            return arguments
        case tree.By(entries=entries):
            return tuple(entry.value for entry in entries if entry.value is not None)
    return ()
