"""Power, motors and liner wear: two sections of the equipment schedule."""

from __future__ import annotations

import math

from hoggin.report.fields import TAG, Field, Kind, quantity, result, results_of, supply, table
from hoggin.report.tables import Section, Table, where_rows
from hoggin.schema.declared import declared
from hoggin.schema.kinds import DRIVEN, KINDS
from hoggin.schema.results import MachineResult, Results
from hoggin.schema.units import in_currency

_MOTOR_NOTE = (
    "Motor: the one that the class states, else the smallest of the common series (as IEC 60072-1 "
    "and, from 160 kW, ISO 3 R20; from memory) for the power that the class is designed for, else "
    "for the drawn power and its reserve for starting and peaks (common practice, no source). "
    "Altitude, heat and the way of starting are for the drive's designer."
)
_DEMAND_NOTE = (
    "Drawn power is at the shaft. Demand is what motors take from the supply while all run at this "
    "feed, at the efficiency of class IE3 (IEC 60034-30-1, from memory). Lighting, controls, "
    "heating, compressors, water supply and standby machines are not included."
)
_EACH_NOTE = (
    "Of equal machines in parallel the motor is that of each; power drawn, connected and demanded "
    "is of all of them."
)
_UNKNOWN_NOTE = "The class of these machines states no power, so no sum includes them: {tags}."
_WEAR_NOTE = (
    "For a first estimate; wear measured on site takes precedence. Jaws, gyratories, cones and "
    "rolls: after Bond (1963), from memory, a laboratory law on net breaking energy. Impactors: in "
    "proportion to the abrasion index and to the energy that the rotor gives, at the class's rate "
    "(common practice, no source). The life is that of evenly worn liners with this feed. The "
    "class states the liner mass and the share of it that may wear."
)
_COST_NOTE = (
    "The plant states the price of the metal. A set is bought whole, but only the share that may "
    "wear is worn off. So the cost per tonne is the price of a set over the tonnes crushed in a "
    "liner life; if no such share is stated, it is the price of the worn metal alone. Fitting, "
    "backing, downtime and scrap value are not included."
)
_NO_WEAR_NOTE = (
    "There are no figures for liner wear: they need a crusher whose class has a wear model, and "
    "the abrasion_index of every material in its feed."
)


def sections(results: Results) -> tuple[Section, ...]:
    """Power with the motor, then liner wear; empty where no power is known."""
    driven = [machine.drive for machine in results.machines if machine.drive]
    if not driven:
        return ()
    worn = any(machine.wear for machine in results.machines)
    crushers = any(KINDS[machine.kind].breaks for machine in results.machines)
    notes = (
        _MOTOR_NOTE,
        _DEMAND_NOTE,
        *((_EACH_NOTE,) if quantity(results.machines) else ()),
        *_unknown(results),
        *((_NO_WEAR_NOTE,) if crushers and not worn else ()),
    )
    drives = Section("Power", notes, power(results))
    if not worn:
        return (drives,)
    priced = where_rows("Liner cost", (_COST_NOTE,), liner_costs(results))
    return (drives, Section("Liner wear", (_WEAR_NOTE,), wear(results)), *priced)


def _unknown(results: Results) -> tuple[str, ...]:
    """A note on machines that turn, and whose power is not known."""
    tags = [m.shown_tag for m in results.machines if m.kind in DRIVEN and m.drive is None]
    return (_UNKNOWN_NOTE.format(tags=", ".join(tags)),) if tags else ()


_POWER = (
    result(MachineResult, "power_kw", "drawn"),
    result(MachineResult, "drive.motor_kw", "motor", kind="stated"),
    result(MachineResult, "installed_power_kw", "connected", kind="stated"),
    result(MachineResult, "power_use", "of connected"),
    result(MachineResult, "drive.demand_kw", "demand"),
    result(MachineResult, "drive.energy_kwh_t", "energy, own feed"),
    result(MachineResult, "drive.energy_of_plant_feed_kwh_t", "energy, plant feed"),
)


def power(results: Results) -> Table:
    """One row a driven machine, then their sum."""
    driven = [machine for machine in results.machines if machine.drive]
    several, supplied = quantity(driven), supply(driven)
    found = table("Power", (TAG, *supplied, *several, *_POWER), driven)
    if not driven:
        return found
    drawn, connected, demand, use = sums(results)
    energy = drawn / results.feed_t_h
    motors = (sum(machine.count for machine in driven),) if several else ()
    apart = (None,) * len(supplied)
    totals = (drawn, None, connected, use, demand, None, energy)
    return found.then("all of these", *apart, *motors, *totals)


def sums(results: Results) -> tuple[float, float, float, float | None]:
    """Of all driven machines: power drawn, connected and demanded, and drawn over connected."""
    driven = [machine for machine in results.machines if machine.drive]
    drawn = math.fsum(machine.power_kw or 0.0 for machine in driven)
    connected = math.fsum(machine.installed_power_kw or 0.0 for machine in driven)
    demand = math.fsum(m.drive.demand_kw or 0.0 for m in driven if m.drive)
    return drawn, connected, demand, drawn / connected if connected else None


_WEAR = (
    TAG,
    *results_of(MachineResult, "feed_t_h", "wear.abrasion_index", "wear.net_energy_kwh_t"),
    result(MachineResult, "wear.metal_g_kwh", "metal worn"),
    result(MachineResult, "wear.metal_g_t", "metal worn"),
    result(MachineResult, "wear.liner_mass_t"),
    result(MachineResult, "wear.liner_wear_share", "may wear"),
    result(MachineResult, "wear.life_h"),
)


def wear(results: Results) -> Table:
    """One row a crusher whose wear is known, then the metal worn a tonne of plant feed."""
    worn = [machine for machine in results.machines if machine.wear]
    found = table("Liner wear", _WEAR, worn)
    if not worn:
        return found
    metal = math.fsum(m.wear.metal_g_t * m.feed_t_h for m in worn if m.wear)
    blank = (None, None, None)
    return found.then("plant feed", results.feed_t_h, *blank, metal / results.feed_t_h, *blank)


def liner_costs(results: Results) -> Table:
    """One row a crusher whose liners are priced, then their sum; no rows where none is."""
    priced = [machine for machine in results.machines if machine.wear and machine.wear.cost]
    costs = [m.wear.cost for m in priced if m.wear and m.wear.cost]
    money = costs[0].currency if costs else ""

    def cost(name: str, heading: str, kind: Kind) -> Field:
        path = f"wear.cost.{name}"
        unit = in_currency(declared(MachineResult, path).unit, money)
        return result(MachineResult, path, heading, unit=unit, kind=kind)

    fields = (
        TAG,
        result(MachineResult, "feed_t_h"),
        cost("price_money_kg", "metal price", "number"),
        cost("set_price_money", "price of a set", "count"),
        cost("cost_money_t", "own feed", "price"),
        cost("cost_of_plant_feed_money_t", "plant feed", "price"),
        cost("cost_money_h", "running", "number"),
    )
    found = table("Liner cost", fields, priced)
    if not costs:
        return found
    of_plant = math.fsum(cost.cost_of_plant_feed_money_t for cost in costs)
    an_hour = math.fsum(cost.cost_money_h for cost in costs)
    return found.then("all of these", None, None, None, None, of_plant, an_hour)
