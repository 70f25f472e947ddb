"""The result of running a plant through time, as data: what its tables and plot are drawn from.

Hours are of shift time; tonnes are dry. A mean is over the runs; P10 is what one run in ten stays
below, P90 what one in ten exceeds.
"""

from __future__ import annotations

from typing import Literal, get_args

from hoggin.schema.frozen import Frozen

State = Literal[
    "running", "short of feed", "blocked", "repair", "planned stop", "changeover", "not loaded"
]
STATES: tuple[State, ...] = get_args(State)
"""In the order of simulate's numbers."""


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
    pace: float  # the most it is run at, of these rates
    availability: float  # were it never short, blocked or stopped by plan
    hours: dict[State, float]
    slowed_h: float  # of the running hours, those below its pace
    lost_t: dict[State, float]
    taken_t: Spread
    utilisation: float  # of the shift hours, running
    gain_t: float | None  # of all products, were it alone 10 % faster; None where not computed
    gain_from_stores_t: float | None  # of this, what only empties the stores


class ProductOperation(Frozen):
    tag: str
    title: str
    made_t: Spread
    steady_t: float  # what the balance's rates would make in the same hours


class StoreOperation(Frozen):
    tag: str
    kind: str
    live_t: float
    start_t: float
    end_t: Spread
    empty_h: float
    full_h: float


class RepairOperation(Frozen):
    """A machine that fails, and the hours of its repairs, which its section stands still for; of
    equal ones in parallel the failures and hours of all, while the others run on."""

    tag: str
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
    """What a section of the shown run did from one hour to another."""

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
    inside: tuple[str, ...]  # stores that part no sections
    in_parallel: tuple[str, ...]  # machines of which there are several, that stop one by one
    hours_at: tuple[float, ...]
    shown_h: tuple[float, ...]
    levels: tuple[LevelCourse, ...]
    stretches: tuple[Stretch, ...]  # of the shown run
    cautions: tuple[Caution, ...]
