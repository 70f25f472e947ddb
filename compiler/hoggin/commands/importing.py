"""`hoggin import`: reads gradings, products and machines' tables from spreadsheets."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from pathlib import Path

from hoggin.commands.command_line import VALUES
from hoggin.commands.output import say
from hoggin.commands.running import check_library_places, refusal
from hoggin.diagnostics.source import Source
from hoggin.errors import Exit, HogginError
from hoggin.intake.axis import find_axis
from hoggin.intake.gradings import read_gradings
from hoggin.intake.library import gradings_text
from hoggin.intake.names import identifiers
from hoggin.intake.opening import open_sheet, split
from hoggin.intake.product_text import bands_text, plant_text
from hoggin.intake.products import holds_products, read_products
from hoggin.intake.reading import Forced, Reading
from hoggin.intake.sheet import Sheet
from hoggin.intake.tables import Stated, read_machine_table, table_text
from hoggin.syntax.layout import laid_out
from hoggin.world import library_names
from hoggin.writing import write


def gradings(options: argparse.Namespace) -> int:
    forced = Forced(
        sieves=options.sieves,
        figures=VALUES.get(options.values),
        scale=options.values_in,
        unit=options.unit,
        decimal=_decimal(options),
        top_mm=options.top_size,
    )

    def holds(sheet: Sheet) -> bool:
        return find_axis(Reading(sheet, forced)) is not None

    def text(reading: Reading) -> tuple[str, str]:
        return gradings_text(read_gradings(reading), reading.sheet), ""

    return _taken(options, forced, holds, text)


def products(options: argparse.Namespace) -> int:
    forced = Forced(unit=options.unit, decimal=_decimal(options))

    def text(reading: Reading) -> tuple[str, str]:
        found = read_products(reading)
        return bands_text(found, reading.sheet), plant_text(found, options.into)

    return _taken(options, forced, holds_products, text)


def table(options: argparse.Namespace) -> int:
    forced = Forced(
        sieves=options.sieves,
        figures="passing",
        scale=options.values_in,
        unit=options.unit,
        decimal=_decimal(options),
        top_mm=options.top_size,
    )
    stated = Stated(options.feed_top, options.feed_f80, options.bulk_density)
    (name,) = identifiers([options.name or split(options.sheet)[0].stem], "machine")
    if options.extends.rpartition(".")[0] not in library_names():
        raise HogginError(
            f"`{options.extends}` is not a class of a library: name one as std.jaws.single_toggle"
        )

    def holds(sheet: Sheet) -> bool:
        return find_axis(Reading(sheet, forced)) is not None

    def text(reading: Reading) -> tuple[str, str]:
        found = read_machine_table(reading, stated)
        if found is None:
            return "", ""
        return table_text(found, name, options.extends, options.setting, reading.sheet), ""

    return _taken(options, forced, holds, text)


def _decimal(options: argparse.Namespace) -> str:
    return {"point": ".", "comma": ","}.get(options.decimal, "")


def _taken(
    options: argparse.Namespace,
    forced: Forced,
    holds: Callable[[Sheet], bool],
    text: Callable[[Reading], tuple[str, str]],
) -> int:
    """Read, report, check and write. If there are errors, nothing is written."""
    path, sheet = open_sheet(options.sheet, holds)
    if options.into is not None:
        check_library_places([options.into], path, "sheet", options.overwrite)
    reading = Reading(sheet, forced)
    library, lines = text(reading)
    for note in reading.notes:
        say(f"note: {note}", sys.stderr)
    if reading.faults:
        say(reading.report().rstrip("\n"), sys.stderr)
        return Exit.SOURCE
    _put(options.into, _checked(library), lines)
    return Exit.DONE


def _put(into: Path | None, library: str, lines: str) -> None:
    if into is None:
        print(library + (f"\n{lines}" if lines else ""), end="")
        return
    write({into.name: library.encode()}, into.parent)
    print(lines, end="")
    print(into)


def _checked(text: str) -> str:
    """The text to be written, checked by the compiler and put in the standard layout."""
    path = Path("library.hog")
    refused = refusal(path, text)
    found = laid_out(Source(path.name, text))
    if refused is not None or not isinstance(found, str):
        raise HogginError(f"the compiler refuses the library made from the sheet: {refused}")
    return found
