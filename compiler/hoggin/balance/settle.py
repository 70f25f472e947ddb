"""Loops that cannot settle: finding what is trapped in them, and saying so.

The elimination notices where material passes ten million times or more. Whether any enters there
is a matter of reachability, looked at only then: machine by machine and class by class, what can
leave its class or the loop, and what gets where. What is reached and cannot leave is trapped.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from hoggin.balance.circuit import Circuit, Crusher, Screen, ScreenDeck, Unit
from hoggin.balance.elimination import TRAPPED
from hoggin.balance.loop import LoopFlow
from hoggin.balance.operators import Operators
from hoggin.balance.result import Array, Loop
from hoggin.balance.separation import Separation
from hoggin.balance.topology import Link, Part
from hoggin.errors import HogginError

Flags = NDArray[np.bool_]

_ENTERS = 1e-12  # of what enters the loop; less than that is not worth a word
_RUNAWAY = 1e2  # screen feed over what enters the loop, where it is the screen that runs away
_SECOND_SCREEN = 2.0  # times the feed that a loop takes with a second screen beside each
_ENDLESS = 1e6  # machine feed over what enters the loop


_WATER_CLOSURE = 1e-6  # of the water that enters a loop


class Remedy(Enum):
    """What helps first where a loop has no balance."""

    SETTING = "setting"  # close a crusher's setting, or open the deck
    AREA = "area"  # give the screens more of it, or feed less
    ASKED = "asked"  # ask outlets by tonnage for more
    WATER = "water"  # let water out of the loop, or add less
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class Unsettled:
    """Why a loop has no balance.

    machines: the loop, by tag, in declared order. closing_streams: indices into Plant.streams.
    sizes_mm: (finest, coarsest) of what is trapped, or None when it is not a matter of size.
    remedy: what helps first.
    reason: in words. cases: the batch cases concerned, of those balanced in the same pass.
    """

    machines: tuple[str, ...]
    closing_streams: tuple[int, ...]
    sizes_mm: tuple[float, float] | None
    reason: str
    cases: tuple[int, ...]
    remedy: Remedy = Remedy.OTHER


class CannotSettle(HogginError):  # noqa: N818 - named for what it says of the circuit
    """A loop of the plant has no steady balance; `unsettled` names it and says why."""

    def __init__(self, unsettled: Unsettled) -> None:
        super().__init__(f"loop of {', '.join(unsettled.machines)}: {unsettled.reason}")
        self.unsettled = unsettled


def refuse_unsteady(
    circuit: Circuit,
    part: Part,
    loop: Loop,
    light: LoopFlow,
    last: LoopFlow,
    cases: Flags,
    most: Array,
    wider: Callable[[int], float],
) -> None:
    """Raise for the cases (B,) that have no balance at their feed.

    Two remedies are compared. With a second screen beside each, the loop takes twice the feed, for
    each screen then has the load it had. With openings wider by one step of a sieve series, or a
    setting closed by as much, it takes what the model says. Area helps first where a second screen
    is enough, or brings more than the step.

    light: the flows while screens cut as empty ones do. last: those of the last point that was
    reached. most: (B,) times the feed that the loop takes. wider: case -> times the
    feed that it takes with the wider openings; infinite where they are enough.
    """
    case = int(np.argmax(cases))
    tags = circuit.flowsheet.machines
    loads = {
        m: float(last.feeds[m][case].sum())
        for m in part.machines
        if isinstance(circuit.units[m], Screen)
    }
    following = [m for m in part.crushers if _follows(circuit.units[m])]
    entering = min(float(flow[case].sum()) for flow in light.feeds.values())
    if following and max(loads.values(), default=0.0) <= _RUNAWAY * entering:
        crushers = " and ".join(tags[m] for m in following)
        reason = f"the feed that sets the breakage in {crushers} does not converge"
        _refuse(loop, cases, None, reason)
        return
    fullest = tags[max(loads, key=lambda m: loads[m])]
    beyond = f"beyond {most[case]:.2g} times this feed more returns to {fullest} than it can pass"
    with_second = _SECOND_SCREEN * float(most[case])
    if with_second >= 1.0 or with_second >= wider(case):
        _refuse(loop, cases, None, f"{fullest} is overloaded: {beyond}", Remedy.AREA)
    else:
        coarse = _coarse_product(circuit, part, light, case)
        _refuse(loop, cases, None, f"{coarse}, and {beyond}", Remedy.SETTING)


def _follows(unit: Unit) -> bool:
    """Whether a crusher's breakage may be what does not converge. A table's product is at least as
    fine as its row whatever the feed, so what grows without end there is the load."""
    return isinstance(unit, Crusher) and (unit.follows_size or unit.follows_rock)


def returning(circuit: Circuit, part: Part) -> Iterator[tuple[Link, ScreenDeck]]:
    """Decks of a loop whose oversize goes to a crusher, with the stream."""
    for link in (circuit.flowsheet.links[stream] for stream in part.inner):
        unit = circuit.units[link.source]
        if isinstance(unit, Screen) and isinstance(circuit.units[link.target], Crusher):
            position = unit.outlets[link.outlet]
            if position < len(unit.decks) and "aperture_mm" in unit.decks[0].oversize_arguments:
                yield link, unit.decks[position]


def _coarse_product(circuit: Circuit, part: Part, flow: LoopFlow, case: int) -> str:
    """Which crusher makes most that is coarser than the deck that returns it, however well that
    screens."""
    tags = circuit.flowsheet.machines
    worst = (-1.0, "")
    for link, deck in returning(circuit, part):
        crusher = circuit.units[link.target]
        assert isinstance(crusher, Crusher)
        openings = deck.oversize_arguments["aperture_mm"]
        opening = float(openings[case] if len(openings) > 1 else openings[0])
        product = flow.products[link.target][case]
        share = float(product[circuit.cells.points_mm > opening].sum() / product.sum())
        setting = f" at {crusher.setting}" if crusher.setting else ""
        text = (
            f"{100.0 * share:.0f} % of the product of {tags[link.target]}{setting} is coarser "
            f"than the {opening:.3g} mm of {tags[link.source]}.{deck.name}, which returns it"
        )
        worst = max(worst, (share, text))
    return worst[1]


def refuse_overfed(loop: Loop, asked_t_h: Mapping[str, Array], cases: Flags) -> None:
    """Raise for the cases (B,) in which outlets by tonnage let out less than enters a loop, if any.

    asked_t_h: tag -> tonnages asked of it, (B,).
    """
    if not cases.any():
        return
    case = int(np.argmax(cases))
    named = " and ".join(f"{asked[case]:.4g} t/h of {tag}" for tag, asked in asked_t_h.items())
    reason = f"more rock enters it than leaves it with tonnages of only {named}"
    _refuse(loop, cases, None, reason, Remedy.ASKED)


def refuse_endless(loop: Loop, feeds: Mapping[int, Array], entering: Array) -> None:
    """Raise where a machine's feed is over a million times what enters the loop."""
    most = np.max([feed.sum(axis=-1) for feed in feeds.values()], axis=0)
    cases = most > _ENDLESS * entering.sum(axis=-1)
    _refuse(loop, cases, None, "rock recirculates over a million times before it leaves")


def refuse_trapped(
    circuit: Circuit,
    part: Part,
    loop: Loop,
    operators: Operators,
    separations: Mapping[int, Separation],
    inputs: Mapping[int, Array],
) -> None:
    """Raise where something enters a loop, or is made in it, that can never leave.

    operators: those of the loop's crushers. inputs: machine -> (B, n) from outside.
    """
    passages = _Passages(circuit, part, operators, separations)
    caught = {m: ~free for m, free in passages.can_leave().items()}
    for m, entered in passages.entered(inputs).items():
        caught[m] = caught[m] & entered
    cases = np.any([flags.any(axis=1) for flags in caught.values()], axis=0)
    if not cases.any():
        return
    case = int(np.argmax(cases))
    machines = [m for m in part.machines if caught[m][case].any()]
    classes = np.flatnonzero(np.any([caught[m][case] for m in machines], axis=0))
    coarsest = min(
        (int(np.argmax(flow[case] > 0.0)) for flow in inputs.values() if flow[case].any()),
        default=0,
    )
    edges = circuit.cells.edges_mm
    sizes = (float(edges[classes[-1] + 1]), float(edges[classes[0]]))
    reason = _reason(circuit, part, machines, sizes, from_top=bool(classes[0] <= coarsest))
    _refuse(loop, cases, sizes, reason)


class _Passages:
    """Which way material of a class can go in a loop, as flags (B, n)."""

    def __init__(
        self,
        circuit: Circuit,
        part: Part,
        operators: Operators,
        separations: Mapping[int, Separation],
    ) -> None:
        shape = (circuit.cases, len(circuit.cells))
        self.none = np.zeros(shape, dtype=bool)
        self.part = part
        self.links = circuit.flowsheet.links
        keeps = dict(zip(part.crushers, operators.unbroken(), strict=True))
        self.breaks = {m: kept < 1.0 - TRAPPED for m, kept in keeps.items()}
        self.makes = {m: operators.matrices(c) > _ENTERS for c, m in enumerate(part.crushers)}

        def passes(stream: int) -> Flags:
            link = self.links[stream]
            if link.source in keeps:
                share = keeps[link.source]
            else:
                share = separations[link.source].outlets[link.outlet]
            return np.broadcast_to(share > TRAPPED, shape)

        self.passes = {s: passes(s) for s in (*part.inner, *part.leaving)}

    def can_leave(self) -> dict[int, Flags]:
        """Per machine, the classes that can get out of the loop or be broken in it."""
        free = {m: self.none | self.breaks.get(m, False) for m in self.part.machines}
        for s in self.part.leaving:
            free[self.links[s].source] |= self.passes[s]

        def gain(s: int) -> tuple[int, Flags]:
            source, target = self.links[s].way
            return source, self.passes[s] & free[target]

        return _grown(free, self.part.inner[::-1], gain)

    def entered(self, inputs: Mapping[int, Array]) -> dict[int, Flags]:
        """Per machine, the classes that reach it."""
        total = np.sum([flow.sum(axis=1) for flow in inputs.values()], axis=0)
        nothing = np.zeros((1, 1))
        found = {
            m: self.none | (inputs.get(m, nothing) > _ENTERS * total[:, None])
            for m in self.part.machines
        }

        def gain(s: int) -> tuple[int, Flags]:
            source, target = self.links[s].way
            if source in self.makes:
                return target, (self.makes[source] @ found[source][:, :, None])[:, :, 0]
            return target, self.passes[s] & found[source]

        return _grown(found, self.part.inner, gain)


def _grown(
    flags: dict[int, Flags], streams: Iterable[int], gain: Callable[[int], tuple[int, Flags]]
) -> dict[int, Flags]:
    """Flags by machine after each stream has added to its machine's until none gains any more."""
    changed = True
    while changed:
        changed = False
        for machine, gained in map(gain, streams):
            changed |= bool((gained & ~flags[machine]).any())
            flags[machine] = flags[machine] | gained
    return flags


def _reason(
    circuit: Circuit,
    part: Part,
    machines: list[int],
    sizes: tuple[float, float],
    *,
    from_top: bool,
) -> str:
    if not part.leaving:
        return "nothing leaves the loop"
    finest, coarsest = sizes
    if from_top:
        what = f"everything coarser than {finest:.3g} mm"
    elif finest == 0.0:
        what = f"everything finer than {coarsest:.3g} mm"
    else:
        what = f"{finest:.3g} mm to {coarsest:.3g} mm"
    crusher = next((m for m in machines if isinstance(circuit.units[m], Crusher)), None)
    if crusher is None:
        return f"nothing in the loop breaks {what} or lets it out"
    unit = circuit.units[crusher]
    assert isinstance(unit, Crusher)
    setting = f" at {unit.setting}" if unit.setting else ""
    sent = _returning_port(circuit, part, machines, crusher)
    tag = circuit.flowsheet.machines[crusher]
    return f"{sent} returns {what} to {tag}, which{setting} passes it unbroken"


def _returning_port(circuit: Circuit, part: Part, machines: list[int], crusher: int) -> str:
    """The screen outlet that sends trapped material back, by preference straight to the crusher."""
    links, tags = circuit.flowsheet.links, circuit.flowsheet.machines

    def preference(link: Link) -> tuple[bool, bool]:
        return isinstance(circuit.units[link.source], Screen), link.target == crusher

    inner = [links[s] for s in sorted(part.inner) if {*links[s].way} <= {*machines}]
    link = max(inner, key=preference)
    unit = circuit.units[link.source]
    if not isinstance(unit, Screen):
        return tags[link.source]
    position = unit.outlets[link.outlet]
    port = f"{unit.decks[position].name}.over" if position < len(unit.decks) else "under"
    return f"{tags[link.source]}.{port}"


def refuse_flooded(loop: Loop, entering_t_h: Array, leaving_t_h: Array) -> None:
    """Raise for the cases whose water (B,) is not steady: more enters the loop than its drained
    rock carries out."""
    kept = entering_t_h - leaving_t_h
    flooded = ~(np.abs(kept) <= _WATER_CLOSURE * entering_t_h)
    if flooded.any():
        case = int(np.argmax(flooded))
        reason = (
            f"{entering_t_h[case]:.3g} t/h of water enter it, but {leaving_t_h[case]:.3g} t/h "
            "leave with what its drained rock holds"
        )
        _refuse(loop, flooded, None, reason, Remedy.WATER)


def _refuse(
    loop: Loop,
    cases: Flags,
    sizes_mm: tuple[float, float] | None,
    reason: str,
    remedy: Remedy = Remedy.OTHER,
) -> None:
    if cases.any():
        concerned = tuple(int(case) for case in np.flatnonzero(cases))
        raise CannotSettle(
            Unsettled(loop.machines, loop.closing_streams, sizes_mm, reason, concerned, remedy)
        )
