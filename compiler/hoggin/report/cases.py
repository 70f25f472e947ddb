"""All cases of a plant in one schedule: every machine in its governing case, the requirements of
each case, and the tonnes of the year."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from hoggin.report import text, workbook
from hoggin.report.equipment import DECK, MACHINE
from hoggin.report.fields import TAG, Field, names, number, quantity, second, table, verdict, words
from hoggin.report.results_json import document_json
from hoggin.report.tables import Document, Section, Table, where_rows
from hoggin.report.wording import (
    DEFERENCE,
    PREDICTION,
    all_checks,
    count_text,
    judgement,
    subtitle,
    verdict_word,
    worst_verdict,
)
from hoggin.schema.results import Check, DeckResult, MachineResult, RequirementResult, Results
from hoggin.schema.states import hours_of

AS_WRITTEN = "as written"
_GRAVITY = ("ok", "watch", "over")


@dataclass(frozen=True, slots=True)
class State:
    """The plant as it is written, or in one of its cases. `hours` of the year it is manned to run
    so; None where that is not known."""

    name: str
    results: Results
    hours: float | None

    @property
    def availability(self) -> float:
        plant = self.results.plant
        return 1.0 if plant is None else plant.availability

    @property
    def running_h(self) -> float | None:
        """Hours of the year at these rates."""
        return None if self.hours is None else self.hours * self.availability


def states(found: Sequence[Results]) -> tuple[State, ...]:
    """Results of a plant as it is written, and of its cases, with the hours of each. What no case
    runs of the plant's hours a year is run as it is written. None of a plant without cases."""
    plants = [one.plant for one in found if one.plant is not None]
    if len(plants) < len(found):
        raise ValueError("results of a plant just balanced hold the plant")
    if len(found) < 2:
        return ()
    return tuple(
        State(plant.case or AS_WRITTEN, one, hours)
        for plant, one, hours in zip(plants, found, hours_of(plants), strict=True)
    )


def document(found: Sequence[State]) -> Document:
    """The schedule over all cases."""
    first = found[0].results
    sections = (
        *side_by_side(found),
        *_governed(found),
        Section("Assumptions", (PREDICTION, DEFERENCE)),
    )
    return Document(f"Equipment schedule of all cases: {first.title}", subtitle(first), sections)


def side_by_side(found: Sequence[State]) -> tuple[Section, ...]:
    """Every case in a column of its own: products, loads and what is required."""
    return (
        Section("Cases", _year_notes(found), cases(found)),
        Section("Products", (), products(found)),
        *where_rows("Loads", (_LOADS,), loads(found)),
        *where_rows("Requirements case by case", (), judged(found)),
    )


def _governed(found: Sequence[State]) -> tuple[Section, ...]:
    return (
        Section("Machines", (_GOVERNED,), machines(found)),
        *where_rows("Screen decks", (_DECKS_GOVERNED,), decks(found)),
        *(
            where_rows("Limits near or exceeded", (_WORST,), limits(found))
            or (Section("Limits near or exceeded", ("None in any case.",)),)
        ),
        *where_rows("Requirements", (_WORST,), requirements(found)),
    )


def files(found: Sequence[State]) -> dict[str, bytes]:
    """The schedule over all cases, by the names of its files."""
    whole = document(found)
    listed = {f"{name}.csv": text.comma_separated(of(found)) for name, of in _TABLES.items()}
    texts = {"equipment.md": text.markdown(whole), "equipment.json": as_json(found), **listed}
    return {
        "equipment.xlsx": workbook.workbook(whole),
        **{name: content.encode() for name, content in texts.items()},
    }


def content(found: Sequence[State]) -> dict[str, Any]:
    """The tables of the schedule over all cases, each a list of rows by heading."""
    return {name: text.rows_by_heading(of(found)) for name, of in _TABLES.items()}


def as_json(found: Sequence[State]) -> str:
    """The schedule over all cases as a JSON document."""
    return document_json(content(found))


# -- cases and their hours ----------------------------------------------------------------------


def cases(found: Sequence[State]) -> Table:
    """What each case is, and how the plant is in it."""
    first = found[0].results.plant
    stated = {} if first is None else {case.name: case for case in first.cases}

    def of(state: State) -> str:
        case = stated.get(state.name)
        if case is None:
            return ""
        lines = [f"{name} {said}" for name, said in case.lines.items()]
        return ", ".join([*([f"as {case.of}"] if case.of else []), *lines])

    fields = (
        words("case", lambda state: state.name, 20),
        words("states", of, 50),
        number("hours", "h/y", "count", lambda state: state.hours),
        number("running", "h/y", "count", lambda state: state.running_h),
        number("feed", "t/h", "rate", lambda state: state.results.feed_t_h),
        number("power", "kW", "rate", lambda state: state.results.power_kw),
        number("energy", "kWh/t", "number", lambda state: state.results.energy_kwh_t),
        words("requirements", _met, 18),
    )
    return table("Cases", fields, found)


def _met(state: State) -> str:
    asked = state.results.requirements
    if not asked:
        return ""
    return f"all {len(asked)} met" if all(one.met for one in asked) else count_text(asked)


def _year_notes(found: Sequence[State]) -> tuple[str, ...]:
    if all(state.hours is None for state in found):
        return ("Neither the plant nor a case states its hours per year.",)
    unknown = [state.name for state in found if state.hours is None]
    said = (
        "In the rest of its hours per year the plant runs as written. It runs at these rates in "
        f"{100 * found[0].availability:g} % of its hours."
    )
    if not unknown:
        return (said,)
    return (said, f"Without hours, so not in the tonnes per year: {', '.join(unknown)}.")


def products(found: Sequence[State]) -> Table:
    """The rate of every product in every case, and the tonnes of the year: the sum over the cases
    of rate times running hours."""
    tags = dict.fromkeys(p.tag for state in found for p in state.results.products)
    titles = {p.tag: p.title for state in found for p in state.results.products}
    rates = [{p.tag: p.rate_t_h for p in state.results.products} for state in found]
    rows = [
        ("feed", "", [state.results.feed_t_h for state in found]),
        *((tag, titles[tag], [of.get(tag) for of in rates]) for tag in tags),
    ]
    run = any(state.hours is not None for state in found)

    def year(row: tuple[str, str, list[float | None]]) -> float | None:
        parts = zip(row[2], found, strict=True)
        hours = ((rate or 0.0) * (state.running_h or 0.0) for rate, state in parts)
        return math.fsum(hours) if run else None

    fields = [
        words("product", lambda row: row[0], 20),
        words("title", lambda row: row[1], 28),
        *(_rate_in(place, state.name) for place, state in enumerate(found)),
        number("all cases", "t/y", "count", year),
    ]
    return table("Products", fields, rows)


def _rate_in(place: int, name: str) -> Field:
    return number(name, "t/h", "rate", lambda row: row[2][place])


# -- loads and requirements, side by side --------------------------------------------------------

_LOADS = "Load of each machine, and use of each deck's area, in every case."


def loads(found: Sequence[State]) -> Table:
    """The load of every machine that has one, and the use of each deck's area, in every case."""
    rows: dict[str, dict[str, float]] = {}
    for state in found:
        for machine in state.results.machines:
            shown = machine.shown_tag
            values = [(shown, machine.load)]
            values += [(f"{shown}.{deck.name}", deck.area_use) for deck in machine.decks]
            for tag, value in values:
                if value is not None:
                    rows.setdefault(tag, {})[state.name] = value
    fields = (
        words("tag", lambda row: row[0]),
        *(_load_in(state.name) for state in found),
    )
    return table("Loads", fields, list(rows.items()))


def _load_in(name: str) -> Field:
    return number(name, "%", "percent", lambda row: row[1].get(name))


def judged(found: Sequence[State]) -> Table:
    """The value of each requirement in every case that it holds in, and where it is not met."""
    fields = (
        words("requirement", lambda row: row[0][0], 40),
        *(_verdict_in(state.name) for state in found),
    )
    return table("Requirements case by case", fields, list(_asked(found).items()))


def _verdict_in(name: str) -> Field:
    def verdict(row: tuple[_Key, list[_Held]]) -> str | None:
        one = next((held for case, held in row[1] if case == name), None)
        if one is None or one.met:
            return None if one is None else one.value_text
        return f"{judgement(one)}: {one.value_text}"

    return words(name, verdict, 24)


# -- machines in their governing cases ----------------------------------------------------------

_GOVERNED = (
    "Each machine is shown in its governing case: that of its highest load; without a load, of its "
    "highest power; without power, of its highest feed. The verdict is the worst of all cases."
)
_DECKS_GOVERNED = "Each deck is shown in the case of its highest area use."
_WORST = "The worst of all cases."
_Governed = tuple[str, MachineResult]
_Key = tuple[str, str, int]  # of a requirement: its words, file and line
_Held = tuple[str, RequirementResult]  # with the case's name


def machines(found: Sequence[State]) -> Table:
    """One row a machine: what it is in the case that governs it."""
    named = _machines(found)
    verdicts = {
        tag: worst_verdict(check for _, machine in of for _, check in all_checks(machine))
        for tag, of in named.items()
    }
    power = {tag: _highest_power(of) for tag, of in named.items()}
    _, *others = MACHINE
    governing = [_governing(of) for of in named.values()]
    fields = (
        second(TAG),
        *map(second, names([machine for _, machine in governing])),
        *map(second, quantity([machine for _, machine in governing])),
        words("governing case", lambda pair: pair[0], 18),
        verdict(lambda pair: verdicts[pair[1].tag], 12),
        *map(second, others),
        number("highest power", "kW", "rate", lambda pair: power[pair[1].tag][1]),
        words("in case", lambda pair: power[pair[1].tag][0], 18),
    )
    return table("Machines", fields, governing)


def _machines(found: Sequence[State]) -> dict[str, list[_Governed]]:
    """Every machine in every case that has it, by its tag."""
    named: dict[str, list[_Governed]] = {}
    for state in found:
        for machine in state.results.machines:
            named.setdefault(machine.tag, []).append((state.name, machine))
    return named


def _governing(named: Sequence[_Governed]) -> _Governed:
    def rank(pair: _Governed) -> tuple[float, float, float]:
        machine = pair[1]
        return machine.load or -1.0, machine.power_kw or -1.0, machine.feed_t_h

    return max(named, key=rank)


def _highest_power(named: Sequence[_Governed]) -> tuple[str | None, float | None]:
    drawn = [(name, machine.power_kw) for name, machine in named if machine.power_kw is not None]
    return max(drawn, key=lambda pair: pair[1], default=(None, None))


def decks(found: Sequence[State]) -> Table:
    """One row a deck: what it is in the case that governs it."""
    named: dict[str, list[tuple[str, tuple[MachineResult, DeckResult]]]] = {}
    for state in found:
        for machine in state.results.machines:
            for deck in machine.decks:
                key = f"{machine.tag}.{deck.name}"
                named.setdefault(key, []).append((state.name, (machine, deck)))
    governed = [
        max(of, key=lambda one: (one[1][1].area_use or -1.0, one[1][1].feed_t_h))
        for of in named.values()
    ]
    first, *others = map(second, DECK)
    return table(
        "Screen decks", (first, words("governing case", lambda one: one[0], 18), *others), governed
    )


# -- limits and requirements --------------------------------------------------------------------


def limits(found: Sequence[State]) -> Table:
    """Limits near or exceeded in any case, each in its gravest."""
    fields = (
        words("tag", lambda one: one[0]),
        words("limit", lambda one: one[1].name),
        verdict(lambda one: verdict_word(one[1]), 12),
        words("case", lambda one: one[2], 18),
        words("finding", lambda one: one[1].text, 60),
        words("code", lambda one: one[1].code, 8),
    )
    worst: dict[tuple[str, str], tuple[str, Check, str]] = {}
    for state in found:
        for machine in state.results.machines:
            for tag, check in all_checks(machine):
                was = worst.get((tag, check.name))
                if was is None or _gravity(check) > _gravity(was[1]):
                    worst[tag, check.name] = (tag, check, state.name)
    listed = [one for one in worst.values() if one[1].verdict != "ok"]
    listed.sort(key=lambda one: -_gravity(one[1]))
    return table("Limits near or exceeded", fields, listed)


def _gravity(check: Check) -> int:
    return _GRAVITY.index(check.verdict)


def requirements(found: Sequence[State]) -> Table:
    """Each requirement in the case it is met least in: of the cases it holds in."""
    fields = (
        words("requirement", lambda one: one[0], 40),
        verdict(lambda one: judgement(one[2]), 10),
        words("case", lambda one: one[1], 18),
        words("value", lambda one: one[2].value_text, 40),
        words("margin", lambda one: one[2].margin_text, 24),
        words("holds in", lambda one: one[3], 28),
    )
    return table("Requirements", fields, list(_least_met(found)))


def _asked(found: Sequence[State]) -> dict[_Key, list[_Held]]:
    """Each requirement in the cases that it holds in."""
    named: dict[_Key, list[_Held]] = {}
    for state in found:
        for one in state.results.requirements:
            named.setdefault((one.text, one.file, one.line), []).append((state.name, one))
    return named


def _least(pair: tuple[str, RequirementResult]) -> tuple[bool, float]:
    margin = pair[1].margin
    return pair[1].met, -math.inf if margin is None else margin


def _least_met(
    found: Sequence[State],
) -> Iterator[tuple[str, str, RequirementResult, str]]:
    for (words_of, _, _), asked in _asked(found).items():
        case, least = min(asked, key=_least)
        cases_of = "every case" if len(asked) == len(found) else ", ".join(n for n, _ in asked)
        yield words_of, case, least, cases_of


_TABLES: Mapping[str, Callable[[Sequence[State]], Table]] = {
    "cases": cases,
    "products": products,
    "loads": loads,
    "judged": judged,
    "equipment": machines,
    "decks": decks,
    "limits": limits,
    "requirements": requirements,
}
"""What the schedule lists, by the names of its files and of its parts in JSON."""
