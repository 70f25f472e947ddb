"""Results to draw and print in the tests of the backends: an invented scenario, nobody's plant.

The flows are real balances of invented splits (solved with numpy), so that totals, shares and
recirculating loads agree with one another; gradings are truncated Gaudin-Schuhmann curves chosen
for looks. No figure here is published or measured.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from hoggin.schema.plant import Project
from hoggin.schema.results import (
    BandVerdict,
    Check,
    Closure,
    DeckResult,
    FeedResult,
    LoopResult,
    MachineResult,
    ProductResult,
    RequirementResult,
    Results,
    SettingResult,
    StreamResult,
    Warning,
)

SIEVES = (
    900.0, 630.0, 450.0, 315.0, 200.0, 125.0, 90.0, 63.0, 45.0, 31.5, 22.4,
    16.0, 11.2, 8.0, 5.6, 4.0, 2.0, 1.0, 0.5, 0.25, 0.125, 0.063,
)  # fmt: skip


def fraction_passing(size_mm: float, top_mm: float, slope: float) -> float:
    """Gaudin-Schuhmann: (d / top) to the power of the slope, 1 above the top size."""
    return min(1.0, float((size_mm / top_mm) ** slope))


def size_at(fraction: float, top_mm: float, slope: float) -> float:
    return float(top_mm * fraction ** (1.0 / slope))


@dataclass(frozen=True)
class Route:
    """A stream: which share of its source it carries, and its grading's top size and slope."""

    source: str
    outlet: str
    target: str
    share: float
    top_mm: float
    slope: float = 0.8
    closes: bool = False

    @property
    def name(self) -> str:
        port = f"{self.source}.{self.outlet}" if self.outlet not in ("", "product") else self.source
        return f"{port} -> {self.target}"


@dataclass
class Scenario:
    """What the builder needs; machines are named by the routes that leave them."""

    title: str
    feeds: dict[str, float]
    routes: list[Route]
    products: dict[str, str]
    classes: dict[str, str] = field(default_factory=dict)
    settings: dict[str, dict[str, str]] = field(default_factory=dict)
    capacities: dict[str, float] = field(default_factory=dict)
    revision: str = "C"


def _rates(scenario: Scenario) -> dict[str, float]:
    nodes = [*scenario.feeds, *dict.fromkeys(r.target for r in scenario.routes)]
    at = {tag: place for place, tag in enumerate(nodes)}
    system = np.eye(len(nodes))
    fresh = np.array([scenario.feeds.get(tag, 0.0) for tag in nodes])
    for route in scenario.routes:
        system[at[route.target], at[route.source]] -= route.share
    return dict(zip(nodes, np.linalg.solve(system, fresh).tolist(), strict=True))


def _load_check(load: float, capacity: float) -> Check:
    text = f"load {load:.0%} of {capacity:.0f} t/h capacity".replace("%", " %")
    if load > 1:
        return Check(name="load", verdict="over", text=text, value=100 * load, limit=100.0,
                     unit="%", code="W0503")  # fmt: skip
    if load > 0.9:
        return Check(name="load", verdict="watch", text=text, value=100 * load, limit=100.0,
                     unit="%", code="W0504")  # fmt: skip
    return Check(name="load", verdict="ok", text=text, value=100 * load, limit=100.0, unit="%",
                 code=None)  # fmt: skip


def _decks(routes: list[Route], feed: float) -> tuple[DeckResult, ...]:
    decks: list[DeckResult] = []
    on_deck = feed
    for route in routes:
        if not route.outlet.endswith(".over"):
            continue
        name = route.outlet.removesuffix(".over")
        oversize = route.share * feed
        aperture = round(route.top_mm / 2.5, 1)
        deep = aperture * 5 if name == "bottom" else aperture * 2
        bed = Check(name="bed depth", verdict="over" if name == "bottom" else "ok",
                    text=f"bed depth {deep:.0f} mm at discharge, {4 * aperture:.0f} mm wanted",
                    value=deep, limit=4 * aperture, unit="mm",
                    code="W0611" if name == "bottom" else None)  # fmt: skip
        decks.append(
            DeckResult(
                name=name, aperture_mm=aperture, shape="square", feed_t_h=on_deck,
                oversize_t_h=oversize, undersize_t_h=on_deck - oversize,
                cut_size_mm=0.93 * aperture, undersize_efficiency=0.91, near_size=0.18,
                area_m2=12.6, area_needed_m2=10.4, area_use=10.4 / 12.6, bed_depth_mm=deep,
                checks=(bed,),
            )
        )  # fmt: skip
        on_deck -= oversize
    return tuple(decks)


def _machine(scenario: Scenario, tag: str, feed: float) -> MachineResult:
    routes = [route for route in scenario.routes if route.source == tag]
    kind, _, class_name = scenario.classes.get(tag, "crusher cones.high_speed").partition(" ")
    crusher = kind == "crusher"
    capacity = scenario.capacities.get(tag)
    f80 = max((size_at(0.8, r.top_mm, r.slope) for r in scenario.routes if r.target == tag),
              default=400.0)  # fmt: skip
    p80 = size_at(0.8, routes[0].top_mm, routes[0].slope) if routes else None
    return MachineResult(
        tag=tag, kind=kind, class_name=class_name, about=f"invented {kind}",
        settings=tuple(SettingResult(name=name, text=text)
                       for name, text in scenario.settings.get(tag, {}).items()),
        traits={"pivot": "high", "action": "inter-particle"} if crusher else {},
        feed_t_h=feed, f80_mm=f80, p80_mm=p80, top_size_mm=1.4 * f80, moisture_of_feed=0.015,
        clay_of_feed=0.0,
        recirculating_load=0.0,
        reduction_ratio=f80 / p80 if crusher and p80 else None,
        capacity_t_h=capacity, load=feed / capacity if capacity else None,
        power_kw=0.45 * feed if crusher else None,
        installed_power_kw=max(250.0, 50 * round(feed / 90)) if crusher else None,
        power_use=0.45 * feed / max(250.0, 50 * round(feed / 90)) if crusher else None,
        decks=_decks(routes, feed) if kind == "screen" else (),
        checks=(_load_check(feed / capacity, capacity),) if capacity else (),
        notes=(),
        cautions=("Lock out and block the moving parts before clearing a blockage.",)
        if crusher else (),
        sources=("Bond (1952)",) if crusher else (),
    )  # fmt: skip


def _product(tag: str, title: str, rate: float, total: float, route: Route) -> ProductResult:
    top, slope = route.top_mm, route.slope
    curve_mm = np.geomspace(1000.0, 0.01, 80)
    sizes = (top * 1.2, top * 0.9, top * 0.5, top * 0.1, top * 0.02)
    wanted = [fraction_passing(d, top, slope) for d in sizes]
    low = tuple(max(0.0, w - 0.08) for w in wanted)
    met = tag.endswith("fines")
    high = tuple(min(1.0, w + (0.08 if met or i != 2 else -0.02)) for i, w in enumerate(wanted))
    band = BandVerdict(
        name=f"{title} band", about="invented band", source="invented for the tests",
        sizes_mm=sizes, low=low, high=high, passing=tuple(wanted),
        verdict="met" if met else "not met",
        worst_size_mm=sizes[2], worst_margin=0.08 if met else -0.02,
    )  # fmt: skip
    return ProductResult(
        tag=tag, title=title, rate_t_h=rate, share_of_feed=rate / total,
        passing=tuple(fraction_passing(d, top, slope) for d in SIEVES),
        p80_mm=size_at(0.8, top, slope), p50_mm=size_at(0.5, top, slope), moisture=0.015,
        fineness_modulus=6.72,
        curve=tuple((float(d), fraction_passing(float(d), top, slope)) for d in curve_mm),
        bands=() if tag == "base" else (band,),
    )  # fmt: skip


def _stream(scenario: Scenario, place: int, route: Route, rates: dict[str, float]) -> StreamResult:
    rate = route.share * rates[route.source]
    return StreamResult(
        number=str(place), name=route.name,
        source=route.source, outlet=route.outlet, target=route.target,
        rate_t_h=rate, share_of_feed=rate / sum(scenario.feeds.values()),
        passing=tuple(fraction_passing(d, route.top_mm, route.slope) for d in SIEVES),
        p80_mm=size_at(0.8, route.top_mm, route.slope),
        p50_mm=size_at(0.5, route.top_mm, route.slope),
        moisture=0.015, recirculating=route.closes,
    )  # fmt: skip


def _loops(streams: tuple[StreamResult, ...], total: float) -> tuple[LoopResult, ...]:
    return tuple(
        LoopResult(machines=(s.target, s.source), fresh_feed_t_h=total,
                   recirculating_t_h=s.rate_t_h, recirculating_load=s.rate_t_h / total,
                   runs_away_at=None)
        for s in streams if s.recirculating
    )  # fmt: skip


def build(scenario: Scenario) -> Results:
    """Solve the scenario's flows and dress them as the results of a compiled plant."""
    rates = _rates(scenario)
    total = sum(scenario.feeds.values())
    streams = tuple(
        _stream(scenario, place, route, rates)
        for place, route in enumerate(scenario.routes, start=1)
    )
    last = {route.target: route for route in scenario.routes}
    first = {route.source: route for route in reversed(scenario.routes)}
    machines = tuple(
        _machine(scenario, tag, rates[tag])
        for tag in dict.fromkeys(r.source for r in scenario.routes)
        if tag not in scenario.feeds
    )
    products = tuple(_product(tag, title, rates[tag], total, last[tag])
                     for tag, title in scenario.products.items())  # fmt: skip
    chosen = products[0]
    power = sum(m.power_kw or 0.0 for m in machines)
    return Results(
        compiler_version="0.1.0", title=scenario.title,
        revision=scenario.revision, project=Project(),
        source_file="plant.hog", sieves_mm=SIEVES,
        feeds=tuple(
            FeedResult(tag=tag, material="greywacke", rate_t_h=rate, share_of_feed=rate / total,
                       passing=tuple(fraction_passing(d, first[tag].top_mm, first[tag].slope)
                                     for d in SIEVES),
                       p80_mm=size_at(0.8, first[tag].top_mm, first[tag].slope),
                       p50_mm=size_at(0.5, first[tag].top_mm, first[tag].slope),
                       moisture=0.015, clay=0.0)
            for tag, rate in scenario.feeds.items()
        ),
        streams=streams, machines=machines, products=products, loops=_loops(streams, total),
        requirements=(
            RequirementResult(text=f"{chosen.tag}.rate >= 120 t/h",
                              verdict="met" if chosen.rate_t_h >= 120.0 else "not met",
                              value_text=f"{chosen.rate_t_h:.1f} t/h", limit_text=">= 120 t/h",
                              margin=chosen.rate_t_h - 120.0, value=chosen.rate_t_h, unit="t/h",
                              margin_text=f"{chosen.rate_t_h - 120.0:+.1f} t/h",
                              file="plant.hog", line=41),
        ),
        warnings=(Warning(code="W0503", subject="machine",
                          text="a machine is fed more than its capacity",
                          help="open the setting or add a machine", file="plant.hog", line=20,
                          column=3),),
        closure=Closure(worst=3.1e-12, iterations=6, flow_error=3.2e-4), feed_t_h=total,
        power_kw=power,
        energy_kwh_t=power / total, pm_kg_h=12.0, pm_controlled_kg_h=1.1,
        pm10_kg_h=4.4, pm10_controlled_kg_h=0.5, pm25_controlled_kg_h=0.1,
        installed_power_kw=sum(m.installed_power_kw or 0.0 for m in machines),
        demand_kw=1.05 * power,
        cautions=("Guard every nip point and keep walkways clear of stored energy.",
                  "Respirable dust: check exposure and wet or extract at transfer points."),
        assumptions=("Moisture follows the solids unchanged.",),
    )  # fmt: skip


def quarry() -> Results:
    """Twelve machines, five products, two closed circuits."""
    routes = [
        Route("shot_rock", "", "grizzly", 1.0, 900.0, 0.7),
        Route("grizzly", "bars.over", "primary", 0.74, 900.0, 1.2),
        Route("grizzly", "under", "scalper", 0.26, 150.0, 0.6),
        Route("primary", "product", "surge", 1.0, 260.0),
        Route("scalper", "top.over", "surge", 0.55, 150.0, 1.1),
        Route("scalper", "under", "base", 0.45, 45.0, 0.5),
        Route("surge", "product", "secondary", 1.0, 260.0),
        Route("secondary", "product", "sizing", 1.0, 75.0),
        Route("sizing", "top.over", "secondary", 0.22, 90.0, 1.6, closes=True),
        Route("sizing", "second.over", "coarse_split", 0.38, 45.0, 1.8),
        Route("sizing", "under", "blend", 0.40, 22.4, 0.7),
        Route("coarse_split", "ballast", "ballast", 0.3, 45.0, 1.8),
        Route("coarse_split", "recrush", "tertiary", 0.7, 45.0, 1.8),
        Route("tertiary", "product", "tertiary_screen", 1.0, 28.0, 0.9),
        Route("tertiary_screen", "top.over", "tertiary", 0.31, 31.5, 1.6, closes=True),
        Route("tertiary_screen", "under", "blend", 0.69, 16.0, 0.7),
        Route("blend", "product", "finishing", 1.0, 20.0, 0.7),
        Route("finishing", "top.over", "shaper", 0.25, 22.4, 1.5),
        Route("finishing", "second.over", "chips", 0.35, 16.0, 2.2),
        Route("finishing", "bottom.over", "grit", 0.18, 8.0, 2.0),
        Route("finishing", "under", "fines", 0.22, 4.0, 0.45),
        Route("shaper", "product", "blend", 1.0, 14.0, 0.8, closes=True),
    ]
    classes = {
        "grizzly": "screen feeders.bars", "primary": "crusher jaws.single_toggle",
        "scalper": "screen screens.inclined", "surge": "stockpile ",
        "sizing": "screen screens.inclined", "coarse_split": "splitter ", "blend": "blend ",
        "tertiary_screen": "screen screens.inclined", "finishing": "screen screens.horizontal",
        "shaper": "crusher impactors.vertical_shaft",
    }  # fmt: skip
    cone = {"duty": "secondary", "chamber": "coarse", "css": "32 mm", "speed": "1050 rpm"}
    return build(Scenario(
        title="Ravensfell quarry, 450 t/h", feeds={"shot_rock": 450.0}, routes=routes,
        products={"chips": "Chips 8/16", "grit": "Grit 4/8", "fines": "Fines 0/4",
                  "ballast": "Ballast 22/45", "base": "Road base 0/45"},
        classes=classes, capacities={"primary": 520.0, "secondary": 420.0, "tertiary": 170.0,
                                     "shaper": 160.0},
        settings={"primary": {"css": "130 mm", "speed": "240 rpm"}, "secondary": cone,
                  "tertiary": {**cone, "duty": "tertiary", "css": "14 mm"},
                  "shaper": {"tip speed": "58 m/s"}},
    ))  # fmt: skip


def small() -> Results:
    """One crusher, one screen, one closed circuit."""
    return build(Scenario(
        title="Two-machine plant", feeds={"gravel": 120.0},
        routes=[
            Route("gravel", "", "cone", 1.0, 120.0, 0.8),
            Route("cone", "product", "screen", 1.0, 40.0),
            Route("screen", "top.over", "cone", 0.28, 45.0, 1.6, closes=True),
            Route("screen", "bottom.over", "chips", 0.42, 20.0, 1.9),
            Route("screen", "under", "fines", 0.30, 5.0, 0.5),
        ],
        products={"chips": "Chips 5/20", "fines": "Fines 0/5"},
        classes={"screen": "screen screens.inclined"}, capacities={"cone": 160.0},
        settings={"cone": {"duty": "secondary", "css": "18 mm"}},
    ))  # fmt: skip


def large(lines: int = 6) -> Results:
    """Sixty-odd machines: one primary, a splitter, and parallel lines of ten machines each."""
    routes = [
        Route("shot_rock", "", "primary", 1.0, 1200.0, 0.7),
        Route("primary", "product", "sharing", 1.0, 260.0),
    ]
    classes = {"primary": "crusher gyratories.fixed", "sharing": "splitter "}
    capacities: dict[str, float] = {"primary": 3500.0}
    products: dict[str, str] = {}
    settings = {"primary": {"css": "150 mm"}}
    for n in range(1, lines + 1):

        def tag(name: str, line: int = n) -> str:
            return f"line{line}.{name}"

        routes += [
            Route("sharing", f"to{n}", tag("pile"), 1.0 / lines, 260.0),
            Route(tag("pile"), "product", tag("feeder"), 1.0, 260.0),
            Route(tag("feeder"), "product", tag("secondary"), 1.0, 260.0),
            Route(tag("secondary"), "product", tag("sizing"), 1.0, 75.0),
            Route(tag("sizing"), "top.over", tag("secondary"), 0.2, 90.0, 1.6, closes=True),
            Route(tag("sizing"), "bottom.over", tag("bin"), 0.4, 45.0, 1.6),
            Route(tag("sizing"), "under", tag("blend"), 0.4, 20.0),
            Route(tag("bin"), "product", tag("tertiary"), 1.0, 45.0, 1.6),
            Route(tag("tertiary"), "product", tag("screen"), 1.0, 28.0),
            Route(tag("screen"), "top.over", tag("bin"), 0.3, 31.5, 1.6, closes=True),
            Route(tag("screen"), "under", tag("blend"), 0.7, 16.0),
            Route(tag("blend"), "product", tag("finishing"), 1.0, 18.0),
            Route(tag("finishing"), "top.over", tag("shaper"), 0.2, 22.4, 1.6),
            Route(tag("finishing"), "second.over", tag("chips"), 0.5, 16.0, 2.0),
            Route(tag("finishing"), "under", tag("fines"), 0.3, 5.0, 0.5),
            Route(tag("shaper"), "product", tag("blend"), 1.0, 14.0, closes=True),
        ]  # fmt: skip
        classes |= {tag("pile"): "stockpile ", tag("feeder"): "feeder feeders.vibrating",
                    tag("sizing"): "screen screens.inclined", tag("bin"): "bin ",
                    tag("screen"): "screen screens.inclined", tag("blend"): "blend ",
                    tag("finishing"): "screen screens.inclined"}  # fmt: skip
        capacities |= {tag("secondary"): 600.0, tag("tertiary"): 300.0 + 20 * n}
        settings |= {tag("secondary"): {"duty": "secondary", "css": "32 mm"},
                     tag("tertiary"): {"duty": "tertiary", "css": "14 mm"}}  # fmt: skip
        products |= {tag("chips"): f"Chips 8/16, line {n}", tag("fines"): f"Fines 0/5, line {n}"}
    return build(Scenario(title="Six-line plant, 3000 t/h", feeds={"shot_rock": 3000.0},
                          routes=routes, products=products, classes=classes,
                          capacities=capacities, settings=settings))  # fmt: skip


HOSTILE = (
    '=HYPERLINK("http://x") <b>&amp; "quoted" \\N \\',
    "two\nlines\tand\ra bell\x07 \x1b[31mred",
    "</text><script>alert(1)</script> {{ 7*7 }} | `x` *y* [z](http://q)",
    "long " * 80,
    "Größe µ – 粗い \u202egnp",
)


def hostile() -> Results:
    """The small plant with text that would break a careless writer of any of the formats."""
    plain = small()
    one, two, three, long, foreign = HOSTILE
    machines = tuple(
        m.model_copy(update={
            "class_name": three, "about": one, "cautions": (two, three), "sources": (long,),
            "settings": (SettingResult(name="css", text=one), SettingResult(name=two, text=long)),
            "checks": tuple(c.model_copy(update={"text": long + three}) for c in m.checks),
        })
        for m in plain.machines
    )  # fmt: skip
    products = tuple(
        p.model_copy(update={
            "title": title,
            "bands": tuple(b.model_copy(update={"name": three, "about": two}) for b in p.bands),
        })
        for p, title in zip(plain.products, (one, three), strict=True)
    )  # fmt: skip
    return plain.model_copy(update={
        "title": foreign + two + one, "revision": "\\\"<&>", "source_file": three,
        "machines": machines, "products": products, "cautions": (one, two, long),
        "assumptions": ("@SUM(A1)", "-1+1", "+1", "\t=1"),
        "requirements": tuple(r.model_copy(update={"text": one, "value_text": three})
                              for r in plain.requirements),
    })  # fmt: skip
