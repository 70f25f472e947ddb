"""Which dust sources a plant has, and what each raises by its emission factor."""

from __future__ import annotations

from hoggin.models import dust
from hoggin.models.dust import EmissionFactors
from hoggin.rating.flows import Flows
from hoggin.schema.plant import Machine
from hoggin.schema.results import DustResult

_NO_DATA = "primary or secondary crushing"  # the table has no factors: the tertiary's are a limit


def dust_sources(flows: Flows) -> tuple[DustResult, ...]:
    """Crushers, then dry screens, as declared; then every stream as one transfer. Machines that
    work wet and streams that carry nothing are left out."""
    found = []
    for machine in flows.plant.machines:
        chosen = _operation(machine, flows)
        rate_t_h = flows.into(machine.tag).rate_t_h
        if chosen is not None and not flows.into(machine.tag).empty:
            found.append(_raised(machine.tag, *chosen, rate_t_h))
    for index, stream in enumerate(flows.plant.streams):
        flow = flows.stream(index)
        if not flow.empty:
            found.append(_raised(stream.name, "transfer", dust.TRANSFER, flow.rate_t_h))
    return tuple(found)


def _operation(machine: Machine, flows: Flows) -> tuple[str, EmissionFactors] | None:
    if machine.kind == "crusher":
        return _crushing(machine, flows)
    if machine.kind == "screen" and not _wet(machine):
        if machine.decks[-1].aperture_mm <= dust.FINES_MM:
            return "fines screening", dust.FINES_SCREENING
        return "screening", dust.SCREENING
    return None


def _crushing(machine: Machine, flows: Flows) -> tuple[str, EmissionFactors]:
    """By the product: fine is fines crushing, to an inch tertiary. A stated duty says so too."""
    p80 = flows.out_of(machine.tag).size_at(0.8)
    size = 0.0 if p80 is None else p80  # below the finest sieve
    if size <= dust.FINES_MM:
        return "fines crushing", dust.FINES_CRUSHING
    duty = next((s.text for s in machine.settings if s.name == "duty"), machine.traits.get("duty"))
    if size <= dust.TERTIARY_MM or duty == "tertiary":
        return "tertiary crushing", dust.TERTIARY
    return _NO_DATA, dust.TERTIARY


def _wet(machine: Machine) -> bool:
    sprayed = any(deck.spray_m3_h > 0 for deck in machine.decks)
    return sprayed or machine.facts.get("wet", 0.0) > 0


def _raised(source: str, operation: str, factors: EmissionFactors, rate_t_h: float) -> DustResult:
    def kg_h(factor: float) -> float:
        return float(dust.emission_kg_h(rate_t_h, factor)[0])

    return DustResult(
        source=source,
        operation=operation,
        upper_limit=operation == _NO_DATA,
        rate_t_h=rate_t_h,
        pm_kg_h=kg_h(factors.pm),
        pm_controlled_kg_h=kg_h(factors.pm_controlled),
        pm10_kg_h=kg_h(factors.pm10),
        pm10_controlled_kg_h=kg_h(factors.pm10_controlled),
    )
