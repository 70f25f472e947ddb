"""What differs in the results of two revisions, with a weight to rank it by."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from hoggin.revise.compare.comparison import Consequence, Turn
from hoggin.revise.compare.matching import Matching
from hoggin.revise.compare.requirements import Pair
from hoggin.schema.results import (
    Check,
    MachineResult,
    ProductResult,
    RequirementResult,
    Results,
    StreamResult,
)

_NOTHING = 1e-9  # a difference below this share is what rounding left
_VERDICTS = ("ok", "watch", "over")

Weighing = Literal["feed", "power", "points", "itself"]
_Value = tuple[str, str, Weighing, float | None]  # what, unit, how weighed, value; % as fraction


@dataclass(frozen=True, slots=True)
class _Scale:
    """What a rate and a power are weighed against: the larger of the two plants'."""

    feed_t_h: float
    power_kw: float

    def weight(self, weighing: Weighing, before: float | None, after: float | None) -> float:
        """In per cent."""
        a, b = before or 0.0, after or 0.0
        base = {
            "feed": self.feed_t_h,
            "power": self.power_kw,
            "points": 1.0,
            "itself": max(abs(a), abs(b)),
        }[weighing]
        if before is None and after is None:
            return 0.0
        if weighing == "itself" and (before is None or after is None):
            return 0.0  # told by the rate that came or went with it
        return 100.0 * abs(b - a) / base if base > 0.0 else 0.0


def consequences(before: Results, after: Results, matching: Matching) -> tuple[Consequence, ...]:
    """Every result that differs, heaviest first."""
    scale = _Scale(max(before.feed_t_h, after.feed_t_h), max(before.power_kw, after.power_kw))
    found = []
    for subject, olds, news in _paired(before, after, matching):
        given = {what: (unit, weighing, value) for what, unit, weighing, value in olds}
        for what, unit, weighing, value in news:
            old = given.pop(what, (unit, weighing, None))[2]
            found.append((subject, what, unit, weighing, old, value))
        found += [(subject, what, u, w, old, None) for what, (u, w, old) in given.items()]
    weighed = (
        Consequence(
            subject=subject,
            what=what,
            unit=unit,
            before=_shown(old, unit),
            after=_shown(new, unit),
            weight=scale.weight(weighing, old, new),
        )
        for subject, what, unit, weighing, old, new in found
    )
    telling = [c for c in weighed if c.weight > 100.0 * _NOTHING]
    return tuple(sorted(telling, key=lambda c: -round(c.weight, 9)))


def _shown(value: float | None, unit: str) -> float | None:
    return value * 100.0 if value is not None and unit == "%" else value


def _paired(
    before: Results, after: Results, matching: Matching
) -> Iterator[tuple[str, list[_Value], list[_Value]]]:
    """Subjects with their values in both; an empty list where there is no such subject."""
    yield "plant", _plant(before), _plant(after)
    old_products = {matching.nodes.get(p.tag, f"- {p.tag}"): p for p in before.products}
    key = _KeySieves(before, after)
    for product in after.products:
        old = old_products.pop(product.tag, None)
        yield (
            f"product {product.tag}",
            _product(old, before, product, key),
            _product(product, after, old, key),
        )
    for gone in old_products.values():
        yield f"product {gone.tag}", _product(gone, before, None, key), []
    old_machines = {matching.nodes.get(m.tag, f"- {m.tag}"): m for m in before.machines}
    for machine in after.machines:
        was = old_machines.pop(machine.tag, None)
        yield f"{machine.kind} {machine.tag}", _machine(was), _machine(machine)
    for lost in old_machines.values():
        yield f"{lost.kind} {lost.tag}", _machine(lost), []
    yield from _loops(before, after, matching)
    old_streams = {_ends(s, matching): s for s in before.streams}
    for stream in after.streams:
        earlier = old_streams.pop((stream.source, stream.outlet, stream.target), None)
        yield (
            f"stream {stream.name}",
            _stream(earlier, before, stream, key),
            _stream(stream, after, earlier, key),
        )
    for dry in old_streams.values():
        yield f"stream {dry.name}", _stream(dry, before, None, key), []


def _ends(stream: StreamResult, matching: Matching) -> tuple[str, str, str]:
    nodes = matching.nodes
    source = nodes.get(stream.source, f"- {stream.source}")
    return source, stream.outlet, nodes.get(stream.target, f"- {stream.target}")


def _plant(results: Results) -> list[_Value]:
    water = results.water
    return [
        ("feed", "t/h", "feed", results.feed_t_h),
        ("power", "kW", "itself", results.power_kw),
        ("energy", "kWh/t", "itself", results.energy_kwh_t),
        ("water added", "t/h", "itself", water.added_t_h if water else None),
    ]


def _product(
    product: ProductResult | None, results: Results, other: ProductResult | None, key: _KeySieves
) -> list[_Value]:
    if product is None:
        return []
    return [
        ("rate", "t/h", "feed", product.rate_t_h),
        ("P80", "mm", "itself", product.p80_mm),
        ("fineness modulus", "", "itself", product.fineness_modulus),
        ("flakiness", "%", "points", product.flakiness),
        *key.values(product.passing, results, None if other is None else other.passing),
    ]


def _stream(
    stream: StreamResult | None, results: Results, other: StreamResult | None, key: _KeySieves
) -> list[_Value]:
    if stream is None:
        return []
    return [
        ("rate", "t/h", "feed", stream.rate_t_h),
        ("P80", "mm", "itself", stream.p80_mm),
        *key.values(stream.passing, results, None if other is None else other.passing),
    ]


def _machine(machine: MachineResult | None) -> list[_Value]:
    if machine is None:
        return []
    wear = machine.wear
    return [
        ("load", "%", "points", machine.load),
        ("feed", "t/h", "feed", machine.feed_t_h),
        ("power", "kW", "power", machine.power_kw),
        ("reduction ratio", "", "itself", machine.reduction_ratio),
        ("liner life", "h", "itself", None if wear is None else wear.life_h),
        *(
            (f"area use of deck {deck.name}", "%", "points", deck.area_use)
            for deck in machine.decks
        ),
    ]


def _loops(
    before: Results, after: Results, matching: Matching
) -> Iterator[tuple[str, list[_Value], list[_Value]]]:
    def named(results: Results, names: dict[str, str]) -> dict[tuple[str, ...], list[_Value]]:
        return {
            tuple(names.get(tag, tag) for tag in loop.machines): [
                ("recirculating load", "%", "points", loop.recirculating_load)
            ]
            for loop in results.loops
        }

    old, new = named(before, dict(matching.nodes)), named(after, {})
    for machines in {**new, **old}:
        yield f"loop of {', '.join(machines)}", old.get(machines, []), new.get(machines, [])


class _KeySieves:
    """The sieves both plants report on, and of a pair of gradings the one that differs most."""

    def __init__(self, before: Results, after: Results) -> None:
        self.common = [size for size in after.sieves_mm if size in before.sieves_mm]
        self.places = {id(r): [r.sieves_mm.index(s) for s in self.common] for r in (before, after)}
        self.other = {id(before): id(after), id(after): id(before)}

    def values(
        self, passing: Sequence[float], results: Results, other: Sequence[float] | None
    ) -> list[_Value]:
        own, others = self.places[id(results)], self.places[self.other[id(results)]]
        if other is None or not own:
            return []
        gaps = [abs(passing[i] - other[j]) for i, j in zip(own, others, strict=True)]
        worst = gaps.index(max(gaps))
        return [(f"passing {self.common[worst]:.5g} mm", "%", "points", passing[own[worst]])]


# -- verdicts -----------------------------------------------------------------------------------


def turns(
    before: Results, after: Results, matching: Matching, requirements: Iterable[Pair]
) -> tuple[Turn, ...]:
    """Verdicts that differ, those that got worse first. `requirements`: pairs of their places."""
    found = [*_requirements(before, after, requirements), *_limits(before, after, matching)]
    return tuple(sorted(found, key=lambda turn: not turn.worse))


def _requirements(before: Results, after: Results, pairs: Iterable[Pair]) -> Iterator[Turn]:
    for i, j in pairs:
        was = None if i is None else before.requirements[i]
        now = None if j is None else after.requirements[j]
        if now is None or (was is None and now.met) or (was is not None and was.met == now.met):
            continue
        yield Turn(
            subject=f"require {now.text}",
            before="" if was is None else _met(was),
            after=_met(now),
            before_text="" if was is None else was.value_text,
            after_text=now.value_text,
            worse=not now.met,
        )


def _met(requirement: RequirementResult) -> str:
    return "met" if requirement.met else "not met"


def _limits(before: Results, after: Results, matching: Matching) -> Iterator[Turn]:
    old = _checks(before, dict(matching.nodes))
    for name, check in _checks(after, {}).items():
        was = old.get(name)
        level = _VERDICTS.index(check.verdict)
        if (was is None and level == 0) or (was is not None and was.verdict == check.verdict):
            continue
        yield Turn(
            subject=name,
            before="" if was is None else _word(was),
            after=_word(check),
            before_text="" if was is None else was.text,
            after_text=check.text,
            worse=was is None or level > _VERDICTS.index(was.verdict),
        )


def _word(check: Check) -> str:
    return {"ok": "ok", "watch": "watch", "over": "over limit"}[check.verdict]


def _checks(results: Results, renamed: dict[str, str]) -> dict[str, Check]:
    found: dict[str, Check] = {}
    for machine in results.machines:
        tag = renamed.get(machine.tag, machine.tag)
        found |= {f"{tag} {check.name}": check for check in machine.checks}
        for deck in machine.decks:
            found |= {f"{tag}.{deck.name} {check.name}": check for check in deck.checks}
    return found
