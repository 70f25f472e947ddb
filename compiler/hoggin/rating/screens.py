"""Screen decks beyond their load: a second opinion on the area, and blinding by damp fines."""

from __future__ import annotations

from hoggin.models import screens
from hoggin.models.partition import karra_area_m2
from hoggin.rating.flows import Flow, Flows
from hoggin.schema.plant import Deck, Machine
from hoggin.schema.results import Check


def area_by_karra_m2(
    machine: Machine, deck: Deck, number: int, feed: Flow, bulk_density_t_m3: float
) -> float | None:
    """Area at which Karra's capacity is just used up; None for a screen that is not cut by it."""
    use = machine.models.get("partition")
    if use is None or use.model != "karra":
        return None
    area = karra_area_m2(
        feed.edges_mm,
        feed.mass_t_h[None, :],
        aperture_mm=screens.equivalent_square_mm(deck.aperture_mm, deck.shape),
        deck_number=number,
        bulk_density_t_m3=bulk_density_t_m3,
        open_area=deck.open_area,
        inclination=use.coefficients.get("inclination", 0.0),
        wet=use.coefficients.get("wet", 0.0),
    )
    return float(area[0])


def blinding_checks(machine: Machine, deck: Deck, feed: Flow, flows: Flows) -> list[Check]:
    """Damp fines on a fine, dry deck (the rule and its standing: `screens.blinding_likely`)."""
    if feed.empty or _wet(machine, deck) or deck.aperture_mm >= screens.BLINDING_APERTURE_MM:
        return []
    moisture = flows.moisture_into(machine.tag)
    likely = screens.blinding_likely(deck.aperture_mm, moisture)
    return [
        Check(
            name="blinding",
            verdict="watch" if likely else "ok",
            text=f"{deck.aperture_mm:g} mm screened dry at {100 * moisture:.1f} % moisture; fines "
            f"stick above about {100 * screens.BLINDING_MOISTURE:g} %",
            value=100 * moisture,
            limit=100 * screens.BLINDING_MOISTURE,
            unit="%",
            code="W0523" if likely else None,
        )
    ]


def _wet(machine: Machine, deck: Deck) -> bool:
    use = machine.models.get("partition")
    by_model = use.coefficients.get("wet", 0.0) if use is not None else 0.0
    return max(machine.facts.get("wet", 0.0), by_model, deck.spray_m3_h) > 0.0
