"""What a plant gives in a year, over all the states it is run in: a sum over their hours."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from hoggin.balance import balance
from hoggin.rating.rated import Rated
from hoggin.rating.readings import Readings, Year
from hoggin.schema import quantity as of
from hoggin.schema.asked import asked_of, readings
from hoggin.schema.plant import Limit, Place, Plant, Reading
from hoggin.schema.states import hours_of


def year_of(plants: Sequence[Plant]) -> Year:
    """By the place of each requirement on what is of a year: the tonnages over the states that it
    holds in. `plants` are the plant as it is written, then its cases. Empty where no case has hours
    of its own, or nothing of a year is required. Raises CannotSettle and ModelError.

    A case gives its rate times its own hours. What the cases do not run of the plant's hours is run
    as it is written; a case without hours is not run.
    """
    hours = hours_of(plants)
    asked = [dict.fromkeys(_yearly(plant)) for plant in plants]
    if len(plants) < 2 or not any(asked) or all(h is None for h in hours[1:]):
        return {}
    parts: dict[Place, dict[Reading, list[float]]] = {}
    for plant, run_h, wanted in zip(plants, hours, asked, strict=True):
        rated = Rated(plant, balance(plant)) if wanted and run_h else None
        known = None if rated is None else Readings(rated)
        for place, reading in wanted:
            if rated is not None and known is not None and run_h and plant.hours_per_year:
                void = bool(rated.overload.above_reading(reading))
                # In all the hours that the state has.
                a_year = math.nan if void else float(known.read(reading)[0])
                tonnes = parts.setdefault(place, {}).setdefault(reading, [])
                tonnes.append(a_year * run_h / plant.hours_per_year)
    return {
        place: {reading: math.fsum(tonnes) for reading, tonnes in of_place.items()}
        for place, of_place in parts.items()
    }


def _yearly(plant: Plant) -> Iterator[tuple[Place, Reading]]:
    for one in plant.requirements:
        for reading in readings(one.expression) if isinstance(one, Limit) else ():
            if asked_of(plant, reading).quantity.family is of.YEARLY:
                yield one.place, reading
