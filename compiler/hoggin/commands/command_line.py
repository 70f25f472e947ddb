"""Every command: its arguments, and the function in this folder that runs it.

The module is imported only when the command is given, so no command waits for the libraries of
another.
"""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from functools import partial
from importlib import import_module
from pathlib import Path, PurePosixPath
from typing import TYPE_CHECKING, Any, TypeAlias

from hoggin import __version__
from hoggin.commands.arguments import CommandParser, at_least, density, port, size_mm
from hoggin.commands.overview import CommandLine
from hoggin.errors import Exit

if TYPE_CHECKING:
    from hoggin.intake.headings import Quantity

ROCKS = ("granite", "limestone", "basalt", "gravel")
VALUES: Mapping[str, Quantity] = {
    "passing": "passing",
    "retained": "retained",
    "cumulative-retained": "cumulative",
    "masses": "mass",
    "cumulative-masses": "cumulative_mass",
}
"""What the values of a sheet may be, by the words of the option."""
MOST_SAMPLES = 10_000_000
_FEWEST_SAMPLES = 20  # fewer give no P10 and P90
_MOST_RUNS = 5000
_PRINTED = ("print", "terminal", "markdown", "json")
_SIDE = "FILE.hog, a folder, results.json, or REVISION:PATH in git (:PATH for the index)"

_Commands: TypeAlias = "argparse._SubParsersAction[CommandParser]"


def command_parser() -> CommandParser:
    """The whole command line."""
    parser = CommandLine(
        prog="hoggin",
        description="Checks, balances, designs and compares crushing and screening plants written "
        "in .hog files.",
        epilog=f"Exit codes: {'. '.join(f'{code:d} {code.meaning}' for code in Exit)}.",
    )
    parser.add_argument(
        "--version", action=_Version, nargs=0, help="print versions of compiler and library"
    )
    commands = parser.add_subparsers(
        title="commands", metavar="COMMAND", required=True, parser_class=CommandParser
    )
    _add_first_steps(commands)
    _add_design(commands)
    _add_studies(commands)
    _add_review(commands)
    _add_issue(commands)
    _add_data(commands)
    _add_tools(commands)
    _add_set_up(commands)
    return parser


def run(options: argparse.Namespace) -> int:
    """Run the command that was given and return its exit code."""
    module, _, function = options.run.partition(".")
    command = getattr(import_module(f"hoggin.commands.{module}"), function)
    code: int = command(options)
    return code


class _Version(argparse.Action):
    """Prints the versions that results depend on; they are read only when asked for."""

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        from hoggin.check.edition import EDITIONS
        from hoggin.provenance import library_version

        print(f"hoggin {__version__}, standard library {library_version()}, ", end="")
        print(f"language editions {', '.join(map(str, EDITIONS))}")
        parser.exit()


def _add(
    commands: _Commands, name: str, runs: str, help: str, example: str = "", **how: Any
) -> CommandParser:
    """Add a command. `runs` is its module and function; `example` is what may follow its name."""
    description = f"{help[0].upper()}{help[1:]}."
    parser = commands.add_parser(name, help=help, description=description, example=example, **how)
    parser.set_defaults(run=runs)
    return parser


def _add_first_steps(commands: _Commands) -> None:
    add = partial(_add, commands, task="begin")
    start = add(
        "start", "starting.start", "ask for feed and products and write a first plant", "plant.hog"
    )
    to_write = "file to write; an existing file is never overwritten (default: plant.hog)"
    start.path("file", "FILE.hog", to_write, nargs="?", default=Path("plant.hog"))
    start.text("--feed-rate", "RATE", 'dry feed, as "450 t/h"')
    start.text("--top-size", "SIZE", 'largest piece, as "800 mm"')
    start.choice("--rock", "kind of rock", *ROCKS)
    start.text("--products", "SIZES", 'size ranges in mm, as "0/4, 4/8, 8/16, 16/32"')

    check = add("check", "checking.check", "report errors and warnings", "plant.hog")
    check.path("files", "FILE", "plant or library", nargs="+")

    balance = add("balance", "issuing.balance", "balance a plant and show its tables", "plant.hog")
    balance.path("file", "FILE", "plant")
    balance.case()
    balance.flag("--all-cases", "the plant as written and in every case, then a combined schedule")
    shown = ("all", "balance", "equipment", "json")
    balance.choice("--show", "what to print (default: all)", *shown, default="all")
    balance.flag("--range", "also the plausible range of rates, loads, power and requirements")

    view = add(
        "view", "viewing.view", "show the plant in a browser, updated at every save", "plant.hog"
    )
    view.path("file", "FILE", "plant")
    view.case()
    view.text("--port", "N", "port to listen on (default: a free one)", type=port, default=0)
    view.flag("--no-browser", "print the address and open no browser")


def _add_design(commands: _Commands) -> None:
    add = partial(_add, commands, task="design")
    design = add(
        "design",
        "designing.design",
        "find the free settings that serve the plant's aims best",
        "plant.hog --into optimum.hog",
    )
    design.path("file", "FILE.hog", "plant")
    design.case()
    into = "write the revision; with several aims, also the front as NEW_front.csv and .svg"
    design.path("--into", "NEW.hog", into)
    design.flag("--overwrite", "replace existing files")
    point = "with several aims: the point of the front to write (default: by the weights)"
    design.count("--point", 1, point)
    design.count("--starts", 8, "starting points scattered over each alternative (default: 64)", 64)
    design.seed("of the search")
    design.workers("processes for large batches")
    design.resume()
    design.form(*_PRINTED)

    mix = add(
        "mix",
        "mixing.mix",
        "find the proportions of products that fit a grading band best",
        "plant.hog astm.c33_57",
    )
    mix.path("file", "FILE", "plant")
    mix.case()
    mix.text("band", "BAND", "grading band as the file names it, or as astm.c33_57")
    mix.text("products", "PRODUCT", "products (default: all)", nargs="*")


def _add_studies(commands: _Commands) -> None:
    add = partial(_add, commands, task="study")
    sweep = add(
        "sweep",
        "sweeping.sweep",
        "vary settings over a range, as a grid, or by the rows of a table",
        'plant.hog --over "cone.css 20 mm to 30 mm in 11"',
    )
    sweep.many_cases("sweep")
    over = (
        "setting and values: `secondary.css 34 mm to 50 mm in 17` or `book.position left, right`; "
        "twice for all combinations of both"
    )
    sweep.text("--over", "SETTING", over, action="append", default=[])
    rows = (
        "in place of --over: cases in a CSV or XLSX table, with a column for each setting and a "
        "row for each case; FILE.xlsx:SHEET names a sheet"
    )
    sweep.text("--rows", "FILE", rows)
    result = "a result, as in `require`: chips.rate; may repeat (default: rates of products and "
    result += "required results)"
    sweep.text("--result", "RESULT", result, action="append", default=[])

    uncertainty = add(
        "uncertainty",
        "uncertain.uncertainty",
        "show how uncertain inputs spread the results",
        "plant.hog --samples 4096",
    )
    uncertainty.many_cases("uncertainty")
    uncertainty.count(
        "--samples", _FEWEST_SAMPLES, "number of cases (default: 1024)", 1024, MOST_SAMPLES
    )
    uncertainty.choice(
        "--method",
        "Latin hypercube, plain Monte Carlo, or Sobol's sequence, which needs scipy and gives the "
        "most accurate ranking if --samples is a power of 2 (default: latin)",
        *("latin", "random", "sequence"),
        default="latin",
    )
    uncertainty.seed("of the samples")
    uncertainty.flag(
        "--no-ranking",
        "do not rank the causes of the spread, which needs one more case for each input and sample",
    )

    simulate = add(
        "simulate",
        "simulating.simulate",
        "simulate a shift, a week or a year through bins and stockpiles",
        'plant.hog --for "2 shifts"',
    )
    simulate.study("operation")
    spans = "`8 h`, `2 shifts`, `1 day`, `1 week` or `1 year` (default: 1 week)"
    simulate.text("--for", "TIME", spans, dest="asked", default="1 week")
    simulate.count("--runs", 1, "number of runs (default: 200)", 200, _MOST_RUNS)
    simulate.seed("of the failures")
    simulate.flag(
        "--no-failures",
        "one run without failures; availability reduces each section's pace instead",
    )


def _add_review(commands: _Commands) -> None:
    add = partial(_add, commands, task="review")
    compare = add(
        "compare",
        "comparing.compare",
        "show what differs between two revisions",
        "HEAD~1:plant.hog plant.hog",
    )
    compare.text("before", "BEFORE", _SIDE)
    compare.text("after", "AFTER", "as BEFORE")
    compare.least("listed")
    compare.flag("--all", "show every row of every table, and every sieve of a grading")
    compare.form(*_PRINTED)
    compare.path("--into", "FOLDER", "also draw both in one flowsheet; folder for its files")
    compare.flag("--expect-same", "exit with 5 if anything differs")

    why = add(
        "why",
        "attributing.why",
        "show which edits changed a result, and by how much",
        "HEAD~1:plant.hog plant.hog chips.rate",
    )
    why.text("before", "BEFORE", "FILE.hog, or REVISION:FILE.hog in git (:FILE.hog for the index)")
    why.text("after", "AFTER", "as BEFORE")
    why.text("result", "RESULT", "a result, as in `require`: chips.rate")
    why.case()
    drawn = "orders to sample if there are more than 10 edits (default: for some 2,400 hybrids)"
    why.count("--samples", 4, drawn)
    why.seed("of the orders")
    why.form(*_PRINTED)

    changes = add(
        "changes", "changes.changes", "write the change log of a plant in git", "plant.hog --tags"
    )
    changes.text("plant", "FILE.hog", "plant, or REVISION:FILE.hog to end with that revision")
    changes.flag("--tags", "tagged revisions only")
    changes.text(
        "--since", "REVISION", "only revisions after this one; the first is compared with it"
    )
    changes.least("listed")
    changes.form("write", "markdown", "terminal", "json")
    changes.path("--into", "FILE", "file to write it to (default: print it)")

    regress = add(
        "regress", "regressing.regress", "check plants against recorded results", "plants"
    )
    regress.path("paths", "FOLDER", "folder of plants, or a file", nargs="+")
    regress.flag("--accept", "record the results that drifted or have no record yet")
    regress.text("--reason", "TEXT", "why it is accepted; kept in the record")
    regress.text("--by", "NAME", "who accepts (default: your name in git)")
    regress.text("--date", "DATE", "when it is accepted (default: now)")
    regress.path("--summary", "FILE.md", "also write a summary for a review")
    regress.path("--junit", "FILE.xml", "also write JUnit XML")
    regress.path("--sarif", "FILE.sarif", "also write SARIF")
    regress.count("--jobs", 1, "number of processes (default: one for each processor)")
    regress.flag("--all", "show every row of every table")
    regress.flag("--no-cache", "balance every plant and keep no results")


def _add_issue(commands: _Commands) -> None:
    add = partial(_add, commands, task="issue")
    issue = add(
        "issue",
        "issuing.issue",
        "write flowsheet, mass balance and equipment schedule",
        "plant.hog",
    )
    issue.path("file", "FILE", "plant")
    issue.text("--case", "NAME", "issue this case only (default: every case)", default="")
    issue.path("--into", "FOLDER", "folder for its files (default: out/NAME, after the file)")
    added = "also run the plug-in backend NAME; its files go to a folder NAME; may repeat"
    issue.text("--since", "REVISION", "also draw what was changed since this revision in git")
    issue.text("--with", "NAME", added, action="append", default=[], dest="backends")

    report = add(
        "report",
        "reporting.report",
        "write a report (HTML, PDF) and a workbook",
        "plant.hog",
    )
    report.path("file", "FILE", "plant")
    report.case()
    report.path("--into", "FOLDER", "folder for its files (default: out/NAME/report)")
    report.text("--since", "REVISION", "add the changes since this revision in git, drawn too")


def _add_data(commands: _Commands) -> None:
    add = partial(_add, commands, task="data")
    sheets = commands.add_parser(
        "import",
        help="read gradings, products or a machine's table from a spreadsheet",
        description="Read gradings, products or a machine's table from a spreadsheet into a "
        "library.",
        task="data",
        example="gradings lab.xlsx --into lab.hog",
    )
    kinds = sheets.add_subparsers(title="what to import", metavar="WHAT", required=True)
    kind = partial(_add, kinds)
    gradings = kind("gradings", "importing.gradings", "every sample of a laboratory's sheet")
    products = kind("products", "importing.products", "a table of products, limits and rates")
    table = kind("table", "importing.table", "a machine's product and capacity by setting")
    for sheet in (gradings, products, table):
        sheet.text("sheet", "SHEET", "FILE.csv, FILE.xlsx or FILE.xlsx:NAME")
        sheet.path("--into", "FILE.hog", "library to write (default: print it)")
        sheet.flag("--overwrite", "replace an existing file")
        sheet.choice("--unit", "unit of sieve sizes without one", "mm", "um", "in", default="")
        sheet.choice("--decimal", "decimal sign of numbers stored as text", "point", "comma")
    gradings.choice("--values", "what the values are (default: detected)", *VALUES)
    top = "a size that all of every sample passes, as 125mm, if the sheet has none"
    for sheet in (gradings, table):
        sheet.choice("--values-in", "55 or 0.55 (default: detected)", "percent", "fraction")
        sheet.choice(
            "--sieves", "down a column or across a row (default: detected)", "down", "across"
        )
        sheet.text("--top-size", "SIZE", top, type=size_mm)
    extended = "class of a library that it extends, as std.jaws.single_toggle"
    table.text("--extends", "CLASS", extended, required=True)
    table.text("--name", "NAME", "name of the class (default: from the file's name)")
    table.text("--setting", "NAME", "setting that the table is by (default: css)", default="css")
    table.text("--feed-top", "SIZE", "top size of the table's feed", type=size_mm)
    table.text("--feed-f80", "SIZE", "F80 of the table's feed", type=size_mm)
    table.text("--bulk-density", "DENSITY", "that its capacity is for, as 1.6t/m3", type=density)

    fit = add(
        "fit",
        "fitting.fit",
        "calibrate a machine class to measured gradings",
        "lab.csv --class std.cones.high_speed --into our.hog",
    )
    data = "measured gradings of feed and product, or a class with a table: FILE.hog:CLASS"
    fit.path("file", "DATA", data)
    base = "class to start from: std.cones.high_speed, or FILE.hog:CLASS"
    fit.text("--class", "CLASS", base, dest="class_name", required=True)
    fit.path("--into", "FILE.hog", "library to write", required=True)
    fit.text("--name", "NAME", "name of the fitted class")
    fit.text("--breakage", "MODEL", "model to fit (default: the class's first)")
    fit.text("--free", "NAMES", "coefficients to fit, as k1,k2,k3")
    given = "a setting or parameter of the class, as css=32mm; may repeat"
    fit.text("--set", "NAME=VALUE", given, action="append", default=[], dest="given")
    fit.flag("--overwrite", "replace existing files")


def _add_tools(commands: _Commands) -> None:
    add = partial(_add, commands, task="tools")
    layout = add(
        "format", "formatting.format_sources", "put files in the standard layout", "plant.hog"
    )
    layout.path("files", "FILE", "file, or a folder, or - for standard input", nargs="+")
    layout.flag("--check", "change no files; exit with 5 if any would change")

    classes = add(
        "classes", "listing.list_classes", "list the machine classes of the library", "cone"
    )
    part = "part of a name; also finds grading bands and sieve series"
    classes.text("name", "CLASS", part, nargs="?")

    add("plugins", "listing.list_plugins", "list the installed plug-ins and test each", "")

    explain = add(
        "explain",
        "explaining.explain",
        "explain the code of an error or warning, or list all codes",
        "E0404",
    )
    explain.text("code", "CODE", "as E0404 (default: list all)", nargs="?")


def _add_set_up(commands: _Commands) -> None:
    """Commands without a task: for set-up, or for other programs."""
    add = partial(_add, commands)
    completion = add(
        "completion",
        "completing.completion",
        "print the script that completes commands in a shell",
        "bash",
    )
    completion.choice("shell", "shell to print the script for", "bash", "zsh", "fish")

    server = add("language-server", "serving.serve", "serve an editor over stdio")
    server.flag("--stdio", "the only way to connect; may be omitted")

    facts = add("facts", "gitting.print_facts", "print every fact of a file in a fixed order")
    facts.path("file", "FILE", "plant or library")

    # These have no options, because a path that git passes may begin with any character.
    by_git: dict[str, Any] = {"prefix_chars": "\0", "add_help": False}
    git_compare = add(
        "git-compare", "gitting.git_compare", "compare as git's external diff driver", **by_git
    )
    git_compare.text("arguments", "ARGUMENT", "as git gives them", nargs="+")
    git_merge = add("git-merge", "merging.git_merge", "merge as git's merge driver", **by_git)
    for name in ("base", "ours", "theirs"):
        git_merge.path(name, name.upper(), "as git gives it")
    git_merge.text("length", "LENGTH", "length of conflict markers", type=at_least(1))
    git_merge.text("path", "PATH", "path in the repository", type=PurePosixPath)

    add("schema", "explaining.schema", "print the JSON schema of the results document")

    reference = add("reference", "reference.reference", "write the reference pages of the docs")
    reference.path("folder", "FOLDER", "folder for the pages")
