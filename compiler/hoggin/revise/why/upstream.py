"""The part of a plant that a result depends on: everything upstream of it.

What is downstream of a machine or product does not affect it, so it need not be balanced.
"""

from __future__ import annotations

from collections.abc import Iterator

from hoggin.graph import reached
from hoggin.revise.why.result import asked
from hoggin.schema.asked import readings, thing_of
from hoggin.schema.plant import Plant, Product

_ELSEWHERE = " elsewhere"  # no name of the language


def upstream(plant: Plant) -> Plant:
    """The plant without what the result asked for does not depend on; a result of the plant as
    a whole depends on all of it."""
    subjects = set(_subjects(plant))
    if "" in subjects:
        return plant
    kept = _reached_back(plant, subjects)
    feeds = tuple(feed for feed in plant.feeds if feed.tag in kept)
    used = {feed.material for feed in feeds}
    streams = tuple(
        stream if stream.target in kept else stream.model_copy(update={"target": _ELSEWHERE})
        for stream in plant.streams
        if stream.source in kept
    )
    elsewhere = Product(tag=_ELSEWHERE, title="", place=plant.place)
    products = tuple(product for product in plant.products if product.tag in kept)
    return plant.model_copy(
        update={
            "feeds": feeds,
            "materials": {name: m for name, m in plant.materials.items() if name in used},
            "machines": tuple(machine for machine in plant.machines if machine.tag in kept),
            "streams": streams,
            "products": (*products, elsewhere),
        }
    )


def _subjects(plant: Plant) -> Iterator[str]:
    """Tags of what the result is read from; "" for the plant."""
    things = {feed.tag for feed in plant.feeds} | {product.tag for product in plant.products}
    things |= {machine.tag for machine in plant.machines}
    for reading in readings(asked(plant)):
        yield thing_of(reading.subject, things)
        if reading.quantity == "share":  # of all that is fed
            yield from (feed.tag for feed in plant.feeds)


def _reached_back(plant: Plant, starts: set[str]) -> set[str]:
    """The starts and everything from which material comes to them."""
    sources: dict[str, list[str]] = {}
    for stream in plant.streams:
        sources.setdefault(stream.target, []).append(stream.source)
    return reached(starts, sources)
