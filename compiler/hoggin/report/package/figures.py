"""The drawings of the report, ready for a page with others."""

from __future__ import annotations

from dataclasses import dataclass
from xml.etree import ElementTree

from hoggin.report import flowsheet, grading_plot
from hoggin.report.chart.ink import SMALL
from hoggin.report.wording import band_text, clean, rate
from hoggin.schema.results import ProductResult, Results

SVG = "http://www.w3.org/2000/svg"
POINTS_A_PIXEL = 0.75  # CSS: 96 pixels and 72 points to the inch
SMALLEST_ON_PLOT = SMALL * POINTS_A_PIXEL  # the text of a badge


@dataclass(frozen=True, slots=True)
class Figure:
    """`smallest_pt` is its smallest text at its own size, `told` what it shows, in words."""

    title: str
    told: str
    svg: str
    width_pt: float
    height_pt: float
    smallest_pt: float


def flowsheet_figure(results: Results) -> Figure:
    """The whole plant. Raises: HogginError when it cannot be drawn."""
    drawing = flowsheet.svg(flowsheet.dot(results)).decode()
    told = (
        f"Flowsheet of {clean(results.title)}: {len(results.machines)} machines, "
        f"{len(results.streams)} streams, {len(results.products)} products. The same figures "
        "are in the tables of the mass balance and the equipment schedule."
    )
    return _figure("flowsheet", "Flowsheet", told, drawing, flowsheet.POINTS)


def feed_figure(results: Results) -> tuple[Figure, ...]:
    """The gradings of the feeds, as the plant states them; none where it is not in the results."""
    if results.plant is None:
        return ()
    told = "Grading curves of the feeds: per cent passing over sieve size."
    return (_figure("feeds", "Feeds", told, grading_plot.feeds(results), SMALLEST_ON_PLOT),)


def grading_figures(results: Results) -> tuple[Figure, ...]:
    """All products on one plot, then each product against its bands."""
    if not results.products:
        return ()
    every = "Grading curves of all products: per cent passing over sieve size."
    drawings = [("All products", every, grading_plot.together(results))]
    drawings += [
        (clean(product.tag), _told(product), grading_plot.one(results, product))
        for product in results.products
    ]
    return tuple(
        _figure(f"grading{number}", title, told, svg, SMALLEST_ON_PLOT)
        for number, (title, told, svg) in enumerate(drawings)
    )


def _told(product: ProductResult) -> str:
    met = [clean(band.name) for band in product.bands if band.met]
    missed = [clean(band_text(band)) for band in product.bands if not band.met]
    said = f"Grading curve of {clean(product.tag)}, {rate(product.rate_t_h)} t/h."
    said += f" It meets {', '.join(met)}." if met else ""
    return said + (f" {'; '.join(missed)}." if missed else "")


def _figure(name: str, title: str, told: str, drawing: str, smallest_pt: float) -> Figure:
    """The drawing with names of its own, so that several can be in one page."""
    ElementTree.register_namespace("", SVG)
    root = ElementTree.fromstring(drawing)
    width, height = (_points(root.get(side, "0")) for side in ("width", "height"))
    for node in root.iter():
        for key, value in node.attrib.items():
            if key == "id":
                node.set(key, f"{name}-{value}")
            elif value.startswith("url(#"):
                node.set(key, f"url(#{name}-{value[5:]}")
    svg = ElementTree.tostring(root, encoding="unicode")
    return Figure(title, told, svg, width, height, smallest_pt)


def _points(length: str) -> float:
    """A length of an SVG, in pt or in pixels, in points."""
    return float(length[:-2]) if length.endswith("pt") else POINTS_A_PIXEL * float(length)
