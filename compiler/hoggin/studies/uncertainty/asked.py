"""What a study of uncertainty reports: every product and load, and the required results."""

from __future__ import annotations

from collections.abc import Iterable
from operator import attrgetter

from hoggin.schema.asked import asked
from hoggin.schema.plant import Meets, Plant, Product
from hoggin.schema.results import DeckResult, MachineResult, Results
from hoggin.studies.runner.outputs import Output, of_reading, of_requirements

_KEY_SHARES = (0.85, 0.5, 0.15)  # passing: where no band says which sieves matter


def told(plant: Plant, start: Results) -> list[Output]:
    """Outputs in order: products, machines, the plant, then the required results.

    start: the results with every number at its start.
    """
    found: list[Output] = []
    for product in plant.products:
        found += [of_reading("product", product.tag, q) for q in ("rate", "p80")]
        found += [
            of_reading("product", product.tag, "passing", size)
            for size in _key_sieves(product, plant, start)
        ]
    for machine in start.machines:
        found += known_results(machine.kind, machine.tag, machine, ("load", "power"))
        for deck in machine.decks:
            found += known_results("deck", f"{machine.tag}.{deck.name}", deck, ("area_use",))
    found += [of_reading("plant", "", q) for q in ("power", "energy")]
    return found + of_requirements(plant)


def known_results(
    kind: str, subject: str, thing: MachineResult | DeckResult, names: Iterable[str]
) -> list[Output]:
    """The results of a thing that have a value."""
    known = asked(kind)
    return [
        of_reading(kind, subject, name)
        for name in names
        if name in known and attrgetter(".".join(known[name].path))(thing) is not None
    ]


def foremost(plant: Plant) -> list[Output]:
    """The key results: rates of the products, and the required results."""
    rates = [of_reading("product", product.tag, "rate") for product in plant.products]
    return rates + of_requirements(plant)


def _key_sieves(product: Product, plant: Plant, start: Results) -> list[float]:
    """The sieves of a product's bands; otherwise the reporting sieves where its curve is nearest to
    85, 50 and 15 % passing."""
    bands = [
        r.band for r in plant.requirements if isinstance(r, Meets) and r.product == product.tag
    ]
    if bands:
        binding = (p for band in bands for p in band.points if p.low > 0 or p.high < 1)
        return sorted({point.size_mm for point in binding}, reverse=True)
    made = next(one for one in start.products if one.tag == product.tag)
    curve = list(zip(start.sieves_mm, made.passing, strict=True))
    inside = [(size, passing) for size, passing in curve if 0.01 < passing < 0.99]
    nearest = {min(inside, key=lambda s: abs(s[1] - share))[0] for share in _KEY_SHARES if inside}
    return sorted(nearest, reverse=True)
