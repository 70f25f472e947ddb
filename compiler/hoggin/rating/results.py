"""The results document: the one thing every backend reads, and Hoggin's versioned JSON format.

Fractions are 0 to 1 (a backend shows per cent). Numbers are full precision here; each backend
rounds for its reader. Lists are in a fixed order: feeds, machines and products as declared,
streams by their source's order. Generate its JSON schema with `Results.model_json_schema()`.
"""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict

FORMAT_VERSION = 1
Verdict = Literal["ok", "watch", "over"]  # within limits, near or outside good practice, beyond


class _Frozen(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class StreamResult(_Frozen):
    """One stream of the mass balance (dry solids)."""

    name: str  # "sizing.top.over -> secondary"
    source: str  # tag
    outlet: str  # "" for a feed, "product", "top.over", "under" ...
    target: str  # tag of a machine or product
    rate_t_h: float
    share_of_feed: float
    passing: tuple[float, ...]  # at Results.sieves_mm
    p80_mm: float | None  # None for an empty stream, or P80 below the finest sieve
    p50_mm: float | None
    moisture: float  # water over dry solids
    recirculating: bool  # True on the streams that close a loop


class Check(_Frozen):
    """One limit checked on a machine or deck, in the trade's words."""

    name: str  # "load", "reduction ratio", "feed opening", "installed power", "bed depth" ...
    verdict: Verdict
    text: str  # "load 112 % of 310 t/h capacity"
    value: float
    limit: float | None
    unit: str  # "%", "mm", "kW", ""
    code: str | None  # diagnostic code when not ok, e.g. "W0503"


class DeckResult(_Frozen):
    name: str
    aperture_mm: float
    shape: str
    feed_t_h: float
    oversize_t_h: float
    undersize_t_h: float
    cut_size_mm: float  # d50
    undersize_efficiency: float  # undersize recovered to the undersize stream, fraction
    near_size: float  # fraction of deck feed between 0.75 and 1.25 x aperture
    area_m2: float
    area_needed_m2: float | None
    area_use: float | None  # needed / fitted
    bed_depth_mm: float | None  # at the discharge end
    checks: tuple[Check, ...]


class SettingResult(_Frozen):
    name: str
    text: str


class MachineResult(_Frozen):
    """One line of the equipment schedule."""

    tag: str
    kind: str
    class_name: str
    about: str
    settings: tuple[SettingResult, ...]
    traits: dict[str, str]
    feed_t_h: float
    f80_mm: float | None
    p80_mm: float | None  # of the whole product (all outlets together for a screen)
    reduction_ratio: float | None  # F80 / P80
    capacity_t_h: float | None
    load: float | None  # feed / capacity
    power_kw: float | None  # drawn
    installed_power_kw: float | None
    decks: tuple[DeckResult, ...]
    checks: tuple[Check, ...]
    cautions: tuple[str, ...]
    sources: tuple[str, ...]


class LoopResult(_Frozen):
    """A closed circuit: the machines in it and what goes round."""

    machines: tuple[str, ...]
    fresh_feed_t_h: float
    recirculating_t_h: float
    recirculating_load: float  # recirculating / fresh feed


class BandVerdict(_Frozen):
    """A product's grading against one specification, sieve by sieve (coarse to fine)."""

    name: str
    about: str
    source: str
    sizes_mm: tuple[float, ...]
    low: tuple[float, ...]
    high: tuple[float, ...]
    passing: tuple[float, ...]
    met: bool
    worst_size_mm: float | None
    worst_margin: float  # fraction passing inside (+) or outside (-) the nearest limit


class ProductResult(_Frozen):
    tag: str
    title: str
    rate_t_h: float
    share_of_feed: float
    passing: tuple[float, ...]
    p80_mm: float | None
    fineness_modulus: float | None  # ASTM C136 / EN 12620 sense, from the ASTM sieves
    curve: tuple[tuple[float, float], ...]  # (size mm, fraction passing) on the solver's grid
    bands: tuple[BandVerdict, ...]


class RequirementResult(_Frozen):
    text: str
    met: bool
    value_text: str  # "118.4 t/h", "worst at 12.5 mm: 22.1 % passing, 25 % to 60 % wanted"
    limit_text: str  # ">= 120 t/h"
    margin: float  # in the requirement's unit; negative when not met
    margin_text: str  # "-1.6 t/h (-1.3 %)"
    file: str
    line: int


class FeedResult(_Frozen):
    tag: str
    material: str
    rate_t_h: float
    passing: tuple[float, ...]
    p80_mm: float | None
    moisture: float


class Warning(_Frozen):
    """A trade warning from rating: not an error, the documents are still issued."""

    code: str
    text: str
    help: str
    file: str
    line: int
    column: int


class Closure(_Frozen):
    """How well the balance closes: the largest error of a size class is under `worst` of plant
    feed (a power of ten, no finer than 1e-12), after so many iterations on load."""

    worst: float
    iterations: int


class Results(_Frozen):
    format_version: int = FORMAT_VERSION
    compiler_version: str
    title: str
    revision: str
    source_file: str
    sieves_mm: tuple[float, ...]
    feeds: tuple[FeedResult, ...]
    streams: tuple[StreamResult, ...]
    machines: tuple[MachineResult, ...]
    products: tuple[ProductResult, ...]
    loops: tuple[LoopResult, ...]
    requirements: tuple[RequirementResult, ...]
    warnings: tuple[Warning, ...]
    closure: Closure
    feed_t_h: float
    power_kw: float  # all crushers
    energy_kwh_t: float
    cautions: tuple[str, ...]  # that hold for the whole plant
    assumptions: tuple[str, ...]
