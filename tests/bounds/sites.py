"""Small plants with every number that a class, a machine or a plant can state, each replaceable."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from hoggin.models import catalog
from hoggin.models.catalog import Coefficient, Model
from hoggin.schema.facts import Fact, facts_of, operation_of
from hoggin.schema.kinds import CLASS_KINDS, KINDS
from hoggin.schema.units import in_currency, trade_unit
from tests.generator.standard import MachineClass, Range, classes

_MARK = re.compile(r"<<(.+?)>>")


@dataclass(frozen=True)
class Number:
    """A number of a site: what it usually is, and the range it must keep to, in `unit`."""

    usual: str
    unit: str
    low: float
    high: float

    def written(self, value: float) -> str:
        """As an expression: a sign before a number with its unit would not be one everywhere."""
        shown = f"{abs(value):.12f}".rstrip("0").rstrip(".") or "0"
        text = f"{shown} {self.unit}".rstrip()
        return f"(0 * {text} - {text})" if value < 0 else text

    @property
    def outside(self) -> tuple[float, ...]:
        """Just beyond either end, and far beyond."""
        step = 1e-3 * (abs(self.high) if self.low == 0 else abs(self.low))
        return (self.low - step, self.high * 1.001, self.low - 10 * abs(self.high), 1e3 * self.high)

    @property
    def tried(self) -> tuple[float, ...]:
        middle = (abs(self.low * self.high)) ** 0.5
        found = (self.low, self.high, 0.0, -middle, 0.5 * (self.low + self.high), 1e12)
        return tuple(dict.fromkeys((*found, *self.outside)))


@dataclass
class Site:
    """A plant's text with marks where its numbers stand."""

    name: str
    text: str
    numbers: dict[str, Number] = field(default_factory=dict)

    def with_(self, values: Mapping[str, float]) -> str:
        def number(mark: re.Match[str]) -> str:
            one = self.numbers[mark[1]]
            return one.written(values[mark[1]]) if mark[1] in values else one.usual

        return _MARK.sub(number, self.text)


_TABLES = {
    "passing": "passing { 20 mm: { 40 mm: 100 %, 5 mm: 30 % }, "
    "60 mm: { 120 mm: 100 %, 5 mm: 10 % } }",
    "rate": "rate { 20 mm: 60 t/h to 80 t/h, 60 mm: 90 t/h to 120 t/h }",
}
# What coefficients without a default usually are; the middle of their range in logarithms else.
_USUAL = {
    "k1": 15.0,
    "k2": 60.0,
    "css": 30.0,
    "gape": 600.0,
    "gap": 40.0,
    "d_min": 3.0,
    "d50": 5.0,
    "tip_speed": 40.0,
    "t10_limit": 0.5,
    "energy_scale": 1.0,
    "specific_energy": 0.5,
    "passing_css": 0.75,
    "best": 0.15,
    "flakiness": 0.15,
    "flat_elongated": 0.1,
    "middle_roll": 380.0,
    "width": 1000.0,
    "trough_angle": 35.0,
    "surcharge_angle": 20.0,
    "travel_speed": 1.6,
    "length": 60.0,
    "lift": 8.0,
    "belt_mass": 2.0,
    "roll_mass": 3.0,
    "throw": 30.0,
    "mean_diameter": 1200.0,
    "rated": 500.0,
    "usual_f80": 100.0,
    "inlet": 800.0,
    "drop": 600.0,
    "inlet_fill": 0.02,
}
_FEED = """
  sieves { 63 mm, 31.5 mm, 16 mm, 8 mm, 4 mm, 1 mm }
  currency EUR
  feed rock {
    rock granite; rate 200 t/h; tramp 30 mm; flakiness 20 %; flat_elongated 8 %
    passing { 200 mm: 100 %, 50 mm: 40 %, 5 mm: 10 % }
  }
"""
_MATERIAL = """
material granite {
  solid_density 2.65 t/m3; bulk_density 1.55 t/m3; work_index 15 kWh/t
  abrasion_index 0.3; moisture 4 %
}
"""


def sites() -> Iterator[Site]:
    for kind in CLASS_KINDS:
        yield from _own(kind)
    for one in classes():
        yield _standard(one)
    yield from _plants()


def _fact(site: Site, key: str, fact: Fact) -> str:
    assert fact.dimension is not None
    unit = trade_unit(fact.dimension)
    name = "" if unit is None else in_currency(unit[0].sign, "EUR")
    site.numbers[key] = Number(fact.sample.partition(";")[0], name, fact.low, fact.high)
    return f"<<{key}>>"


def _coefficient(site: Site, key: str, one: Coefficient) -> str:
    value = one.default
    if value is None or (value == 0.0 and one.name in _USUAL):
        middle = (one.low * one.high) ** 0.5
        value = _USUAL.get(one.name, middle)
        if not one.low <= value <= one.high:  # usual in another unit
            value = middle
    number = Number("", one.unit, one.low, one.high)
    site.numbers[key] = Number(number.written(value), one.unit, one.low, one.high)
    return f"<<{key}>>"


def _model(site: Site, model: Model) -> str:
    lines = [
        f"{c.name} {_coefficient(site, f'{model.role} {model.name}.{c.name}', c)}"
        for c in model.coefficients
    ]
    if model.table:
        lines.append(_TABLES[model.table])
    return f"  model {model.role}: {model.name} {{ {'; '.join(lines)} }}\n"


def _own(kind: str) -> Iterator[Site]:
    """A user's class of a kind with each of the models it can name."""
    roles = {role: catalog.names(role, kind) for role in KINDS[kind].models}
    for place in range(max(map(len, roles.values()), default=1)):
        picked = {role: names[min(place, len(names) - 1)] for role, names in roles.items()}
        site = Site(f"own {kind} with {', '.join(picked.values())}", "")
        lines = [
            f"  {fact.name} {_fact(site, fact.name, fact)}\n"
            for fact in facts_of(kind).values()
            if fact.dimension is not None
        ]
        if kind == "crusher":
            lines.append("  setting css: 1 mm to 600 mm = 30 mm\n")
        for role, name in picked.items():
            model = catalog.find(role, name)
            assert model is not None
            lines.append(_model(site, model))
        site.text = (
            f"{_MATERIAL}class {kind} own() {{\n{''.join(lines)}}}\n{_machine(kind, 'own()')}"
        )
        yield site


def _machine(kind: str, made: str, block: str = "", decks: int = 2) -> str:
    names = ("top", "bottom")[:decks]
    sizes = dict(zip(names, ("20 mm", "5 mm"), strict=False))
    several = KINDS[kind].outlets
    if KINDS[kind].decked:
        block += "".join(f"    deck {name} {size}\n" for name, size in sizes.items())
        outlets = [*(f"one.{name}.over" for name in names), "one.under"]
    else:
        outlets = [f"one.{outlet}" for outlet in several] if len(several) > 1 else ["one"]
    routes = "".join(f"  {out} -> product p{i}\n" for i, out in enumerate(outlets))
    return (
        f'plant "Bounds" {{{_FEED}  {kind} one: {made} {{\n{block}  }}\n  rock -> one\n{routes}}}\n'
    )


def _standard(one: MachineClass) -> Site:
    """A class of the library with its parameters and settings."""
    site = Site(one.path, "")

    def stated(found: Range, between: str) -> str:
        middle = (found.low * found.high) ** 0.5 or 0.02 * found.high
        number = Number("", found.unit, found.low, found.high)
        site.numbers[found.name] = Number(
            number.written(round(middle, 3)), found.unit, found.low, found.high
        )
        return f"{found.name}{between}<<{found.name}>>"

    arguments = ", ".join(stated(p, ": ") for p in one.parameters)
    block = ""
    for setting in one.settings:
        if isinstance(setting, Range):
            block += f"    {stated(setting, ' ')}\n"
        elif not setting.given:
            block += f"    {setting.name} {setting.words[0]}\n"
    made = f"{one.path}({arguments})"
    decks = one.decks or int(KINDS[one.kind].decked)  # a class that names no most has one here
    site.text = f"use std.{one.library}\n{_MATERIAL}{_machine(one.kind, made, block, decks)}"
    return site


_PLANT = """
class crusher own() {
  setting css: 1 mm to 600 mm = 30 mm
  liner_mass 2 t; moisture_limit 3 %; moisture_capacity_loss 5 %; relief_stroke 40 mm
  model breakage: matrix { k1 15 mm; k2 60 mm }
  model capacity: rated { rated 300 t/h }
  model power: bond
  model wear: chamber_liners
  model flakiness: even { share 15 % }
  model flat_elongated: even { share 6 % }
}
class screen deck() {
  width 2 m; length 6 m; travel_speed 0.4 m/s
  model partition: karra { inclination 18 deg }
  model area: factor_method
}
material granite { MATERIAL }
plant "Bounds" {
  sieves { 63 mm, 16 mm, 4 mm, <<sieve>> }
  currency EUR; PLANT
  operation { RUN }
  feed rock { rock granite; passing { <<size>>: <<share>>, 50 mm: 40 %, 5 mm: 10 % }; FEED }
  crusher one: own() { operation { OPERATION; liner_price <<liner_price>> } }
  stockpile heap { HEAP; operation { STARTS } }
  bin box { BOX }
  screen two: deck() {
    deck top <<aperture>> slotted { DECK }
    deck bottom 5 mm
  }
  splitter half { out a <<a>>; out b rest; operation { SPLITTER } }
  rock -> heap -> one -> box -> two
  two.top.over -> product coarse
  two.bottom.over -> half
  half.a -> product left
  half.b -> product right
  two.under -> product fine
}
"""


def _plants() -> Iterator[Site]:
    """Plants, feeds, materials, decks, stores, splitters and how machines are run."""
    stores = (
        ("height repose_angle drawdown_angle", "volume live_share"),
        ("live height", "live volume"),
        ("height live_share", "live"),
    )
    for place, (heap, box) in enumerate(stores):
        site = Site(f"plant {place}", _PLANT)
        blocks = {
            "MATERIAL": ("material", None),
            "PLANT": ("plant", None),
            "RUN": ("plant.operation", None),
            "FEED": ("feed", None),
            "OPERATION": ("operation", None),
            "DECK": ("deck", None),
            "SPLITTER": ("splitter.operation", None),
            "STARTS": ("stockpile.operation", None),
            "HEAP": ("stockpile", heap.split()),
            "BOX": ("bin", box.split()),
        }
        for word, (owner, names) in blocks.items():
            lines = [
                f"{fact.name} {_fact(site, f'{owner} {fact.name}', fact)}"
                for fact in facts_of(owner).values()
                if fact.dimension is not None and (names is None or fact.name in names)
            ]
            site.text = site.text.replace(word, "; ".join(lines), 1)
        _fact(site, "liner_price", operation_of("crusher")["liner_price"])
        site.numbers |= {
            "sieve": Number("1 mm", "mm", 0.001, 5000.0),
            "size": Number("200 mm", "mm", 50.0, 5000.0),
            "share": Number("100 %", "%", 99.9, 100.0),
            "aperture": Number("20 mm", "mm", 5.0, 1000.0),
            "a": Number("40 %", "%", 0.0, 100.0),
        }
        yield site
