"""Products as text of the language: bands for a library, and lines for a plant."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from hoggin.intake.library import share, size
from hoggin.intake.products import Limit, Product
from hoggin.intake.sheet import Sheet
from hoggin.report.wording import clean, quotable
from hoggin.syntax import made, tree
from hoggin.syntax.printer import printed


def bands_text(products: Iterable[Product], sheet: Sheet) -> str:
    """A library with a band for every product that has limits."""
    name = quotable(sheet.name)
    heading = f"# Written by `hoggin import products` from {name}. You may change it.\n"
    bands = [_band(product, name) for product in products if product.limits]
    return f"{heading}\n{printed(bands)}" if bands else heading


def plant_text(products: Sequence[Product], library: Path | None) -> str:
    """The lines of a plant that declare the products and the requirements of the sheet."""
    if not products:
        return ""
    name = alias(library)
    use = printed([made.use("FILE.hog" if library is None else quotable(library.name), name)])
    declared = [
        made.declaration("product", one.name, [made.fact("title", made.text(_title(one)))])
        for one in products
    ]
    asked = [line for product in products for line in _requirements(product, name)]
    lines = printed(declared) + printed(asked)
    return f"# Above the plant:\n{use}\n# In the plant:\n{lines}"


def alias(library: Path | None) -> str:
    """The name of the library in a plant."""
    stem = "" if library is None else re.sub(r"[^A-Za-z0-9]+", "_", library.stem).strip("_")
    return stem if stem.isascii() and stem[:1].isalpha() else "specified"


def _title(product: Product) -> str:
    size = clean(product.size)
    return quotable(product.title if size in product.title else f"{product.title} {size}")


def _band(product: Product, sheet: str) -> tree.Definition:
    facts = (
        made.fact("about", made.text(_title(product))),
        made.fact("source", made.text(f"{sheet}, row {product.row}")),
        made.listed("passing", map(_limit, product.limits)),
    )
    return made.definition("band", product.name, facts)


def _limit(limit: Limit) -> tree.Entry:
    low, high = share(limit.low, "%"), share(limit.high, "%")
    return made.entry(size(limit.mm), low, None if limit.low == limit.high else high)


def _requirements(product: Product, library: str) -> Iterator[tree.Requirement]:
    name = product.name
    if product.limits:
        yield made.meets(name, f"{library}.{name}")
    asked = (
        ("rate", product.rate_unit, product.rate),
        ("share", "%", product.share),
        ("flakiness", "%", product.flakiness),
    )
    for result, unit, limits in asked:
        if limits is not None:
            low, high = (None if n is None else share(n, unit) for n in (limits.low, limits.high))
            yield made.limited(f"{name}.{result}", low, high)
