"""Every command: its arguments, and the function of this folder that runs it.

The function's module is imported when its command is given, so that no command waits for the
libraries of another.
"""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from functools import partial
from importlib import import_module
from pathlib import Path, PurePosixPath
from typing import TYPE_CHECKING, Any, TypeAlias

from hoggin import __version__
from hoggin.commands.arguments import CommandParser, at_least, port, size_mm
from hoggin.errors import Exit

if TYPE_CHECKING:
    from hoggin.intake.headings import Quantity

ROCKS = ("granite", "limestone", "basalt", "gravel")
FIGURES: Mapping[str, Quantity] = {
    "passing": "passing",
    "retained": "retained",
    "cumulative-retained": "cumulative",
    "masses": "mass",
    "cumulative-masses": "cumulative_mass",
}
"""What the figures of a sheet may be, in the words of an option."""
MOST_SAMPLES = 10_000_000
_FEWEST_SAMPLES = 20  # of fewer no P10 and no P90 can be obtained
_MOST_RUNS = 5000
_PRINTED = ("print", "terminal", "markdown", "json")
_SIDE = "FILE.hog, a folder, a results.json, or REVISION:PATH in git (:PATH is the index)"

_Commands: TypeAlias = "argparse._SubParsersAction[CommandParser]"


def command_parser() -> CommandParser:
    """The whole command line."""
    parser = CommandParser(
        prog="hoggin",
        description="Checks and balances crushing and screening plants written in .hog files.",
        epilog=f"Exit codes: {'. '.join(f'{code:d} {code.meaning}' for code in Exit)}.",
    )
    parser.add_argument(
        "--version", action=_Version, nargs=0, help="print versions of compiler and library"
    )
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", required=True)
    _add_plant_commands(commands)
    _add_revision_commands(commands)
    _add_data_commands(commands)
    _add_studies(commands)
    _add_library_commands(commands)
    return parser


def run(options: argparse.Namespace) -> int:
    """Run the command that was given; its exit code."""
    module, _, function = options.run.partition(".")
    code: int = getattr(import_module(f"hoggin.commands.{module}"), function)(options)
    return code


class _Version(argparse.Action):
    """Prints what results are made with; read only when asked for."""

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        from hoggin.check.edition import EDITIONS
        from hoggin.provenance import library_version

        print(f"hoggin {__version__}, standard library {library_version()}, ", end="")
        print(f"language editions {', '.join(map(str, EDITIONS))}")
        parser.exit()


def _add(commands: _Commands, name: str, runs: str, help: str, **how: Any) -> CommandParser:
    """A command; `runs` is the module that runs it, and the function in it."""
    parser = commands.add_parser(name, help=help, **how)
    parser.set_defaults(run=runs)
    return parser


def _add_plant_commands(commands: _Commands) -> None:
    add = partial(_add, commands)
    start = add("start", "starting.start", "ask for feed and products, write a first plant")
    to_write = "to write; never one that is there (default: plant.hog)"
    start.path("file", "FILE.hog", to_write, nargs="?", default=Path("plant.hog"))
    start.text("--feed-rate", "RATE", 'dry feed, as "450 t/h"')
    start.text("--top-size", "SIZE", 'largest piece, as "800 mm"')
    start.choice("--rock", "kind of rock", *ROCKS)
    start.text("--products", "SIZES", 'size ranges in mm, as "0/4, 4/8, 8/16, 16/32"')

    check = add("check", "checking.check", "check plant or library files")
    check.path("files", "FILE", nargs="+")

    balance = add("balance", "issuing.balance", "balance a plant and show its tables")
    balance.path("file", "FILE")
    shown = ("all", "balance", "equipment", "json")
    balance.choice("--show", "what to print (default: all)", *shown, default="all")

    issue = add("issue", "issuing.issue", "write flowsheet, mass balance and schedule")
    issue.path("file", "FILE")
    issue.path("--into", "FOLDER", "where to (default: out/NAME of the file)")
    added = "write what a plug-in's backend makes, too, in a folder NAME; may repeat"
    issue.text("--with", "NAME", added, action="append", default=[], dest="backends")

    # What the title block says beside the plant is asked for here and never taken from the clock or
    # the machine: the same input gives the same bytes.
    package = add("package", "packaging.package", "write a report (HTML, PDF) and a workbook")
    package.path("file", "FILE")
    package.path("--into", "FOLDER", "where to (default: out/NAME/package)")
    package.text("--date", "TEXT", "date in the title block", default="")
    package.text("--for", "TEXT", "whom it is for, in the same", dest="client", default="")
    package.text("--by", "TEXT", "who issues it, in the same", default="")
    package.text("--since", "REVISION", "add the change log since this revision in git")

    server = add("language-server", "serving.serve", "help an editor, over stdio")
    server.flag("--stdio", "the only way there is; may be left out")

    view = add("view", "viewing.view", "the plant in a browser, new at every save")
    view.path("file", "FILE")
    view.text("--port", "N", "port to listen on (default: a free one)", type=port, default=0)
    view.flag("--no-browser", "print the address and open nothing")

    mix = add("mix", "mixing.mix", "proportions of products that suit a grading band best")
    mix.path("file", "FILE")
    mix.text("band", "BAND", "as the file names it, or as astm.c33_57")
    mix.text("products", "PRODUCT", "products (default: all)", nargs="*")


def _add_revision_commands(commands: _Commands) -> None:
    add = partial(_add, commands)
    compare = add("compare", "comparing.compare", "what differs between two revisions")
    compare.text("before", "BEFORE", _SIDE)
    compare.text("after", "AFTER", "the same")
    compare.least("listed")
    compare.flag("--all", "cut no table, and list every sieve of a grading")
    compare.form(*_PRINTED)
    compare.path("--drawing", "FILE", "draw both plants in one flowsheet as .svg, .png or .dot")
    compare.flag("--expect-same", "exit with 5 where anything differs")

    why = add("why", "attributing.why", "which edits changed a result, and by how much")
    why.text("before", "BEFORE", "FILE.hog, or REVISION:FILE.hog in git (: the index)")
    why.text("after", "AFTER", "the same")
    why.text("result", "RESULT", "as `require` has it: chips.rate")
    drawn = "orders drawn of more than 10 edits (default: as many as make some 2,400 hybrids)"
    why.count("--samples", 4, drawn)
    why.seed("to draw them by")
    why.form(*_PRINTED)

    regress = add("regress", "regressing.regress", "check plants against recorded results")
    regress.path("paths", "FOLDER", "or a file", nargs="+")
    regress.flag("--accept", "record what drifted or is not recorded yet")
    regress.text("--reason", "TEXT", "why it is accepted; kept in the record")
    regress.text("--by", "NAME", "who accepts (default: as git names you)")
    regress.text("--on", "DATE", "when it is accepted (default: now)")
    regress.path("--summary", "FILE.md", "write a summary for a review as well")
    regress.path("--junit", "FILE.xml", "write JUnit XML as well")
    regress.path("--sarif", "FILE.sarif", "write SARIF as well")
    regress.count("--jobs", 1, "how many at once (default: processors)")
    regress.flag("--full", "show every row of every table")
    regress.flag("--no-cache", "balance all; keep nothing")

    changes = add("changes", "changes.changes", "the change log of a plant kept in git")
    changes.text("plant", "FILE.hog", "or REVISION:FILE.hog to end with that revision")
    changes.flag("--tags", "of tagged revisions, not of all")
    changes.text("--since", "REVISION", "only what came after it; it is compared with")
    changes.least("told")
    changes.form("write", "markdown", "terminal", "json")
    changes.path("--into", "FILE", "write it to a file")

    layout = add("format", "formatting.format_sources", "put files in their one layout")
    layout.path("files", "FILE", "or a folder, or -", nargs="+")
    layout.flag("--check", "change nothing; exit with 5 where a file would be")

    facts = add("facts", "gitting.print_facts", "every fact of a file in a fixed order, for git")
    facts.path("file", "FILE")

    # These have no options: a path that git hands over may begin with any sign.
    by_git: dict[str, Any] = {"prefix_chars": "\0", "add_help": False}
    git_compare = add(
        "git-compare",
        "gitting.git_compare",
        "compare as git's external diff driver",
        **by_git,
    )
    git_compare.text("arguments", "...", "as git gives them", nargs="+")
    git_merge = add("git-merge", "merging.git_merge", "merge as git's merge driver", **by_git)
    for name in ("base", "ours", "theirs"):
        git_merge.path(name, name.upper())
    git_merge.text("length", "LENGTH", "of markers", type=at_least(1))
    git_merge.text("path", "PATH", "in the repository", type=PurePosixPath)


def _add_data_commands(commands: _Commands) -> None:
    add = partial(_add, commands)
    take_in = commands.add_parser("take-in", help="gradings and products from spreadsheets")
    kinds = take_in.add_subparsers(title="what to take in", metavar="WHAT", required=True)
    kind = partial(_add, kinds)
    gradings = kind("gradings", "taking_in.gradings", "every sample of a laboratory's sheet")
    products = kind(
        "products", "taking_in.products", "a table of products, limits and wanted rates"
    )
    for sheet in (gradings, products):
        sheet.text("sheet", "SHEET", "FILE.csv, FILE.xlsx or FILE.xlsx:NAME")
        sheet.path("--into", "FILE.hog", "library to write (else it is printed)")
        sheet.flag("--overwrite", "replace a file that is there")
        sheet.choice("--unit", "of sieve sizes without one", "mm", "um", "in", default="")
        sheet.choice("--decimal", "decimal sign of numbers held as text", "point", "comma")
    gradings.choice("--figures", "what the figures are (else as the sheet says)", *FIGURES)
    gradings.choice("--figures-in", "55 or 0.55 (else as they look)", "percent", "fraction")
    gradings.choice("--sieves", "where the sieves stand (else as found)", "down", "across")
    gradings.text("--top", "SIZE", "a size that all passes, as 125mm, where none is", type=size_mm)

    fit = add("fit", "fitting.fit", "calibrate a machine class to measured gradings")
    fit.path("file", "DATA.csv", "feed and product gradings")
    base = "class to start from: std.cones.high_speed, or FILE.hog:CLASS"
    fit.text("--class", "CLASS", base, dest="class_name", required=True)
    fit.path("--into", "FILE.hog", "library to write", required=True)
    fit.text("--as", "NAME", "name of the fitted class", dest="called")
    fit.text("--breakage", "MODEL", "model to fit (else the class's first)")
    fit.text("--free", "NAMES", "coefficients to fit, as k1,k2,k3")
    given = "a setting or parameter of the class, as css=32mm; may repeat"
    fit.text("--given", "NAME=VALUE", given, action="append", default=[])
    fit.flag("--overwrite", "replace files that are there")


def _add_studies(commands: _Commands) -> None:
    add = partial(_add, commands)
    sweep = add("sweep", "sweeping.sweep", "a setting over a range, or two as a grid")
    sweep.many_cases("sweep")
    over = "as `secondary.css 34 mm to 50 mm in 17` or `sorting.top 45 mm, 50 mm`; twice for a grid"
    sweep.text("--over", "SETTING", over, action="append", required=True)
    read = "as `require` has it: chips.rate; may repeat (default: products and what is required)"
    sweep.text("--read", "RESULT", read, action="append", default=[])

    uncertainty = add(
        "uncertainty",
        "uncertain.uncertainty",
        "what uncertain numbers do to the results",
    )
    uncertainty.many_cases("uncertainty")
    uncertainty.count("--samples", _FEWEST_SAMPLES, "(default: 1024)", 1024, MOST_SAMPLES)
    uncertainty.choice(
        "--method",
        "Latin hypercube, plain Monte Carlo, or Sobol's sequence, which needs scipy and serves the "
        "ranking best, with a power of 2 of samples (default: latin)",
        *("latin", "random", "sequence"),
        default="latin",
    )
    uncertainty.seed("to draw by")
    uncertainty.flag(
        "--no-ranking",
        "leave out what causes the spread: it takes a case more for each number and sample",
    )

    operate = add("operate", "operating.operate", "a shift or a year through bins and piles")
    operate.study("operation")
    spans = "`8 h`, `2 shifts`, `1 day`, `1 week` or `1 year` (default: 1 week)"
    operate.text("--for", "TIME", spans, dest="asked", default="1 week")
    operate.count("--runs", 1, "how often (default: 200)", 200, _MOST_RUNS)
    operate.seed("to draw failures by")
    operate.flag(
        "--without-failures", "one run; availabilities take each section's pace down instead"
    )

    design = add("design", "designing.design", "find free settings for the plant's aims")
    design.path("file", "FILE.hog")
    into = "write the revision; of several aims, the front beside it as NEW_front.csv and .svg"
    design.path("--into", "NEW.hog", into)
    design.flag("--overwrite", "replace files that are there")
    point = "of several aims: the point of the front to write (default: as the weights have it)"
    design.count("--point", 1, point)
    design.count("--starts", 8, "starts scattered over each alternative (default: 64)", 64)
    design.seed("to scatter them by")
    design.workers("processes for batches that are large")
    design.form(*_PRINTED)


def _add_library_commands(commands: _Commands) -> None:
    add = partial(_add, commands)
    explain = add("explain", "explaining.explain", "explain a diagnostic code, or list them all")
    explain.text("code", "CODE", nargs="?")

    classes = add("classes", "listing.list_classes", "list the machine classes of the library")
    part = "part of a name to look for, also of grading bands and sieve series"
    classes.text("name", "CLASS", part, nargs="?")

    add("plugins", "listing.list_plugins", "list what installed plug-ins add, and try each")

    reference = add("reference", "reference.reference", "write the reference pages of the docs")
    reference.path("folder", "FOLDER")

    completion = add(
        "completion", "completing.completion", "print the script for a shell's Tab key"
    )
    completion.choice("shell", "whose script to print", "bash", "zsh", "fish")

    add("schema", "explaining.schema", "print the JSON schema of the results document")
