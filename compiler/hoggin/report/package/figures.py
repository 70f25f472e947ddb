"""The drawings of the report, ready for a page with others."""

from __future__ import annotations

from dataclasses import dataclass
from xml.etree import ElementTree

from hoggin.report import grading_plot
from hoggin.report.chart.ink import SMALL
from hoggin.report.drawing.model import Drawing
from hoggin.report.drawing.svg import svg
from hoggin.report.wording import band_text, clean, rate
from hoggin.schema.results import ProductResult, Results

SVG = "http://www.w3.org/2000/svg"
POINTS_A_MM = 72 / 25.4
POINTS_A_PIXEL = 0.75  # CSS: 96 pixels and 72 points to the inch
SMALLEST_ON_SHEET = 1.8 * POINTS_A_MM
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


def sheet_figures(drawn: Drawing) -> tuple[Figure, ...]:
    """The sheets of a drawing for a page with other figures."""
    return tuple(
        _figure(
            f"sheet{number}",
            sheet.title or "Flowsheet",
            f"{drawn.title}: flowsheet, sheet {number} of {len(drawn.sheets)}. Its figures are "
            "those of the mass balance and the equipment list.",
            content.decode(),
            SMALLEST_ON_SHEET,
        )
        for number, (sheet, content) in enumerate(
            zip(drawn.sheets, svg(drawn), strict=True), start=1
        )
    )


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
        _figure(f"grading{number}", title, told, plot, SMALLEST_ON_PLOT)
        for number, (title, told, plot) in enumerate(drawings)
    )


def _told(product: ProductResult) -> str:
    met = [clean(band.name) for band in product.bands if band.met]
    missed = [clean(band_text(band)) for band in product.bands if not band.met]
    said = f"Grading curve of {clean(product.tag)}, {rate(product.rate_t_h)} t/h."
    said += f" It meets {', '.join(met)}." if met else ""
    return said + (f" {'; '.join(missed)}." if missed else "")


def _figure(name: str, title: str, told: str, source: str, smallest_pt: float) -> Figure:
    """The drawing with names of its own, so that several can be in one page."""
    ElementTree.register_namespace("", SVG)
    root = ElementTree.fromstring(source)
    width, height = (_points(root.get(side, "0")) for side in ("width", "height"))
    for node in root.iter():
        for key, value in node.attrib.items():
            if key == "id":
                node.set(key, f"{name}-{value}")
            elif value.startswith("url(#"):
                node.set(key, f"url(#{name}-{value[5:]}")
            elif key == "href":
                node.set(key, f"#{name}-{value[1:]}")
    content = ElementTree.tostring(root, encoding="unicode")
    return Figure(title, told, content, width, height, smallest_pt)


def _points(length: str) -> float:
    """A length of an SVG, in mm or in pixels, in points."""
    if length.endswith("mm"):
        return float(length[:-2]) * POINTS_A_MM
    return POINTS_A_PIXEL * float(length)
