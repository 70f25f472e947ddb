"""Power, motors and liner wear: two sections of the equipment schedule."""

from __future__ import annotations

import math

from hoggin.report.tables import Column, Section, Table, Value
from hoggin.schema.results import MachineResult, Results

_MOTOR_NOTE = (
    "Next motor: the smallest of the common series (as IEC 60072-1 and, from 160 kW, ISO 3 R20; "
    "from memory) for the drawn power and {margin:.0f} % over it (common practice, no source); "
    "starting, altitude and heat are for the drive's designer."
)
_WEAR_NOTE = (
    "After Bond (1963), from memory: a laboratory law on net breaking energy, for a first "
    "estimate; wear measured on site goes before it. A life is that of evenly worn liners at this "
    "feed; liner mass and the share of it that may wear are the class's. The law is for jaws, "
    "gyratories, cones and rolls, not for impactors."
)
_COST_NOTE = (
    "The metal's price is the plant's own statement. A set is bought whole and only the share that "
    "may wear is worn off: the cost a tonne is the price of a set over the tonnes crushed in a "
    "liner life (where no such share is stated, the worn metal's price alone). Fitting, backing, "
    "standing time and what scrap fetches are left out."
)
_NO_WEAR_NOTE = (
    "Liner wear is left out: it needs a crusher whose class has a wear model, and the "
    "abrasion_index of every material in its feed."
)


def sections(results: Results) -> tuple[Section, ...]:
    """Power with the next motor, then liner wear; empty where no power is known."""
    driven = [machine.drive for machine in results.machines if machine.drive]
    if not driven:
        return ()
    worn = any(machine.wear for machine in results.machines)
    motors = _MOTOR_NOTE.format(margin=100 * driven[0].motor_margin)
    crushers = any(machine.kind == "crusher" for machine in results.machines)
    notes = (motors, _NO_WEAR_NOTE) if crushers and not worn else (motors,)
    drives = Section("Power", notes, power(results))
    if not worn:
        return (drives,)
    costs = liner_costs(results)
    priced = (Section("Liner cost", (_COST_NOTE,), costs),) if costs.rows else ()
    return (drives, Section("Liner wear", (_WEAR_NOTE,), wear(results)), *priced)


def power(results: Results) -> Table:
    """One row a driven machine, then their sum."""
    columns = (
        Column("tag", width=20),
        Column("drawn", "kW", "rate"),
        Column("installed by class", "kW", "rate"),
        Column("of installed", "%", "percent"),
        Column("next motor", "kW", "size"),
        Column("energy, own feed", "kWh/t", "number"),
        Column("energy, plant feed", "kWh/t", "number"),
    )
    driven = [machine for machine in results.machines if machine.drive]
    rows = [_power_row(machine) for machine in driven]
    if rows:
        drawn = math.fsum(machine.power_kw or 0.0 for machine in driven)
        stated = [m.installed_power_kw for m in driven if m.installed_power_kw is not None]
        installed = math.fsum(stated) if len(stated) == len(driven) else None
        use = drawn / installed if installed else None
        energy = drawn / results.feed_t_h
        rows.append(("all of these", drawn, installed, use, None, None, energy))
    return Table("Power", columns, tuple(rows))


def _power_row(machine: MachineResult) -> tuple[Value, ...]:
    drive, drawn, installed = machine.drive, machine.power_kw, machine.installed_power_kw
    return (
        machine.tag,
        drawn,
        installed,
        drawn / installed if drawn is not None and installed else None,
        drive.motor_kw if drive else None,
        drive.energy_kwh_t if drive else None,
        drive.energy_of_plant_feed_kwh_t if drive else None,
    )


def wear(results: Results) -> Table:
    """One row a crusher whose wear is known, then the metal worn a tonne of plant feed."""
    columns = (
        Column("tag", width=20),
        Column("feed", "t/h", "rate"),
        Column("abrasion index", kind="number"),
        Column("net energy", "kWh/t", "number"),
        Column("metal worn", "g/kWh", "rate"),
        Column("metal worn", "g/t", "rate"),
        Column("liner mass", "t", "number"),
        Column("may wear", "%", "percent"),
        Column("liner life", "h", "count"),
    )
    worn = [(machine, machine.wear) for machine in results.machines if machine.wear]
    rows: list[tuple[Value, ...]] = [
        (
            machine.tag,
            machine.feed_t_h,
            found.abrasion_index,
            found.net_energy_kwh_t,
            found.metal_g_kwh,
            found.metal_g_t,
            found.liner_mass_t,
            found.liner_wear_share,
            found.life_h,
        )
        for machine, found in worn
    ]
    if rows:
        metal = math.fsum(found.metal_g_t * machine.feed_t_h for machine, found in worn)
        a_tonne = metal / results.feed_t_h
        blank = (None, None, None)
        rows.append(("plant feed", results.feed_t_h, *blank, a_tonne, *blank))
    return Table("Liner wear", columns, tuple(rows))


def liner_costs(results: Results) -> Table:
    """One row a crusher whose liners are priced, then their sum; no rows where none is."""
    priced = [(m, m.wear, m.wear.cost) for m in results.machines if m.wear and m.wear.cost]
    money = priced[0][2].currency if priced else ""
    columns = (
        Column("tag", width=20),
        Column("feed", "t/h", "rate"),
        Column("metal price", f"{money}/kg", "number"),
        Column("price of a set", money, "count"),
        Column("own feed", f"{money}/t", "price"),
        Column("plant feed", f"{money}/t", "price"),
        Column("running", f"{money}/h", "number"),
    )
    rows: list[tuple[Value, ...]] = [
        (
            machine.tag,
            machine.feed_t_h,
            cost.price_per_kg,
            cost.set_price,
            cost.cost_per_t,
            cost.cost_of_plant_feed_per_t,
            cost.cost_per_h,
        )
        for machine, _, cost in priced
    ]
    if rows:
        of_plant = math.fsum(cost.cost_of_plant_feed_per_t for _, _, cost in priced)
        an_hour = math.fsum(cost.cost_per_h for _, _, cost in priced)
        rows.append(("all of these", None, None, None, None, of_plant, an_hour))
    return Table("Liner cost", columns, tuple(rows))
