"""Cases of a plant on its tree: `case wet { granite.moisture 6 %; secondary.css 45 mm }` is the
plant with these lines in the place of its own. A case that begins from another has its lines too.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from hoggin.syntax import tree
from hoggin.syntax.settings import OPERATION, Setting, Statements, in_body, stated, with_settings

HOURS = "hours"  # of the year in this state: the case's own line
_YEAR = "hours_per_year"
YEAR_OF_PLANT = f"{OPERATION}.{_YEAR}"  # what a case states as its hours


@dataclass(frozen=True, eq=False)
class Lost:
    """A line of a case that states something of nothing, and the names there are. `of` is the
    `choose` that has no such option."""

    name: tree.Ident
    known: tuple[str, ...]
    of: str = ""
    value: tree.Path | None = None
    is_list: bool = False  # where the name has one value

    @property
    def place(self) -> tree.Node:
        """The word at fault."""
        return self.name if self.value is None else self.value


def cases_of(node: tree.PlantDefinition) -> dict[str, tree.Case]:
    """A plant's cases by name; of two of one name the first."""
    found: dict[str, tree.Case] = {}
    for statement in node.body:
        if isinstance(statement, tree.Case):
            found.setdefault(statement.name.text, statement)
    return found


def plant_of(statements: Statements) -> tree.PlantDefinition | None:
    plants = (one for one in statements if isinstance(one, tree.PlantDefinition))
    return next(plants, None)


def picked_in_cases(node: tree.PlantDefinition) -> dict[str, tree.Choose]:
    """The plant's `choose` blocks that a case picks an option of, by name."""
    lines = {
        line.name.text
        for case in cases_of(node).values()
        for line in case.body
        if isinstance(line, tree.Fact)
    }
    return {name: one for name, one in _choices(node.body).items() if name in lines}


def begun_from(case: tree.Case, cases: Mapping[str, tree.Case]) -> list[tree.Case]:
    """A case, the one it begins from, and so on; one that comes again is the last."""
    found = [case]
    while case.of is not None and case.of.text in cases:
        case = cases[case.of.text]
        found.append(case)
        if case in found[:-1]:
            break
    return found


def lines_of(case: tree.Case, cases: Mapping[str, tree.Case]) -> dict[str, tree.Fact]:
    """What a case states otherwise, by name, with what it begins from; its hours are its own."""
    found: dict[str, tree.Fact] = {}
    for one in reversed(begun_from(case, cases)):
        found |= {line.name.text: line for line in one.body if isinstance(line, tree.Fact)}
    found.pop(HOURS, None)
    return found


def hours_of(case: tree.Case) -> tree.Fact | None:
    return next((s for s in case.body if isinstance(s, tree.Fact) and s.name.text == HOURS), None)


def as_written(body: Statements) -> Statements:
    """A plant's statements without its cases, and what is asked of the cases alone."""
    return tuple(_kept(body, ""))


def in_case(file: tree.File, name: str) -> tuple[tree.File, list[Lost]]:
    """A file in which the plant is the one of its case, and the lines of the case that no place was
    found for. The plant as it is written where `name` is empty."""
    plant = plant_of(file.statements)
    if plant is None:
        return file, []
    cases = cases_of(plant)
    case = cases.get(name)
    body = tuple(_kept(plant.body, name))
    lost: list[Lost] = []
    lines: dict[str, tree.Fact] = {}
    if case is not None:
        lines = lines_of(case, cases)
        body, lost = _with_picks(body, lines)
        body = _with_hours(body, hours_of(case))
    statements = tuple(
        replace(s, body=body, years=_years(plant, name)) if s is plant else s
        for s in file.statements
    )
    names = [name for name, _ in stated(statements)]
    known = (*names, *_choices(plant.body), HOURS)
    settings = [Setting.of(line, n) for n, line in lines.items() if line.value or line.entries]
    statements, unplaced = with_settings(statements, settings)
    lost += [
        Lost(lines[one.name].name, known, is_list=bool(one.entries) and one.name in names)
        for one in unplaced
    ]
    return replace(file, statements=statements), lost


def _years(plant: tree.PlantDefinition, name: str) -> tuple[tree.Year, ...]:
    """What a year is in the plant's case of this name; nothing to add where it is none."""
    cases = cases_of(plant)
    if name not in cases:
        return ()
    blocks = [tree.Year(case.span, hours_of(case)) for case in cases.values() if hours_of(case)]
    own = hours_of(cases[name])
    asked = [one for one in requirements_of(plant.body) if name in [c.text for c in one.cases]]
    return (
        *blocks,
        *(tree.Year(one.span, own) for one in asked if own is not None),
        tree.Year(plant.span, _year_of(plant)),
    )


def _year_of(plant: tree.PlantDefinition) -> tree.Fact | None:
    """The plant's line of its hours as it is written."""
    within = (one for s in plant.body if isinstance(s, tree.Operation) for one in s.body)
    facts = (one for one in within if isinstance(one, tree.Fact))
    return next((one for one in facts if one.name.text == _YEAR), None)


def requirements_of(body: Statements) -> Iterator[tree.Requirement]:
    """What a plant's body asks, with what its options ask."""
    for statement in body:
        match statement:
            case tree.Requirement():
                yield statement
            case tree.Choose(body=inner) | tree.Option(body=inner):
                yield from requirements_of(inner)


def _kept(body: Statements, name: str) -> Iterator[tree.Statement]:
    """Statements that hold in a case; what is asked of the case is asked of its plant."""
    for statement in body:
        match statement:
            case tree.Case():
                continue
            case tree.Requirement(cases=cases) if cases:
                if name in [one.text for one in cases]:
                    yield replace(statement, cases=())
            case tree.Choose(body=inner) | tree.Option(body=inner):
                yield replace(statement, body=tuple(_kept(inner, name)))
            case _:
                yield statement


def _choices(body: Statements) -> dict[str, tree.Choose]:
    return {one.name.text: one for one in body if isinstance(one, tree.Choose)}


def _with_picks(body: Statements, lines: dict[str, tree.Fact]) -> tuple[Statements, list[Lost]]:
    """The statements with the options that a case picks in the place of their `choose`; their
    lines are taken out."""
    found: list[tree.Statement] = []
    lost: list[Lost] = []
    for statement in body:
        line = lines.pop(statement.name.text, None) if isinstance(statement, tree.Choose) else None
        if line is None or not isinstance(statement, tree.Choose):
            found.append(statement)
            continue
        options = {o.name.text: o for o in statement.body if isinstance(o, tree.Option)}
        word = line.value if isinstance(line.value, tree.Path) else None
        picked = None if word is None else options.get(word.dotted)
        if picked is None:
            lost.append(Lost(line.name, tuple(options), statement.name.text, word))
            found.append(statement)
        else:
            found += picked.body
    return tuple(found), lost


def _with_hours(body: Statements, hours: tree.Fact | None) -> Statements:
    """The hours of a case are the year's hours of its plant."""
    if hours is None:
        return body
    of_year = replace(hours, name=tree.Ident(hours.name.span, _YEAR))
    return in_body(body, YEAR_OF_PLANT, Setting.of(of_year, _YEAR))
