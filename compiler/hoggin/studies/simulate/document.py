"""The result of a simulation as data, for its tables and plot.

Hours are of shift time; tonnes are dry. A mean is over the runs; one run in ten is below P10, and
one in ten is above P90.
"""

from __future__ import annotations

from typing import Literal, get_args

from hoggin.schema.frozen import Frozen

State = Literal[
    "running", "short of feed", "blocked", "repair", "planned stop", "changeover", "not loaded"
]
STATES: tuple[State, ...] = get_args(State)
"""In the order of simulate's numbers."""

Cause = Literal["failure", "metal found"]
"""Why a machine stops its section without a plan."""


class Spread(Frozen):
    mean: float
    p10: float
    p50: float
    p90: float


class SectionOperation(Frozen):
    """Machines that run together or not at all. Hours and lost tonnes are means, by state; the
    tonnes lost while running are those of a slowed pace, listed under what slowed it."""

    name: str
    members: tuple[str, ...]  # feeds, machines and products, as declared
    from_stores: tuple[str, ...]
    to_stores: tuple[str, ...]
    rate_t_h: float  # taken in at the balance's rates
    pace: float  # the highest rate, as a share of these rates
    availability: float  # if it were never short, blocked or in a planned stop
    hours: dict[State, float]
    slowed_h: float  # of the running hours, those below its pace
    lost_t: dict[State, float]
    taken_t: Spread
    utilisation: float  # of the shift hours, running
    gain_t: float | None  # of all products, if it alone ran 10 % faster; None if not computed
    gain_from_stores_t: float | None  # the part of this that only empties the stores


class ProductOperation(Frozen):
    tag: str
    title: str
    made_t: Spread
    steady_t: float  # at the balance's rates in the same hours


class StoreOperation(Frozen):
    tag: str
    kind: str
    live_t: float
    start_t: float
    end_t: Spread
    empty_h: float
    full_h: float


class RepairOperation(Frozen):
    """A machine that fails, or a detector that finds metal, and the hours until it is repaired or
    the metal taken out. Its section stops meanwhile. Of equal machines in parallel these are the
    failures and hours of all, and the others run on."""

    tag: str
    cause: Cause
    section: str
    availability: float
    repair_h: float  # as stated
    failures: float
    down_h: float


class LevelCourse(Frozen):
    """A store's level in time: its spread over runs, at `Operation.hours_at`, and every event of
    the run that is shown, at `Operation.shown_h`."""

    tag: str
    live_t: float
    p10_t: tuple[float, ...]
    p50_t: tuple[float, ...]
    p90_t: tuple[float, ...]
    shown_t: tuple[float, ...]


class Stretch(Frozen):
    """The state of a section of the shown run from one hour to another."""

    section: str
    state: State
    start_h: float
    end_h: float


class Caution(Frozen):
    code: str  # "" where there is none
    text: str


class Operation(Frozen):
    format_version: int = 1
    compiler_version: str
    title: str
    revision: str
    source_file: str
    asked: str  # "1 week"
    hours: float  # of shift time
    runs: int
    seed: int
    failures: bool  # False: availabilities are taken as deratings, in a single run
    fed_t: Spread
    made_t: Spread  # of all products
    stored_t: Spread  # at the end over the start
    sections: tuple[SectionOperation, ...]
    products: tuple[ProductOperation, ...]
    stores: tuple[StoreOperation, ...]
    repairs: tuple[RepairOperation, ...]
    bottleneck: str | None  # a section: the largest gain; None where no section gains alone
    busiest: str  # a section: the least hours without rock or room
    inside: tuple[str, ...]  # stores that do not separate sections
    in_parallel: tuple[str, ...]  # machines with a count, each of which stops on its own
    hours_at: tuple[float, ...]
    shown_h: tuple[float, ...]
    levels: tuple[LevelCourse, ...]
    stretches: tuple[Stretch, ...]  # of the shown run
    cautions: tuple[Caution, ...]
    overloaded: tuple[str, ...]  # at the balance's rates, which what is downstream of them has
