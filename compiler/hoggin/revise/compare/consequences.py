"""The differences between two results documents: every leaf of the schema, weighed and ranked.

Nothing is listed by hand here. `schema.leaves` gives every fact of both documents, facts with the
same key are compared, and every difference is reported. So no result can be missed.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from hoggin.revise.compare.comparison import (
    GROUPS,
    Consequence,
    Group,
    Judged,
    RequirementChange,
    Turn,
)
from hoggin.revise.compare.matching import Matching
from hoggin.revise.compare.requirements import Pair
from hoggin.revise.compare.words import Units, units_for
from hoggin.schema.kinds import KINDS
from hoggin.schema.leaves import Leaf, Subject, leaves
from hoggin.schema.quantity import Nature, Quantity, Weigh
from hoggin.schema.results import RequirementResult, Results
from hoggin.schema.units import converted, unit_named

# Numbers of a document have nine digits; the last one may differ by the order of a sum.
_CLOSE, _DUST = 5e-9, 1e-11
_VERDICTS = ("ok", "watch", "over")
_WORDS = {"over": "over limit"}  # of verdicts, where they are not the verdict itself
_CARRIES = (*(kind.name for kind in KINDS.values() if kind.carries), "deck", "dust")
"""Things that often only repeat a fact of something else."""

_Key = tuple[Subject, str, str, str]
_GROUP: Mapping[str, Group] = {
    "product": "product",
    "plant": "plant",
    "stream": "stream",
    "feed": "stream",
    "dust": "dust",
}


@dataclass(frozen=True, slots=True)
class Differences:
    """All that differs between two documents. Consequences are by group, heaviest first."""

    requirements: tuple[RequirementChange, ...]
    turns: tuple[Turn, ...]
    consequences: tuple[Consequence, ...]
    other_currency: int  # results in money, where their currency is not the same


def differences(
    before: Results, after: Results, matching: Matching, pairs: Iterable[Pair]
) -> Differences:
    """Every fact that is not the same. `pairs` are places of requirements in both documents."""
    pairs = list(pairs)
    asked = {
        before.requirements[i].text: after.requirements[j].text
        for i, j in pairs
        if i is not None and j is not None
    }
    gaps = _Gaps(before, after, matching, asked)
    return Differences(
        tuple(_requirements(before, after, pairs)),
        tuple(gaps.turns()),
        tuple(gaps.consequences()),
        gaps.other_currency(before, after),
    )


class _Gaps:
    """Leaves of both documents by key, and those of them that differ."""

    def __init__(
        self, before: Results, after: Results, matching: Matching, asked: Mapping[str, str]
    ) -> None:
        self.old: dict[_Key, Leaf] = {}
        for leaf in leaves(before):
            subject = leaf.subject.renamed(matching.nodes)
            if subject.kind == "requirement":
                subject = Subject("requirement", (), asked.get(subject.rest, f"- {subject.rest}"))
            leaf = replace(leaf, subject=subject)
            self.old[leaf.key] = leaf
        self.new: dict[_Key, Leaf] = {leaf.key: leaf for leaf in leaves(after)}
        self.subjects = ({key[0] for key in self.old}, {key[0] for key in self.new})
        self.units: Units = {}
        if before.plant and after.plant:
            self.units = units_for(before.plant, after.plant)
        self.feed_t_h = max(before.feed_t_h, after.feed_t_h)
        self.power_kw = max(before.power_kw, after.power_kw)
        found = ((self.old.get(k), self.new.get(k)) for k in {**self.new, **self.old})
        self.found = [(a, b) for a, b in found if not _same(a, b)]
        self.telling = {
            _owner(a, b) for a, b in self.found if _any(a, b).nature is not Nature.DERIVED
        }

    # -- numbers --------------------------------------------------------------------------------

    def other_currency(self, before: Results, after: Results) -> int:
        """How many results in money both have, where the plants' currencies are not the same."""
        if not before.plant or not after.plant or before.plant.currency == after.plant.currency:
            return 0
        both = [leaf for key, leaf in self.new.items() if key in self.old]
        return sum(_in_money(leaf) and _in_money(self.old[leaf.key]) for leaf in both)

    def consequences(self) -> Iterator[Consequence]:
        """Numbers; the requirements' own are shown with them."""
        told = [
            self._consequence(a, b, quantity)
            for a, b in self.found
            if isinstance(quantity := _any(a, b).nature, Quantity)
            and _any(a, b).subject.kind != "requirement"
        ]
        order = {group: place for place, group in enumerate(GROUPS)}
        once = _each_once(told)
        yield from sorted(once, key=lambda c: (order[c.group], -round(c.weight, 9)))

    def _consequence(
        self, a: Leaf | None, b: Leaf | None, quantity: Quantity
    ) -> tuple[Consequence, bool]:
        """The consequence, and whether it may be a fact of something else as well."""
        leaf = _any(a, b)
        values = [None if one is None else _shown(one) for one in (a, b)]
        old, new = (None if v is None else converted(v, leaf.unit, self.units)[0] for v in values)
        carried = leaf.subject.kind in ("stream", *_CARRIES) or leaf.part.endswith(":")
        consequence = Consequence(
            group=_GROUP.get(leaf.subject.kind, "machine"),
            subject=leaf.subject.words,
            what=self._what(leaf),
            unit=self.units.get(leaf.unit, leaf.unit),
            before=old,
            after=new,
            weight=self._weight(quantity.family.weigh, leaf.unit, *values),
        )
        return consequence, carried

    def _what(self, leaf: Leaf) -> str:
        """The name of a fact, with a sieve in the unit that the plant uses."""
        if leaf.size_mm is None or "mm" not in self.units:
            return leaf.what
        size, unit = converted(leaf.size_mm, "mm", self.units)
        return f"{leaf.what.removesuffix(f'{leaf.size_mm:.5g} mm')}{size:.4g} {unit}"

    def _weight(self, weigh: Weigh, unit: str, old: float | None, new: float | None) -> float:
        """In per cent."""
        if old is None and new is None:
            return 0.0
        a, b = old or 0.0, new or 0.0
        match weigh:
            case Weigh.NOTHING:
                return 0.0
            case Weigh.POINTS | Weigh.ITSELF if old is None or new is None:
                return 0.0  # the rate that came or went with it is listed
            case Weigh.POINTS:
                return abs(b - a)
            case Weigh.ITSELF:
                base = max(abs(a), abs(b))
            case Weigh.FEED:
                base = self.feed_t_h
            case Weigh.POWER:
                base = self.power_kw if unit == "kW" else max(abs(a), abs(b))
        return 100.0 * abs(b - a) / base if base > 0.0 else 0.0

    # -- verdicts and words ---------------------------------------------------------------------

    def turns(self) -> Iterator[Turn]:
        """Those that got worse first."""
        found = [turn for a, b in self.found for turn in self._turn(a, b)]
        yield from sorted(found, key=lambda turn: not turn.worse)

    def _turn(self, a: Leaf | None, b: Leaf | None) -> Iterator[Turn]:
        leaf = _any(a, b)
        nature = leaf.nature
        if isinstance(nature, Quantity) or leaf.subject.kind == "requirement":
            return
        old, new = ("" if one is None else str(one.value) for one in (a, b))
        if nature is Nature.VERDICT:
            # Of a thing that came or went only what asks for attention: its numbers are listed.
            alone = (a is None or b is None) and leaf.subject.kind != "warning"
            if not alone or max(_level(old), _level(new)) > 0:
                yield self._verdict(leaf, old, new)
        elif nature is Nature.TEXT and leaf.subject.kind != "warning" and self._in_both(leaf, a, b):
            texts = ("" if a is None else a.label, "" if b is None else b.label)
            yield _turned(leaf, leaf.field.replace("_", " "), texts)
        elif nature is Nature.DERIVED and _owner(a, b) not in self.telling:
            texts = (_derived(a), _derived(b))
            if texts[0] != texts[1]:
                yield _turned(leaf, leaf.what, (texts[0][:120], texts[1][:120]))

    def _verdict(self, leaf: Leaf, old: str, new: str) -> Turn:
        """A warning's words are its own; a limit's are beside its verdict."""
        if leaf.subject.kind == "warning":
            words = ("", "warning") if new else ("warning", "")
            return _turned(leaf, leaf.label, (old, new), words, worse=bool(new))
        key = (*leaf.key[:2], "text", "text")
        was, now = (side[key].value if key in side else "" for side in (self.old, self.new))
        what = leaf.part.removesuffix(":") if leaf.field == "verdict" else leaf.what
        words = (_WORDS.get(old, old), _WORDS.get(new, new))
        worse = _level(new) > _level(old)
        if leaf.field == "overloaded":
            worse = not set(filter(None, new.split(", "))) <= set(old.split(", "))
        return _turned(leaf, what, (was, now), words, worse=worse)

    def _in_both(self, leaf: Leaf, a: Leaf | None, b: Leaf | None) -> bool:
        """Whether the thing itself is in both plants, and a text of it alone came or went."""
        subject = leaf.subject
        return subject in self.subjects[0 if a is None else 1] or (a is not None and b is not None)


def _derived(leaf: Leaf | None) -> str:
    """A fact that follows from others, its last digits left out."""
    if leaf is None:
        return ""
    return f"{leaf.value:.4g}" if isinstance(leaf.value, float) else str(leaf.value)


def _in_money(leaf: Leaf) -> bool:
    unit = unit_named(leaf.unit)
    return unit is not None and unit.dimension.money != 0 and leaf.value is not None


def _turned(
    leaf: Leaf,
    what: str,
    texts: tuple[str, str],
    words: tuple[str, str] = ("", ""),
    *,
    worse: bool = False,
) -> Turn:
    return Turn(
        subject=leaf.subject.words,
        what=what,
        before=words[0],
        after=words[1],
        before_text=texts[0],
        after_text=texts[1],
        worse=worse,
    )


def _each_once(told: Iterable[tuple[Consequence, bool]]) -> list[Consequence]:
    """A fact that is in several places, reported once: what runs through a bin and a feeder is one
    stream. Facts of products, crushers and screens are separate."""
    own: dict[tuple[str, float | None, float | None], list[Consequence]] = {}
    for consequence, carried in sorted(told, key=lambda pair: pair[1]):
        key = (consequence.unit, _nine(consequence.before), _nine(consequence.after))
        there = own.setdefault(key, [])
        known = consequence.before is not None and consequence.after is not None
        alike = [c for c in there if carried or _alike_elsewhere(c, consequence)]
        if known and alike and consequence.group != "product":
            where = f"{consequence.subject}: {consequence.what}"
            place = there.index(alike[0])
            there[place] = alike[0].model_copy(update={"also": (*alike[0].also, where)})
        else:
            there.append(consequence)
    return [consequence for same in own.values() for consequence in same]


def _alike_elsewhere(one: Consequence, other: Consequence) -> bool:
    """Whether the same result of two things changed by the same amount: of parallel lines, or of a
    loop and a machine in it."""
    return one.what == other.what and one.subject != other.subject and one.group == other.group


def _nine(value: float | None) -> float | None:
    return None if value is None else float(f"{value:.9g}")


def _any(a: Leaf | None, b: Leaf | None) -> Leaf:
    leaf = a if b is None else b
    assert leaf is not None
    return leaf


def _owner(a: Leaf | None, b: Leaf | None) -> tuple[Subject, str]:
    leaf = _any(a, b)
    return leaf.subject, leaf.part


def _same(a: Leaf | None, b: Leaf | None) -> bool:
    if a is None or b is None:
        present = _any(a, b)
        return isinstance(present.nature, Quantity) and present.value is None
    if isinstance(a.value, float | int) and isinstance(b.value, float | int):
        return math.isclose(a.value, b.value, rel_tol=_CLOSE, abs_tol=_DUST)
    return bool(a.value == b.value)


def _shown(leaf: Leaf) -> float | None:
    """A number as shown: a share in per cent."""
    if leaf.value is None:
        return None
    share = isinstance(leaf.nature, Quantity) and leaf.nature.family.share
    return float(leaf.value) * (100.0 if share else 1.0)


def _level(verdict: str) -> int:
    return _VERDICTS.index(verdict) if verdict in _VERDICTS else 0


# -- requirements -------------------------------------------------------------------------------


def _requirements(
    before: Results, after: Results, pairs: Iterable[Pair]
) -> Iterator[RequirementChange]:
    """Requirements that differ, in the order of AFTER; those with a new verdict first."""
    found = []
    for i, j in pairs:
        was = None if i is None else before.requirements[i]
        now = None if j is None else after.requirements[j]
        one = now or was
        assert one is not None
        if was is None or now is None or not _alike(was, now):
            found.append(RequirementChange(text=one.text, before=_judged(was), after=_judged(now)))
    yield from sorted(found, key=lambda change: not change.turned)


def _alike(was: RequirementResult, now: RequirementResult) -> bool:
    """The same to the reader: a result that the edit does not reach still changes in its last
    digits, since the size classes of a balance follow the plant's settings."""
    return _judged(was) == _judged(now)


def _judged(requirement: RequirementResult | None) -> Judged | None:
    if requirement is None:
        return None
    return Judged(
        verdict=requirement.verdict, value=requirement.value_text, margin=requirement.margin_text
    )
