"""`hoggin fit`: calibrates a machine class to measured gradings and writes a library."""

from __future__ import annotations

import argparse
from pathlib import Path

from hoggin.commands.running import check_library_places, refusal, write_files
from hoggin.commands.showing import shown
from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.errors import Exit, HogginError
from hoggin.fit.base import BaseClass, apply_base, find_class, parse_given
from hoggin.fit.calibrate import calibrate
from hoggin.fit.library import library_text, valid_name
from hoggin.fit.measured import Sample, read_samples
from hoggin.fit.parameters import free_parameters
from hoggin.fit.plot import residual_plot
from hoggin.fit.report import report
from hoggin.fit.tabulated import is_table, samples_of_table
from hoggin.progress import working
from hoggin.world import World, named


def fit(options: argparse.Namespace) -> int:
    """Fit, print the report, write the library and its plot, and name them.

    Raises HogginError; then nothing is written.
    """
    library: Path = options.into
    plot = library.with_name(f"{library.stem}_residuals.svg")
    written = str(options.file)
    of_table = is_table(written)
    measurements = Path(written.rpartition(":")[0]) if of_table else options.file
    check_library_places((library, plot), measurements, "measurements", options.overwrite)
    entity = find_class(options.class_name)
    name = options.name or f"{entity.node.name.text}_fitted"
    if not valid_name(name):
        raise HogginError(f"`{name}` is not a name for a class: use letters, digits and `_`")
    given = parse_given(options.given)
    diagnostics = Diagnostics()
    samples = (
        samples_of_table(written, diagnostics)
        if of_table
        else read_samples(_data(options.file), diagnostics)
    )
    _refuse_faults(diagnostics)
    _check_css(samples, set(given))
    base = apply_base(options.class_name, entity, options.breakage, samples, given, diagnostics)
    _refuse_faults(diagnostics)
    free = None if options.free is None else tuple(options.free.replace(",", " ").split())
    with working("fitting"):
        calibration = calibrate(base, samples, free_parameters(base, free))
    data = options.file.name
    text = library_text(base, calibration, name, data)
    _check_text(text, library, base)
    contents = {
        library.name: text.encode(),
        plot.name: residual_plot(base, calibration, data).encode(),
    }
    print(shown(report(base, calibration, data)), end="")
    write_files(contents, library.parent)
    return Exit.DONE


def _data(path: Path) -> Source:
    with named(path):
        return World(path).open_main()


def _refuse_faults(diagnostics: Diagnostics) -> None:
    if diagnostics.has_errors:
        raise HogginError("the data have errors", Exit.SOURCE, diagnostics)


def _check_css(samples: tuple[Sample, ...], given: set[str]) -> None:
    in_data = samples[0].css_mm is not None
    if in_data and "css" in given:
        raise HogginError("the css is given both in the data and in --set: keep one of them")
    if not in_data and "css" not in given:
        raise HogginError("the css is not known: add a column `css mm`, or --set css=32mm")


def _check_text(text: str, library: Path, base: BaseClass) -> None:
    """The compiler reads what is about to be written."""
    with named(library):
        refused = refusal(library, text)
    if refused is not None:
        raise HogginError(
            f"the compiler refuses a copy of {base.name} ({refused}): declare the class on its "
            "own, or choose another name with --name"
        )
