"""Every single fact of a results document, with what is declared of it.

What compares, records or ranks results walks these leaves, so that nothing in the document can be
left out of them: a field without a declaration is an error, found by the first test that walks.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from pydantic import BaseModel

from hoggin.schema.declared import Declared, fields_of
from hoggin.schema.quantity import Nature, Quantity
from hoggin.schema.results import (
    BandVerdict,
    Check,
    DeckResult,
    DustResult,
    ElongationFraction,
    FeedResult,
    FlakinessFraction,
    LoopResult,
    MachineResult,
    ProductResult,
    RequirementResult,
    Results,
    RockShare,
    SettingResult,
    StreamResult,
    Warning,
    WaterStreamResult,
)

NOT_MET = "W0511"


@dataclass(frozen=True, slots=True)
class Subject:
    """What a fact is about. `tags` are names of feeds, machines and products; `rest` is what else
    it takes to tell it from others: a deck, an outlet, a text."""

    kind: str  # "plant", "feed", "product", "stream", "deck", "loop" ... or a machine's kind
    tags: tuple[str, ...] = ()
    rest: str = ""

    def renamed(self, names: Mapping[str, str]) -> Subject:
        """With other tags; one that has no counterpart is marked, so that it is like no other."""
        return replace(self, tags=tuple(names.get(tag, f"- {tag}") for tag in self.tags))

    @property
    def words(self) -> str:
        tags = [tag.removeprefix("- ") for tag in self.tags]
        port = f".{self.rest}" if self.rest not in ("", "product") else ""
        match self.kind:
            case "stream":
                return f"stream {tags[0]}{port} -> {tags[1]}"
            case "deck":
                return f"deck {tags[0]}.{self.rest}"
            case "loop":
                return f"loop of {', '.join(tags)}"
            case "dust":
                return f"dust of {(port + ' -> ').join(tags)}"
            case "requirement":
                return f"require {self.rest}"
            case "plant":
                return "plant"
        return " ".join([self.kind, ", ".join(tags), self.rest]).strip()


PLANT = Subject("plant")


@dataclass(frozen=True, slots=True)
class Leaf:
    """One fact. `part` is what it belongs to within its subject: a limit, a band, a fraction.

    value: a number (a share as a fraction) where `nature` is a Quantity, words elsewhere.
    size_mm: of one value among those for a list of sizes.
    """

    subject: Subject
    part: str
    field: str
    label: str
    unit: str
    nature: Quantity | Nature
    value: Any
    size_mm: float | None = None

    @property
    def key(self) -> tuple[Subject, str, str, str]:
        """The same fact of two documents has the same key."""
        return self.subject, self.part, self.field, self.label

    @property
    def what(self) -> str:
        return f"{self.part} {self.label}".strip()


def leaves(results: Results) -> Iterator[Leaf]:
    """Every fact of a document but copies of what the plant states, and where things are.

    Each has a key of its own: where two would share one, as requirements of the same words, they
    are numbered."""
    times: Counter[tuple[Subject, str, str, str]] = Counter()
    for leaf in _Walk(results).of(results, PLANT, ""):
        times[leaf.key] += 1
        again = times[leaf.key]
        yield leaf if again == 1 else replace(leaf, label=f"{leaf.label} ({again})")


class _Walk:
    def __init__(self, results: Results) -> None:
        self._results = results
        self._streams = {s.name: ((s.source, s.target), s.outlet) for s in results.streams}
        checks = [check for machine in results.machines for check in machine.checks]
        decks = [deck for machine in results.machines for deck in machine.decks]
        checks += [check for deck in decks for check in deck.checks]
        self._checked = {NOT_MET, *(check.code for check in checks)}

    def of(self, model: BaseModel, subject: Subject, part: str) -> Iterator[Leaf]:
        for name, _, declared in fields_of(type(model)):
            value = getattr(model, name)
            nature = next((one for one in declared if isinstance(one, Quantity | Nature)), None)
            if isinstance(nature, Quantity):
                yield from self._quantity(model, name, value, nature, subject, part)
            elif nature in (Nature.KEY, Nature.STATED, Nature.MARK, Nature.PLACE):
                continue
            elif nature is not None:
                yield from _worded(name, value, nature, subject, part)
            elif isinstance(value, BaseModel):
                yield from self.of(value, subject, part)
            elif isinstance(value, tuple):
                for item in value:
                    yield from self._item(item, subject, part)
            elif value is not None:
                raise TypeError(f"{type(model).__name__}.{name} is not declared")

    def _quantity(
        self, model: BaseModel, name: str, value: Any, nature: Quantity, subject: Subject, part: str
    ) -> Iterator[Leaf]:
        one = Declared(name, nature)
        label, unit = one.label, one.unit
        if isinstance(model, Check | RequirementResult):
            unit = model.unit
        if not nature.sizes:
            yield Leaf(subject, part, name, label, unit, nature, value)
            return
        holder = model if nature.sizes in type(model).model_fields else self._results
        for size, share in zip(getattr(holder, nature.sizes), value, strict=True):
            yield Leaf(subject, part, name, f"{label} {size:.5g} mm", unit, nature, share, size)

    def _item(self, item: BaseModel, subject: Subject, part: str) -> Iterator[Leaf]:
        if isinstance(item, SettingResult):
            return  # as the plant states it
        if isinstance(item, Warning):
            if item.code not in self._checked:  # else it follows from a limit or a requirement
                about = Subject("warning", tuple(item.subject.split(", ")))
                yield Leaf(about, "", "code", item.code, "", Nature.VERDICT, item.text)
            return
        if isinstance(item, DustResult):
            tags, outlet = self._streams.get(item.source, ((item.source,), ""))
            yield from self.of(item, Subject("dust", tags, outlet), part)
            return
        for kind, about_of in _SUBJECTS.items():
            if isinstance(item, kind):
                yield from self.of(item, about_of(item, subject), part)
                return
        yield from self.of(item, subject, _part(item))


_SUBJECTS: Mapping[type[BaseModel], Callable[[Any, Subject], Subject]] = {
    FeedResult: lambda feed, _: Subject("feed", (feed.tag,)),
    ProductResult: lambda product, _: Subject("product", (product.tag,)),
    MachineResult: lambda machine, _: Subject(machine.kind, (machine.tag,)),
    StreamResult: lambda s, _: Subject("stream", (s.source, s.target), s.outlet),
    WaterStreamResult: lambda water, _: _of_water(water),
    DeckResult: lambda deck, machine: Subject("deck", machine.tags, deck.name),
    LoopResult: lambda loop, _: Subject("loop", loop.machines),
    RequirementResult: lambda requirement, _: Subject("requirement", (), requirement.text),
}


def _of_water(water: WaterStreamResult) -> Subject:
    """Known by the machine it runs into or out of, whatever its number."""
    match water.kind:
        case "spray":
            machine, _, deck = water.target.rpartition(".")
            return Subject("water", (machine,), f"{deck} spray")
        case "dilution":
            return Subject("water", (water.target,), "dilution")
        case "return":
            return Subject("water", (water.source,), "return")
        case "make-up":
            return Subject("water", (), "make-up")


def _part(item: BaseModel) -> str:
    """What an item of a list is called within its owner."""
    match item:
        case Check(name=name) | BandVerdict(name=name):
            return f"{name}:"
        case FlakinessFraction() | ElongationFraction():
            return f"{item.lower_mm:g} mm to {item.upper_mm:g} mm:"
        case RockShare(feed=feed):
            return f"from {feed}:"
    raise TypeError(f"nothing says what a {type(item).__name__} is about")


def _worded(name: str, value: Any, nature: Nature, subject: Subject, part: str) -> Iterator[Leaf]:
    label = name.replace("_", " ")
    if nature is Nature.TEXT:
        for text in value if isinstance(value, tuple) else (value,):
            yield Leaf(subject, part, name, text, "", nature, label)
        return
    yield Leaf(subject, part, name, label, "", nature, said(value))


def said(value: Any) -> str:
    """A verdict or derived value in words."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple) and all(isinstance(one, str) for one in value):
        return ", ".join(value)
    return str(value)
