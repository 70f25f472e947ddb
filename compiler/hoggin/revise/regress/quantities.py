"""What is recorded of a plant's results: every number, each under the name of the thing it belongs
to, and every verdict.

The results document is walked as it is declared (`schema.quantity`): what is declared there is
recorded, without a word here.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from hoggin.schema import quantity as of
from hoggin.schema.quantity import Told, stem_and_unit
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
    StreamResult,
)

_DIGITS = 6
# After the point, at most: finer figures say nothing, or are the dust of arithmetic.
_PLACES, _PLACES_PERCENT = 6, 3


_SUBJECTS: Mapping[type[BaseModel], str] = {
    FeedResult: "feed {0.tag}",
    StreamResult: "stream {0.name}",
    MachineResult: "{0.kind} {0.tag}",
    ProductResult: "product {0.tag}",
    LoopResult: "circuit of {0.machines[0]}",
    DustResult: "dust of {0.source}",
    RequirementResult: "require {0.text}",
}
_BEFORE: Mapping[type[BaseModel], str] = {  # of what belongs to the thing that lists it
    Check: "{0.name} ",
    BandVerdict: "{0.name}, ",
    FlakinessFraction: "{0.lower_mm:g} mm to {0.upper_mm:g} mm, ",
    ElongationFraction: "{0.lower_mm:g} mm to {0.upper_mm:g} mm, ",
}


@dataclass(frozen=True, slots=True)
class Quantity:
    """`what` of `subject`, as "rate" of "product stone". `kind` names its tolerance: its family."""

    subject: str
    what: str
    kind: str
    value: float
    unit: str


@dataclass(frozen=True, slots=True)
class Ruling:
    """A verdict: "crusher secondary: load" is "ok"."""

    name: str
    word: str


def quantities(results: Results) -> tuple[Quantity, ...]:
    """Every number of the results, in their order."""
    return tuple(leaf for leaf in _leaves(results) if isinstance(leaf, Quantity))


def limits(results: Results) -> dict[str, str]:
    """Every verdict of the results but those on requirements, by what it is of."""
    return {leaf.name: leaf.word for leaf in _leaves(results) if isinstance(leaf, Ruling)}


def rounded(value: float, unit: str) -> float:
    """Six significant digits, and no dust around zero."""
    places = _PLACES_PERCENT if unit == "%" else _PLACES
    return round(float(f"{value:.{_DIGITS}g}"), places) + 0.0


def _leaves(results: Results) -> Iterator[Quantity | Ruling]:
    return _Walk(results).part(results, "plant", "")


class _Walk:
    """Goes through one document."""

    def __init__(self, results: Results) -> None:
        self._results = results
        self._taken: dict[tuple[str, str], int] = {}

    def part(self, part: BaseModel, subject: str, before: str) -> Iterator[Quantity | Ruling]:
        """The leaves of a part; `before` is said before the names of its fields."""
        for name, field in type(part).model_fields.items():
            value = getattr(part, name)
            declared = _declared(field)
            if value is None or _stands_elsewhere(part, name, declared):
                continue
            if declared is not None:
                yield from self._of_field(part, name, declared, subject, before)
            elif isinstance(value, BaseModel):
                yield from self.part(value, subject, before)
            elif isinstance(value, tuple):
                for one in value:
                    yield from self.part(one, *self._named(one, subject))

    def _of_field(
        self, part: BaseModel, name: str, declared: of.Quantity | Told, subject: str, before: str
    ) -> Iterator[Quantity | Ruling]:
        value = getattr(part, name)
        if declared is Told.VERDICT:
            if value or name == "met":  # what is so; no list of what is not
                yield _ruling(name, value, subject, before)
        elif isinstance(declared, of.Quantity) and declared.sizes:
            sizes = getattr(part, declared.sizes, self._results.sieves_mm)
            for size_mm, share in zip(sizes, value, strict=True):
                what = f"{before}passing {size_mm:g} mm"
                yield Quantity(subject, what, *_figure(part, name, declared, share))
        elif isinstance(declared, of.Quantity) or _is_number(declared, value):
            what = before + _label(name, declared)
            yield Quantity(subject, what, *_figure(part, name, declared, value))

    def _named(self, part: BaseModel, subject: str) -> tuple[str, str]:
        """What an item of a list is called, or what is said before the names of its fields where
        it belongs to what holds the list. Of two that are called alike the second is numbered."""
        name, before = _name(part, subject)
        times = self._taken[name, before] = self._taken.get((name, before), 0) + 1
        if times == 1 or name == subject:
            return name, before
        return f"{name} ({times})", before


def _declared(field: FieldInfo) -> of.Quantity | Told | None:
    return next((one for one in field.metadata if isinstance(one, of.Quantity | Told)), None)


def _stands_elsewhere(part: BaseModel, name: str, declared: of.Quantity | Told | None) -> bool:
    """Whether a field is no matter of a record, or has its place there already: a requirement's
    verdict has a section of its own, and its margin follows from its value."""
    if isinstance(declared, of.Quantity) and declared.family is of.SOLVER:
        return True
    return isinstance(part, RequirementResult) and name in ("met", "margin")


def _is_number(declared: Told | None, value: object) -> bool:
    return declared is Told.STATED and type(value) in (int, float)


def _ruling(name: str, value: bool | str, subject: str, before: str) -> Ruling:
    if name in ("verdict", "met"):
        words = {True: "met", False: "not met"}
        return Ruling(f"{subject}: {before.rstrip(', ')}", words.get(value, str(value)))
    return Ruling(f"{subject}: {before}{name}", "yes" if value is True else str(value))


def _label(name: str, declared: of.Quantity | Told | None) -> str:
    if isinstance(declared, of.Quantity) and declared.label:
        return declared.label
    return stem_and_unit(name, of.DIMENSION)[0].replace("_", " ")


def _figure(
    part: BaseModel, name: str, declared: of.Quantity | Told | None, value: float
) -> tuple[str, float, str]:
    """The family, the value as recorded, and its unit. What is held against a limit is in the
    limit's unit, per cent as per cent."""
    if isinstance(part, Check | RequirementResult):
        family = of.LOAD if part.unit.startswith("%") else of.RATIO
        unit = "%" if family is of.LOAD else part.unit
        return family.name, rounded(value, unit), unit
    family = declared.family if isinstance(declared, of.Quantity) else of.DIMENSION
    unit = stem_and_unit(name, family)[1]
    return family.name, rounded(100 * value if unit == "%" else value, unit), unit


def _name(part: BaseModel, subject: str) -> tuple[str, str]:
    if isinstance(part, DeckResult):
        return f"deck {subject.partition(' ')[2]}.{part.name}", ""
    if type(part) in _SUBJECTS:
        return _SUBJECTS[type(part)].format(part), ""
    return subject, _BEFORE.get(type(part), "").format(part)
