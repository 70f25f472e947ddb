"""What breaking costs in power and metal: energy a tonne, the next motor size, liner life."""

from __future__ import annotations

from math import isfinite

from hoggin.models import motors, power, wear
from hoggin.rating.flows import Flow, Flows
from hoggin.rating.model_use import model_in_use
from hoggin.schema.plant import Machine
from hoggin.schema.results import DriveResult, LinerCost, MachineResult, WearResult

MOTOR_MARGIN = 0.15  # over the drawn power; common practice, no source


def drive(machine: Machine, flows: Flows, drawn_kw: float | None) -> DriveResult | None:
    """Energy a tonne and the next motor size; None for a machine whose power is not known."""
    if drawn_kw is None:
        return None
    feed_t_h = flows.into(machine.tag).rate_t_h
    motor = float(motors.next_motor_kw(drawn_kw, MOTOR_MARGIN)[0])
    return DriveResult(
        energy_kwh_t=drawn_kw / feed_t_h if feed_t_h > 0 else None,
        energy_of_plant_feed_kwh_t=drawn_kw / flows.plant_feed_t_h,
        motor_margin=MOTOR_MARGIN,
        motor_kw=motor if isfinite(motor) else None,
    )


def liner_wear(machine: Machine, flows: Flows) -> WearResult | None:
    """Liner metal a tonne and liner life; None where the class or the rock says too little."""
    found = model_in_use(machine, "wear")
    index = _abrasion_index(machine, flows)
    if found is None or index is None:
        return None
    model, _ = found
    feed, product = flows.into(machine.tag), flows.out_of(machine.tag)
    g_kwh = float(model.load("wear")(abrasion_index=index)[0])
    net = _net_energy_kwh_t(machine, flows, feed, product)
    g_t = g_kwh * net
    mass, share = machine.facts.get("liner_mass_t"), machine.facts.get("liner_wear_share")
    life = None
    if mass is not None and share is not None and g_t > 0 and feed.rate_t_h > 0:
        life = float(wear.liner_life_h(mass * share, g_t, feed.rate_t_h)[0])
    return WearResult(
        abrasion_index=index,
        net_energy_kwh_t=net,
        metal_g_kwh=g_kwh,
        metal_g_t=g_t,
        liner_mass_t=mass,
        liner_wear_share=share,
        life_h=life,
        cost=_liner_cost(machine, flows, feed.rate_t_h, g_t),
    )


def liner_cost_of(machine: MachineResult) -> float | None:
    """Liner cost a tonne of a machine's own feed; None where it is not known."""
    return machine.wear.cost.per_t if machine.wear and machine.wear.cost else None


def _liner_cost(machine: Machine, flows: Flows, feed_t_h: float, g_t: float) -> LinerCost | None:
    price = machine.facts.get("liner_price_per_t")
    if price is None:
        return None
    mass, share = machine.facts.get("liner_mass_t"), machine.facts.get("liner_wear_share", 1.0)
    per_t = float(wear.liner_cost_per_t(g_t, price, share)[0])
    return LinerCost(
        currency=flows.plant.currency,
        price_per_kg=price / 1000.0,
        per_t=per_t,
        of_plant_feed_per_t=per_t * feed_t_h / flows.plant_feed_t_h,
        per_h=per_t * feed_t_h,
        set_price=None if mass is None else mass * price,
    )


def _net_energy_kwh_t(machine: Machine, flows: Flows, feed: Flow, product: Flow) -> float:
    """Bond's energy of breaking, without the losses of the machine."""
    if feed.empty:
        return 0.0
    coarse, fine = (flow.p80_or_finest_mm for flow in (feed, product))
    work_index = flows.feed_mixture(machine.tag).work_index_kwh_t
    return float(power.bond_energy_kwh_t(coarse, fine, work_index)[0])


def _abrasion_index(machine: Machine, flows: Flows) -> float | None:
    """Mean of the rocks in the feed by mass; None where one of them states none."""
    shares = flows.material_shares(machine.tag)
    total = 0.0
    for name, share in shares.items():
        index = flows.plant.materials[name].abrasion_index
        if share > 0 and index is None:
            return None
        total += share * (index or 0.0)
    return total if shares else None
