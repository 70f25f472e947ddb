"""One machine as a plant declares it: its class, sizes within their ranges, what suits the feed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tests.generator.spelling import Pen
from tests.generator.standard import Choice, MachineClass, Range

_DECK_NAMES = {
    1: ("top",),
    2: ("top", "bottom"),
    3: ("top", "second", "bottom"),
    4: ("top", "second", "third", "bottom"),
}


def declaration(
    pen: Pen,
    machine: MachineClass,
    tag: str,
    wanted: Mapping[str, str | float],
    lines: Sequence[str] = (),
) -> str:
    """`crusher TAG: CLASS(...) { ... }`: what is wanted as wanted, the rest drawn."""
    sizes = [
        f"{p.name}: {_value(pen, p, wanted)}" for p in machine.parameters if _said(pen, p, wanted)
    ]
    block = [
        f"{s.name} {_value(pen, s, wanted)}" for s in machine.settings if _said(pen, s, wanted)
    ]
    block += lines
    pen.random.shuffle(block)
    head = f"{machine.kind} {tag}: {machine.path}({', '.join(sizes)})"
    if not block:
        return head
    if pen.chance(0.4):
        return f"{head} {{ {'; '.join(block)} }}"
    return f"{head} {{\n" + "\n".join(f"    {line}" for line in block) + "\n  }"


def _said(pen: Pen, stated: Range | Choice, wanted: Mapping[str, str | float]) -> bool:
    return stated.name in wanted or not stated.given or pen.chance(0.2)


def _value(pen: Pen, stated: Range | Choice, wanted: Mapping[str, str | float]) -> str:
    value = wanted.get(stated.name)
    if isinstance(value, str):
        return value
    if isinstance(stated, Choice):
        return pen.random.choice(stated.words)
    if value is None:
        value = pen.between(stated.low, stated.high)
    value = min(stated.high, max(stated.low, value))
    if value in (stated.low, stated.high):  # another spelling might fall outside
        return f"{value:g} {stated.unit}".rstrip()
    return pen.quantity(value, stated.unit)


def crusher(
    pen: Pen, machine: MachineClass, tag: str, setting: float, lines: Sequence[str] = ()
) -> str:
    """A crusher set to `setting` mm, in sizes that its class's rules let stand."""
    wanted: dict[str, str | float] = {}
    opening = machine.opening
    if opening is not None:
        wanted[opening.name] = setting
    gape = machine.range_of("gape")
    if gape is not None:
        wanted["gape"] = min(gape.high, max(gape.low, 4.6 * setting))
    for choice in machine.settings:
        if isinstance(choice, Choice) and choice.name == "chamber":
            wanted["chamber"] = "medium"
        if isinstance(choice, Choice) and choice.name == "duty" and choice.given:
            wanted["duty"] = machine.name.rpartition("_")[2]
    return declaration(pen, machine, tag, wanted, lines)


def reach(machine: MachineClass) -> tuple[float, float]:
    """The settings in mm that the class's own rules allow."""
    opening, gape = machine.opening, machine.range_of("gape")
    if opening is None:
        return 0.0, 0.0
    return opening.low, opening.high if gape is None else min(opening.high, gape.high / 4.6)


def screen(
    pen: Pen,
    machine: MachineClass,
    tag: str,
    apertures: Sequence[str],
    rate: float,
    lines: Sequence[str] = (),
) -> str:
    """A screen of these apertures, coarse first, of a size that suits the rate."""
    width = min(3.5, max(1.0, rate / 120))
    measured = machine.range_of("width")
    scale = 1000.0 if measured is not None and measured.unit == "mm" else 1.0
    wet = any(isinstance(s, Choice) and s.name == "water" for s in machine.settings)
    sprayed = wet and pen.chance(0.15)
    decks = []
    for name, aperture in zip(_DECK_NAMES[len(apertures)], apertures, strict=True):
        shape = pen.random.choice(("", " square", " square", " round", " slotted"))
        block = [f"open_area {pen.between(45, 70):g} %"] if pen.chance(0.15) else []
        block += [f"spray {pen.between(5, 60):g} m3/h"] if sprayed else []
        block += ["slot_ratio 4"] if shape == " slotted" and pen.chance(0.3) else []
        inside = f" {{ {'; '.join(block)} }}" if block else ""
        decks.append(f"deck {name} {aperture}{shape}{inside}")
    wanted: dict[str, str | float] = {"width": scale * width, "length": scale * 2.4 * width}
    if wet:
        wanted["water"] = "spray" if sprayed else "dry"
    return declaration(pen, machine, tag, wanted, [*decks, *lines])


def outlets(tag: str, decks: int) -> list[str]:
    """The outlets of a screen as routes name them, coarse first."""
    if decks == 1:
        return [f"{tag}.over", f"{tag}.under"]
    return [*(f"{tag}.{name}.over" for name in _DECK_NAMES[decks]), f"{tag}.under"]


def deck_tags(tag: str, decks: int) -> list[str]:
    return [f"{tag}.{name}" for name in _DECK_NAMES[decks]]
