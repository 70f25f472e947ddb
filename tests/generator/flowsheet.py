"""A flowsheet grown from its feeds: streams that lead nowhere yet are led through machines."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from tests.generator import machines
from tests.generator.spelling import Pen
from tests.generator.standard import MachineClass

_PASSING = (
    *("feeder", "conveyor", "magnet", "metal_detector", "instrument", "pump", "sump"),
    *("bin", "stockpile", "blend"),
)


@dataclass(frozen=True)
class End:
    """A stream that leads nowhere yet: its outlet, top size (mm) and rate (t/h), both about."""

    at: str
    top: float
    rate: float


@dataclass(frozen=True)
class Open:
    """A number left open: how it is named, and the range it may take, mm."""

    name: str
    low: float
    high: float


@dataclass
class Flowsheet:
    """The lines of a plant's body, and what requirements may ask about."""

    pen: Pen
    classes: Sequence[MachineClass]
    templates: Sequence[str]  # as sections call them
    ends: list[End] = field(default_factory=list)
    lines: list[str] = field(default_factory=list)
    tags: dict[str, list[str]] = field(default_factory=dict)  # by kind
    opened: list[Open] = field(default_factory=list)
    libraries: set[str] = field(default_factory=set)  # of the standard library, used
    chosen: bool = False
    count: int = 0

    def name(self, stem: str) -> str:
        self.count += 1
        return f"{self.pen.random.choice((stem, stem.upper(), stem[:2]))}_{self.count}"

    def enter(self, kind: str, stem: str) -> str:
        tag = self.name(stem)
        self.tags.setdefault(kind, []).append(tag)
        return tag

    def of_kind(
        self, kind: str, fits: Callable[[MachineClass], bool] = lambda _: True
    ) -> MachineClass | None:
        found = [c for c in self.classes if c.kind == kind and fits(c)]
        if not found:
            return None
        picked = self.pen.random.choice(found)
        self.libraries.add(picked.library)
        return picked

    def join(self, *places: str) -> None:
        self.lines.append(" -> ".join(places))

    # -- one step of growth ----------------------------------------------------------------------

    def grow(self) -> None:
        """Lead one end through something."""
        end = self.ends.pop(self.pen.random.randrange(len(self.ends)))
        steps = [
            (6, self.pass_on),
            (6, self.crush),
            (8, self.screen),
            (2, self.split),
            (1, self.overflow),
            (6, self.close),
            (2, self.classify),
            (2, self.thicken),
            (2, self.merge),
            (4, self.section),
            (2, self.choose),
        ]
        weights, ways = zip(*steps, strict=True)
        if not self.pen.random.choices(ways, weights)[0](end):
            self.ends.append(end)

    def pass_on(self, end: End) -> bool:
        """Through a feeder, a belt and what stands over it, a pump, a store or a named point."""
        kind = self.pen.random.choice(_PASSING)
        tag = self.enter(kind, kind)
        match kind:
            case "bin" | "stockpile":
                self.lines.append(f"{kind} {tag}{self._store(kind)}")
            case "blend":
                self.lines.append(f"blend {tag}")
            case "sump":
                self.lines.append(f"sump {tag}{self._sump()}")
            case _:
                machine = self.of_kind(kind)
                if machine is None:
                    return False
                run = self._operation()
                wanted: dict[str, str | float] = {"length": 40.0}
                if kind == "conveyor":
                    wanted["lift"] = self.pen.between(0, 9)
                self.lines.append(machines.declaration(self.pen, machine, tag, wanted, run))
        self.join(end.at, tag)
        self.ends.append(End(tag, end.top, end.rate))
        return True

    def _store(self, kind: str) -> str:
        pen = self.pen
        forms = ["", f"live {pen.between(50, 8000):g} t"]
        if kind == "bin":
            forms.append(f"volume {pen.between(20, 900):g} m3; live_share {pen.share(0.8)}")
        else:
            forms += [
                f"height {pen.between(4, 25):g} m",
                f"height {pen.between(12, 60):g} ft; drawdown_angle {pen.between(40, 70):g} deg",
                f"height 9 m; repose_angle 0.65 rad; live_share {pen.share(0.3)}",
            ]
        said = pen.random.choice(forms)
        if said and pen.chance(0.3):
            said += f"; operation {{ start_level {pen.share(pen.between(0, 1))} }}"
        return f" {{ {said} }}" if said else ""

    def _sump(self) -> str:
        pen = self.pen
        said = [f"volume {pen.between(1, 40):g} m3"] if pen.chance(0.7) else []
        said += [f"added_water {pen.between(5, 400):g} m3/h"] if pen.chance(0.7) else []
        said += ["min_residence 2 min"] if pen.chance(0.2) else []
        return f" {{ {'; '.join(said)} }}" if said else ""

    def _operation(self) -> list[str]:
        """How a machine is run, what is noted of it, and how many there are."""
        pen = self.pen
        lines = []
        if pen.chance(0.15):
            lines += [f"availability {pen.between(60, 99):g} %", f"repair {pen.between(1, 9):g} h"]
        if pen.chance(0.1):
            lines.append(f"pace {pen.between(100, 200):g} %")
        if pen.chance(0.1):
            lines.append("maintenance { 40 h: 2 h, 160 h: 8 h }")
        notes = ['note "stopped by plan"'] if lines[-1:] and "maintenance" in lines[-1] else []
        several = (
            [f"count {pen.random.choice(('2', '3', 'any(1, 2)'))}"] if pen.chance(0.12) else []
        )
        run = [f"operation {{ {'; '.join(lines)} }}"] if lines else []
        return [*run, *notes, *several]

    def crush(self, end: End) -> bool:
        """Through a crusher in open circuit."""
        low, high = end.top / 8, end.top / 1.5
        tag = self._crusher(low, high)
        if tag is None:
            return False
        self.join(end.at, tag)
        self.ends.append(End(tag, end.top / 2, end.rate))
        return True

    def _crusher(self, low: float, high: float) -> str | None:
        """A crusher set to between two sizes, mm; None where no class reaches them."""

        def fits(one: MachineClass) -> bool:
            least, most = machines.reach(one)
            return max(least, low) * 1.02 < min(most, high)

        machine = self.of_kind("crusher", fits)
        if machine is None:
            return None
        least, most = machines.reach(machine)
        setting = self.pen.between(max(least, low) * 1.01, min(most, high) * 0.99)
        tag = self.enter("crusher", "crusher")
        text = machines.crusher(self.pen, machine, tag, setting, self._operation())
        if self.pen.chance(0.2) and machine.opening is not None:
            text = self._left_open(text, machine.opening.name, tag, setting)
        self.lines.append(text)
        return tag

    def _left_open(self, text: str, name: str, tag: str, setting: float) -> str:
        """The crusher's setting as a free number that starts where it stood."""
        low, high = setting * 0.995, setting * 1.01
        written = [line for line in text.replace("{ ", "\n").split("\n") if f"{name} " in line]
        stated = [part.strip(" }") for line in written for part in line.split(";")]
        found = [part for part in stated if part.startswith(f"{name} ")]
        if len(found) != 1:
            return text
        self.opened.append(Open(f"{tag}.{name}", low, high))
        form = f"free({low:.6g} mm to {high:.6g} mm, {setting:.6g} mm)"
        if self.pen.chance(0.2):
            form = f"normal({setting:.6g} mm, 0.5 %)"
            self.opened.pop()
        return text.replace(found[0], f"{name} {form}", 1)

    def screen(self, end: End) -> bool:
        """Over a screen of one to three decks, or bars of a feeder."""
        decks = self.pen.random.randint(1, 3)
        kind = "grizzly_feeder" if self.pen.chance(0.2) else "screen"
        machine = self.of_kind(kind, lambda c: c.decks >= decks)
        if machine is None:
            return False
        sizes = self._apertures(end.top * self.pen.random.uniform(0.2, 0.7), decks)
        tag = self._screen(machine, sizes, end.rate)
        self.join(end.at, tag)
        tops = [end.top, *sizes]
        for outlet, top in zip(machines.outlets(tag, decks), tops, strict=True):
            self.ends.append(End(outlet, top, end.rate / (decks + 1)))
        return True

    def _apertures(self, top: float, decks: int) -> list[float]:
        sizes = [max(2.0, top)]
        for _ in range(decks - 1):
            sizes.append(sizes[-1] * self.pen.random.uniform(0.3, 0.7))
        return [float(f"{size:.4g}") for size in sizes]

    def _screen(self, machine: MachineClass, sizes: Sequence[float], rate: float) -> str:
        tag = self.enter(machine.kind, "screen")
        self.tags.setdefault("deck", []).extend(machines.deck_tags(tag, len(sizes)))
        apertures = [self.pen.mm(size) for size in sizes]
        self.lines.append(
            machines.screen(self.pen, machine, tag, apertures, rate, self._operation())
        )
        return tag

    def split(self, end: End) -> bool:
        tag = self.enter("splitter", "splitter")
        outlets = ["left", "right"]
        lines = [f"out left {self.pen.share(self.pen.between(0.05, 0.95))}", "out right rest"]
        if self.pen.chance(0.3):
            outlets.append("third")
            lines = ["out left 30 %", f"out right {self.pen.share(0.25)}", "out third rest"]
        elif self.pen.chance(0.3):
            asked = self.pen.t_h(end.rate * self.pen.between(0.1, 1.2))
            lines = [f"out left {asked}", "out right rest"]
        elif self.pen.chance(0.2):
            lines = ["out left", "out right", "position left"]
        self.lines.append(f"splitter {tag} {{ {'; '.join(lines)} }}")
        self.join(end.at, tag)
        for outlet in outlets:
            self.ends.append(End(f"{tag}.{outlet}", end.top, end.rate / len(outlets)))
        return True

    def overflow(self, end: End) -> bool:
        """Through a store that is drawn, and what it overflows with."""
        kind = self.pen.random.choice(("bin", "stockpile"))
        tag = self.enter(kind, kind)
        drawn = self.pen.t_h(end.rate * self.pen.between(0.3, 1.5))
        self.lines.append(f"{kind} {tag} {{ live {self.pen.between(50, 900):g} t; draw {drawn} }}")
        self.join(end.at, tag)
        self.ends.append(End(f"{tag}.draw", end.top, end.rate / 2))
        self.ends.append(End(f"{tag}.overflow", end.top, end.rate / 2))
        return True

    def close(self, end: End) -> bool:
        """Through a crusher in closed circuit with a screen, before or behind it."""
        aperture = end.top * self.pen.random.uniform(0.15, 0.5)
        decks = self.pen.random.randint(1, 3)
        machine = self.of_kind("screen", lambda c: c.decks >= decks and c.library != "washing")
        if machine is None:
            return False
        crusher = self._crusher(aperture / 4, aperture * 0.65)
        if crusher is None:
            return False
        sizes = self._apertures(aperture, decks)
        tag = self._screen(machine, sizes, 2 * end.rate)
        over, *rest = machines.outlets(tag, decks)
        first, second = (crusher, tag) if self.pen.chance(0.5) else (tag, crusher)
        self.join(end.at, first)
        if first == crusher:
            self.join(crusher, tag)
            self.join(over, crusher)
        else:
            self.join(over, second, tag)
        for outlet, top in zip(rest, sizes, strict=True):
            self.ends.append(End(outlet, top, end.rate / len(rest)))
        return True

    def classify(self, end: End) -> bool:
        if end.top > 12:
            return False
        machine = self.of_kind("classifier")
        if machine is None:
            return False
        tag = self.enter("classifier", "classifier")
        self.lines.append(machines.declaration(self.pen, machine, tag, {}, self._operation()))
        self.join(end.at, tag)
        self.ends.append(End(f"{tag}.coarse", end.top, end.rate * 0.8))
        self.ends.append(End(f"{tag}.fine", 0.5, end.rate * 0.2))
        return True

    def thicken(self, end: End) -> bool:
        """Into a thickener."""
        machine = self.of_kind("thickener")
        if end.top > 12 or machine is None:
            return False
        tag = self.enter("thickener", "thickener")
        self.lines.append(machines.declaration(self.pen, machine, tag, {}, self._operation()))
        self.join(end.at, tag)
        self.ends.append(End(f"{tag}.underflow", end.top, end.rate))
        self.ends.append(End(f"{tag}.overflow", 0.5, 0.1))
        return True

    def merge(self, end: End) -> bool:
        if not self.ends:
            return False
        other = self.ends.pop(self.pen.random.randrange(len(self.ends)))
        tag = self.enter("blend", "blend")
        self.lines.append(f"blend {tag}")
        self.join(end.at, tag)
        self.join(other.at, tag)
        self.ends.append(End(tag, max(end.top, other.top), end.rate + other.rate))
        return True

    def section(self, end: End) -> bool:
        """A closed circuit of a template."""
        if not self.templates or not 30 < end.top < 250:
            return False
        tag = self.name("section")
        template = self.pen.random.choice(self.templates)
        given = [f"size: {self.pen.mm(self.pen.between(16, 24))}"]
        given += ["share: 40 %"] if self.pen.chance(0.5) else []
        self.lines.append(f"section {tag}: {template}({', '.join(given)})")
        self.tags.setdefault("crusher", []).append(f"{tag}.cone")
        self.tags.setdefault("deck", []).append(f"{tag}.sizing.top")
        self.join(end.at, tag)
        self.ends.append(End(f"{tag}.stone", 20, end.rate / 2))
        self.ends.append(End(f"{tag}.sand", 8, end.rate / 2))
        return True

    def choose(self, end: End) -> bool:
        """One of two crushers, left open."""
        if self.chosen:
            return False
        before, behind = self.name("before"), self.name("behind")
        options = []
        for word in ("first", "second"):
            kept = len(self.lines)
            tag = self._crusher(end.top / 8, end.top / 1.5)
            if tag is None:
                return False
            self.tags["crusher"].remove(tag)
            self.opened = [one for one in self.opened if not one.name.startswith(f"{tag}.")]
            text = self.lines.pop(kept)
            options.append(f"option {word} {{\n{text}\n{before} -> {tag} -> {behind}\n}}")
        self.chosen = True
        self.lines += [f"blend {before}", f"blend {behind}"]
        self.lines.append(f"choose finisher_{self.count} {{\n" + "\n".join(options) + "\n}")
        self.join(end.at, before)
        self.ends.append(End(behind, end.top / 2, end.rate))
        return True

    def finish(self) -> None:
        """Every end to a product; some share one."""
        products: list[str] = []
        for end in self.ends:
            if products and self.pen.chance(0.3):
                self.join(end.at, self.pen.random.choice(products))
                continue
            tag = self.enter("product", "product")
            products.append(tag)
            if self.pen.chance(0.5):
                self.join(end.at, f"product {tag}")
                continue
            title = f' {{ title "{self.pen.title()}" }}' if self.pen.chance(0.8) else ""
            self.lines.append(f"product {tag}{title}")
            self.join(end.at, tag)
        self.ends.clear()
