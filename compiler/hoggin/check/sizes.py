"""The machines of a checked plant in other sizes of their classes, for whoever rates them."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from hoggin.check.evaluate import as_quantity, evaluate
from hoggin.check.machines import machine
from hoggin.check.scope import Names, Scope, Session
from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.fault import Fault
from hoggin.diagnostics.source import Span
from hoggin.schema.plant import Machine, Size
from hoggin.schema.tracing import Traces
from hoggin.syntax import made, tree


class _RefusedError(Exception):
    """An error is found: the rest need not be read."""


class _FirstFault(Diagnostics):
    def report(self, fault: Fault, span: Span, other: Span | None = None) -> None:  # noqa: ARG002
        if fault.code.startswith("E"):
            raise _RefusedError


@dataclass(frozen=True)
class Sizes:
    """What the classes of a plant allow. It reads a class again, and reports nothing."""

    session: Session
    _read: dict[str, Mapping[str, Size]] = field(default_factory=dict, compare=False)

    def of(self, tag: str) -> Mapping[str, Size]:
        """The parameters of a machine's class that are numbers with a range, by name."""
        if tag not in self._read:
            self._read[tag] = self._sizes(tag) if tag in self.session.classes else {}
        return self._read[tag]

    def _sizes(self, tag: str) -> Mapping[str, Size]:
        entity = self.session.classes[tag]
        now = self.machine(tag, {})
        stated = {} if now is None else {one.name: one for one in now.settings}
        found = {}
        for parameter in entity.node.parameters:
            one, scope = stated.get(parameter.name.text), entity.inside().at(parameter)
            ends = [self._number(limit, scope) for limit in parameter.limits]
            if one is not None and one.value is not None and ends and all(map(math.isfinite, ends)):
                found[one.name] = Size(value=one.value, low=ends[0], high=ends[1], unit=one.unit)
        return found

    def machine(self, tag: str, sizes: Mapping[str, float]) -> Machine | None:
        """A machine with other sizes, each in its trade unit; None where its class refuses them."""
        node, scope = self.session.declared[tag]
        units = {name: one.unit for name, one in self.of(tag).items()} if sizes else {}
        given = {one.name.text: one for one in node.arguments}
        for name, value in sizes.items():
            measure = made.measure(value, units[name])
            given[name] = tree.Argument(made.NOWHERE, made.ident(name), measure)
        sized = replace(node, arguments=tuple(given.values()))
        try:
            return machine(sized, tag, scope, self._quiet())
        except _RefusedError:
            return None

    def _number(self, limit: tree.Expression, scope: Scope) -> float:
        quiet = self._quiet()
        try:
            found = as_quantity(evaluate(limit, scope, quiet), limit.span, quiet)
        except _RefusedError:
            return math.nan
        return math.nan if found is None else found.in_trade_unit()

    def _quiet(self) -> Session:
        return replace(
            self.session,
            diagnostics=_FirstFault(),
            lets=dict(self.session.lets),
            traces=Traces(),
            used=set(),
            names=Names(),
            classes={},
            declared={},
        )
