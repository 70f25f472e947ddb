"""What only crushers have: a setting, breakage, loss by moisture, and tramp metal that arrives."""

from __future__ import annotations

from typing import Annotated

from hoggin.schema import quantity as of
from hoggin.schema.quantity import Nature
from hoggin.schema.results.common import Frozen, Stated


class SettingPosition(Frozen):
    """The position of a cone's bowl or shaft, from the point where the liners touch."""

    css_mm: Annotated[float, Nature.STATED]
    moves: Stated  # "bowl_up", "shaft_down", or "" where the class does not say
    travel_mm: Annotated[
        float,
        of.DIMENSION(
            "travel of bowl or shaft from the point where the liners touch",
            label="travel of setting",
        ),
    ]
    # Turns of a threaded bowl: as a number, and as whole turns and the teeth beyond them.
    turns: Annotated[
        float | None, of.DIMENSION("turns of the bowl from the point where the liners touch")
    ] = None
    whole_turns: Annotated[int | None, Nature.DERIVED] = None
    teeth: Annotated[int | None, Nature.DERIVED] = None
    teeth_a_turn: Annotated[int | None, Nature.STATED] = None
    css_a_tooth_mm: Annotated[float | None, of.DIMENSION("change of the setting by one tooth")] = (
        None
    )
    liner_set: Stated = ""


class TrampResult(Frozen):
    """Tramp metal at a crusher, magnet or detector. Of iron, what a magnet holds; of the rest, what
    none does. By the way that brings most: a piece may take any."""

    iron_mm: Annotated[float | None, of.SIZE("largest tramp iron of the feeds", ask="tramp_iron")]
    iron_share: Annotated[
        float | None, of.LOAD("share of the tramp iron pieces that may arrive", "iron arriving")
    ]
    other_mm: Annotated[
        float | None, of.SIZE("largest tramp metal that no magnet holds", ask="tramp_other")
    ]
    other_share: Annotated[
        float | None,
        of.LOAD("share of the pieces of other tramp metal that may arrive", "other arriving"),
    ]
    piece_every_h: Annotated[
        float | None, of.DIMENSION("mean time between two arriving pieces", ask="tramp_every")
    ]
    stop_every_h: Annotated[
        float | None,
        of.DIMENSION(
            "mean time between two stops of a detector for tramp", kinds=("metal_detector",)
        ),
    ]


class BreakageResult(Frozen):
    """A crusher's breakage with its feed, if it depends on the feed's F80 or rock."""

    follows_f80: Annotated[bool, Nature.DERIVED]
    follows_rock: Annotated[bool, Nature.DERIVED]
    f80_mm: Annotated[float, Nature.DERIVED]
    k1_mm: Annotated[float, of.SIZE("size below which no piece is broken", label="K1")]
    k2_mm: Annotated[float, of.SIZE("size above which every piece is broken", label="K2")]
    t10: Annotated[float | None, of.RATIO("t10 of its feed")]


class MoistureResult(Frozen):
    """The loss of a crusher's capacity by moisture, if its class states one."""

    moisture: Annotated[float, Nature.DERIVED]  # that of its feed
    dry_capacity_t_h: Annotated[float, of.RATE("capacity for dry rock")]
    lost: Annotated[
        float,
        of.LOAD(
            "share of the dry capacity lost to moisture",
            label="capacity lost to moisture",
            ask="capacity_lost",
        ),
    ]
