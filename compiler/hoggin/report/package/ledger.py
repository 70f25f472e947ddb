"""The workbook's first sheets: the streams, what they hold of each size class, and what of it
enters each machine less what leaves.

Streams are typed: rates, and per cent passing. All else is a formula with its value beside it, so
that a number typed over another is followed by every sum that depends on it. Feeds, machines and
products have a number, for a spreadsheet's search by text would read signs in a name as an order
and does not tell capital letters.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

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
from hoggin.report.wording import outlet_of, sieve
from hoggin.schema.kinds import KINDS
from hoggin.schema.results import Results, StreamResult

Side = Literal["from no.", "to no."]
DUST_DECIMALS = 5  # results have nine digits
FEED_IN = "Summary!$B$4"
RATE = "rate"
CLASS_KEYS = 3  # columns of the sheet of classes before the first class
GAP_KEYS = 7  # and of that of what enters less what leaves
BREAKS = "breaks rock"


@dataclass(frozen=True, slots=True)
class Ledger:
    """The streams as sheets, and their sums by what they leave and enter."""

    results: Results
    numbers: dict[str, int]  # of feeds, machines and products
    streams: Sheet
    classes: Sheet
    sums: dict[tuple[Side, str], tuple[float, ...]]  # t/h: the rate, then class by class

    fed: float  # t/h
    class_headings: tuple[str, ...]

    def total(self, side: Side, row: int, tag: str, heading: str = RATE) -> Formula:
        """What leaves or enters a tag whose number is in column A of `row`, in all or of one
        size class."""
        keys = self.streams.run(side, pinned=True)
        whole = heading == RATE
        values = (self.streams if whole else self.classes).run(heading, pinned=whole)
        place = 0 if whole else self.classes.place(heading) - CLASS_KEYS + 1
        found = self.sums.get((side, tag))
        return Formula(f"SUMIF({keys},$A{row},{values})", found[place] if found else 0.0)


def ledger(results: Results) -> Ledger:
    """The plant's streams, ready to be summed."""
    parts = (results.feeds, results.machines, results.products)
    tags = [part.tag for kind in parts for part in kind]
    numbers = {tag: number for number, tag in enumerate(tags, start=1)}
    held = [(stream.rate_t_h, *_classes(stream)) for stream in results.streams]
    flows: dict[tuple[Side, str], list[tuple[float, ...]]] = defaultdict(list)
    for stream, amounts in zip(results.streams, held, strict=True):
        flows["from no.", stream.source].append(amounts)
        flows["to no.", stream.target].append(amounts)
    sums = {
        key: tuple(map(math.fsum, zip(*amounts, strict=True))) for key, amounts in flows.items()
    }
    fed, headings = _fed(results), _class_headings(results.sieves_mm)
    streams = _streams(results, numbers, fed)
    classes = _class_sheet(results, headings, streams, held)
    return Ledger(results, numbers, streams, classes, sums, fed, headings)


def share(part: str, whole: str, value: float, of: float) -> Formula:
    """One cell over another, 0 where there is nothing to share."""
    return Formula(f"IF({whole}=0,0,{part}/{whole})", value / of if of else 0.0)


def difference(left: Formula, right: Formula, left_at: str = "", right_at: str = "") -> Formula:
    """One sum less another, without the dust; where they are in cells, by those."""
    text = f"ROUND({left_at or left.text}-{right_at or right.text},{DUST_DECIMALS})"
    return Formula(text, rounded(left.value - right.value))


def rounded(value: float) -> float:
    return round(value, DUST_DECIMALS) + 0.0


def largest(run: str, values: Sequence[float]) -> Formula:
    """The largest of a run of cells, whatever its sign."""
    return Formula(f"MAX(MAX({run}),-MIN({run}))", max(map(abs, values)))


def _fed(results: Results) -> float:
    feeds = {feed.tag for feed in results.feeds}
    return math.fsum(stream.rate_t_h for stream in results.streams if stream.source in feeds)


def _class_headings(sieves_mm: Sequence[float]) -> tuple[str, ...]:
    between = (f"{sieve(upper)} to {sieve(lower)}" for upper, lower in pairwise(sieves_mm))
    return (f"over {sieve(sieves_mm[0])}", *between, f"under {sieve(sieves_mm[-1])}")


def _classes(stream: StreamResult) -> tuple[float, ...]:
    """What is retained in each class, t/h: the rate times the class's share."""
    bounds = (1.0, *stream.passing, 0.0)
    return tuple(stream.rate_t_h * (upper - lower) for upper, lower in pairwise(bounds))


def _streams(results: Results, numbers: dict[str, int], fed: float) -> Sheet:
    columns = (
        Field("no.", "count"),
        Field("from no.", "count", typed=True),
        Field("from", "text"),
        Field("to no.", "count", typed=True),
        Field("to", "text"),
        Field(RATE, "rate", typed=True, unit="t/h"),
        Field("of feed", "share"),
        *(Field(f"{sieve(mm)} mm", "share", typed=True) for mm in results.sieves_mm),
    )
    rows: tuple[Line, ...] = tuple(
        (
            number,
            numbers[stream.source],
            outlet_of(stream),
            numbers[stream.target],
            stream.target,
            stream.rate_t_h,
            share(f"F{FIRST_ROW + number - 1}", FEED_IN, stream.rate_t_h, fed),
            *stream.passing,
        )
        for number, stream in enumerate(results.streams, start=1)
    )
    note = "Dry t/h, and share passing each sieve, as balanced. You may overwrite any of them."
    return Sheet("Streams", note, columns, rows, keys=5)


def _class_sheet(
    results: Results,
    headings: Sequence[str],
    streams: Sheet,
    held: Sequence[tuple[float, ...]],
) -> Sheet:
    passing = streams.place("of feed") + 1  # the coarsest sieve's column
    first, last = letters(CLASS_KEYS), letters(CLASS_KEYS + len(headings) - 1)

    def retained(row: int, at: int) -> str:
        upper = "1" if at == 0 else f"Streams!{letters(passing + at - 1)}{row}"
        lower = "" if at == len(headings) - 1 else f"-Streams!{letters(passing + at)}{row}"
        return f"$C{row}*({upper}{lower})"

    def line(place: int, stream: StreamResult) -> Line:
        row, (rate, *masses) = FIRST_ROW + place, held[place]
        summed = f"ROUND(SUM({first}{row}:{last}{row})-C{row},{DUST_DECIMALS})"
        return (
            place + 1,
            stream.name,
            Formula(f"Streams!F{row}", rate),
            *(Formula(retained(row, at), mass) for at, mass in enumerate(masses)),
            Formula(summed, rounded(math.fsum(masses) - rate)),
        )

    columns = (
        Field("no.", "count"),
        Field("stream", "text"),
        Field(RATE, "rate", unit="t/h"),
        *fields("number", *headings, unit="t/h"),
        Field("sum less rate", "gap", unit="t/h"),
    )
    rows = tuple(line(place, stream) for place, stream in enumerate(results.streams))
    note = "Retained in each size class (mm), t/h: rate x share of the class."
    return Sheet("Classes", note, columns, rows, keys=CLASS_KEYS)


def gaps(book: Ledger) -> Sheet:
    """Every machine: what enters less what leaves, in all and by class."""
    headings = book.class_headings
    first, last = letters(GAP_KEYS), letters(GAP_KEYS + len(headings) - 1)

    def line(row: int, tag: str, kind: str) -> Line:
        enters, leaves = book.total("to no.", row, tag), book.total("from no.", row, tag)
        by_class = [
            difference(book.total("to no.", row, tag, h), book.total("from no.", row, tag, h))
            for h in headings
        ]
        worst: Cell = largest(f"{first}{row}:{last}{row}", [gap.value for gap in by_class])
        return (
            book.numbers[tag],
            tag,
            kind,
            enters,
            leaves,
            difference(enters, leaves, f"D{row}", f"E{row}"),
            BREAKS if KINDS[kind].breaks else worst,
            *by_class,
        )

    columns = (
        Field("no.", "count"),
        *fields("text", "machine", "kind"),
        *fields("rate", "in", "out", unit="t/h"),
        *fields("gap", "in less out", "largest by class", *headings, unit="t/h"),
    )
    rows = tuple(
        line(FIRST_ROW + place, machine.tag, machine.kind)
        for place, machine in enumerate(book.results.machines)
    )
    note = (
        "The total is 0 for every machine; each size class is 0 for every machine that breaks no "
        "rock. The classes of a crusher show what it breaks (+) and makes (-)."
    )
    return Sheet("In less out", note, columns, rows, keys=3)
