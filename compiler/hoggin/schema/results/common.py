"""What the parts of a results document share: how a field says what it holds, and the quantities of
every flow of rock."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import GetJsonSchemaHandler
from pydantic_core import CoreSchema

from hoggin.schema import frozen
from hoggin.schema import quantity as of
from hoggin.schema.declared import results_of
from hoggin.schema.quantity import Nature

Verdict = Literal["ok", "watch", "over"]  # within limits, near or outside good practice, beyond
Judgement = Literal["met", "not met", "not judged"]  # the last downstream of an overload
Key = Annotated[str, Nature.KEY]
Stated = Annotated[str, Nature.STATED]
Text = Annotated[str, Nature.TEXT]
Texts = Annotated[tuple[str, ...], Nature.TEXT]
Derived = Annotated[str, Nature.DERIVED]
Moisture = Annotated[float | None, of.SHARE("water over dry solids; none if nothing flows")]
Solids = Annotated[float | None, of.OF_SHARE("dry solids over the mass of solids and water")]
WaterRate = Annotated[float, of.WATER("water per hour")]
Flakiness = Annotated[
    float | None, of.SHAPE("share of flaky pieces, of the sizes 4 mm to 100 mm (EN 933-3)")
]
FlatElongated = Annotated[
    float | None,
    of.SHAPE(
        "share of flat and elongated pieces, 4.75 mm to 100 mm (ASTM D4791)",
        label="flat and elongated",
    ),
]
P80 = Annotated[
    float | None, of.SIZE("size that 80 % passes; none below the finest sieve", label="P80")
]
P50 = Annotated[float | None, of.SIZE("size that 50 % passes", label="P50")]
Rate = Annotated[float, of.RATE("dry solids per hour")]
ShareOfFeed = Annotated[
    float, of.OF_RATE("rate over the plant's feed", label="share of feed", ask="share")
]
Passing = Annotated[
    tuple[float, ...], of.PASSING("share finer than a size: `passing(4 mm)`", sizes="sieves_mm")
]
VoidBy = Annotated[tuple[str, ...], Nature.MARK]
"""The overloaded machines that a part of the plant is downstream of: its numbers are void."""
PerYear = Annotated[
    float | None,
    of.YEARLY("dry tonnes in the hours per year that the plant states", ask="per_year"),
]


class Frozen(frozen.Frozen):
    @classmethod
    def __get_pydantic_json_schema__(
        cls, core_schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        """With what is declared of each result: meaning, unit, family, weighing, tolerance."""
        found = handler(core_schema)
        properties = handler.resolve_ref_schema(found)["properties"]
        for one in results_of(cls):
            properties[one.field] |= one.json_schema()
        return found


class Listed(Frozen):
    """What documents call a feed, machine or product. Its tag is its name, which routes use; its
    item tag is the site's own."""

    tag: Key
    title: Stated = ""
    item_tag: Stated = ""
    sheet: Stated = ""  # of the drawing
    notes: Annotated[tuple[str, ...], Nature.STATED] = ()

    @property
    def shown_tag(self) -> str:
        """The tag that documents lead with."""
        return self.item_tag or self.tag


class Check(Frozen):
    """One limit checked on a machine or deck, in trade terms."""

    name: Key  # "load", "reduction ratio", "feed opening", "installed power", "bed depth" ...
    verdict: Annotated[Verdict, Nature.VERDICT]
    text: Derived  # "load 112 % of 310 t/h capacity"
    value: Annotated[float, of.MARGIN("value compared with the limit", ask="")]
    limit: Annotated[float | None, of.MARGIN("the limit", ask="")]
    unit: Key  # "%", "mm", "kW", ""
    code: Annotated[str | None, Nature.DERIVED]  # diagnostic code when not ok, e.g. "W0503"
    fit: Derived = ""  # what would do where it is over: "`head: 1150 mm` or `count 2`"


class RockShare(Frozen):
    """The part of one feed of the plant."""

    feed: Key
    share: Annotated[float, of.SHARE("share by mass of a feed", ask="")]


class RockResult(Frozen):
    """The rock that enters a crusher or product, in a plant with several feeds."""

    shares: tuple[RockShare, ...]
    solid_density_t_m3: Annotated[float, of.DIMENSION("density of the solid rock")]
    bulk_density_t_m3: Annotated[float, of.DIMENSION("density of the broken, loose rock")]
    work_index_kwh_t: Annotated[float, of.ENERGY("Bond's work index of the rock")]
    abrasion_index: Annotated[float | None, of.RATIO("Bond's abrasion index of the rock")]
