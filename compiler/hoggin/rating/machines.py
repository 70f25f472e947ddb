"""Machines in all cases: what they are fed, give, can take and draw."""

from __future__ import annotations

from functools import cached_property

import numpy as np

from hoggin.models import catalog, power
from hoggin.models.arrays import Array, over
from hoggin.rating import (
    classifying,
    conveyors,
    demand,
    moisture,
    overload,
    rinsing,
    setting,
    slurry,
    tramp,
)
from hoggin.rating.breakage import breakage_under_feed, breaking_energy_kwh_t
from hoggin.rating.cost import machine_cost
from hoggin.rating.decks import DeckView
from hoggin.rating.dust import DustView, of_machine
from hoggin.rating.energy import DriveView, fitted_motor_kw, has_given_motor, liner_wear
from hoggin.rating.flow import Flow
from hoggin.rating.rated import Rated
from hoggin.rating.rock import RockView, rock_of
from hoggin.rating.storage import stored
from hoggin.rating.view import ListedView, picked
from hoggin.schema.kinds import KINDS
from hoggin.schema.plant import Machine
from hoggin.schema.results import MachineResult, SettingResult


class MachineView(ListedView):
    """One machine of a plant, or `count` equal ones in parallel: rates, capacity and power are of
    all of them, what a single one is, holds or wears is of each. Numbers are (B,) or (1,), NaN
    where there is no value."""

    document = MachineResult

    def __init__(self, rated: Rated, machine: Machine) -> None:
        super().__init__(machine)
        self.rated, self.machine = rated, machine
        self.kind, self.about, self.existing = machine.kind, machine.about, machine.existing
        self.class_name, self.traits = machine.class_name, dict(machine.traits)
        self.cautions, self.sources = machine.cautions, machine.sources
        self.count = rated.numbers.count(machine)
        self.settings = tuple(SettingResult(name=s.name, text=s.text) for s in machine.settings)
        self.crushes = KINDS[machine.kind].breaks

    def fact(self, name: str) -> Array | None:
        return self.rated.numbers.fact(self.machine, name)

    def number(self, name: str, case: int) -> float | None:
        """A fact in one case."""
        found: float | None = picked(self.stated(name), case)
        return found

    def stated(self, name: str, usual: float = np.nan) -> Array:
        """A fact, or what is usual where the class states none."""
        found = self.fact(name)
        return np.array([usual]) if found is None else found

    @cached_property
    def feed(self) -> Flow:
        return self.rated.into(self.tag)

    @cached_property
    def product(self) -> Flow:
        return self.rated.out_of(self.tag)

    # -- sizes ----------------------------------------------------------------------------------

    @property
    def feed_t_h(self) -> Array:
        return self.feed.rate_t_h

    @property
    def feed_of_each_t_h(self) -> Array:
        return self.feed_t_h / self.count

    @property
    def f80_mm(self) -> Array:
        return self.feed.p80_mm

    @property
    def p80_mm(self) -> Array:
        return self.product.p80_mm if self.crushes else self.none

    @property
    def reduction_ratio(self) -> Array:
        return self.f80_mm / self.p80_mm

    @property
    def top_size_mm(self) -> Array:
        return self.feed.top_size_mm

    @property
    def moisture_of_feed(self) -> Array:
        return np.where(self.feed.empty, np.nan, self.rated.moisture_into(self.tag))

    @cached_property
    def clay_of_feed(self) -> Array:
        return self.rated.clay_into(self.tag)

    @cached_property
    def rock(self) -> RockView | None:
        """The rock that it breaks, where that may be of several feeds."""
        return rock_of(self.rated, self.tag) if self.crushes else None

    # -- capacity -------------------------------------------------------------------------------

    @cached_property
    def dry_capacity_t_h(self) -> Array:
        """What it takes of dry rock by volume."""
        rock = self.rated.mixture(self.tag)
        each = self.rated.computed(
            self.machine,
            "capacity",
            solid_density_t_m3=rock.solid_density_t_m3,
            bulk_density_t_m3=rock.bulk_density_t_m3,
        )
        return each * self.count * self._spread("capacity_spread")

    @cached_property
    def volume_capacity_t_h(self) -> Array:
        """Under the moisture of its feed."""
        return self.dry_capacity_t_h * moisture.capacity_kept(self)

    @cached_property
    def capacity_t_h(self) -> Array:
        """By volume, or what its motor breaks of this feed where that is less."""
        return np.fmin(self.volume_capacity_t_h, self._motor_capacity_t_h)

    @property
    def volume_load(self) -> Array:
        """How full it is, whatever its motor does."""
        return over(self.feed_t_h, self.volume_capacity_t_h)

    @cached_property
    def load(self) -> Array:
        return over(self.loaded_t_h, self.capacity_t_h)

    @property
    def loaded_t_h(self) -> Array:
        """What its capacity is compared with: its feed, or what leaves by one of its outlets."""
        outlet = KINDS[self.kind].loaded_by
        return self.rated.leaving(self.tag, outlet).rate_t_h if outlet else self.feed_t_h

    @property
    def filling(self) -> Array:
        """How full its chamber is, 0 starved to 1 full."""
        balance = self.rated.balance
        return np.asarray(balance.filling[:, balance.machines.index(self.tag)])

    @property
    def recirculating_load(self) -> Array:
        return self.rated.balance.recirculating_load(self.tag)

    # -- power ----------------------------------------------------------------------------------

    @cached_property
    def power_kw(self) -> Array:
        return self._computed_power_kw * self._spread("power_spread")

    def _spread(self, name: str) -> Array:
        """Measured over computed: 1, but in the cases of a range."""
        return self.rated.numbers.of(("machines", self.tag, "spreads", name), 1.0)

    @property
    def _computed_power_kw(self) -> Array:
        if "belt_power" in self.machine.models:
            return conveyors.power_kw(self) * self.count
        if "pump_power" in self.machine.models:
            return slurry.power_kw(self)
        if not self.crushes:
            return self._driving_kw * self.count
        given = (self.feed_of_each_t_h, *self._reduction)
        energy = self._known_energy_kwh_t
        if energy is None:
            each = self.rated.computed(self.machine, "power", *given)
        else:
            each = self.rated.computed(self.machine, "power", *given, energy_kwh_t=energy)
        return each * self.count

    @cached_property
    def net_energy_kwh_t(self) -> Array:
        """Energy of breaking a tonne of feed, without losses: what the breakage model finds, else
        Bond's."""
        found = self._known_energy_kwh_t
        if found is None:
            found = power.bond_energy_kwh_t(*self._reduction)
        return np.where(self.feed.empty, np.nan, found)

    @property
    def _reduction(self) -> tuple[Array, Array, Array]:
        """F80 and P80, mm, and the work index of the rock, kWh/t, as Bond's energy takes them."""
        work_index = self.rated.mixture(self.tag).work_index_kwh_t
        return self.feed.p80_or_finest_mm, self.product.p80_or_finest_mm, work_index

    @cached_property
    def _known_energy_kwh_t(self) -> Array | None:
        """What the breakage model finds, for a power model of the compiler's own."""
        return breaking_energy_kwh_t(self) if self._has_own_power else None

    @property
    def _driving_kw(self) -> Array:
        """Drawn by each machine that breaks nothing; NaN where its class does not say."""
        return self.rated.computed(
            self.machine,
            "drive",
            self.loaded_t_h / self.count,
            part="power",
            decks=np.array([float(len(self.machine.decks))]),
            bulk_density_t_m3=self.rated.mixture(self.tag).bulk_density_t_m3,
        )

    motor_kw = cached_property(fitted_motor_kw)

    @property
    def installed_power_kw(self) -> Array:
        return self.motor_kw * self.count

    @property
    def _motor_capacity_t_h(self) -> Array:
        """The feed at which a crusher draws its motor's power: from idle, what it draws rises in
        proportion to its feed. NaN where that is not known, or even idling takes it all."""
        if not (self.crushes and self._has_own_power and has_given_motor(self)):
            return self.none
        idle_kw = self.rated.computed(self.machine, "power", np.zeros(1), *self._reduction)
        spare_kw = self.installed_power_kw - idle_kw * self.count
        breaking_kw = self.power_kw - idle_kw * self.count
        known = (spare_kw > 0.0) & (breaking_kw > 0.0)
        return over(self.feed_t_h * spare_kw, breaking_kw, known, np.nan)

    @property
    def _has_own_power(self) -> bool:
        """Whether its power model is the compiler's own."""
        use = self.machine.models.get("power")
        return use is None or catalog.is_own("power", use.model)

    @property
    def power_use(self) -> Array:
        return over(self.power_kw, self.installed_power_kw)

    @cached_property
    def utilization(self) -> Array:
        return overload.utilization(self)

    # -- parts that not every machine has -------------------------------------------------------

    @cached_property
    def decks(self) -> tuple[DeckView, ...]:
        return tuple(
            DeckView(self.rated, self.machine, deck, number)
            for number, deck in enumerate(self.machine.decks, 1)
        )

    @property
    def fed_machines(self) -> list[MachineView]:
        """Those that its streams run into."""
        plant = self.rated.plant
        targets = {plant.streams[index].target for index in self.rated.streams_from(self.tag)}
        return [self.rated.machine(one.tag) for one in plant.machines if one.tag in targets]

    @cached_property
    def dust(self) -> DustView | None:
        return of_machine(self.rated, self.machine)

    @cached_property
    def drive(self) -> DriveView | None:
        return None if np.isnan(self.power_kw).all() else DriveView(self)

    wear = cached_property(liner_wear)
    cost = cached_property(machine_cost)
    storage = cached_property(stored)
    belt = cached_property(conveyors.belt)
    setting = cached_property(setting.position)
    breakage = cached_property(breakage_under_feed)
    moisture = cached_property(moisture.moisture_loss)
    demand = cached_property(demand.demanded)
    thickener = cached_property(slurry.thickening)
    slurry = cached_property(slurry.slurry_through)
    rinse = cached_property(rinsing.rinsed)
    classifier = cached_property(classifying.classified)
    tramp = cached_property(tramp.tramp_at)
