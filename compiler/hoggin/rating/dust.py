"""Which dust sources a plant has, and what each raises by its emission factor, in all cases."""

from __future__ import annotations

from math import isnan

import numpy as np
from numpy.typing import NDArray

from hoggin.balance.result import Array
from hoggin.balance.wetting import wetting
from hoggin.models import dust
from hoggin.models.arrays import over
from hoggin.models.dust import EmissionFactors
from hoggin.rating.flow import Flow
from hoggin.rating.rated import Rated
from hoggin.rating.view import View
from hoggin.schema.kinds import KINDS
from hoggin.schema.plant import Machine
from hoggin.schema.results import DustResult

Mask = NDArray[np.bool_]

_DRY = np.array([False])
_PLACES = 9  # a stated 1.5 % is that of every stream, whatever the last digits of a sum
_NO_DATA = "primary or secondary crushing"  # the table has no factors: the tertiary's are a limit


class DustView(View):
    """One source: what runs through it, and the part of it that has the factors of fines.

    operation: what it is in each case. moisture: of what runs through, over dry solids. Where the
    stone is moist its own dust is the controlled one, and where it is wet it raises none. A part
    without a factor is left out; a source of nothing else has no value. wet: where it works in
    water, however little of that stays on what runs through.
    """

    document = DustResult

    def __init__(
        self,
        source: str,
        flow: Flow,
        moisture: Array,
        operation: NDArray[np.str_],
        factors: EmissionFactors,
        of_fines: EmissionFactors | None = None,
        fines_t_h: Array = View.none,
        wet: Mask = _DRY,
    ) -> None:
        moisture = moisture.round(_PLACES)
        self.source, self.rate_t_h, self.moisture = source, flow.rate_t_h, moisture
        self.operation, self.fines_t_h = operation, fines_t_h
        self.upper_limit = operation == _NO_DATA
        self.raises = ~flow.empty & (moisture < dust.WET) & ~wet

        fines = np.zeros(1) if of_fines is None else fines_t_h

        def raised(name: str) -> Array:
            parts = [((self.rate_t_h - fines).clip(0.0), factors)]
            if of_fines is not None:
                parts.append((fines, of_fines))
            known = [
                (t_h, one) for t_h, factors in parts if not isnan(one := getattr(factors, name))
            ]
            found = sum((dust.emission_kg_h(*part) for part in known), start=np.zeros(1))
            without = fines >= self.rate_t_h if len(known) < len(parts) else False
            return np.where(self.raises, np.where(without, np.nan, found), 0.0)

        moist = moisture >= dust.MOIST
        self.pm_controlled_kg_h, self.pm10_controlled_kg_h, self.pm25_controlled_kg_h = map(
            raised, ("pm_controlled", "pm10_controlled", "pm25_controlled")
        )
        self.pm_kg_h = np.where(moist, self.pm_controlled_kg_h, raised("pm"))
        self.pm10_kg_h = np.where(moist, self.pm10_controlled_kg_h, raised("pm10"))


def dust_sources(rated: Rated) -> tuple[DustView, ...]:
    """Crushers and dry screens in the plant's order, then every stream that falls as one transfer.

    Rock does not fall out of the point where streams meet or part, nor into what stands beside a
    belt. What works in or with water wets its streams."""
    found = [
        one
        for machine in rated.plant.machines
        if (one := rated.machine(machine.tag).dust) is not None
    ]
    machines = {machine.tag: machine for machine in rated.plant.machines}
    for index, stream in enumerate(rated.plant.streams):
        source, target = machines.get(stream.source), machines.get(stream.target)
        wet = _DRY if source is None else _wet(rated, source)
        if wet.all() or (source is not None and KINDS[source.kind].point):
            continue
        if target is not None and (KINDS[target.kind].beside or KINDS[target.kind].slurry):
            continue
        found.append(transfer(rated, stream.name, rated.stream(index), [index], wet))
    return tuple(found)


def transfer(
    rated: Rated, source: str, flow: Flow, streams: list[int], wet: Mask = _DRY
) -> DustView:
    """What some streams raise together where they are handed on."""
    water = rated.water.streams_t_h[:, streams].sum(axis=1)
    moisture = over(water, flow.rate_t_h, ~flow.empty, 0.0)
    return DustView(source, flow, moisture, np.array(["transfer"]), dust.TRANSFER, wet=wet)


def of_machine(rated: Rated, machine: Machine) -> DustView | None:
    """What a crusher or dry screen raises; None for other machines."""
    if KINDS[machine.kind].breaks:
        return _crusher(rated, machine)
    if not machine.decks or (wet := _wet(rated, machine)).all():
        return None
    return _screen(rated, machine, wet)


def _crusher(rated: Rated, machine: Machine) -> DustView:
    """By the product: fine is fines crushing, to an inch tertiary. A stated duty says so too."""
    feed, p80 = rated.into(machine.tag), rated.out_of(machine.tag).p80_mm
    size = np.where(np.isnan(p80), dust.FINES_MM, p80.round(_PLACES))  # or below all sieves
    duty = next((s.text for s in machine.settings if s.name == "duty"), machine.traits.get("duty"))
    share = dust.fines_share(size)
    tertiary = (size <= dust.TERTIARY_MM) | (duty == "tertiary")
    operation = np.where(tertiary, _named("tertiary crushing", "fines crushing", share), _NO_DATA)
    return DustView(
        machine.tag,
        feed,
        rated.moisture_into(machine.tag),
        operation,
        dust.TERTIARY,
        dust.FINES_CRUSHING,
        share * feed.rate_t_h,
    )


def _screen(rated: Rated, machine: Machine, wet: Mask) -> DustView:
    """Only what reaches a fine deck is screened as fines: each tonne has the factor of the finest
    deck that it reaches."""
    feed = rated.into(machine.tag)
    fines, finest = np.zeros(1), np.zeros(1)
    for deck in rated.machine(machine.tag).decks:
        share = np.maximum(dust.fines_share(deck.aperture_mm), finest)
        fines, finest = fines + (share - finest) * deck.feed_t_h, share
    share = over(fines, feed.rate_t_h, ~feed.empty, 0.0)
    return DustView(
        machine.tag,
        feed,
        rated.moisture_into(machine.tag),
        _named("screening", "fines screening", share),
        dust.SCREENING,
        dust.FINES_SCREENING,
        fines,
        wet,
    )


def _named(coarse: str, fine: str, fines_share: Array) -> NDArray[np.str_]:
    """An operation, by the share of it that has the factors of fines."""
    parts = [fines_share <= 0.0, fines_share >= 1.0]
    return np.select(parts, [coarse, fine], f"{coarse}, in part of fines")


def _wet(rated: Rated, machine: Machine) -> Mask:
    """In which cases it works in or with water. A setting alone brings none."""
    kind = KINDS[machine.kind]
    if kind.slurry or not machine.decks:
        return np.array([kind.slurry])
    washed = wetting(rated.plant, machine, rated.numbers).washed
    found: Mask = np.any(washed, axis=1)
    return found
