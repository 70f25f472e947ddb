"""`hoggin`: the command line. Whatever ends a command early is caught, and told, here."""

from __future__ import annotations

import argparse
import gc
import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from hoggin import __version__
from hoggin.commands.completing import ASKED_BY, add_completion, answer_shell
from hoggin.commands.designing import add_design
from hoggin.commands.operating import add_operate
from hoggin.commands.output import drop_output, fit_for_terminals
from hoggin.commands.packaging import add_options as add_package_options
from hoggin.commands.revising import add_revision_commands
from hoggin.commands.running import (
    checked_file,
    complain,
    results_of,
    told,
    verdict_code,
    write_files,
)
from hoggin.commands.serving import add_language_server
from hoggin.commands.starting import add_start
from hoggin.commands.sweeping import add_sweep
from hoggin.commands.taking_in import add_take_in
from hoggin.commands.uncertain import add_uncertainty
from hoggin.commands.viewing import add_view
from hoggin.errors import Exit, HogginError

if TYPE_CHECKING:
    from hoggin.check.checker import Checked


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line and return its exit code."""
    # Looking for cycles to free and for plugins of pydantic's costs a tenth of a check's time, and
    # a process that lives a second needs neither.
    gc.disable()
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "1")
    parser = _parser()
    if ASKED_BY in os.environ:
        answer_shell(parser)
    with fit_for_terminals():
        return _run(parser.parse_args(arguments))


def _run(options: argparse.Namespace) -> int:
    """The exit code; what the computer refuses, and no command has foreseen, is a sentence too."""
    try:
        code: int = options.run(options)
        sys.stdout.flush()
    except HogginError as fault:
        return told(fault)
    except BrokenPipeError:  # the reader, `head` say, has gone: not our fault, and no traceback
        drop_output()
        return Exit.DONE
    except KeyboardInterrupt:
        complain(Exit.INTERRUPTED.meaning.replace(" from the keyboard", ""))
        return Exit.INTERRUPTED
    except OSError as fault:
        of = f"`{fault.filename}`: " if fault.filename else ""
        drop_output()
        complain(f"{of}the system says: {(fault.strerror or str(fault)).lower()}")
        return Exit.USE
    except MemoryError:
        complain("this takes more memory than there is; nothing half-written is left")
        return Exit.USE
    except RecursionError:
        complain("something here is nested too deeply to be read; nothing half-written is left")
        return Exit.USE
    return code


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="hoggin",
        description="Checks and balances crushing and screening plants written in .hog files.",
        epilog=f"Exit codes: {'. '.join(f'{code:d} {code.meaning}' for code in Exit)}.",
    )
    parser.add_argument(
        "--version", action=_Version, nargs=0, help="print versions of compiler and library"
    )
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", required=True)

    add_start(commands.add_parser("start", help="ask for feed and products, write a first plant"))

    check = commands.add_parser("check", help="check plant or library files")
    check.add_argument("files", nargs="+", type=Path, metavar="FILE")
    check.set_defaults(run=_check)

    balance = commands.add_parser("balance", help="balance a plant and show its tables")
    balance.add_argument("file", type=Path, metavar="FILE")
    balance.add_argument(
        "--show",
        choices=("all", "balance", "equipment", "json"),
        default="all",
        help="what to print (default: all)",
    )
    balance.set_defaults(run=_balance)

    issue = commands.add_parser("issue", help="write flowsheet, mass balance and schedule")
    issue.add_argument("file", type=Path, metavar="FILE")
    issue.add_argument(
        "--into", type=Path, metavar="FOLDER", help="where to (default: out/NAME of the file)"
    )
    issue.set_defaults(run=_issue)

    package = commands.add_parser("package", help="write a report (HTML, PDF) and a workbook")
    add_package_options(package)
    package.set_defaults(run=_package)

    add_language_server(commands.add_parser("language-server", help="help an editor, over stdio"))

    add_view(commands.add_parser("view", help="the plant in a browser, new at every save"))

    mix = commands.add_parser("mix", help="proportions of products that suit a grading band best")
    mix.add_argument("file", type=Path, metavar="FILE")
    mix.add_argument("band", metavar="BAND", help="as the file names it, or as astm.c33_57")
    mix.add_argument("products", nargs="*", metavar="PRODUCT", help="products (default: all)")
    mix.set_defaults(run=_mix)

    add_revision_commands(commands)

    add_take_in(commands.add_parser("take-in", help="gradings and products from spreadsheets"))
    _add_fit(commands.add_parser("fit", help="calibrate a machine class to measured gradings"))

    add_sweep(commands.add_parser("sweep", help="a setting over a range, or two as a grid"))
    add_uncertainty(
        commands.add_parser("uncertainty", help="what uncertain numbers do to the results")
    )

    add_operate(commands.add_parser("operate", help="a shift or a year through bins and piles"))

    add_design(commands.add_parser("design", help="find free settings for the plant's aims"))

    explain = commands.add_parser("explain", help="explain a diagnostic code, or list them all")
    explain.add_argument("code", nargs="?", metavar="CODE")
    explain.set_defaults(run=_explain)

    classes = commands.add_parser("classes", help="list the machine classes of the library")
    classes.add_argument(
        "name",
        nargs="?",
        metavar="CLASS",
        help="part of a name to look for, also of grading bands and sieve series",
    )
    classes.set_defaults(run=_classes)

    reference = commands.add_parser("reference", help="write the reference pages of the docs")
    reference.add_argument("folder", type=Path, metavar="FOLDER")
    reference.set_defaults(run=_reference)

    add_completion(commands.add_parser("completion", help="print the script for a shell's Tab key"))

    schema = commands.add_parser("schema", help="print the JSON schema of the results document")
    schema.set_defaults(run=_schema)
    return parser


class _Version(argparse.Action):
    """Prints what results are made with; read only when asked for."""

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        from hoggin.check.edition import EDITIONS
        from hoggin.provenance import library_version

        print(f"hoggin {__version__}, standard library {library_version()}, ", end="")
        print(f"language editions {', '.join(map(str, EDITIONS))}")
        parser.exit()


def _add_fit(fit: argparse.ArgumentParser) -> None:
    fit.add_argument("file", type=Path, metavar="DATA.csv", help="feed and product gradings")
    fit.add_argument(
        "--class",
        dest="class_name",
        required=True,
        metavar="CLASS",
        help="class to start from: std.cones.high_speed, or FILE.hog:CLASS",
    )
    fit.add_argument(
        "--into", type=Path, required=True, metavar="FILE.hog", help="library to write"
    )
    fit.add_argument("--as", dest="called", metavar="NAME", help="name of the fitted class")
    fit.add_argument("--breakage", metavar="MODEL", help="model to fit (else the class's first)")
    fit.add_argument("--free", metavar="NAMES", help="coefficients to fit, as k1,k2,k3")
    fit.add_argument(
        "--given",
        action="append",
        default=[],
        metavar="NAME=VALUE",
        help="a setting or parameter of the class, as css=32mm; may repeat",
    )
    fit.add_argument("--overwrite", action="store_true", help="replace files that are there")
    fit.set_defaults(run=_fit)


def _check(options: argparse.Namespace) -> int:
    from hoggin.diagnostics.render import render_all

    worst = Exit.DONE
    for path in options.files:
        try:
            checked = checked_file(path)
        except HogginError as fault:
            worst = max(worst, told(fault))
            continue
        print(render_all(checked.diagnostics), end="", file=sys.stderr)
        if checked.has_errors:
            worst = max(worst, Exit.SOURCE)
        else:
            print(f"{path}: {_summary(checked)}")
    return worst


def _summary(checked: Checked) -> str:
    plant = checked.plant
    if plant is None:
        return "library, no errors"
    counts = (len(plant.machines), "machine"), (len(plant.products), "product")
    counted = ", ".join(f"{count} {word}{'' if count == 1 else 's'}" for count, word in counts)
    return f"{plant.title}: {counted}, no errors"


def _balance(options: argparse.Namespace) -> int:
    results = results_of(options.file)
    from hoggin.commands.showing import show

    print(show(results, options.show), end="")
    return verdict_code(results)


def _issue(options: argparse.Namespace) -> int:
    results = results_of(options.file)
    from hoggin.commands.showing import verdicts
    from hoggin.report.documents import documents

    contents = documents(results)
    print(verdicts(results), end="")
    write_files(contents, options.into or Path("out") / options.file.stem)
    return verdict_code(results)


def _package(options: argparse.Namespace) -> int:
    results = results_of(options.file)
    from hoggin.commands.packaging import folder, packaged
    from hoggin.commands.showing import verdicts

    print(verdicts(results), end="")
    write_files(packaged(results, options), folder(options))
    return verdict_code(results)


def _mix(options: argparse.Namespace) -> int:
    results = results_of(options.file)
    from hoggin.check.bands import find_band, library_bands
    from hoggin.commands.mixing import mixed
    from hoggin.diagnostics.suggest import did_you_mean

    band = find_band(options.band, options.file)
    if band is None:
        near = did_you_mean(options.band, library_bands())
        raise HogginError(f"there is no grading band `{options.band}`. {near}")
    text, inside = mixed(results, band, options.products)
    print(text, end="")
    return Exit.DONE if inside else Exit.UNMET


def _fit(options: argparse.Namespace) -> int:
    from hoggin.commands.fitting import FitOptions, fit

    wanted = FitOptions(
        data=options.file,
        class_name=options.class_name,
        into=options.into,
        called=options.called,
        breakage=options.breakage,
        free=None if options.free is None else tuple(options.free.replace(",", " ").split()),
        given=tuple(options.given),
        overwrite=options.overwrite,
    )
    fit(wanted)
    return Exit.DONE


def _explain(options: argparse.Namespace) -> int:
    from hoggin.diagnostics.codes import CODES
    from hoggin.diagnostics.suggest import did_you_mean

    if options.code is None:
        for code in CODES.values():
            print(f"{code.code}  {code.title}")
        return Exit.DONE
    found = CODES.get(options.code.upper())
    if found is None:
        near = did_you_mean(options.code.upper(), CODES)
        raise HogginError(f"there is no code `{options.code}`. {near}")
    print(found.page(), end="")
    return Exit.DONE


def _classes(options: argparse.Namespace) -> int:
    from hoggin.commands.listing import bands, classes, series

    text = classes(options.name or "")
    if options.name:
        text += bands(options.name) + series(options.name)
    if not text:
        raise HogginError(
            f"no machine class, band or sieve series has `{options.name}` in its name"
        )
    print(text, end="")
    return Exit.DONE


def _reference(options: argparse.Namespace) -> int:
    from hoggin.commands.reference import pages

    write_files(pages(), options.folder)
    return Exit.DONE


def _schema(_options: argparse.Namespace) -> int:
    import json

    from hoggin.schema.results import Results

    print(json.dumps(Results.model_json_schema(), indent=2, sort_keys=True))
    return Exit.DONE


if __name__ == "__main__":
    sys.exit(main())
