"""Measured feed and product gradings from CSV text; every error has its line and column."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.families.fit import E0901, E0902, E0903
from hoggin.diagnostics.source import Source, Span

MOST_ROWS, MOST_SAMPLES, MOST_SIZES = 5000, 100, 120
_MOST_FAULTS = 20
_WHOLE = 99.9  # % passing that counts as 100 %: gradings are reported to a tenth
_COARSER = 2.0  # points, mean over sieves, by which a product may seem coarser than its feed

# A column is known by its words in any order: `size mm`, `Size (mm)`, `size_mm`.
_COLUMNS: Mapping[frozenset[str], str] = {
    frozenset({"sample"}): "sample",
    frozenset({"css", "mm"}): "css mm",
    frozenset({"size", "mm"}): "size mm",
    frozenset({"feed", "%", "passing"}): "feed % passing",
    frozenset({"product", "%", "passing"}): "product % passing",
}
_NEEDED = ("size mm", "feed % passing", "product % passing")
_PERCENT = {"pct": "%", "percent": "%"}
_NUMBER = re.compile(r"[0-9]+(?:\.[0-9]*)?(?:[eE][+-]?[0-9]+)?")


@dataclass(frozen=True, slots=True)
class Point:
    size_mm: float
    passing: float  # fraction
    span: Span


@dataclass(frozen=True)
class Sample:
    """One test of the crusher: its feed and its product. Points are coarse to fine."""

    name: str
    css_mm: float | None  # None where the data have no column for it
    css_span: Span
    feed: tuple[Point, ...]
    product: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class _Cell:
    text: str
    span: Span


@dataclass
class _Gathered:
    """The rows of one sample as read."""

    first: _Cell
    css: _Cell | None = None
    css_mm: float | None = None
    feed: list[Point] = field(default_factory=list)
    product: list[Point] = field(default_factory=list)


def read_samples(source: Source, diagnostics: Diagnostics) -> tuple[Sample, ...]:
    """The samples of a CSV text in their order; empty after any reported fault.

    Cells are separated by commas, or by semicolons or tabs, and then a decimal comma is read too.
    Blank lines and lines that begin with `#` are skipped; a blank cell was not measured.
    """
    rows = _rows(source)
    header = next(rows, None)
    if header is None:
        diagnostics.report(E0901.empty(_COLUMNS.values()), Span(source, 0, 0))
        return ()
    columns = _columns(header, diagnostics)
    gathered: dict[str, _Gathered] = {}
    if columns is not None:
        for count, row in enumerate(rows):
            if count == MOST_ROWS:
                diagnostics.report(E0901.too_many_lines(MOST_ROWS), row[0].span)
                break
            _row(row, columns, gathered, diagnostics)
            if diagnostics.count >= _MOST_FAULTS:
                break
    if diagnostics.has_errors:
        return ()
    samples = tuple(_sample(name, rows, diagnostics) for name, rows in gathered.items())
    _check_whole(samples, source, diagnostics)
    return () if diagnostics.has_errors else samples


def _rows(source: Source) -> Iterator[list[_Cell]]:
    """The cells of each line that holds any."""
    offset = 0
    delimiter = ""
    for line in source.text.split("\n"):
        if line.strip() and not line.lstrip().startswith("#"):
            delimiter = delimiter or next((d for d in ";\t" if d in line), ",")
            cells = list(_cells(source, line, offset, delimiter))
            if any(cell.text for cell in cells):
                yield cells
        offset += len(line) + 1


def _cells(source: Source, line: str, offset: int, delimiter: str) -> Iterator[_Cell]:
    """Cells of a line; one in quotes may hold the delimiter, and a quote written twice."""
    pattern = re.compile(rf' *(?:"((?:[^"]|"")*)" *(?={delimiter}|$)|([^{delimiter}]*))')
    at = 0
    while at <= len(line):
        found = pattern.match(line, at)
        if found is None:  # can't be: the pattern also matches nothing
            return
        group = 1 if found[1] is not None else 2
        text = found[group].replace('""', '"').strip()
        if group == 2 and delimiter != "," and _NUMBER.fullmatch(text.replace(",", ".", 1)):
            text = text.replace(",", ".", 1)
        start = offset + found.start(group)
        yield _Cell(text, Span(source, start, start + max(1, len(found[group].rstrip()))))
        at = found.end() + 1


def _columns(header: Sequence[_Cell], diagnostics: Diagnostics) -> list[str] | None:
    """The name of each column, "" for one without a heading; None if any is wrong."""
    names: list[str] = []
    for cell in header:
        words = re.findall(r"[^\W_]+|%", cell.text.lower())
        name = _COLUMNS.get(frozenset(_PERCENT.get(word, word) for word in words), "")
        if not name and cell.text:
            diagnostics.report(E0901.unknown_column(cell.text, _COLUMNS.values()), cell.span)
        elif name and name in names:
            diagnostics.report(E0901.column_twice(name), cell.span)
        names.append(name)
    for name in _NEEDED:
        if name not in names and not diagnostics.has_errors:
            whole = header[0].span.to(header[-1].span)
            diagnostics.report(E0901.column_missing(name, _COLUMNS.values()), whole)
    return None if diagnostics.has_errors else names


def _row(
    row: Sequence[_Cell],
    columns: Sequence[str],
    gathered: dict[str, _Gathered],
    diagnostics: Diagnostics,
) -> None:
    by_name: dict[str, _Cell] = {}
    for place, cell in enumerate(row):
        name = columns[place] if place < len(columns) else ""
        if name and cell.text:
            by_name[name] = cell
        elif cell.text:
            fault = E0901.no_heading() if place < len(columns) else E0901.more_cells()
            diagnostics.report(fault, cell.span)
            return
    if "size mm" not in by_name:
        diagnostics.report(E0901.no_size(), row[0].span)
        return
    size = _number(by_name["size mm"], 0.001, 5000.0, "a size in mm", diagnostics)
    name = by_name["sample"].text if "sample" in by_name else ""
    sample = gathered.setdefault(name, _Gathered(by_name.get("sample", by_name["size mm"])))
    if "css mm" in by_name:
        _css(sample, by_name["css mm"], diagnostics)
    for what, points in (("feed", sample.feed), ("product", sample.product)):
        if (found := by_name.get(f"{what} % passing")) is not None:
            percent = _number(found, 0.0, 100.0, "per cent passing", diagnostics)
            if size is not None and percent is not None:
                points.append(Point(size, percent / 100.0, found.span))


def _number(
    cell: _Cell, low: float, high: float, what: str, diagnostics: Diagnostics
) -> float | None:
    if not _NUMBER.fullmatch(cell.text):
        diagnostics.report(E0901.not_a_number(cell.text[:40], what), cell.span)
        return None
    value = float(cell.text)
    if not low <= value <= high:
        diagnostics.report(E0902.outside(cell.text[:40], what, low, high), cell.span)
        return None
    return value


def _css(sample: _Gathered, cell: _Cell, diagnostics: Diagnostics) -> None:
    css = _number(cell, 0.1, 2000.0, "a closed side setting in mm", diagnostics)
    if sample.css is None:
        sample.css, sample.css_mm = cell, css
    elif css is not None and sample.css_mm is not None and css != sample.css_mm:
        diagnostics.report(E0902.css_changes(sample.css_mm, css), cell.span)


def _sample(name: str, rows: _Gathered, diagnostics: Diagnostics) -> Sample:
    """A sample with its points in order, its gradings checked."""
    feed = _ordered(rows.feed, "feed", diagnostics)
    product = _ordered(rows.product, "product", diagnostics)
    at = rows.first.span
    called = f"sample `{name}`" if name else "the sample"
    if len(feed) < 2:
        diagnostics.report(E0903.feed(called), at)
    elif feed[0].passing < _WHOLE / 100.0:
        diagnostics.report(E0902.top_size_missing(feed[0].passing), feed[0].span)
    if len(product) < 3:
        diagnostics.report(E0903.product(called), at)
    shared = {point.size_mm: point.passing for point in feed}
    gains = [p.passing - shared[p.size_mm] for p in product if p.size_mm in shared]
    if gains and 100.0 * math.fsum(gains) / len(gains) < -_COARSER:
        diagnostics.report(E0902.product_coarser(), product[0].span)
    css_span = rows.css.span if rows.css else at
    return Sample(name, rows.css_mm, css_span, feed, product)


def _ordered(points: list[Point], what: str, diagnostics: Diagnostics) -> tuple[Point, ...]:
    ordered = sorted(points, key=lambda point: -point.size_mm)
    for coarse, fine in pairwise(ordered):
        if coarse.size_mm == fine.size_mm:
            diagnostics.report(E0902.size_twice(fine.size_mm), fine.span)
        elif fine.passing > coarse.passing:
            diagnostics.report(
                E0902.rises(what, fine.size_mm, fine.passing, coarse.size_mm, coarse.passing),
                fine.span,
            )
    return tuple(ordered)


def _check_whole(samples: Sequence[Sample], source: Source, diagnostics: Diagnostics) -> None:
    start = Span(source, 0, 0)
    sizes = {p.size_mm for sample in samples for p in (*sample.feed, *sample.product)}
    if not samples:
        diagnostics.report(E0903.no_samples(), start)
    if len(samples) > MOST_SAMPLES or len(sizes) > MOST_SIZES:
        diagnostics.report(E0901.too_much(MOST_SAMPLES, MOST_SIZES), start)
    with_css = [sample for sample in samples if sample.css_mm is not None]
    if with_css:
        for sample in samples:
            if sample.css_mm is None:
                diagnostics.report(E0901.no_css(sample.name), sample.css_span)
