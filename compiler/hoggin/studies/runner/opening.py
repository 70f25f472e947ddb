"""A plant opened for a study: checked with settings made free and with results asked of it."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from hoggin.build import fingerprint
from hoggin.check.checker import Checked, check
from hoggin.check.loader import Read
from hoggin.check.tracing import Freedom
from hoggin.diagnostics.diagnostic import Diagnostic, Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.diagnostics.suggest import did_you_mean
from hoggin.errors import HogginError, SourceError
from hoggin.schema.asked import is_share
from hoggin.schema.plant import Combination, Limit, Plant, Reading
from hoggin.studies.runner.freeing import Freed, freed, nameable
from hoggin.studies.runner.outputs import Output, kind_of, of_reading
from hoggin.syntax import tree
from hoggin.syntax.parser import parse
from hoggin.world import World, named

_ASKED = "--read"  # the name of the text that asks
_HOW = "write it as on the left of a `require` line: `chips.rate`, `chips.passing(4 mm)`"


@dataclass(frozen=True)
class Opened:
    """A plant without errors, what it leaves open, and the results asked of it."""

    plant: Plant
    freedom: Freedom
    asked: tuple[Output, ...]
    file: str
    digest: str  # of all texts it was read from, and of the compiler's build
    checked: Checked  # with the results asked among its requirements

    @property
    def warnings(self) -> tuple[Diagnostic, ...]:
        """But for a `let` that is unused once a setting is free."""
        return tuple(d for d in self.checked.diagnostics if d.code != "W0101")

    def name_of(self, name: str) -> str:
        """A free number's name to be shown: one without a name goes by its file and line."""
        variable = self.freedom.variables[name]
        source = self.checked.sources.get(variable.source)
        if name != f"{variable.source}:{variable.place[0]}" or source is None:
            return name
        line, column = source.line_column(variable.place[0])
        return f"{variable.source}:{line}:{column}"


def opened(file: Path, settings: Sequence[Freed] = (), asked: Sequence[str] = ()) -> Opened:
    """Check a plant's file with settings made free.

    Raises UnreadableError; SourceError for errors in it or in what is put to it; HogginError
    for a library, a setting that is not there, or a result that can't be read.
    """
    results = [_asked(text, line) for line, text in enumerate(asked)]
    with named(file):
        world = World(file)
        source = world.open_main()
    checked = check(world, source, _reading(source, settings, results))
    if checked.has_errors:
        raise SourceError(checked.diagnostics)
    if checked.plant is None:
        raise HogginError(f"`{file}` is a library: it holds no plant")
    requirements = checked.plant.requirements
    lines = sorted(
        (one for one in requirements if one.place.file == _ASKED), key=lambda one: one.place.line
    )
    plant = checked.plant.model_copy(
        update={"requirements": tuple(one for one in requirements if one.place.file != _ASKED)}
    )
    return Opened(
        plant,
        checked.freedom,
        tuple(_output(plant, text, line) for text, line in zip(asked, lines, strict=True)),
        source.name,
        _digest(checked),
        checked,
    )


def written(text: str, told: str) -> tree.Expression:
    """A value of the language that was given on the command line. Raises HogginError."""
    diagnostics = Diagnostics()
    file = parse(Source(told, f"let value = {text}\n"), diagnostics)
    match file.statements:
        case (tree.Let(value=value),) if not diagnostics.has_errors:
            return value
    raise HogginError(f"`{text}` is no value: write a number with its unit, as `34 mm`")


def _reading(source: Source, settings: Sequence[Freed], results: Sequence[tree.Expression]) -> Read:
    def read(other: Source, diagnostics: Diagnostics) -> tree.File:
        file = parse(other, diagnostics)
        if other.name != source.name:
            return file
        statements, lost = freed(file.statements, settings)
        for setting in lost:
            hint = did_you_mean(setting.name, nameable(file.statements))
            raise HogginError(f"the plant's file states no `{setting.name}`. {hint}".strip())
        return replace(file, statements=tuple(_with_results(s, results) for s in statements))

    return read


def _asked(text: str, before: int) -> tree.Expression:
    """The expression of a result, on a line of its own behind others, which tells it from them.
    Raises HogginError."""
    diagnostics = Diagnostics()
    line = " ".join(text.split())
    breaks = "\n" * before
    file = parse(Source(_ASKED, f"{breaks}require {line} >= 0\n"), diagnostics)
    match file.statements:
        case (tree.Requirement(condition=tree.Comparison(operator=">=", left=left)),) if (
            not diagnostics.has_errors
        ):
            return left
    raise HogginError(f"`{line}` is no result: {_HOW}")


def _with_results(statement: tree.Statement, results: Sequence[tree.Expression]) -> tree.Statement:
    """Each result held against itself in a line of the plant's own: so the checker gives its
    expression and unit, whatever kind of quantity it is."""
    if not isinstance(statement, tree.PlantDefinition):
        return statement
    lines = [tree.Requirement(r.span, tree.Comparison(r.span, ">=", r, r)) for r in results]
    return replace(statement, body=(*statement.body, *lines))


def _output(plant: Plant, text: str, line: object) -> Output:
    assert isinstance(line, Limit)
    assert isinstance(line.expression, Combination)
    expression = line.expression.left
    name = " ".join(text.split())
    if isinstance(expression, Reading):
        kind = kind_of(plant, expression.subject)
        one = of_reading(kind, expression.subject, expression.quantity, expression.size_mm)
        return replace(one, name=name)
    if not line.unit and is_share(expression):
        return Output(name, "%", 100.0, expression)
    return Output(name, line.unit, 1 / line.unit_size, expression)


def _digest(checked: Checked) -> str:
    texts = (f"{name}\n{len(s.text)}\n{s.text}\n" for name, s in sorted(checked.sources.items()))
    return hashlib.sha256(f"{fingerprint()}\n{''.join(texts)}".encode()).hexdigest()
