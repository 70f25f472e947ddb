"""`hoggin take-in`: gradings and products from spreadsheets, written as a library."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from hoggin.commands.running import check_library_places, refusal
from hoggin.errors import Exit, HogginError

if TYPE_CHECKING:
    from hoggin.intake.reading import Forced, Reading
    from hoggin.intake.sheet import Sheet

_FIGURES = {
    "passing": "passing",
    "retained": "retained",
    "cumulative-retained": "cumulative",
    "masses": "mass",
    "cumulative-masses": "cumulative_mass",
}


def add_take_in(parser: argparse.ArgumentParser) -> None:
    """The command's arguments."""
    kinds = parser.add_subparsers(title="what to take in", metavar="WHAT", required=True)
    gradings = kinds.add_parser("gradings", help="every sample of a laboratory's sheet")
    _add_common(gradings)
    gradings.add_argument(
        "--figures", choices=tuple(_FIGURES), help="what the figures are (else as the sheet says)"
    )
    gradings.add_argument(
        "--figures-in", choices=("percent", "fraction"), help="55 or 0.55 (else as they look)"
    )
    gradings.add_argument(
        "--sieves", choices=("down", "across"), help="where the sieves stand (else as found)"
    )
    gradings.add_argument(
        "--top", type=_size, metavar="SIZE", help="a size that all passes, as 125mm, where none is"
    )
    gradings.set_defaults(run=_gradings)
    products = kinds.add_parser("products", help="a table of products, limits and wanted rates")
    _add_common(products)
    products.set_defaults(run=_products)


def _add_common(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("sheet", metavar="SHEET", help="FILE.csv, FILE.xlsx or FILE.xlsx:NAME")
    parser.add_argument(
        "--into", type=Path, metavar="FILE.hog", help="library to write (else it is printed)"
    )
    parser.add_argument("--overwrite", action="store_true", help="replace a file that is there")
    parser.add_argument(
        "--unit", choices=("mm", "um", "in"), default="", help="of sieve sizes without one"
    )
    parser.add_argument(
        "--decimal", choices=("point", "comma"), help="decimal sign of numbers held as text"
    )


def _size(text: str) -> float:
    """A size in mm: `125mm`, `125 mm`, `5 in`."""
    from hoggin.intake.sheet import SheetError
    from hoggin.intake.sieves import read_sieve

    try:
        sieve = read_sieve(text, "", ".")
    except SheetError as fault:
        raise argparse.ArgumentTypeError(f"`{text}`: {fault}") from fault
    if not sieve.has_unit or sieve.mm <= 0:
        raise argparse.ArgumentTypeError(f"`{text}`: a size with its unit, as 125mm")
    return sieve.mm


def _gradings(options: argparse.Namespace) -> int:
    from hoggin.intake.axis import find_axis
    from hoggin.intake.gradings import read_gradings
    from hoggin.intake.library import gradings_text
    from hoggin.intake.reading import Forced, Reading

    forced = Forced(
        sieves=options.sieves,
        figures=_FIGURES.get(options.figures),  # type: ignore[arg-type]
        scale=options.figures_in,
        unit=options.unit,
        decimal=_decimal(options),
        top_mm=options.top,
    )

    def holds(sheet: Sheet) -> bool:
        return find_axis(Reading(sheet, forced)) is not None

    def text(reading: Reading) -> tuple[str, str]:
        return gradings_text(read_gradings(reading), reading.sheet), ""

    return _taken(options, forced, holds, text)


def _products(options: argparse.Namespace) -> int:
    from hoggin.intake.product_text import bands_text, plant_text
    from hoggin.intake.products import holds_products, read_products
    from hoggin.intake.reading import Forced

    forced = Forced(unit=options.unit, decimal=_decimal(options))

    def text(reading: Reading) -> tuple[str, str]:
        products = read_products(reading)
        return bands_text(products, reading.sheet), plant_text(products, options.into)

    return _taken(options, forced, holds_products, text)


def _decimal(options: argparse.Namespace) -> str:
    return {"point": ".", "comma": ","}.get(options.decimal, "")


def _taken(
    options: argparse.Namespace,
    forced: Forced,
    holds: Callable[[Sheet], bool],
    text: Callable[[Reading], tuple[str, str]],
) -> int:
    """Read, tell, check and write. Nothing is written where there are faults."""
    from hoggin.intake.opening import open_sheet
    from hoggin.intake.reading import Reading

    path, sheet = open_sheet(options.sheet, holds)
    if options.into is not None:
        check_library_places([options.into], path, "sheet", options.overwrite)
    reading = Reading(sheet, forced)
    library, lines = text(reading)
    for note in reading.notes:
        print(f"note: {note}", file=sys.stderr)
    if reading.faults:
        print(reading.report(), end="", file=sys.stderr)
        return Exit.SOURCE
    _put(options, _checked(library), lines)
    return Exit.DONE


def _put(options: argparse.Namespace, library: str, lines: str) -> None:
    from hoggin.report.documents import write

    if options.into is None:
        print(library + (f"\n{lines}" if lines else ""), end="")
        return
    write({options.into.name: library.encode()}, options.into.parent)
    print(lines, end="")
    print(options.into)


def _checked(text: str) -> str:
    """What is about to be written, read by the compiler and put in its layout."""
    from hoggin.diagnostics.source import Source
    from hoggin.syntax.layout import laid_out

    path = Path("library.hog")
    refused = refusal(path, text)
    found = laid_out(Source(path.name, text))
    if refused is not None or not isinstance(found, str):
        raise HogginError(f"the compiler refuses what the sheet says: {refused}")
    return found
