"""Which dust sources a plant has, and what each raises by its emission factor, in all cases."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from hoggin.balance.result import Array
from hoggin.models import dust
from hoggin.models.dust import EmissionFactors
from hoggin.rating.flow import Flow
from hoggin.rating.rated import Rated
from hoggin.rating.view import View
from hoggin.schema.kinds import KINDS
from hoggin.schema.plant import Machine
from hoggin.schema.results import DustResult

_NO_DATA = "primary or secondary crushing"  # the table has no factors: the tertiary's are a limit
_CRUSHING: tuple[tuple[str, EmissionFactors], ...] = (
    ("fines crushing", dust.FINES_CRUSHING),
    ("tertiary crushing", dust.TERTIARY),
    (_NO_DATA, dust.TERTIARY),
)


class DustView(View):
    """One source. `operations` are those it may be, `which` the one it is in each case."""

    document = DustResult

    def __init__(
        self,
        source: str,
        flow: Flow,
        operations: tuple[tuple[str, EmissionFactors], ...],
        which: NDArray[np.intp],
    ) -> None:
        self.source, self.flow, self.rate_t_h = source, flow, flow.rate_t_h
        self.operation = np.array([name for name, _ in operations])[which]
        self.upper_limit = self.operation == _NO_DATA

        def raised(name: str) -> Array:
            factors = [getattr(factors, name) for _, factors in operations]
            return dust.emission_kg_h(flow.rate_t_h, np.array(factors)[which])

        self.pm_kg_h, self.pm_controlled_kg_h = raised("pm"), raised("pm_controlled")
        self.pm10_kg_h, self.pm10_controlled_kg_h = raised("pm10"), raised("pm10_controlled")


def dust_sources(rated: Rated) -> tuple[DustView, ...]:
    """Crushers and dry screens in the plant's order, then every stream as one transfer. Machines
    that work wet, streams of slurry and streams to what stands beside a belt are left out."""
    raised = (rated.machine(machine.tag).dust for machine in rated.plant.machines)
    kinds = {machine.tag: KINDS[machine.kind] for machine in rated.plant.machines}
    found = [one for one in raised if one is not None]
    for index, stream in enumerate(rated.plant.streams):
        source, target = kinds.get(stream.source), kinds.get(stream.target)
        if (target and (target.beside or target.slurry)) or (source and source.slurry):
            continue
        found.append(transfer(stream.name, rated.stream(index)))
    return tuple(found)


def transfer(source: str, flow: Flow) -> DustView:
    """What a flow raises where it is handed on."""
    always = np.zeros(1, dtype=np.intp)
    return DustView(source, flow, (("transfer", dust.TRANSFER),), always)


def of_machine(rated: Rated, machine: Machine) -> DustView | None:
    """What a crusher or dry screen raises; None for other machines."""
    feed = rated.into(machine.tag)
    if KINDS[machine.kind].breaks:
        return DustView(machine.tag, feed, _CRUSHING, _crushing(rated, machine))
    if machine.decks and not _wet(machine):
        path = ("machines", machine.tag, "decks", machine.decks[-1].name, "aperture_mm")
        fine = rated.numbers.of(path, machine.decks[-1].aperture_mm) <= dust.FINES_MM
        screening = (("screening", dust.SCREENING), ("fines screening", dust.FINES_SCREENING))
        return DustView(machine.tag, feed, screening, fine.astype(np.intp))
    return None


def _crushing(rated: Rated, machine: Machine) -> NDArray[np.intp]:
    """By the product: fine is fines crushing, to an inch tertiary. A stated duty says so too."""
    p80 = rated.out_of(machine.tag).p80_mm
    size = np.where(np.isnan(p80), 0.0, p80)  # below the finest sieve
    duty = next((s.text for s in machine.settings if s.name == "duty"), machine.traits.get("duty"))
    tertiary = (size <= dust.TERTIARY_MM) | (duty == "tertiary")
    return np.where(size <= dust.FINES_MM, 0, np.where(tertiary, 1, 2))


def _wet(machine: Machine) -> bool:
    sprayed = any(deck.spray_m3_h > 0 for deck in machine.decks)
    return sprayed or machine.facts.get("wet", 0.0) > 0
