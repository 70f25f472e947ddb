"""Machines against their limits: load, reduction, opening, power, tramp; decks by area and bed."""

from __future__ import annotations

import numpy as np

from hoggin.models import grading, screens
from hoggin.rating import setting
from hoggin.rating.breakage import breakage_under_feed
from hoggin.rating.conveyors import belt, belt_power_kw, conveyor_checks
from hoggin.rating.energy import drive, liner_wear
from hoggin.rating.flows import Flow, Flows
from hoggin.rating.model_use import arguments, model_in_use
from hoggin.rating.moisture import moist_capacity, moisture_loss, packing_checks, with_moisture
from hoggin.rating.screens import area_by_karra_m2, blinding_checks
from hoggin.rating.storage import storage_checks, stored
from hoggin.schema.plant import Deck, Machine
from hoggin.schema.results import Check, DeckResult, MachineResult, SettingResult, Verdict

# Common practice, no source, for all of these:
OPENING_SHARE = 0.85  # largest piece over feed opening, so that slabs don't bridge
POWER_WATCH = 0.90  # of installed power
LOAD_WATCH = 0.95
BED_FACTOR = 4.0  # bed depth at the discharge over aperture
NEAR_SIZE_WATCH = 0.30
_DEFAULT_TRAVEL_M_S = 0.4


def rate_machine(machine: Machine, flows: Flows, tramp_mm: float | None) -> MachineResult:
    """One line of the schedule. `tramp_mm` is the largest tramp metal that can arrive."""
    feed, product = flows.into(machine.tag), flows.out_of(machine.tag)
    crusher = machine.kind == "crusher"
    f80 = feed.size_at(0.8)
    p80 = product.size_at(0.8) if crusher else None
    ratio = f80 / p80 if f80 is not None and p80 is not None else None
    dry = _capacity(machine, flows)
    capacity = setting.capacity_as_fed(machine, moist_capacity(machine, flows, dry))
    load = feed.rate_t_h / capacity if capacity else None
    power = _power(machine, flows, feed, product) if crusher else belt_power_kw(machine, flows)
    installed = machine.facts.get("installed_power_kw")
    storage = stored(machine, flows)
    checks = [
        *with_moisture(_load_checks(machine, load, capacity), machine, flows),
        *_ratio_checks(machine, ratio),
        *_opening_checks(machine, feed),
        *packing_checks(machine, feed, flows),
        *_power_checks(power, installed),
        *storage_checks(storage),
        *conveyor_checks(machine, flows),
        *setting.tramp_checks(machine, tramp_mm),
    ]
    return MachineResult(
        tag=machine.tag,
        kind=machine.kind,
        class_name=machine.class_name,
        about=machine.about,
        settings=tuple(SettingResult(name=s.name, text=s.text) for s in machine.settings),
        traits=dict(machine.traits),
        feed_t_h=feed.rate_t_h,
        f80_mm=f80,
        p80_mm=p80,
        reduction_ratio=ratio,
        capacity_t_h=capacity,
        load=load,
        power_kw=power,
        installed_power_kw=installed,
        decks=_decks(machine, flows),
        checks=tuple(checks),
        cautions=machine.cautions,
        sources=machine.sources,
        drive=drive(machine, flows, power),
        wear=liner_wear(machine, flows),
        storage=storage,
        belt=belt(machine, flows),
        setting=setting.position(machine),
        breakage=breakage_under_feed(machine, feed, flows),
        moisture=moisture_loss(machine, flows, dry),
    )


def _capacity(machine: Machine, flows: Flows) -> float | None:
    found = model_in_use(machine, "capacity")
    if found is None:
        return None
    model, use = found
    rock = flows.feed_mixture(machine.tag)
    capacity = model.load("capacity")(
        **arguments(use),
        solid_density_t_m3=np.array([rock.solid_density_t_m3]),
        bulk_density_t_m3=np.array([rock.bulk_density_t_m3]),
    )
    return float(capacity[0])


def _power(machine: Machine, flows: Flows, feed: Flow, product: Flow) -> float | None:
    found = model_in_use(machine, "power")
    if found is None:
        return None
    model, use = found
    sizes = [np.array([flow.p80_or_finest_mm]) for flow in (feed, product)]
    work_index = np.array([flows.feed_mixture(machine.tag).work_index_kwh_t])
    rate = np.array([feed.rate_t_h])
    return float(model.load("power")(rate, *sizes, work_index, **arguments(use))[0])


def _check(
    name: str,
    verdict: Verdict,
    text: str,
    value: float,
    limit: float | None,
    unit: str,
    code: str | None,
) -> Check:
    return Check(
        name=name,
        verdict=verdict,
        text=text,
        value=value,
        limit=limit,
        unit=unit,
        code=None if verdict == "ok" else code,
    )


def _load_checks(machine: Machine, load: float | None, capacity: float | None) -> list[Check]:
    if load is None or capacity is None:
        return []
    if setting.fed_by_trickle(machine):
        return setting.trickle_checks(machine, load * capacity, capacity)
    least = machine.facts.get("min_load", 0.0)
    text = f"load {100 * load:.0f} % of {capacity:.0f} t/h capacity"
    if load < least:
        text += f", under the {100 * least:.0f} % that keeps the chamber full"
        return [_check("load", "watch", text, 100 * load, 100 * least, "%", "W0506")]
    verdict: Verdict = "over" if load > 1 else "watch" if load > LOAD_WATCH else "ok"
    return [_check("load", verdict, text, 100 * load, 100.0, "%", "W0501")]


def _ratio_checks(machine: Machine, ratio: float | None) -> list[Check]:
    most = machine.facts.get("max_reduction_ratio")
    if ratio is None or most is None:
        return []
    verdict: Verdict = "over" if ratio > most else "ok"
    text = f"reduction ratio {ratio:.1f}, the class's limit {most:g}"
    return [_check("reduction ratio", verdict, text, ratio, most, "", "W0502")]


def _opening_checks(machine: Machine, feed: Flow) -> list[Check]:
    opening = machine.facts.get("feed_opening_mm")
    largest = machine.facts.get("max_feed_size_mm")
    if largest is None and opening is not None:
        largest = OPENING_SHARE * opening
    top = feed.top_size_mm
    if setting.nips(machine):
        return setting.nip_checks(machine, top)
    if largest is None or top is None:
        return []
    verdict: Verdict = "over" if top > largest else "ok"
    stated = f"{100 * OPENING_SHARE:.0f} % of the {opening:.0f} mm opening" if opening else "limit"
    text = f"feed to {top:.0f} mm (98 % passing), {stated} is {largest:.0f} mm"
    return [_check("feed opening", verdict, text, top, largest, "mm", "W0503")]


def _power_checks(power: float | None, installed: float | None) -> list[Check]:
    if power is None or installed is None:
        return []
    share = power / installed
    verdict: Verdict = "over" if share > 1 else "watch" if share > POWER_WATCH else "ok"
    text = f"draws {power:.0f} kW of {installed:.0f} kW installed ({100 * share:.0f} %)"
    return [_check("installed power", verdict, text, power, installed, "kW", "W0504")]


def _decks(machine: Machine, flows: Flows) -> tuple[DeckResult, ...]:
    return tuple(
        _deck(machine, deck, number, flows) for number, deck in enumerate(machine.decks, 1)
    )


def _deck(machine: Machine, deck: Deck, number: int, flows: Flows) -> DeckResult:
    feed = flows.deck(machine.tag, deck.name)
    over = flows.deck_oversize(machine, deck.name)
    aperture = screens.equivalent_square_mm(deck.aperture_mm, deck.shape)
    undersize_fed = feed.rate_t_h * feed.passing(aperture)
    undersize_lost = over.rate_t_h * over.passing(aperture)
    efficiency = 1 - undersize_lost / undersize_fed if undersize_fed > 0 else 1.0
    density = flows.feed_mixture(machine.tag).bulk_density_t_m3
    near = 0.0
    if not feed.empty:
        mass = feed.mass_t_h[None, :]
        near = float(grading.near_size(feed.edges_mm, mass, np.array([aperture]))[0])
    area = machine.deck_area_m2 or 0.0
    needed = _needed_area(machine, deck, number, feed, density)
    bed = _bed_depth(machine, over, density)
    use = needed / area if needed is not None and area > 0 else None
    checks = [*_area_checks(use, needed, area), *_bed_checks(machine, bed, deck)]
    if not feed.empty:
        verdict: Verdict = "watch" if near > NEAR_SIZE_WATCH else "ok"
        text = f"{100 * near:.0f} % near size"
        checks.append(
            _check("near size", verdict, text, 100 * near, 100 * NEAR_SIZE_WATCH, "%", "W0509")
        )
    checks += blinding_checks(machine, deck, feed, flows)
    return DeckResult(
        name=deck.name,
        aperture_mm=deck.aperture_mm,
        shape=deck.shape,
        feed_t_h=feed.rate_t_h,
        oversize_t_h=over.rate_t_h,
        undersize_t_h=feed.rate_t_h - over.rate_t_h,
        cut_size_mm=float(flows.balance.cut_sizes_mm[(machine.tag, deck.name)][flows.case]),
        undersize_efficiency=efficiency,
        near_size=near,
        area_m2=area,
        area_needed_m2=needed,
        area_use=use,
        bed_depth_mm=bed,
        checks=tuple(checks),
        area_by_karra_m2=area_by_karra_m2(machine, deck, number, feed, density),
        slot_ratio=deck.slot_ratio,
    )


def _needed_area(
    machine: Machine, deck: Deck, number: int, feed: Flow, density: float
) -> float | None:
    found = model_in_use(machine, "area")
    if found is None:
        return None
    model, use = found
    area = model.load("needed_area")(
        feed.edges_mm,
        feed.mass_t_h[None, :],
        aperture_mm=np.array([deck.aperture_mm]),
        deck_number=np.array([number]),
        bulk_density_t_m3=np.array([density]),
        open_area=np.array([deck.open_area]),
        shape_factor=np.array([screens.opening_factor(deck.shape, deck.slot_ratio)]),
        **arguments(use),
    )
    return float(area[0])


def _bed_depth(machine: Machine, over: Flow, density: float) -> float | None:
    width = machine.facts.get("width_mm")
    if width is None:
        return None
    speed = machine.facts.get("travel_speed_m_s", _DEFAULT_TRAVEL_M_S)
    depth = screens.bed_depth_mm(
        np.array([over.rate_t_h]),
        bulk_density_t_m3=np.array([density]),
        width_m=np.array([width / 1000]),
        travel_speed_m_s=np.array([speed]),
    )
    return float(depth[0])


def _area_checks(use: float | None, needed: float | None, area: float) -> list[Check]:
    if use is None or needed is None:
        return []
    verdict: Verdict = "over" if use > 1 else "watch" if use > LOAD_WATCH else "ok"
    text = f"needs {needed:.1f} m2 of {area:.1f} m2 ({100 * use:.0f} %)"
    return [_check("deck area", verdict, text, 100 * use, 100.0, "%", "W0507")]


def _bed_checks(machine: Machine, bed: float | None, deck: Deck) -> list[Check]:
    if bed is None:
        return []
    factor = machine.facts.get("max_bed_factor", BED_FACTOR)
    most = factor * deck.aperture_mm
    verdict: Verdict = "over" if bed > most else "ok"
    text = f"bed {bed:.0f} mm at the discharge, {factor:g} x aperture is {most:.0f} mm"
    return [_check("bed depth", verdict, text, bed, most, "mm", "W0508")]
