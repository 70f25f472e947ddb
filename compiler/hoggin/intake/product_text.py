"""Products as text of the language: bands for a library, and lines to stand in a plant."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from pathlib import Path

from hoggin.intake.library import listed, number, quotable
from hoggin.intake.products import Limit, Product, Range
from hoggin.intake.sheet import Sheet
from hoggin.report.wording import clean


def bands_text(products: Sequence[Product], sheet: Sheet) -> str:
    """A library with a band for every product that has limits."""
    lines = [
        f"# Written by `hoggin take-in products` from {quotable(sheet.name)}; yours to change."
    ]
    for product in products:
        if product.limits:
            lines += ["", *_band(product, sheet)]
    return "\n".join(lines) + "\n"


def plant_text(products: Sequence[Product], library: Path | None) -> str:
    """The lines of a plant that declare the products and ask for what the sheet asks for."""
    if not products:
        return ""
    name = alias(library)
    file = "FILE.hog" if library is None else quotable(library.name)
    lines = ["# For the plant: above it", f'use "{file}" as {name}', "", "# and in it"]
    width = max(len(product.name) for product in products)
    for product in products:
        lines.append(f'product {product.name:<{width}} {{ title "{_title(product)}" }}')
    for product in products:
        lines += _requirements(product, name)
    return "\n".join(lines) + "\n"


def alias(library: Path | None) -> str:
    """What a plant calls the library by."""
    stem = "" if library is None else re.sub(r"[^A-Za-z0-9]+", "_", library.stem).strip("_")
    return stem if stem.isascii() and stem[:1].isalpha() else "specified"


def _title(product: Product) -> str:
    size = clean(product.size)
    return quotable(product.title if size in product.title else f"{product.title} {size}")


def _band(product: Product, sheet: Sheet) -> Iterator[str]:
    yield f"band {product.name} {{"
    yield f'  about  "{_title(product)}"'
    yield f'  source "{quotable(sheet.name)}, row {product.row}"'
    yield "  passing {"
    yield from listed(map(_limit, product.limits))
    yield "  }"
    yield "}"


def _limit(limit: Limit) -> str:
    size = f"{number(limit.mm, 6)} mm"
    if limit.low == limit.high:
        return f"{size}: {number(limit.low, 4)} %"
    return f"{size}: {number(limit.low, 4)} % to {number(limit.high, 4)} %"


def _requirements(product: Product, library: str) -> Iterator[str]:
    name = product.name
    if product.limits:
        yield f"require {name} meets {library}.{name}"
    if product.rate is not None:
        yield _asked(f"{name}.rate", product.rate, product.rate_unit)
    if product.share is not None:
        yield _asked(f"{name}.share", product.share, "%")
    if product.flakiness is not None:
        yield _asked(f"{name}.flakiness", product.flakiness, "%")


def _asked(result: str, asked: Range, unit: str) -> str:
    low = None if asked.low is None else f"{number(asked.low, 4)} {unit}"
    high = None if asked.high is None else f"{number(asked.high, 4)} {unit}"
    if low is None:
        return f"require {result} <= {high}"
    if high is None:
        return f"require {result} >= {low}"
    return f"require {result} between {low} and {high}"
