"""What a terminal shows of a balanced plant: a summary and, on request, the mass balance, the
equipment schedule or both. Nothing is in one of them twice."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import TypeAlias

from hoggin.report import equipment, mass_balance
from hoggin.report.fields import TAG, quantity, results_of, table, verdict, words
from hoggin.report.tables import Document, Section, Table, Value, where_rows
from hoggin.report.wording import (
    DEFERENCE,
    PREDICTION,
    all_checks,
    fixed,
    judgement,
    machine_verdict,
    overload_notes,
    percent,
    rate,
    subtitle,
    verdict_word,
)
from hoggin.schema.results import Check, MachineResult, Results

UNMET = "W0511"  # the code of a requirement that is not met; another table has it
_MANY = 12  # machines; of more, those within their limits are counted
_DANGERS = (
    "Before work on a machine, lock out every energy source and prove it dead. Guard moving "
    "parts. Keep clear of tramp release. Dust may hold silica; noise harms hearing."
)


def summary(results: Results, more: str) -> Document:
    """The plant at a glance; `more` says how to see the rest."""
    shown = _of_note(results)
    left_out = len(results.machines) - len(shown)
    which = "The other" if shown else "All"
    others = (f"{which} {left_out} machines are within their limits.",) if left_out else ()
    sections = (
        Section("Balance", (*overload_notes(results), *_flows(results))),
        Section("Products", (), _products(results)),
        Section("Machines", others, _machines(shown) if shown else None),
        *_attention(results),
        Section("Requirements", (), _requirements(results)),
        Section("Notes", (f"{PREDICTION} {DEFERENCE} {_DANGERS}", more)),
    )
    kept = tuple(one for one in sections if one.says)
    return Document(results.title, subtitle(results), kept)


def balance(results: Results) -> Document:
    """The mass balance."""
    whole = mass_balance.document(results, brief=True)
    caution = f"{PREDICTION} {DEFERENCE}"
    return replace(whole, sections=(*_of_balance(results), _assumed(results, caution)))


def schedule(results: Results) -> Document:
    """The equipment schedule."""
    whole = equipment.document(results, brief=True)
    return replace(whole, sections=(*_once(_of_schedule(results)), _assumed(results)))


def everything(results: Results) -> Document:
    """Both in one document."""
    told = overload_notes(results)
    machines, *others = _of_schedule(results)
    machines = replace(machines, notes=tuple(note for note in machines.notes if note not in told))
    sections = _once((*_of_balance(results), machines, *others, _assumed(results)))
    return Document(results.title, subtitle(results), tuple(sections))


# -- summary ------------------------------------------------------------------------------------


def _flows(results: Results) -> Iterator[str]:
    """What goes through the plant, and what recirculates, in sentences."""
    made = sum(product.rate_t_h for product in results.products)
    yield (
        f"{rate(results.feed_t_h)} t/h in, {rate(made)} t/h of products, closed within "
        f"{results.closure.worst:.0e} of feed, with {mass_balance.flow_error(results)}."
    )
    loops = "; ".join(
        f"{percent(loop.recirculating_load)} % in {', '.join(loop.machines)}"
        for loop in results.loops
    )
    if loops:
        yield f"Recirculating load: {loops}."
    yield (
        f"{rate(results.power_kw)} kW drawn of {rate(results.installed_power_kw)} kW connected, "
        f"{fixed(results.energy_kwh_t, 2)} kWh per tonne of plant feed."
    )


def _products(results: Results) -> Table:
    return _without(mass_balance.products(results), "specifications")


def _of_note(results: Results) -> list[MachineResult]:
    """All machines, or of many those that are not within their limits."""
    if len(results.machines) <= _MANY:
        return list(results.machines)
    return [one for one in results.machines if machine_verdict(one) not in ("ok", "-")]


def _machines(shown: list[MachineResult]) -> Table:
    fields = (
        TAG,
        *quantity(shown),
        verdict(machine_verdict, 18),
        *results_of(MachineResult, "feed_t_h", "p80_mm", "capacity_t_h", "load"),
        *results_of(MachineResult, "power_kw"),
    )
    return table("Machines", fields, shown)


def _requirements(results: Results) -> Table:
    """Each with its verdict; what is wanted is in its text, and of a band in its standard."""
    fields = (
        words("requirement", lambda one: one.text, 30),
        verdict(judgement),
        words("result", lambda one: one.value_text.partition(",")[0], 30),
        words("margin", lambda one: one.reason or one.margin_text),
    )
    return table("Requirements", fields, results.requirements)


# -- what needs attention -----------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Finding:
    """A limit near or exceeded, and what helps."""

    tag: str
    check: Check
    help: str


_FINDING = (
    words("tag", lambda found: found.tag),
    verdict(lambda found: verdict_word(found.check), 12),
    words("finding", lambda found: found.check.text, 30),
    words("what helps", lambda found: found.help, 30),
    words("code", lambda found: found.check.code, 8),
)


def _attention(results: Results) -> tuple[Section, ...]:
    """Limits near or exceeded, the gravest first, then what else there is a warning of. What is
    required has a table of its own."""
    helps = {(one.code, one.text): one.help for one in results.warnings if one.code != UNMET}
    found = []
    for machine in results.machines:
        for tag, check in all_checks(machine):
            subject = machine.tag + tag.removeprefix(machine.shown_tag)
            help = helps.pop((check.code or "", f"`{subject}`: {check.text}"), "")
            if check.verdict != "ok":
                found.append(_Finding(tag, check, help))
    found.sort(key=lambda one: one.check.verdict != "over")
    limits = where_rows("Limits near or exceeded", (), table("Limits", _FINDING, found))
    others = tuple(f"{code}: {text}; {help}" for (code, text), help in helps.items())
    return (*limits, Section("Other warnings", points=others)) if others else limits


# -- the whole ----------------------------------------------------------------------------------


def _of_balance(results: Results) -> Iterator[Section]:
    """The mass balance without what the schedule and the requirements say."""
    for section in mass_balance.document(results, brief=True).sections:
        if section.heading == "Totals":
            yield replace(section, notes=(*overload_notes(results), *_closed(results)))
        elif section.heading == "Products":
            yield replace(section, table=_products(results))
        elif section.heading not in ("Specifications", "Notes"):
            yield section


def _closed(results: Results) -> tuple[str, str]:
    return mass_balance.closure_note(results), mass_balance.error_note(results)


def _of_schedule(results: Results) -> Iterator[Section]:
    """The schedule without what the table of power and the findings say."""
    for section in equipment.document(results, brief=True).sections:
        if section.heading == "Machines":
            machines = equipment.machines(results)
            yield replace(section, table=_without(machines, "drawn", "installed"))
        elif section.heading == "Limits near or exceeded":
            yield from _attention(results) or (section,)
        elif section.heading == "Safety":
            yield replace(section, notes=())
        elif section.heading not in ("Warnings", "Assumptions"):
            yield section


def _assumed(results: Results, *caution: str) -> Section:
    """What the results rest on. The schedule's cautions have the first of all."""
    return Section("Assumptions", caution, points=results.assumptions)


def _once(sections: Iterable[Section]) -> Iterator[Section]:
    """The sections without the columns of numbers that an earlier table has of the same things, or
    of most of them."""
    seen: set[_Number] = set()
    for section in sections:
        shown = section.table
        if shown is None:
            yield section
            continue
        columns = [set(_numbers(shown, place)) for place in range(len(shown.columns))]
        new = [at for at, found in enumerate(columns) if 2 * len(found & seen) <= len(found)]
        seen = seen.union(*columns)
        yield replace(section, table=shown.keep(new))


_Number: TypeAlias = "tuple[Value, str, str]"  # of which thing, what, and how much


def _numbers(shown: Table, place: int) -> Iterator[_Number]:
    """The numbers of a column that is no key."""
    column = shown.columns[place]
    for row in shown.rows if column.numeric and place >= shown.keys else ():
        if row[place] is not None:
            yield row[0], column.full_heading, column.text(row[place])


def _without(whole: Table, *headings: str) -> Table:
    """The table without the columns under these headings."""
    places = range(len(whole.columns))
    return whole.keep([at for at in places if whole.columns[at].heading not in headings])
