"""A plan as the text of a plant, with the comments a person would leave for the next one."""

from __future__ import annotations

from collections.abc import Iterator

from hoggin.diagnostics.source import Source
from hoggin.schema.units import number_text
from hoggin.start.answers import Product
from hoggin.start.gradings import usual_grading
from hoggin.start.plan import DECK_NAMES, Box, Cone, Plan, Primary
from hoggin.syntax.layout import laid_out


def written(plan: Plan, name: str = "plant.hog") -> str:
    """The plant as text, in the language's one layout."""
    text = drafted(plan, "sieves.quarry")
    laid = laid_out(Source(name, text))
    return laid if isinstance(laid, str) else text


def drafted(plan: Plan, sieves: str) -> str:
    """The plant as text, its columns not yet aligned, reported on these sieves."""
    lines = [
        *_head(plan),
        *_uses(plan),
        *_material(plan),
        *(_template(plan) if plan.lines > 1 else ()),
        f'plant "{_title(plan)}" {{',
        '  revision "A"',
        f"  sieves {sieves}",
        "",
        *_feed(plan),
        *_primary(plan),
        *(_parallel_lines(plan) if plan.lines > 1 else _line(plan)),
        *_products(plan),
        *_requirements(plan),
        "}",
    ]
    return "\n".join(lines) + "\n"


def _title(plan: Plan) -> str:
    answers = plan.answers
    rate = number_text(answers.rate_t_h)
    return f"{answers.rock.name.capitalize()} 0/{number_text(answers.top_mm)}, {rate} t/h"


def _head(plan: Plan) -> Iterator[str]:
    stages = ("no crusher", "one crushing stage", "two crushing stages", "three crushing stages")
    yield f"# A first plant, written by `hoggin start`: {stages[plan.stages]}, machines of generic"
    yield "# classes sized for about three quarters of their capacity. It is a place to begin, not"
    yield "# a design: rock, grading and sizes are usual figures, no measurements."
    yield "#"
    yield "# First put your own in: the feed's grading and the rock's tests. Then `hoggin balance`"
    yield "# shows what follows, and `require` lines below hold the plant to what it is for."
    yield "# Results are predictions, no guarantees; local codes and licensed practice govern."
    yield ""


def _uses(plan: Plan) -> Iterator[str]:
    yield "use std.feeders"
    if plan.primary:
        yield "use std.gyratories" if plan.primary.gyratory else "use std.jaws"
    if plan.secondary or plan.finishing:
        yield "use std.cones"
    yield "use std.screens"
    yield "use std.sieves"
    yield ""


def _material(plan: Plan) -> Iterator[str]:
    rock = plan.answers.rock
    yield f"# Usual figures of {rock.name}, from memory: test your own."
    yield f"material {rock.name} {{"
    yield f"  solid_density {rock.solid_density_t_m3:.2f} t/m3"
    yield f"  bulk_density {rock.bulk_density_t_m3:.2f} t/m3"
    yield f"  work_index {number_text(rock.work_index_kwh_t)} kWh/t # Bond"
    yield f"  abrasion_index {rock.abrasion_index:.2f} # Bond; liner wear depends on it"
    yield f"  moisture {number_text(100 * rock.moisture)} %"
    yield "}"
    yield ""


def _feed(plan: Plan) -> Iterator[str]:
    answers = plan.answers
    rock = answers.rock
    kind = "blasted rock" if rock.blasted else "pit-run gravel"
    entries = [
        f"{number_text(size)} mm: {number_text(part)} %" for size, part in usual_grading(answers)
    ]
    yield f"  # The usual look of {kind} of this top size, per cent passing. Measure yours."
    yield f"  feed {_feed_tag(plan)} {{"
    yield f"    rock {rock.name}"
    yield f"    rate {number_text(answers.rate_t_h)} t/h # dry"
    yield "    passing {"
    for start in range(0, len(entries), 5):
        yield "      " + ", ".join(entries[start : start + 5])
    yield "    }"
    yield "  }"
    yield ""


def _feed_tag(plan: Plan) -> str:
    return "shot_rock" if plan.answers.rock.blasted else "pit_run"


def _primary(plan: Plan) -> Iterator[str]:
    """From the hopper to what the lines are fed by."""
    if plan.primary is None:
        yield "  # Feed."
        yield f"  feeder hopper_feeder: feeders.pan(width: {_mm(plan.feeder_mm)})"
        yield ""
        if plan.lines == 1:
            yield f"  {_feed_tag(plan)} -> hopper_feeder -> {_first_of_line(plan)}"
        return
    yield "  # Primary: the bars let past what needs no breaking."
    yield f"  feeder hopper_feeder: feeders.apron(width: {_mm(plan.feeder_mm)})"
    yield f"  screen bars: screens.grizzly({_box(plan.bars)}) {{ deck top {_mm(plan.bars_mm)} }}"
    yield f"  crusher primary: {_primary_class(plan.primary)} {{ css {_mm(plan.primary.css_mm)} }}"
    live = max(100, round(4 * plan.answers.rate_t_h, -2))
    yield f"  stockpile surge {{ live {number_text(live)} t }} # about four hours of the feed"
    yield f"  feeder tunnel_feeder: feeders.belt(width: {_mm(plan.tunnel_mm)})"
    yield ""
    yield f"  {_feed_tag(plan)} -> hopper_feeder -> bars"
    yield "  bars.over -> primary -> surge"
    yield "  bars.under -> surge"
    if plan.lines == 1:
        yield f"  surge -> tunnel_feeder -> {_first_of_line(plan)}"


def _primary_class(primary: Primary) -> str:
    gape, width = _mm(primary.gape_mm), _mm(primary.width_mm)
    if primary.gyratory:
        return f"gyratories.primary(gape: {gape}, mantle: {width})"
    return f"jaws.single_toggle(gape: {gape}, width: {width})"


def _first_of_line(plan: Plan) -> str:
    return "scalp" if plan.secondary else "sizing"


def _line(plan: Plan) -> Iterator[str]:
    """One line's machines and routes, from its first screen to the products."""
    if plan.secondary:
        yield ""
        yield "  # Secondary, in open circuit: the scalper spares it what is fine already."
        deck = f"deck top {_mm(plan.scalp_mm)} square"
        yield f"  screen scalp: screens.scalper({_box(plan.scalp)}) {{ {deck} }}"
        yield from _cone("secondary", plan.secondary)
        yield "  scalp.over -> secondary -> sizing"
        yield "  scalp.under -> sizing"
    yield ""
    if plan.finishing:
        yield "  # Finishing, in closed circuit. The screen comes first, so that only what is too"
        yield "  # coarse is crushed; it goes round until it passes the top deck."
    else:
        yield "  # Sizing."
    yield from _screen("sizing", plan.sizing, plan.sizing_cuts_mm, plan)
    if plan.fines_cuts_mm:
        yield from _screen("fines", plan.fines, plan.fines_cuts_mm, plan)
    if plan.finishing:
        yield from _cone("finishing", plan.finishing)
    yield ""
    yield from _sizing_routes(plan)


def _sizing_routes(plan: Plan) -> Iterator[str]:
    tags = [product.tag for product in plan.answers.products]  # the coarsest last
    for name, cuts in (("sizing", plan.sizing_cuts_mm), ("fines", plan.fines_cuts_mm)):
        for deck, cut in zip(DECK_NAMES.get(len(cuts), ()), cuts, strict=True):
            closes = plan.finishing and cut == plan.cuts_mm[0]
            yield f"  {name}.{deck}.over -> {'finishing -> sizing' if closes else tags.pop()}"
        if name == "sizing" and plan.fines_cuts_mm:
            yield "  sizing.under -> fines"
    yield f"  {'fines' if plan.fines_cuts_mm else 'sizing'}.under -> {tags.pop()}"


def _cone(name: str, cone: Cone) -> Iterator[str]:
    yield f"  crusher {name}: cones.{cone.class_name}(head: {_mm(cone.head_mm)}) {{"
    yield f"    duty {cone.duty}"
    yield f"    chamber {cone.chamber}"
    yield f"    css {_mm(cone.css_mm)}"
    yield "  }"


def _screen(name: str, box: Box, cuts: tuple[float, ...], plan: Plan) -> Iterator[str]:
    yield f"  screen {name}: screens.inclined({_box(box)}) {{"
    for deck, cut in zip(DECK_NAMES[len(cuts)], cuts, strict=True):
        yield f"    deck {deck} {_mm(plan.aperture(cut))} square # cuts at {_mm(cut)}"
    yield "  }"


def _template(plan: Plan) -> Iterator[str]:
    yield f"# One of {plan.lines} lines alike: a single one would be too large for the classes."
    yield "template line() {"
    yield "  in rock"
    for product in reversed(plan.answers.products):
        yield f"  out {product.tag}"
    yield ""
    yield f"  rock -> {_first_of_line(plan)}"
    yield from _line(plan)
    yield "}"
    yield ""


def _parallel_lines(plan: Plan) -> Iterator[str]:
    numbers = range(1, plan.lines + 1)
    share = 100 / plan.lines
    yield ""
    yield f"  # The rest stands {plan.lines} times, side by side."
    yield "  splitter shares {"
    for number in numbers[:-1]:
        yield f"    out to_{number} {share:.4g} %"
    yield f"    out to_{plan.lines} rest"
    yield "  }"
    for number in numbers:
        yield f"  section line_{number}: line()"
    source = "surge -> tunnel_feeder" if plan.primary else f"{_feed_tag(plan)} -> hopper_feeder"
    yield f"  {source} -> shares"
    for number in numbers:
        yield f"  shares.to_{number} -> line_{number}"
    for product in reversed(plan.answers.products):
        yield ""
        for number in numbers:
            yield f"  line_{number}.{product.tag} -> {product.tag}"


def _products(plan: Plan) -> Iterator[str]:
    yield ""
    for product in reversed(plan.answers.products):
        note = "" if product.asked else " # not asked for: what lies between or below the others"
        yield f'  product {product.tag} {{ title "{product.title}" }}{note}'


def _requirements(plan: Plan) -> Iterator[str]:
    yield ""
    yield "  # What each product may hold of finer and coarser sizes: a usual start (EN 12620 asks"
    yield "  # 85/20 of single sizes, from memory); put in what your customers ask."
    if any(product.asked and product.narrow for product in plan.answers.products):
        yield "  # Of narrow sizes less is asked: one pass over a deck parts them no better."
    for product in reversed(plan.answers.products):
        if product.asked:
            yield f"  require {_sizes_wanted(product)}"
    if plan.stages == 0:
        return
    yield ""
    yield "  # No crusher full to the brim: room for a wetter day and worn liners."
    place = "line_1." if plan.lines > 1 else ""
    if plan.primary:
        yield "  require primary.load <= 90 %"
    if plan.secondary:
        yield f"  require {place}secondary.load <= 90 %"
    if plan.finishing:
        yield f"  require {place}finishing.load <= 90 %"
        yield f"  require {place}finishing.recirculating_load <= 250 %"


def _sizes_wanted(product: Product) -> str:
    least, most = (f"{100 * share:.0f}" for share in (product.least_passing, product.most_finer))
    coarse = f"{product.tag}.passing({_mm(product.upper_mm)}) >= {least} %"
    if product.lower_mm == 0:
        return coarse
    return f"{coarse} and {product.tag}.passing({_mm(product.lower_mm)}) <= {most} %"


def _box(box: Box) -> str:
    return f"width: {box.width_m:.1f} m, length: {box.length_m:.1f} m"


def _mm(size: float) -> str:
    return f"{number_text(size)} mm"
