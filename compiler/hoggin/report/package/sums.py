"""The workbook's sums: feeds, products and their gradings, machines, and the summary."""

from __future__ import annotations

import math
from collections.abc import Iterable

from hoggin.report.package.ledger import (
    FEED_IN,
    RATE,
    Ledger,
    difference,
    gaps,
    largest,
    ledger,
    share,
)
from hoggin.report.package.sheet import (
    FIRST_ROW,
    Cell,
    Field,
    Formula,
    Line,
    Sheet,
    fields,
    letters,
)
from hoggin.report.wording import sieve
from hoggin.schema.results import MachineResult, Results

PRODUCT_KEYS = 5  # columns of the sheet of products before the first class


def sheets(results: Results) -> tuple[Sheet, ...]:
    """All sheets of a plant, the summary first."""
    book = ledger(results)
    feeds, products = _feeds(book), _products(book)
    machines, less = _machines(book), gaps(book)
    summary = _summary(feeds, products, machines, less)
    gradings = _gradings(book)
    return (summary, book.streams, book.classes, less, feeds, products, gradings, machines)


def _numbered(*headings: str) -> tuple[Field, ...]:
    """Columns of words, led by the number of what is in a row."""
    return (Field("no.", "count"), *fields("text", *headings))


def _feeds(book: Ledger) -> Sheet:
    columns = (*_numbered("feed"), Field(RATE, "rate", unit="t/h"), Field("share", "share"))

    def line(row: int, tag: str) -> Line:
        rate = book.total("from no.", row, tag)
        return book.numbers[tag], tag, rate, share(f"C{row}", FEED_IN, rate.value, book.fed)

    rows = tuple(line(FIRST_ROW + n, feed.tag) for n, feed in enumerate(book.results.feeds))
    return Sheet("Feeds", "Dry t/h, summed from the streams.", columns, rows, keys=2)


def _products(book: Ledger) -> Sheet:
    columns = (
        *_numbered("product", "title"),
        Field(RATE, "rate", unit="t/h"),
        Field("of feed", "share"),
        *fields("number", *book.class_headings, unit="t/h"),
    )

    def line(row: int, tag: str, title: str) -> Line:
        rate = book.total("to no.", row, tag)
        return (
            book.numbers[tag],
            tag,
            title,
            rate,
            share(f"D{row}", FEED_IN, rate.value, book.fed),
            *(book.total("to no.", row, tag, heading) for heading in book.class_headings),
        )

    rows = tuple(
        line(FIRST_ROW + n, product.tag, product.title)
        for n, product in enumerate(book.results.products)
    )
    note = "Dry t/h, summed from the streams into each product; then by size class (mm)."
    return Sheet("Products", note, columns, rows, keys=3)


def _gradings(book: Ledger) -> Sheet:
    """Products' gradings, from what their streams hold of each class."""
    sizes = book.results.sieves_mm
    last = letters(PRODUCT_KEYS + len(sizes))
    columns = (*_numbered("product"), *fields("share", *(f"{sieve(mm)} mm" for mm in sizes)))

    def line(row: int, tag: str) -> Line:
        rate, *masses = book.sums.get(("to no.", tag), (0.0,) * (len(sizes) + 2))

        def passing(at: int) -> Formula:
            finer = f"SUM(Products!{letters(PRODUCT_KEYS + at + 1)}{row}:{last}{row})"
            return share(finer, f"Products!$D{row}", math.fsum(masses[at + 1 :]), rate)

        return book.numbers[tag], tag, *map(passing, range(len(sizes)))

    rows = tuple(line(FIRST_ROW + n, p.tag) for n, p in enumerate(book.results.products))
    note = "Share passing each sieve, from the size classes of the streams into each product."
    return Sheet("Product gradings", note, columns, rows, keys=2)


def _machines(book: Ledger) -> Sheet:
    columns = (
        *_numbered("machine", "class"),
        Field("feed", "rate", unit="t/h"),
        Field("capacity", "rate", typed=True, unit="t/h"),
        Field("load", "share"),
        Field("drawn", "rate", typed=True, unit="kW"),
        Field("connected", "rate", typed=True, unit="kW"),
        Field("of connected", "share"),
        *fields("number", "energy, own feed", "energy, plant feed", unit="kWh/t"),
        Field("quantity", "count"),
    )
    listed = book.results.machines
    rows = [_machine(book, FIRST_ROW + n, machine) for n, machine in enumerate(listed)]
    if rows:
        rows.append(_all_machines(book))
    note = "Capacity and power are results of the balance; feeds are summed from the streams."
    return Sheet("Machines", note, columns, tuple(rows), keys=2, totals=bool(rows))


def _machine(book: Ledger, row: int, machine: MachineResult) -> Line:
    feed = book.total("to no.", row, machine.tag)
    drawn, fitted, full = machine.power_kw, machine.installed_power_kw, machine.capacity_t_h
    load = None if full is None else share(f"D{row}", f"E{row}", feed.value, full)
    used = own = plant = None
    if drawn is not None:
        used = None if fitted is None else share(f"G{row}", f"H{row}", drawn, fitted)
        own = share(f"G{row}", f"D{row}", drawn, feed.value)
        plant = share(f"G{row}", FEED_IN, drawn, book.fed)
    named = machine.class_name or machine.kind
    number = book.numbers[machine.tag]
    numbers = (feed, full, load, drawn, fitted, used, own, plant)
    return (number, machine.tag, named, *numbers, machine.count)


def _all_machines(book: Ledger) -> Line:
    machines = book.results.machines
    row = FIRST_ROW + len(machines)

    def total(column: str, values: Iterable[float | None]) -> Formula:
        run = f"{column}{FIRST_ROW}:{column}{row - 1}"
        return Formula(f"SUM({run})", math.fsum(value or 0.0 for value in values))

    drawn = total("G", (machine.power_kw for machine in machines))
    fitted = total("H", (machine.installed_power_kw for machine in machines))
    energy = share(f"G{row}", FEED_IN, drawn.value, book.fed)
    return (None, "all machines", None, None, None, None, drawn, fitted, None, None, energy, None)


def _summary(feeds: Sheet, products: Sheet, machines: Sheet, less: Sheet) -> Sheet:
    """The key figures. Other sheets refer to their places: `FEED_IN` is B4."""
    fed, made = _column_sum(feeds), _column_sum(products)
    drawn = Formula("0", 0.0)
    if machines.rows:
        place = machines.place("drawn")
        value = _value(machines.rows[-1][place])
        drawn = Formula(f"Machines!G{FIRST_ROW + len(machines.rows) - 1}", value)
    rows: tuple[Line, ...] = (
        ("feed in", fed, "t/h", ""),
        ("products out", made, "t/h", ""),
        ("feed in less products out", difference(fed, made, "B4", "B5"), "t/h", "reads 0"),
        ("largest of any machine, in less out", _worst(less, "in less out"), "t/h", "reads 0"),
        (
            "largest by class, of machines that break no rock",
            _worst(less, "largest by class"),
            "t/h",
            "reads 0",
        ),
        ("drawn power", drawn, "kW", "of all machines that draw any"),
        ("energy", share("B9", "B4", drawn.value, fed.value), "kWh/t", "of plant feed"),
    )
    columns = (Field("sum", "text"), Field("value", "number"), *fields("text", "unit", "note"))
    note = (
        "Shaded numbers are results of the balance and may be overwritten. All others are "
        "formulas. Only the compiler can balance the plant again."
    )
    return Sheet("Summary", note, columns, rows, keys=1)


def _column_sum(sheet: Sheet) -> Formula:
    """The sum of a sheet's rates."""
    if not sheet.rows:
        return Formula("0", 0.0)
    place = sheet.place(RATE)
    return Formula(f"SUM({sheet.run(RATE)})", math.fsum(_value(row[place]) for row in sheet.rows))


def _worst(less: Sheet, heading: str) -> Formula:
    place = less.place(heading)
    values = [cell.value for row in less.rows if isinstance(cell := row[place], Formula)]
    return largest(less.run(heading), values) if values else Formula("0", 0.0)


def _value(cell: Cell) -> float:
    return cell.value if isinstance(cell, Formula) else 0.0
