"""The rating phase from end to end: a plant and its balance in, the results document out."""

from __future__ import annotations

from math import ceil, isfinite, log10

from hoggin import __version__
from hoggin.balance.result import Balance
from hoggin.plugins.checks import with_checks
from hoggin.rating import each
from hoggin.rating.breakage import assumptions
from hoggin.rating.deck_limits import deck_checks
from hoggin.rating.fitting import Sizes, with_fits
from hoggin.rating.limits import machine_checks
from hoggin.rating.machines import MachineView
from hoggin.rating.overload import named
from hoggin.rating.plant import PlantView
from hoggin.rating.rated import Rated
from hoggin.rating.readings import NO_YEAR, Readings, Year
from hoggin.rating.requirements import band_verdict, verdict
from hoggin.rating.rock import assumptions as of_rock
from hoggin.rating.streams import ProductView, StreamView
from hoggin.rating.view import ones, picked, plain
from hoggin.rating.warnings import warnings
from hoggin.schema.measures import MEASURES
from hoggin.schema.plant import Meets, Plant
from hoggin.schema.results import (
    Closure,
    DustResult,
    MachineResult,
    ProductResult,
    Provenance,
    Results,
    StreamResult,
    WaterStreamResult,
)

_DUST_POWER = -12
_DUST = 10.0**_DUST_POWER

CAUTIONS = (
    "Results are predictions for design, not guarantees; local codes, the makers' instructions "
    "and licensed engineering practice govern.",
    "Lock out, tag and prove dead every energy source before entering, clearing or adjusting a "
    "machine; rotating parts, springs and hydraulics store energy after power is off.",
    "Guard all moving parts, nip points and drops; keep people out of the line of feed and "
    "discharge.",
    "Tramp metal: detect and remove it before the crushers; a stalled chamber holds great force.",
    "Dust from stone may hold respirable crystalline silica: suppress, enclose, extract and "
    "measure; noise is harmful to hearing: enclose and protect.",
)
ASSUMPTIONS = (
    "Steady state; rates are of dry solids. Water follows them in proportion, but sprayed decks, "
    "dewatering screens, classifiers and thickeners drain to the moisture of their class.",
    "Within a size class material is spread evenly over the logarithm of size.",
    "A machine is well mixed: all its products have the same shares of the plant's feeds.",
    "Crushers' gradings depend on setting, chamber and speed. A squeezing chamber under the load "
    "that keeps it full breaks coarser and flakier, as its class states (common practice, no "
    "source). Screens' cut sizes depend on load.",
    "The feed size at 98 % passing is compared with 85 % of the feed opening, the bed depth at the "
    "discharge with 4 apertures, unless the class states another limit (common practice, no "
    "source).",
)


def rate(
    plant: Plant,
    balance: Balance,
    source_file: str,
    case: int = 0,
    *,
    provenance: Provenance | None = None,
    year: Year = NO_YEAR,
    sizes: Sizes | None = None,
) -> Results:
    """Rate one case of a balance, and run the checks of other packages that the plant asks for.
    `provenance` is noted in the results as it is given. Where the `sizes` of its machines' classes
    are known, a limit that is passed says what would do. Raises PluginError."""
    rated = Rated(plant, balance)
    results = document(rated, source_file, case, provenance=provenance, year=year, sizes=sizes)
    rated.forget()
    return with_checks(results)


def document(
    rated: Rated,
    source_file: str,
    case: int = 0,
    *,
    provenance: Provenance | None = None,
    year: Year = NO_YEAR,
    sizes: Sizes | None = None,
) -> Results:
    """The results document of one case."""
    plant, view = rated.plant, rated.view
    machines = tuple(_machine(one, case) for one in view.machines)
    if sizes is not None:
        machines = tuple(with_fits(one, rated, case, sizes) for one in machines)
    loops = ones(view.loops, case)
    readings = Readings(rated, year)
    requirements = tuple(verdict(one, readings, rated, case) for one in plant.requirements)
    overloaded = named(rated.overload.machines, case)
    found: Results = view.one(
        case,
        format_version=Results.model_fields["format_version"].default,
        compiler_version=__version__,
        source_file=source_file,
        machines=machines,
        products=tuple(_product(one, case) for one in view.products),
        loops=loops,
        requirements=requirements,
        warnings=(
            *warnings(plant, machines, loops, requirements, picked(view.feed_t_h, case)),
            *rated.shapes.warnings,
        ),
        closure=_closure(rated.balance, case),
        cautions=CAUTIONS,
        assumptions=(
            *(*ASSUMPTIONS, *assumptions(machines), *each.assumptions(machines), *of_rock(plant)),
            *rated.shapes.assumptions,
        ),
        dust=_dust(view, case),
        provenance=provenance,
        water_streams=_water_streams(view, case),
        streams=tuple(_stream(one, case) for one in view.streams),
        overloaded=overloaded,
    )
    return found


def _machine(machine: MachineView, case: int) -> MachineResult:
    """One line of the schedule."""
    count = int(picked(machine.count, case))
    decks = []
    for deck in machine.decks:
        numbers = deck.one(case, checks=())
        checks = deck_checks(deck, each.deck(numbers, count), case)
        decks.append(numbers.model_copy(update={"checks": each.said(checks, count)}))
    void_by = named(machine.rated.overload.above(machine.tag), case)
    one: MachineResult = machine.one(case, checks=(), decks=tuple(decks), void_by=void_by)
    checks = machine_checks(machine, each.machine(one), case)
    return one.model_copy(update={"checks": each.said(checks, count)})


def _stream(stream: StreamView, case: int) -> StreamResult:
    void_by = named(stream.rated.overload.above_outlet(stream.source), case)
    found: StreamResult = stream.one(case, void_by=void_by)
    return found


def _water_streams(view: PlantView, case: int) -> tuple[WaterStreamResult, ...]:
    """Those that carry water in this case, numbered in their order."""
    running = (one for one in view.water_streams if picked(one.water_m3_h, case) > 0.0)
    return tuple(one.one(case, number=f"W{place}") for place, one in enumerate(running, start=1))


def _product(product: ProductView, case: int) -> ProductResult:
    rated = product.rated
    void_by = named(rated.overload.above(product.tag), case)
    bands = [
        requirement.band
        for requirement in rated.plant.requirements
        if isinstance(requirement, Meets) and requirement.product == product.tag
    ]
    fractions = {
        f"{name}_by_fraction": rated.shapes.fractions(name, product.indices, case)
        for name in MEASURES
    }
    found: ProductResult = product.one(
        case,
        curve=tuple(tuple(map(plain, point)) for point in product.flow.curve(case)),
        bands=tuple(band_verdict(band, product.flow, case, void=bool(void_by)) for band in bands),
        void_by=void_by,
        **fractions,
    )
    return found


def _dust(view: PlantView, case: int) -> tuple[DustResult, ...]:
    """What is raised in this case: a source that raises none is left out."""
    return ones((source for source in view.dust if picked(source.raises, case)), case)


def _closure(balance: Balance, case: int) -> Closure:
    """The error as a power of ten, no finer than 1e-12: below that it is the dust of floating
    point, which differs between processors and would make the same plant give other bytes. What is
    estimated has two digits."""
    worst, error = float(balance.closure[case]), float(balance.error[case])
    power = ceil(log10(worst)) if worst > _DUST else _DUST_POWER
    return Closure(
        worst=10.0 ** max(power, _DUST_POWER),
        iterations=balance.iterations,
        flow_error=float(f"{error:.1e}") if isfinite(error) else None,
    )
