"""Results by the names a requirement uses, for all cases at once.

The usual ones are worked out in one pass over arrays; the rest (water, shape, wear, storage) case
by case, as rating does.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache

import numpy as np
from numpy.typing import NDArray

from hoggin.balance.result import Array, Balance
from hoggin.models import catalog, grading, screens
from hoggin.rating.flows import Flows
from hoggin.rating.rate import read_result
from hoggin.rating.setting import fed_by_trickle
from hoggin.schema.plant import (
    Combination,
    Constant,
    Deck,
    Expression,
    Limit,
    Machine,
    Meets,
    Reading,
    Requirement,
)
from hoggin.studies.runner.cases import Cases

_EMPTY_T_H = 1e-9
_DEFAULT_TRAVEL_M_S = 0.4


class Reader:
    """Reads the settled cases of a study; every array is (S,), S cases."""

    def __init__(self, cases: Cases, settled: NDArray[np.intp], balance: Balance) -> None:
        self._cases, self._settled, self._balance = cases, settled, balance
        self._plant = cases.plant
        self._machines = {machine.tag: machine for machine in cases.plant.machines}
        self._edges = balance.edges_mm
        self._cached = cache(self._read)

    # -- expressions and requirements ------------------------------------------------------------

    def value(self, expression: Expression) -> Array:
        match expression:
            case Constant(value=value):
                return np.full(len(self._settled), value)
            case Reading():
                return self._cached(expression)
            case Combination(operator=operator, left=left, right=right):
                a, b = self.value(left), self.value(right)
                with np.errstate(divide="ignore", invalid="ignore"):
                    found: Array = {"+": np.add, "-": np.subtract, "*": np.multiply}.get(
                        operator, np.divide
                    )(a, b)
                return np.where(np.isfinite(found), found, np.nan)

    def margin(self, requirement: Requirement) -> Array:
        """By how much a requirement is met, in its unit (per cent passing for a band); below 0
        where it is not, NaN where there is no value to judge."""
        if isinstance(requirement, Meets):
            return self._band_margin(requirement)
        return self._limit_margin(requirement)

    def _limit_margin(self, limit: Limit) -> Array:
        value = self.value(limit.expression) / limit.unit_size
        sides = [] if limit.low is None else [value - limit.low]
        sides += [] if limit.high is None else [limit.high - value]
        nearest: Array = np.min(sides, axis=0)
        return nearest

    def _band_margin(self, meets: Meets) -> Array:
        mass = self._into(meets.product)
        margins = []
        for point in meets.band.points:
            passing = self._passing(mass, point.size_mm)
            if point.low > 0:
                # 100 % asked for and had is no near miss.
                reached = (point.low == 1) & (passing >= 1 - 5e-4)
                margins.append(np.where(reached, np.inf, passing - point.low))
            if point.high < 1:
                margins.append(point.high - passing)
        worst = np.min(margins, axis=0) if margins else np.full(len(self._settled), np.inf)
        found: Array = 100.0 * np.where(np.isinf(worst), 1.0, worst)
        return np.where(mass.sum(axis=1) < _EMPTY_T_H, -100.0, found)

    # -- single results --------------------------------------------------------------------------

    def _read(self, reading: Reading) -> Array:
        found = self._quick(reading)
        return self._one_by_one(reading) if found is None else found

    def _one_by_one(self, reading: Reading) -> Array:
        values = np.full(len(self._settled), np.nan)
        for place, case in enumerate(self._settled):
            flows = Flows(self._cases.plant_of(int(case)), self._balance, place)
            value = read_result(flows, reading)
            if value is not None:
                values[place] = value
        return values

    def _quick(self, reading: Reading) -> Array | None:
        """The result from arrays; None for one that is not among them."""
        subject, quantity = reading.subject, reading.quantity
        if subject == "":
            return self._of_plant(quantity)
        if subject in self._machines:
            of_machine = self._of_machine(self._machines[subject]).get(quantity)
            return None if of_machine is None else of_machine()
        tag, _, deck = subject.rpartition(".")
        if tag in self._machines and subject not in self._ends():
            machine = self._machines[tag]
            place = next(i for i, d in enumerate(machine.decks) if d.name == deck)
            of_deck = self._of_deck(machine, place).get(quantity)
            return None if of_deck is None else of_deck()
        return self._of_stream(reading)

    def _ends(self) -> set[str]:
        plant = self._plant
        return {feed.tag for feed in plant.feeds} | {product.tag for product in plant.products}

    def _of_plant(self, quantity: str) -> Array | None:
        if quantity == "rate":
            return self._feed_rate()
        if quantity not in ("power", "energy"):
            return None
        drawing = [m for m in self._plant.machines if m.kind in ("crusher", "conveyor")]
        powers = [self._cached(Reading(subject=m.tag, quantity="power")) for m in drawing]
        total = np.sum(powers, axis=0) if powers else np.zeros(len(self._settled))
        found: Array = total if quantity == "power" else total / self._feed_rate()
        return found

    def _feed_rate(self) -> Array:
        rates = self._cases.circuit.rates_t_h.sum(axis=1)
        return np.broadcast_to(rates, (self._cases.count,))[self._settled]

    def _of_stream(self, reading: Reading) -> Array | None:
        feeds = {feed.tag for feed in self._plant.feeds}
        mass = (
            self._out_of(reading.subject)
            if reading.subject in feeds
            else self._into(reading.subject)
        )
        rate: Array = mass.sum(axis=1)
        empty = rate < _EMPTY_T_H
        match reading.quantity:
            case "rate":
                return rate
            case "share":
                return np.divide(rate, self._feed_rate())
            case "p80" | "p50":
                return self._size_at(mass, float(reading.quantity[1:]) / 100)
            case "fineness_modulus":
                return np.where(empty, np.nan, grading.fineness_modulus(self._edges, mass))
            case "passing" | "retained" if reading.size_mm is not None:
                passing = self._passing(mass, reading.size_mm)
                found = passing if reading.quantity == "passing" else 1 - passing
                return np.where(empty, np.nan, found)
        return None

    def _of_machine(self, machine: Machine) -> Mapping[str, Callable[[], Array | None]]:
        feed, product = self._into(machine.tag), self._out_of(machine.tag)
        f80 = self._size_at(feed, 0.8)

        def p80() -> Array:
            crusher = machine.kind == "crusher"
            return self._size_at(product, 0.8) if crusher else np.full(len(feed), np.nan)

        return {
            "rate": lambda: feed.sum(axis=1),
            "f80": lambda: f80,
            "p80": p80,
            "reduction_ratio": lambda: f80 / p80(),
            "recirculating_load": lambda: self._recirculating_load(machine.tag),
            "load": lambda: self._load(machine, feed),
            "power": lambda: self._power(machine, feed, product),
            "power_use": lambda: self._over(
                self._power(machine, feed, product), self._fact(machine, "installed_power_kw")
            ),
            "specific_energy": lambda: self._over(
                self._power(machine, feed, product), feed.sum(axis=1)
            ),
        }

    @staticmethod
    def _over(part: Array | None, whole: Array | None) -> Array | None:
        if part is None or whole is None:
            return None
        share: Array = np.divide(part, whole, out=np.full(part.shape, np.nan), where=whole > 0)
        return share

    def _load(self, machine: Machine, feed: Array) -> Array | None:
        if self._fact(machine, "moisture_capacity_loss") is not None:
            return None  # hangs on water, which is followed case by case
        found = self._model(machine, "capacity")
        if found is None:
            return np.full(len(feed), np.nan)
        capacity = found.load("capacity")(
            **self._coefficients(machine, "capacity"),
            solid_density_t_m3=self._mixed(machine.tag, "solid_density_t_m3", volumes=True),
            bulk_density_t_m3=self._mixed(machine.tag, "bulk_density_t_m3", volumes=True),
        )
        if fed_by_trickle(machine):
            least = self._fact(machine, "min_load")
            capacity = capacity * (1.0 if least is None else least)
        return self._over(feed.sum(axis=1), np.broadcast_to(capacity, len(feed)))

    def _power(self, machine: Machine, feed: Array, product: Array) -> Array | None:
        if machine.kind != "crusher":
            return None  # a conveyor carries its water
        found = self._model(machine, "power")
        if found is None:
            return np.zeros(len(feed))
        sizes = [self._or_finest(self._size_at(mass, 0.8)) for mass in (feed, product)]
        power: Array = found.load("power")(
            feed.sum(axis=1),
            *sizes,
            self._mixed(machine.tag, "work_index_kwh_t", volumes=False),
            **self._coefficients(machine, "power"),
        )
        return np.broadcast_to(power, len(feed))

    def _or_finest(self, size: Array) -> Array:
        """P80 for Bond's law, which needs a size: the finest sieve where it lies below that."""
        return np.where(np.isnan(size), self._edges[-2], size)

    def _recirculating_load(self, tag: str) -> Array:
        loop = next((loop for loop in self._balance.loops if tag in loop.machines), None)
        if loop is None:
            return np.zeros(len(self._settled))
        inside = set(loop.machines)
        fresh = [
            s
            for s, stream in enumerate(self._plant.streams)
            if stream.target in inside and stream.source not in inside
        ]
        rates = self._balance.streams_t_h.sum(axis=2)
        entering, round_ = rates[:, fresh].sum(axis=1), rates[:, loop.closing_streams].sum(axis=1)
        load: Array = np.divide(round_, entering, out=np.zeros_like(round_), where=entering > 0)
        return load

    def _of_deck(self, machine: Machine, place: int) -> Mapping[str, Callable[[], Array | None]]:
        deck = machine.decks[place]
        feed = self._balance.deck_feeds_t_h[machine.tag, deck.name]
        over = self._sum(
            s
            for s, stream in enumerate(self._plant.streams)
            if stream.source == machine.tag and stream.outlet == f"{deck.name}.over"
        )
        return {
            "rate": lambda: feed.sum(axis=1),
            "cut_size": lambda: self._balance.cut_sizes_mm[machine.tag, deck.name],
            "area_use": lambda: self._area_use(machine, deck, place + 1, feed),
            "bed_depth": lambda: self._bed_depth(machine, over),
            "efficiency": lambda: self._efficiency(machine, deck, feed, over),
        }

    def _area_use(self, machine: Machine, deck: Deck, number: int, feed: Array) -> Array | None:
        found = self._model(machine, "area")
        area = self._deck_area(machine)
        if found is None or area is None:
            return np.full(len(feed), np.nan)
        needed = found.load("needed_area")(
            self._edges,
            feed,
            aperture_mm=self._aperture(machine, deck),
            deck_number=np.array([number]),
            bulk_density_t_m3=self._mixed(machine.tag, "bulk_density_t_m3", volumes=True),
            open_area=np.array([deck.open_area]),
            shape_factor=np.array([screens.opening_factor(deck.shape, deck.slot_ratio)]),
            **self._coefficients(machine, "area"),
        )
        return self._over(needed, np.broadcast_to(area, len(feed)))

    def _deck_area(self, machine: Machine) -> Array | None:
        area = self._fact(machine, "area_m2")
        width, length = self._fact(machine, "width_mm"), self._fact(machine, "length_mm")
        if area is not None:
            return area
        return None if width is None or length is None else width * length / 1e6

    def _aperture(self, machine: Machine, deck: Deck) -> Array:
        path = ("machines", machine.tag, "decks", deck.name, "aperture_mm")
        return self._number(path, deck.aperture_mm)

    def _bed_depth(self, machine: Machine, over: Array) -> Array | None:
        width = self._fact(machine, "width_mm")
        if width is None:
            return np.full(len(over), np.nan)
        speed = self._fact(machine, "travel_speed_m_s")
        return screens.bed_depth_mm(
            over.sum(axis=1),
            bulk_density_t_m3=self._mixed(machine.tag, "bulk_density_t_m3", volumes=True),
            width_m=width / 1000,
            travel_speed_m_s=np.array([_DEFAULT_TRAVEL_M_S]) if speed is None else speed,
        )

    def _efficiency(self, machine: Machine, deck: Deck, feed: Array, over: Array) -> Array:
        square = [
            screens.equivalent_square_mm(float(a), deck.shape)
            for a in self._aperture(machine, deck)
        ]
        fed, lost = (
            mass.sum(axis=1) * grading.passing_at(self._edges, mass, np.array(square))
            for mass in (feed, over)
        )
        lost_share = np.divide(lost, fed, out=np.zeros_like(fed), where=fed > 0)
        found: Array = 1.0 - lost_share
        return found

    # -- numbers and flows -----------------------------------------------------------------------

    def _number(self, path: tuple[str | int, ...], plain: float) -> Array:
        """A number of the plant in the settled cases, (1,) where it is the same in all."""
        found = self._cases.numbers.get(path)
        if found is None or len(found) == 1:
            return np.array([plain]) if found is None else found
        return found[self._settled]

    def _fact(self, machine: Machine, name: str) -> Array | None:
        plain = machine.facts.get(name)
        if plain is None:
            return None
        return self._number(("machines", machine.tag, "facts", name), plain)

    @staticmethod
    def _model(machine: Machine, role: str) -> catalog.Model | None:
        use = machine.models.get(role)
        return None if use is None else catalog.find(role, use.model)

    def _coefficients(self, machine: Machine, role: str) -> dict[str, Array]:
        base = ("machines", machine.tag, "models", role, "coefficients")
        plain = machine.models[role].coefficients
        return {name: self._number((*base, name), value) for name, value in plain.items()}

    def _mixed(self, tag: str, name: str, *, volumes: bool) -> Array:
        """A property of what runs into a machine: volumes add for densities, masses for energy."""
        names = sorted(self._plant.materials)
        own = np.stack(
            np.broadcast_arrays(
                *(
                    self._number(("materials", n, name), getattr(self._plant.materials[n], name))
                    for n in names
                )
            ),
            axis=1,
        )
        into = [s for s, stream in enumerate(self._plant.streams) if stream.target == tag]
        rates = self._balance.streams_t_h[:, into].sum(axis=2)
        masses = np.einsum("bs,bsk->bk", rates, self._balance.composition[:, into])
        total = masses.sum(axis=1, keepdims=True)
        weights = np.divide(
            masses, total, out=np.full(masses.shape, 1 / len(names)), where=total > 0
        )
        mean: Array = 1 / (weights / own).sum(axis=1) if volumes else (weights * own).sum(axis=1)
        return mean

    def _sum(self, streams: object) -> Array:
        chosen = list(streams)  # type: ignore[call-overload]
        total: Array = self._balance.streams_t_h[:, chosen].sum(axis=1)
        return total

    def _into(self, tag: str) -> Array:
        return self._sum(s for s, stream in enumerate(self._plant.streams) if stream.target == tag)

    def _out_of(self, tag: str) -> Array:
        return self._sum(s for s, stream in enumerate(self._plant.streams) if stream.source == tag)

    def _size_at(self, mass: Array, fraction: float) -> Array:
        """Size a fraction passes; NaN for an empty flow or below the finest sieve."""
        empty = mass.sum(axis=1) < _EMPTY_T_H
        filled = np.where(empty[:, None], 1.0, mass)
        size = grading.size_at(self._edges, filled, np.array([fraction]))
        return np.where(empty | (size < self._edges[-2]), np.nan, size)

    def _passing(self, mass: Array, size_mm: float) -> Array:
        empty = mass.sum(axis=1) < _EMPTY_T_H
        filled = np.where(empty[:, None], 1.0, mass)
        share = grading.passing_at(self._edges, filled, np.array([size_mm]))
        return np.where(empty, 0.0, share)
