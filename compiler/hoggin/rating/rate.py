"""The rating phase from end to end: a plant and its balance in, the results document out."""

from __future__ import annotations

from math import ceil, log10

from hoggin import __version__
from hoggin.balance.result import Balance
from hoggin.models import grading
from hoggin.rating.breakage import assumptions
from hoggin.rating.dust import dust_sources
from hoggin.rating.energy import liner_cost_of
from hoggin.rating.flows import Flow, Flows
from hoggin.rating.machines import rate_machine
from hoggin.rating.requirements import band_verdict, evaluate, readings, verdict
from hoggin.rating.shape import Shapes
from hoggin.rating.warnings import warnings
from hoggin.schema.plant import Expression, Feed, Meets, Plant, Product, Reading
from hoggin.schema.results import (
    Closure,
    FeedResult,
    LoopResult,
    MachineResult,
    ProductResult,
    Provenance,
    Results,
    StreamResult,
    WaterResult,
)

_DUST_POWER = -12
_DUST = 10.0**_DUST_POWER

CAUTIONS = (
    "Results are predictions for design, not guarantees; local codes, the makers' instructions "
    "and licensed engineering practice govern.",
    "Lock out, tag and prove dead every energy source before entering, clearing or adjusting a "
    "machine; rotating parts, springs and hydraulics store energy after power is off.",
    "Guard all moving parts, nip points and drops; keep people out of the line of feed and "
    "discharge.",
    "Tramp metal: detect and remove it before the crushers; a stalled chamber holds great force.",
    "Dust from stone may hold respirable crystalline silica: suppress, enclose, extract and "
    "measure; noise is harmful to hearing: enclose and protect.",
)
ASSUMPTIONS = (
    "Steady state; rates are of dry solids. Water goes pro rata with them, but sprayed decks, "
    "dewatering screens and classifiers drain to the moisture their class states.",
    "Within a size class material is spread evenly over the logarithm of size.",
    "A machine is well mixed: what leaves it has the material composition of its feed.",
    "Crushers' gradings depend on setting, chamber, speed and way of feeding, not on load; "
    "screens' cut sizes depend on load.",
    "Feed opening is judged at 98 % passing against 85 % of the opening, bed depth at the "
    "discharge against 4 apertures, unless the class says otherwise (common practice, no source).",
)


def rate(
    plant: Plant,
    balance: Balance,
    source_file: str,
    case: int = 0,
    *,
    provenance: Provenance | None = None,
) -> Results:
    """Rate one case of a balance. `provenance` is noted in the results as it is given."""
    flows = Flows(plant, balance, case)
    tramp = _arriving_tramp(plant)
    machines = tuple(rate_machine(m, flows, tramp.get(m.tag)) for m in plant.machines)
    loops = _loops(flows)
    products = tuple(_product(product, flows) for product in plant.products)
    shapes = Shapes(flows)
    readings = _Readings(flows, {m.tag: m for m in machines}, loops, shapes)
    requirements = tuple(
        verdict(requirement, readings.read, flows.into) for requirement in plant.requirements
    )
    power = sum(machine.power_kw or 0.0 for machine in machines)
    feed_rate = flows.plant_feed_t_h
    return Results(
        compiler_version=__version__,
        title=plant.title,
        revision=plant.revision,
        source_file=source_file,
        sieves_mm=plant.sieves_mm,
        feeds=shapes.of_feeds(_feed(feed, flows) for feed in plant.feeds),
        streams=shapes.of_streams(_streams(flows)),
        machines=machines,
        products=shapes.of_products(products),
        loops=loops,
        requirements=requirements,
        warnings=(*warnings(plant, machines, loops, requirements), *shapes.warnings),
        closure=_closure(float(balance.closure[case]), balance.iterations),
        feed_t_h=feed_rate,
        power_kw=power,
        energy_kwh_t=power / feed_rate,
        cautions=CAUTIONS,
        assumptions=(*ASSUMPTIONS, *assumptions(machines), *shapes.assumptions),
        dust=dust_sources(flows),
        hours_per_year=plant.hours_per_year,
        water=_water(flows),
        plant=plant,
        provenance=provenance,
    )


def read_result(flows: Flows, expression: Expression) -> float | None:
    """One expression over the results of a case, in trade units and fractions; None where it has
    no value. No more machines are rated than it names: for one figure of many cases."""
    subjects = {reading.subject for reading in readings(expression)}
    machines = {
        machine.tag: rate_machine(machine, flows, None)
        for machine in flows.plant.machines
        if machine.tag in subjects
        or any(f"{machine.tag}.{deck.name}" in subjects for deck in machine.decks)
        or ("" in subjects and machine.kind in ("crusher", "conveyor"))  # what draws power
    }
    return evaluate(expression, _Readings(flows, machines, _loops(flows), Shapes(flows)).read)


def _closure(worst: float, iterations: int) -> Closure:
    """The error as a power of ten, no finer than 1e-12: below that it is the dust of floating
    point, which differs between processors and would make the same plant give other bytes."""
    power = ceil(log10(worst)) if worst > _DUST else _DUST_POWER
    return Closure(worst=10.0 ** max(power, _DUST_POWER), iterations=iterations)


def _arriving_tramp(plant: Plant) -> dict[str, float]:
    """Largest tramp metal that can reach each machine: that of every feed upstream of it."""
    arriving: dict[str, float] = {}
    onward: dict[str, list[str]] = {}
    for stream in plant.streams:
        onward.setdefault(stream.source, []).append(stream.target)
    for feed in plant.feeds:
        if feed.tramp_mm is None:
            continue
        todo, seen = [feed.tag], {feed.tag}
        while todo:
            for target in onward.get(todo.pop(), ()):
                if target not in seen:
                    seen.add(target)
                    todo.append(target)
                    arriving[target] = max(arriving.get(target, 0.0), feed.tramp_mm)
    return arriving


def _passing(flow: Flow, sieves_mm: tuple[float, ...]) -> tuple[float, ...]:
    return tuple(flow.passing(size) for size in sieves_mm)


def _feed(feed: Feed, flows: Flows) -> FeedResult:
    flow = flows.out_of(feed.tag)
    return FeedResult(
        tag=feed.tag,
        material=feed.material,
        rate_t_h=feed.rate_t_h,
        passing=_passing(flow, flows.plant.sieves_mm),
        p80_mm=flow.size_at(0.8),
        moisture=flows.plant.materials[feed.material].moisture,
    )


def _streams(flows: Flows) -> tuple[StreamResult, ...]:
    closing = {index for loop in flows.balance.loops for index in loop.closing_streams}
    found = []
    for index, stream in enumerate(flows.plant.streams):
        flow = flows.stream(index)
        found.append(
            StreamResult(
                name=stream.name,
                source=stream.source,
                outlet=stream.outlet,
                target=stream.target,
                rate_t_h=flow.rate_t_h,
                share_of_feed=flow.rate_t_h / flows.plant_feed_t_h,
                passing=_passing(flow, flows.plant.sieves_mm),
                p80_mm=flow.size_at(0.8),
                p50_mm=flow.size_at(0.5),
                moisture=0.0 if flow.empty else flows.water_t_h(index) / flow.rate_t_h,
                recirculating=index in closing,
                water_t_h=flows.water_t_h(index),
            )
        )
    return tuple(found)


def _water(flows: Flows) -> WaterResult:
    case, found = flows.case, flows.water
    with_feeds, added = float(found.with_feeds_t_h[case]), float(found.added_t_h[case])
    products = {product.tag for product in flows.plant.products}
    leaving = sum(
        flows.water_t_h(index)
        for index, stream in enumerate(flows.plant.streams)
        if stream.target in products
    )
    return WaterResult(with_feeds_t_h=with_feeds, added_t_h=added, with_products_t_h=leaving)


def _product(product: Product, flows: Flows) -> ProductResult:
    flow = flows.into(product.tag)
    bands = [
        requirement.band
        for requirement in flows.plant.requirements
        if isinstance(requirement, Meets) and requirement.product == product.tag
    ]
    return ProductResult(
        tag=product.tag,
        title=product.title,
        rate_t_h=flow.rate_t_h,
        share_of_feed=flow.rate_t_h / flows.plant_feed_t_h,
        passing=_passing(flow, flows.plant.sieves_mm),
        p80_mm=flow.size_at(0.8),
        fineness_modulus=_fineness_modulus(flow),
        curve=flow.curve(),
        bands=tuple(band_verdict(band, flow) for band in bands),
    )


def _fineness_modulus(flow: Flow) -> float | None:
    if flow.empty:
        return None
    return float(grading.fineness_modulus(flow.edges_mm, flow.mass_t_h[None, :])[0])


def _loops(flows: Flows) -> tuple[LoopResult, ...]:
    found = []
    for loop in flows.balance.loops:
        inside = set(loop.machines)
        fresh = round_ = 0.0
        for index, stream in enumerate(flows.plant.streams):
            rate_t_h = flows.stream(index).rate_t_h
            if stream.target in inside and stream.source not in inside:
                fresh += rate_t_h
            if index in loop.closing_streams:
                round_ += rate_t_h
        found.append(
            LoopResult(
                machines=loop.machines,
                fresh_feed_t_h=fresh,
                recirculating_t_h=round_,
                recirculating_load=round_ / fresh if fresh > 0 else 0.0,
            )
        )
    return tuple(found)


class _Readings:
    """Results by the names a requirement uses, in trade units and fractions."""

    def __init__(
        self,
        flows: Flows,
        machines: dict[str, MachineResult],
        loops: tuple[LoopResult, ...],
        shapes: Shapes,
    ) -> None:
        self._flows = flows
        self._machines = machines
        self._loops = loops
        self._shapes = shapes
        self._feeds = {feed.tag for feed in flows.plant.feeds}

    def read(self, reading: Reading) -> float | None:
        if reading.subject == "":
            return self._of_plant(reading.quantity)
        if reading.subject in self._machines:
            return self._of_machine(self._machines[reading.subject], reading.quantity)
        machine, _, deck = reading.subject.rpartition(".")
        if machine in self._machines and reading.subject not in self._tags():
            return self._of_deck(self._machines[machine], deck, reading.quantity)
        return self._of_stream(reading)

    def _tags(self) -> set[str]:
        return self._feeds | {product.tag for product in self._flows.plant.products}

    def _of_plant(self, quantity: str) -> float:
        power = sum(machine.power_kw or 0.0 for machine in self._machines.values())
        rate_t_h = self._flows.plant_feed_t_h
        return {"rate": rate_t_h, "power": power, "energy": power / rate_t_h}[quantity]

    def _of_machine(self, machine: MachineResult, quantity: str) -> float | None:
        if quantity == "recirculating_load":
            own = [loop for loop in self._loops if machine.tag in loop.machines]
            return own[0].recirculating_load if own else 0.0
        if quantity == "power_use":
            installed = machine.installed_power_kw
            return machine.power_kw / installed if machine.power_kw and installed else None
        return {
            "rate": machine.feed_t_h,
            "load": machine.load,
            "power": machine.power_kw,
            "reduction_ratio": machine.reduction_ratio,
            "f80": machine.f80_mm,
            "p80": machine.p80_mm,
            "specific_energy": machine.drive.energy_kwh_t if machine.drive else None,
            "live": machine.storage.live_t if machine.storage else None,
            "surge_time": machine.storage.surge_time_h if machine.storage else None,
            "liner_life": machine.wear.life_h if machine.wear else None,
            "liner_cost": liner_cost_of(machine),
        }[quantity]

    def _of_deck(self, machine: MachineResult, name: str, quantity: str) -> float | None:
        deck = next(deck for deck in machine.decks if deck.name == name)
        return {
            "rate": deck.feed_t_h,
            "area_use": deck.area_use,
            "efficiency": deck.undersize_efficiency,
            "bed_depth": deck.bed_depth_mm,
            "cut_size": deck.cut_size_mm,
        }[quantity]

    def _of_stream(self, reading: Reading) -> float | None:
        tag, flows = reading.subject, self._flows
        flow = flows.out_of(tag) if tag in self._feeds else flows.into(tag)
        match reading.quantity:
            case "rate":
                return flow.rate_t_h
            case "share":
                return flow.rate_t_h / flows.plant_feed_t_h
            case "p80":
                return flow.size_at(0.8)
            case "p50":
                return flow.size_at(0.5)
            case "fineness_modulus":
                return _fineness_modulus(flow)
            case "moisture":
                return self._moisture(tag)
            case "flakiness" | "flat_elongated":
                return self._shapes.into(tag, reading.quantity)
        if flow.empty or reading.size_mm is None:
            return None
        passing = flow.passing(reading.size_mm)
        return passing if reading.quantity == "passing" else 1 - passing

    def _moisture(self, tag: str) -> float:
        feeds = {feed.tag: feed for feed in self._flows.plant.feeds}
        if tag in feeds:
            return self._flows.plant.materials[feeds[tag].material].moisture
        return self._flows.moisture_into(tag)
