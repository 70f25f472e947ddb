"""The flowsheet: boxes for feeds, machines and products, lines for streams, drawn by Graphviz."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from hoggin.report import engine, wording
from hoggin.report.fields import labelled, shown
from hoggin.report.layout import Fold, fold
from hoggin.report.templating import render
from hoggin.report.wording import band_text, clean, nearest, percent, shorten, sieve
from hoggin.schema.results import (
    Check,
    DeckResult,
    FeedResult,
    MachineResult,
    ProductResult,
    Results,
    StreamResult,
)

if TYPE_CHECKING:
    from markupsafe import Markup

TEXT_WIDTH = 30  # characters a line of a box may hold
DECK_WIDTH = 20  # the same in the cell of a deck
TITLE_WIDTH = 60
TEXT_ROWS = 4  # lines one fact may take before it is cut short
ALARMS_SHOWN = 3  # findings a box names before it sends the reader to the schedule
SHEET = "A3"  # what the drawing is folded to fit, landscape
POINTS = 9.0  # height of the text
LEGIBLE_POINTS = 6.0  # least height of text on paper
MOST_COLUMNS = 4
PIXELS_PER_INCH = 144
SHEETS_MM = (
    ("A4", 297, 210), ("A3", 420, 297), ("A2", 594, 420), ("A1", 841, 594), ("A0", 1189, 841)
)  # fmt: skip
MARGIN_MM = 10
HARD_SPACE = "\u00a0"


@dataclass(frozen=True, slots=True)
class Port:
    """A deck or an outlet along the foot of a box."""

    name: str
    rows: tuple[str, ...]
    alarms: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Box:
    """A feed (rounded), machine or product (double outline); a heavy outline asks attention."""

    tag: str
    rows: tuple[str, ...]
    alarms: tuple[str, ...] = ()
    ports: tuple[Port, ...] = ()
    rounded: bool = False
    double: bool = False
    weight: int = 1
    dotted: bool = False  # it was removed
    several: bool = False  # equal machines in parallel, one behind the other

    @property
    def span(self) -> int:
        return max(1, len(self.ports))


@dataclass(frozen=True, slots=True)
class Line:
    """A stream; its words are a node called `name` between source and target.

    One that continues in another column ends at its words there and starts again at its mark.
    """

    name: str
    source: str
    port: str  # "" for the foot of the box as a whole
    target: str
    start: str  # the outlet it comes from, as read
    rows: tuple[str, ...]
    returns: bool
    continues: bool
    dotted: bool = False
    heavy: bool = False
    alarms: tuple[str, ...] = ()

    @property
    def mark(self) -> str:
        return f"mark {self.name}"

    @property
    def look(self) -> str:
        """How the line is drawn, as attributes of DOT; "" for the usual way."""
        style = "dotted" if self.dotted else "dashed" if self.returns else ""
        attributes = ([f"style={style}"] if style else []) + ["penwidth=2.2"] * self.heavy
        return ", ".join(attributes)


@dataclass(frozen=True, slots=True)
class Drawn:
    """Everything on a flowsheet. `heads` are along the top, a column each."""

    title: tuple[str, ...]
    notes: tuple[str, ...]
    boxes: tuple[Box, ...]
    lines: tuple[Line, ...]
    heads: tuple[str, ...]

    @property
    def tops(self) -> list[str]:
        """What is along the top, column by column from the left."""
        marks = {line.target: line.mark for line in reversed(self.lines) if line.continues}
        return [marks.get(head, head) for head in self.heads]


Picture = Callable[[Fold, str], Drawn]


def dot(results: Results, *, other_engine: str | None = None) -> str:
    """The flowsheet in the DOT language, in as few columns as make its text legible on a sheet.

    A plant too large for that keeps the best fold found, and the drawing names the sheet it needs.
    Raises: HogginError if the engine is missing or cannot lay the drawing out.
    """
    return folded(results, lambda fold, sheet: _picture(results, fold, sheet), other_engine)


def folded(results: Results, picture: Picture, other_engine: str | None = None) -> str:
    """A drawing in the DOT language of the streams and boxes of `results`, folded to be legible.

    picture: what is drawn, for a fold and the name of the sheet it is legible on.
    """
    best, best_points = "", 0.0
    for columns in range(1, MOST_COLUMNS + 1):
        way = fold(results, columns)
        extent = extent_mm(_render(picture(way, SHEET)), other_engine=other_engine)
        points = _points_on(SHEET, *extent)
        if points > best_points:
            best, best_points = _render(picture(way, _sheet(*extent))), points
        if points >= LEGIBLE_POINTS:
            break
    return best


def svg(text: str, *, other_engine: str | None = None) -> bytes:
    """The drawing of a DOT text as SVG."""
    return engine.draw(text, "svg", engine=other_engine)


def png(text: str, *, other_engine: str | None = None) -> bytes:
    """The drawing of a DOT text as PNG."""
    return engine.draw(text, "png", f"-Gdpi={PIXELS_PER_INCH}", engine=other_engine)


def extent_mm(text: str, *, other_engine: str | None = None) -> tuple[float, float]:
    """Width and height of the drawing at its own scale."""
    plain = engine.draw(text, "plain", engine=other_engine).decode()
    _, _, width, height = plain.split("\n", 1)[0].split()
    return 25.4 * float(width), 25.4 * float(height)


def _points_on(sheet: str, width_mm: float, height_mm: float) -> float:
    """Height of the text when the drawing fills a landscape sheet."""
    _, across, down = next(known for known in SHEETS_MM if known[0] == sheet)
    room = (across - 2 * MARGIN_MM) / width_mm, (down - 2 * MARGIN_MM) / height_mm
    return POINTS * min(room)


def _sheet(width_mm: float, height_mm: float) -> str:
    """The smallest sheet on which the drawing is legible, the largest there is if none."""
    names = [name for name, _, _ in SHEETS_MM]
    legible = (name for name in names if _points_on(name, width_mm, height_mm) >= LEGIBLE_POINTS)
    return next(legible, names[-1])


def _picture(results: Results, way: Fold, sheet: str) -> Drawn:
    machines = [machine_box(results, machine) for machine in results.machines]
    ported = {box.tag for box in machines if box.ports}
    return Drawn(
        title=wrapped(results.title, TITLE_WIDTH),
        notes=_notes(results, way, sheet),
        boxes=(*map(feed_box, results.feeds), *machines, *map(product_box, results.products)),
        lines=tuple(line(results, way, ported, stream) for stream in results.streams),
        heads=way.heads,
    )


def _render(drawn: Drawn) -> str:
    return render("flowsheet.dot.j2", {"quoted": quoted}, points=POINTS, drawn=drawn)


def quoted(name: str) -> Markup:
    """A name as a quoted DOT identifier."""
    from markupsafe import Markup

    escaped = clean(name).replace("\\", "\\\\").replace('"', '\\"')
    return Markup(f'"{escaped}"')


def _notes(results: Results, way: Fold, sheet: str) -> tuple[str, ...]:
    several = ("Second edge at right and foot: equal machines in parallel; numbers are of all.",)
    broken = ("Words 'to' and 'from' in bold: the line continues there.",)
    return (
        *wrapped(wording.subtitle(results), 2 * TITLE_WIDTH),
        "Rounded box: feed. Single outline: machine, with its decks or outlets along the foot. "
        "Double outline: product.",
        "Stream: dry t/h, P80, and per cent passing the reporting sieve nearest its P50. "
        "Dashed line: recirculating.",
        *(several if any(machine.count > 1 for machine in results.machines) else ()),
        *(broken if len(way.heads) > 1 else ()),
        "Heavy outline, words in capitals: limits near or exceeded, or a specification not met.",
        f"Text is {LEGIBLE_POINTS:.0f} pt or more on {sheet} landscape and larger. "
        "Safety cautions: see the equipment schedule.",
        f"{wording.PREDICTION} {wording.DEFERENCE}",
    )


def wrapped(text: str, width: int = TEXT_WIDTH) -> tuple[str, ...]:
    return tuple(textwrap.wrap(shorten(text, TEXT_ROWS * width), width))


def _wrapped_whole(facts: Iterable[str]) -> tuple[str, ...]:
    """Facts in a row, a line broken between two facts and only within one that is too long."""
    kept_together = ", ".join(fact.replace(" ", HARD_SPACE) for fact in facts)
    lines = textwrap.wrap(kept_together, TEXT_WIDTH)
    shown = [line.replace(HARD_SPACE, " ") for line in lines]
    if len(shown) > TEXT_ROWS:
        shown = [*shown[: TEXT_ROWS - 1], "and more: see schedule"]
    return tuple(shown)


def feed_box(feed: FeedResult) -> Box:
    rows = ("FEED", *wrapped(feed.material), shown(feed, "rate_t_h"))
    return Box(feed.tag, rows, rounded=True)


def machine_box(results: Results, machine: MachineResult) -> Box:
    checks = [check for _, check in wording.all_checks(machine)]
    return Box(
        machine.tag,
        _machine_rows(machine),
        (*_void(machine), *_alarms(machine.checks)),
        _ports(results, machine),
        weight=_weight(checks),
        several=machine.count > 1,
    )


def _machine_rows(machine: MachineResult) -> tuple[str, ...]:
    several = f"{machine.count} x " if machine.count > 1 else ""
    rows = list(wrapped(several + (machine.class_name or machine.kind)))
    if duty := wording.setting_of(machine, "duty"):
        rows += wrapped(f"{duty} duty")
    rows += _wrapped_whole(wording.settings_of(machine))
    said = any(check.name == "load" and check.verdict != "ok" for check in machine.checks)
    if machine.load is not None and not said:
        rows.append(f"load {percent(machine.load, 0)} % of {shown(machine, 'capacity_t_h')}")
    if machine.power_kw is not None:
        installed = machine.installed_power_kw
        of = "" if installed is None else f" of {wording.fixed(installed, 0)}"
        rows.append(f"power {wording.fixed(machine.power_kw, 0)}{of} kW")
    return tuple(rows)


def _weight(checks: Iterable[Check]) -> int:
    return {"OVER LIMIT": 3, "WATCH": 2}.get(wording.worst_verdict(checks), 1)


def _void(part: MachineResult | ProductResult) -> tuple[str, ...]:
    return wrapped(f"VOID: {wording.void_text(part)}") if part.void_by else ()


def _alarms(checks: Iterable[Check], width: int = TEXT_WIDTH) -> tuple[str, ...]:
    found = [check for check in checks if check.verdict != "ok"]
    rows = [
        row
        for check in found[:ALARMS_SHOWN]
        for row in wrapped(f"{wording.verdict_word(check)}: {check.text}", width)
    ]
    if len(found) > ALARMS_SHOWN:
        rows.append(f"and {len(found) - ALARMS_SHOWN} more: see schedule")
    return tuple(rows)


def _ports(results: Results, machine: MachineResult) -> tuple[Port, ...]:
    """Decks and the undersize of a screen; the outlets of any other machine with several."""
    if machine.decks:
        return (*map(_deck, machine.decks), Port("under", ("under",)))
    outlets = dict.fromkeys(s.outlet for s in results.streams if s.source == machine.tag)
    if len(outlets) < 2:
        return ()
    return tuple(Port(outlet, (shorten(outlet, TEXT_WIDTH),)) for outlet in outlets)


def _deck(deck: DeckResult) -> Port:
    rows = [shorten(deck.name, TEXT_WIDTH), f"{sieve(deck.aperture_mm)} mm", clean(deck.shape)]
    if deck.area_use is not None:
        rows.append(f"area use {percent(deck.area_use, 0)} %")
    return Port(f"{deck.name}.over", tuple(rows), _alarms(deck.checks, DECK_WIDTH))


def product_box(product: ProductResult) -> Box:
    share = f"{shown(product, 'rate_t_h')}, {shown(product, 'share_of_feed')} of feed"
    title = () if product.title == product.tag else wrapped(product.title)
    met = [row for b in product.bands if b.met for row in wrapped(f"meets {b.name}")]
    missed = [row for b in product.bands if not b.met for row in wrapped(band_text(b))]
    return Box(
        product.tag,
        ("PRODUCT", *title, share, *met),
        (*_void(product), *missed),
        double=True,
        weight=3 if missed or product.void_by else 1,
    )


def line(results: Results, way: Fold, ported: set[str], stream: StreamResult) -> Line:
    return Line(
        name=f"stream {stream.name}",
        source=stream.source,
        port=stream.outlet if stream.source in ported else "",
        target=stream.target,
        start=wording.outlet_of(stream),
        rows=_stream_rows(results, stream),
        returns=stream.recirculating,
        continues=way.column[stream.source] != way.column[stream.target],
    )


def _asked(results: Results, stream: StreamResult) -> tuple[str, ...]:
    """The tonnage that is asked of a stream's outlet, where one is."""
    machines = results.plant.machines if results.plant is not None else ()
    machine = next((m for m in machines if m.tag == stream.source), None)
    asked = None if machine is None else machine.asked_t_h.get(stream.outlet)
    return () if asked is None else (f"of {asked:.4g} t/h asked",)


def _stream_rows(results: Results, stream: StreamResult) -> tuple[str, ...]:
    rows: tuple[str, ...] = (shown(stream, "rate_t_h"), *_asked(results, stream))
    if results.water is not None and results.water.added_m3_h > 0:
        rows += (labelled(stream, "water_m3_h"),)
    if stream.p80_mm is None:
        return rows
    rows += (labelled(stream, "p80_mm"),)
    if stream.p50_mm is None:
        return rows
    key = nearest(stream.p50_mm, results.sieves_mm)
    return (*rows, f"{percent(stream.passing[key], 0)} % < {sieve(results.sieves_mm[key])} mm")
