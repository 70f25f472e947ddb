"""Running cost, carbon and budget at the plant's own prices: sections of the equipment schedule."""

from __future__ import annotations

from dataclasses import replace

from hoggin.report.fields import TAG, Field, Kind, quantity, result, table, words
from hoggin.report.tables import Section, Table, where_rows
from hoggin.schema.declared import declared
from hoggin.schema.results import MachineResult, PlantCost, ProductResult, Results
from hoggin.schema.units import in_currency

_RULE = (
    "The plant states all prices. A machine's energy, liners and parts go with the rock that "
    "leaves it, alike per tonne at all of its outlets. So a product bears the machines on its "
    "route by the tonnes of it that pass through each, and rock that comes round a loop bears them "
    "again. Labour is shared by all products alike, per tonne. Together they bear the whole."
)
_NOT_IN_IT = (
    "Loading, haulage, drilling and blasting, capital, and the energy of machines whose class has "
    "no model of their power are not included."
)
_CARBON = (
    "Energy is that drawn at the shafts. What motors take from the supply for it is paid for, and "
    "has the carbon dioxide that the plant states for each kWh."
)


def sections(results: Results) -> tuple[Section, ...]:
    """Nothing of a plant that states no prices and no factor."""
    cost = results.cost
    of_products = where_rows("Cost and carbon of the products", (_RULE, _CARBON), products(results))
    if cost is None:
        return of_products if results.co2_kg_t is not None else ()
    missing = f"Without a price, and so not in the sums: {'; '.join(cost.unpriced)}."
    notes = (_NOT_IN_IT, *((missing,) if cost.unpriced else ()))
    return (
        *where_rows("Running cost", notes, running(results)),
        *of_products,
        *where_rows("Budget", _budget_notes(results), budget(results)),
    )


def _budget_notes(results: Results) -> tuple[str, ...]:
    standing = ", ".join(machine.shown_tag for machine in results.machines if machine.existing)
    existing = (f"Existing, and so not in the budget: {standing}.",) if standing else ()
    return ("Prices of machines as the plant states them.", *existing)


def _money(model: type[MachineResult | ProductResult | PlantCost], results: Results) -> _Money:
    return _Money(model, results.cost.currency if results.cost is not None else "")


class _Money:
    """Columns in the plant's currency."""

    def __init__(self, model: type[MachineResult | ProductResult | PlantCost], money: str) -> None:
        self._model, self._money = model, money

    def __call__(self, path: str, heading: str, kind: Kind = "number") -> Field:
        unit = in_currency(declared(self._model, path).unit, self._money)
        return result(self._model, path, heading, unit=unit, kind=kind)


def running(results: Results) -> Table:
    """What each machine costs by the hour, then labour and the sum."""
    priced = [m for m in results.machines if m.cost and m.cost.total_money_h is not None]
    money = _money(MachineResult, results)
    fields = (
        TAG,
        *(
            money(f"cost.{part}_money_h", heading)
            for part, heading in (
                ("energy", "energy"),
                ("liners", "liners"),
                ("parts", "other parts"),
                ("total", "running"),
            )
        ),
    )
    found = table("Running cost", fields, priced)
    cost = results.cost
    if cost is None or cost.total_money_h is None:
        return replace(found, rows=())
    if cost.labour_money_h is not None:
        found = found.then("operators", None, None, None, cost.labour_money_h)
    sums = (cost.energy_money_h, cost.liners_money_h, cost.parts_money_h, cost.total_money_h)
    return found.then("all of these", *sums)


def products(results: Results) -> Table:
    """What a tonne of each product takes of energy, money and carbon."""
    money = _money(ProductResult, results)
    cost = results.cost
    fields = (
        words("product", lambda product: product.tag, 20),
        result(ProductResult, "rate_t_h"),
        result(ProductResult, "energy_kwh_t", "energy"),
        *((money("cost_money_t", "running cost", "price"),) if cost is not None else ()),
        *((result(ProductResult, "co2_kg_t", "CO2"),) if results.co2_kg_t is not None else ()),
    )
    return table("Cost and carbon of the products", fields, results.products)


def budget(results: Results) -> Table:
    """The price of each machine that has one, then their sum."""
    priced = [m for m in results.machines if m.cost and m.cost.budget_money is not None]
    money = _money(MachineResult, results)
    several = quantity(priced)
    fields = (
        TAG,
        *several,
        words("class", lambda machine: machine.class_name, 28),
        money("cost.budget_money", "price", "count"),
    )
    found = table("Budget", fields, priced)
    if not priced or results.cost is None:
        return found
    return found.then("all of these", *(None,) * (len(several) + 1), results.cost.budget_money)
