"""The names of a plant that a command line can use, each with what it is: cases, settings,
products and results. The plant is checked, not balanced; of one with errors only what is stated
has a name."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from pathlib import Path

from hoggin.check.checker import Checked, check_file
from hoggin.check.words import words
from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.schema.asked import asked
from hoggin.syntax import tree
from hoggin.syntax.cases import cases_of, plant_of
from hoggin.syntax.parser import parse
from hoggin.syntax.settings import owners, stated

Names = Mapping[str, str]
_SIZE = "(4 mm)"  # of a result that takes one


def cases(file: Path) -> Names:
    plant = plant_of(_statements(check_file(file)))
    return {} if plant is None else dict.fromkeys(cases_of(plant), "case")


def settings(file: Path) -> Names:
    """What may be swept, as it is stated now or by default. A title or another text may not."""
    checked = check_file(file)
    statements = _statements(checked)
    machines = checked.plant.machines if checked.plant is not None else ()
    declared = frozenset(owners(statements))
    usual = {
        f"{machine.tag}.{one.name}": "at its default"
        for machine in machines
        if machine.tag in declared
        for one in machine.settings
    }
    found = {n: words(v) for n, v in stated(statements) if not isinstance(v, tree.Text)}
    return usual | found


def settings_with_values(file: Path, begun: str) -> Names:
    """The settings that may be meant; of a single one, a range and a list begun with its value. A
    shell would end the quotation after the name alone."""
    meant = {name: now for name, now in settings(file).items() if name.startswith(begun)}
    stated_now = dict(stated(_statements(check_file(file))))
    if len(meant) != 1:
        return meant
    ((name, now),) = meant.items()
    if not isinstance(stated_now.get(name), tree.Measure):
        return meant
    return {f"{name} {now} to ": "a range", f"{name} {now}, ": "a list"}


def products(file: Path) -> Names:
    plant = check_file(file).plant
    return {} if plant is None else {one.tag: one.title or "product" for one in plant.products}


def results(file: Path, begun: str) -> Names:
    """The results of the thing that is named by what is typed; else the things, up to the dot."""
    things = {name: kind for name, kind in _things(check_file(file)) if _may_be(name, begun)}
    if len(things) > 1 and not any(begun.startswith(f"{name}.") for name in things):
        return {f"{name}.": kind for name, kind in things.items()}
    return {
        f"{name}.{result}{_SIZE if one.sized else ''}": one.meaning
        for name, kind in things.items()
        for result, one in asked(kind).items()
    }


NAMES: Mapping[str, Callable[[Path, str], Names]] = {
    "CASE": lambda file, _: cases(file),
    "PRODUCT": lambda file, _: products(file),
    "RESULT": results,
    "SETTING": lambda file, _: settings(file),
}
"""What is named by an argument of each metavar."""
NAMES_IN_QUOTES = {**NAMES, "SETTING": settings_with_values}
"""The same in quotation marks, where values may follow."""


def _statements(checked: Checked) -> tuple[tree.Statement, ...]:
    return parse(checked.source, Diagnostics()).statements


def _things(checked: Checked) -> Iterator[tuple[str, str]]:
    """Everything that has results, with its kind."""
    plant = checked.plant
    if plant is None:
        return
    yield "plant", "plant"
    yield from ((feed.tag, "feed") for feed in plant.feeds)
    yield from ((product.tag, "product") for product in plant.products)
    for machine in plant.machines:
        yield machine.tag, machine.kind
        yield from ((f"{machine.tag}.{deck.name}", "deck") for deck in machine.decks)


def _may_be(name: str, begun: str) -> bool:
    return name.startswith(begun) or begun.startswith(f"{name}.")
