"""A plant opened for a study: checked with settings made free and with requested results."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from hoggin.build import fingerprint
from hoggin.check.cases import reading
from hoggin.check.checker import Checked, check
from hoggin.check.loader import Read
from hoggin.diagnostics.diagnostic import Diagnostic, Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.diagnostics.suggest import did_you_mean
from hoggin.errors import HogginError, SourceError
from hoggin.schema.asked import is_share
from hoggin.schema.plant import Combination, Limit, Plant, Reading
from hoggin.schema.tracing import Freedom
from hoggin.schema.units import in_currency
from hoggin.studies.runner.outputs import Output, kind_of, of_reading
from hoggin.syntax import given, tree
from hoggin.syntax.parser import parse
from hoggin.syntax.settings import Setting, stated, with_settings
from hoggin.world import World, named

_ASKED = "--result"  # the name of the text that asks


@dataclass(frozen=True)
class Opened:
    """A plant without errors, its open numbers, and the requested results."""

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


def opened(
    file: Path, settings: Sequence[Setting] = (), asked: Sequence[str] = (), case: str = ""
) -> Opened:
    """Check a plant's file, in one of its cases where one is named, with settings made free.

    Raises UnreadableError; SourceError for errors in it or in the question; HogginError for a
    library, an unknown case or setting, or a result that can't be read.
    """
    with named(file):
        world = World(file)
        source = world.open_main()
    whole = check(world, source)
    if whole.has_errors:
        raise SourceError(whole.diagnostics)
    whole.in_case(case)
    return opened_in(world, settings, asked, case)


def opened_in(
    world: World, settings: Sequence[Setting] = (), asked: Sequence[str] = (), case: str = ""
) -> Opened:
    """As `opened`, of the main file of a world; the plant is known to have the case."""
    # Each question is a source of its own, because the checker may reorder requirements.
    names = [f"{_ASKED} {number}" for number in range(1, len(asked) + 1)]
    lines = [given.asking(given.result(t, n)) for t, n in zip(asked, names, strict=True)]
    source = world.open_main()
    checked = check(world, source, _reading(source, settings, lines, case))
    if checked.has_errors:
        raise SourceError(checked.diagnostics)
    if checked.plant is None:
        raise HogginError(f"`{source.name}` is a library and has no plant")
    requirements = checked.plant.requirements
    answers = {one.place.file: one for one in requirements if one.place.file in names}
    stated = tuple(one for one in requirements if one.place.file not in names)
    plant = checked.plant.called(case).model_copy(update={"requirements": stated})
    return Opened(
        plant,
        checked.freedom,
        tuple(_output(plant, text, answers[n]) for text, n in zip(asked, names, strict=True)),
        source.name,
        _digest(checked, case),
        replace(checked, plant=checked.plant.called(case)),
    )


def _reading(
    source: Source, settings: Sequence[Setting], asked: Sequence[tree.Requirement], case: str
) -> Read:
    """The plant's file in a case, with settings free and with further lines in its plant."""
    read_case = reading(parse, source.name, case)

    def read(other: Source, diagnostics: Diagnostics) -> tree.File:
        file = read_case(other, diagnostics)
        if other.name != source.name:
            return file
        statements, lost = with_settings(file.statements, settings)
        for setting in lost:
            hint = did_you_mean(setting.name, _numbers(file.statements))
            raise HogginError(f"the plant's file has no `{setting.name}`. {hint}".strip())
        return replace(
            file,
            statements=tuple(
                replace(one, body=(*one.body, *asked))
                if isinstance(one, tree.PlantDefinition)
                else one
                for one in statements
            ),
        )

    return read


def _numbers(statements: Iterable[tree.Statement]) -> list[str]:
    """Names that a setting may have, to guess from; words and texts are not numbers."""
    return [
        name
        for name, value in stated(statements)
        if "." not in name or not isinstance(value, tree.Path | tree.Text)
    ]


def _output(plant: Plant, text: str, line: object) -> Output:
    assert isinstance(line, Limit)
    assert isinstance(line.expression, Combination)
    expression = line.expression.left
    name = " ".join(text.split())
    if isinstance(expression, Reading):
        kind = kind_of(plant, expression.subject)
        one = of_reading(kind, expression.subject, expression.quantity, expression.size_mm)
        return replace(one, name=name, unit=in_currency(one.unit, plant.currency))
    if not line.unit and is_share(expression):
        return Output(name, "%", 100.0, expression)
    return Output(name, line.unit, 1 / line.unit_size, expression)


def _digest(checked: Checked, case: str) -> str:
    texts = (f"{name}\n{len(s.text)}\n{s.text}\n" for name, s in sorted(checked.sources.items()))
    said = f"{fingerprint()}\n{case}\n{''.join(texts)}"
    return hashlib.sha256(said.encode()).hexdigest()
