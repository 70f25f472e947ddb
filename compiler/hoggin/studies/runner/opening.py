"""A plant opened for a study: checked with settings made free and with requested results."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from hoggin.build import fingerprint
from hoggin.check.cases import reading
from hoggin.check.checker import Checked, check
from hoggin.check.loader import Read
from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.diagnostics.suggest import did_you_mean
from hoggin.errors import HogginError
from hoggin.schema.asked import is_share, kind_of
from hoggin.schema.plant import Combination, Limit, Plant, Reading
from hoggin.schema.tracing import Freedom
from hoggin.schema.units import in_currency
from hoggin.studies.runner.outputs import Output, of_reading
from hoggin.syntax import given, tree
from hoggin.syntax.parser import parse
from hoggin.syntax.settings import Setting, Statements, stated, with_settings
from hoggin.world import World

_ASKED = "result"  # the name of the text that asks, with its number


@dataclass(frozen=True)
class Opened:
    """A plant without errors, its open numbers, and the requested results."""

    plant: Plant
    freedom: Freedom
    asked: tuple[Output, ...]
    file: str
    digest: str  # of all texts it was read from, and of the compiler's build
    checked: Checked  # with the results asked among its requirements

    def name_of(self, name: str) -> str:
        """A free number's name to be shown: one without a name goes by its file and line."""
        variable = self.freedom.variables[name]
        source = self.checked.sources.get(variable.source)
        if name != f"{variable.source}:{variable.place[0]}" or source is None:
            return name
        line, column = source.line_column(variable.place[0])
        return f"{variable.source}:{line}:{column}"


def opened(checked: Checked, case: str = "") -> Opened:
    """A plant as it was checked, in one of its cases where one is named, with nothing put to it.

    Raises SourceError for errors in it, HogginError for a library and an unknown case.
    """
    return _opened(checked.in_case(case), case, {})


def opened_with(
    world: World, settings: Sequence[Setting], asked: Sequence[str] = (), case: str = ""
) -> Opened:
    """The main file of a world checked with other settings and requested results, in a case
    that it is known to have.

    Raises SourceError for errors in it or in the question; HogginError for a library, an
    unknown setting, or a result that can't be read.
    """
    # Each question is a source of its own, because the checker may reorder requirements.
    names = [f"{_ASKED} {number}" for number in range(1, len(asked) + 1)]
    lines = [given.asking(given.result(t, n)) for t, n in zip(asked, names, strict=True)]
    source = world.open_main()
    checked = check(world, source, _reading(source, settings, lines, case)).in_case()
    assert checked.plant is not None
    called = replace(checked, plant=checked.plant.called(case))
    return _opened(called, case, dict(zip(names, asked, strict=True)))


def _opened(checked: Checked, case: str, asked: Mapping[str, str]) -> Opened:
    """`asked` has the text of each question by the name of its source."""
    assert checked.plant is not None
    requirements = checked.plant.requirements
    answers = {one.place.file: one for one in requirements if one.place.file in asked}
    stated = tuple(one for one in requirements if one.place.file not in asked)
    plant = checked.plant.model_copy(update={"requirements": stated})
    return Opened(
        plant,
        checked.freedom,
        tuple(_output(plant, text, answers[name]) for name, text in asked.items()),
        checked.source.name,
        digest_of(checked, case),
        checked,
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
        statements = placed(file.statements, settings)
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


def placed(statements: Statements, settings: Iterable[Setting]) -> Statements:
    """The statements with the settings in them. Raises HogginError for one that is not there."""
    found, lost = with_settings(statements, settings)
    for setting in lost:
        hint = did_you_mean(setting.name, _numbers(statements))
        raise HogginError(f"the plant's file has no `{setting.name}`. {hint}".strip())
    return found


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


def digest_of(checked: Checked, case: str) -> str:
    """A hash of all texts that a plant was read from, and of what it is computed with."""
    texts = (f"{name}\n{len(s.text)}\n{s.text}\n" for name, s in sorted(checked.sources.items()))
    said = f"{fingerprint()}\n{case}\n{''.join(texts)}"
    return hashlib.sha256(said.encode()).hexdigest()
