"""A machine's power, its motor, and what its running costs."""

from __future__ import annotations

from typing import Annotated

from hoggin.schema import quantity as of
from hoggin.schema.quantity import Nature
from hoggin.schema.results.common import Frozen, Stated


class DriveResult(Frozen):
    """The power of a machine's drive, and its motor."""

    energy_kwh_t: Annotated[
        float | None, of.ENERGY("power drawn over the machine's own feed", called="specific energy")
    ]
    energy_of_plant_feed_kwh_t: Annotated[float, of.ENERGY("power drawn over the plant's feed")]
    motor_margin: Annotated[float, Nature.STATED]  # for starting and peaks, over the drawn power
    motor_kw: Annotated[
        float | None,
        of.DIMENSION("motor: the class's, else the next of the series, with its margin"),
    ]
    demand_kw: Annotated[
        float | None,
        of.POWER("electrical power it takes from the supply", "electrical demand", "demand"),
    ]


class LinerCost(Frozen):
    """What liners cost, in the plant's currency. A set is bought whole, and its wear share is worn
    off; where the class states no such share, the metal worn off is priced alone."""

    currency: Stated
    price_money_kg: Annotated[float, of.WEAR("price of liner metal", called="liner price")]
    cost_money_t: Annotated[
        float,
        of.WEAR(
            "price of liner metal per tonne of its own feed",
            label="liner cost per tonne",
            ask="liner_cost",
        ),
    ]
    cost_of_plant_feed_money_t: Annotated[
        float,
        of.WEAR(
            "price of liner metal per tonne of plant feed",
            label="liner cost per tonne of plant feed",
            ask="liner_cost_of_plant_feed",
        ),
    ]
    cost_money_h: Annotated[
        float, of.WEAR("price of liner metal per hour", called="liner cost per hour")
    ]
    set_price_money: Annotated[
        float | None,
        of.WEAR("price of one set of liners, metal only", "price of a set", "liner_set_price"),
    ]


class WearResult(Frozen):
    """Liner metal worn off a crusher, from the abrasion index of its feed."""

    abrasion_index: Annotated[float, of.WEAR("abrasion index of its feed")]
    net_energy_kwh_t: Annotated[float, of.ENERGY("energy of breaking, without losses")]
    metal_g_kwh: Annotated[
        float, of.WEAR("liner metal worn off per net energy", ask="metal_of_energy")
    ]
    metal_g_t: Annotated[
        float, of.WEAR("liner metal worn off per tonne of its own feed", called="liner metal")
    ]
    liner_mass_t: Annotated[float | None, of.WEAR("metal of a set of liners")]
    liner_wear_share: Annotated[
        float | None, of.LOAD("share of the liners' metal that may wear off")
    ]
    life_h: Annotated[float | None, of.WEAR("hours until the liners are worn", called="liner life")]
    cost: LinerCost | None = None


class MachineCost(Frozen):
    """What a machine costs at the plant's own prices, in its currency; none without a price."""

    energy_money_h: Annotated[
        float | None, of.COST("cost of the power drawn, per hour", called="energy cost per hour")
    ]
    liners_money_h: Annotated[float | None, of.COST("cost of its liners, per hour", ask="")]
    parts_money_h: Annotated[float | None, of.COST("cost of its other parts, per hour", ask="")]
    total_money_h: Annotated[
        float | None, of.COST("energy, liners and parts per hour", called="running cost per hour")
    ]
    budget_money: Annotated[
        float | None,
        of.COST("price of the machines; none of existing ones", ask="", stated=True),
    ]
