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

from hoggin.commands.arguments import CommandParser, at_least, density, port, size_mm
from hoggin.commands.manual import of
from hoggin.commands.output import colour
from hoggin.commands.shells import SHELLS

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
    parser = CommandParser(
        prog="hoggin",
        description="Checks, balances, designs and compares crushing and screening plants written "
        "in .hog files.",
    )
    parser.add_argument(
        "--version", action=_Version, nargs=0, help="print versions of compiler and library"
    )
    parser.set_defaults(run="helping.show")
    commands = parser.add_subparsers(metavar="COMMAND", parser_class=CommandParser)
    _add_first_steps(commands)
    _add_design(commands)
    _add_studies(commands)
    _add_review(commands)
    _add_repositories(commands)
    _add_issue(commands)
    _add_data(commands)
    _add_tools(commands)
    _add_set_up(commands)
    return parser


def run(options: argparse.Namespace) -> int:
    """Run the command that was given and return its exit code."""
    module, _, function = options.run.partition(".")
    command = getattr(import_module(f"hoggin.commands.{module}"), function)
    colour(getattr(options, "color", "auto"))
    code: int = command(options)
    return code


class _Version(argparse.Action):
    """Prints the versions that results depend on; they are read only when asked for."""

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        from hoggin import __version__
        from hoggin.library_versions import library_version
        from hoggin.schema.editions import EDITIONS

        print(f"hoggin {__version__}, standard library {library_version()}, ", end="")
        print(f"language editions {', '.join(map(str, EDITIONS))}")
        parser.exit()


def _add(commands: _Commands, name: str, runs: str, **how: Any) -> CommandParser:
    """Add a command of the manual. `runs` is its module and function."""
    parser = commands.add_parser(name.rpartition(" ")[2], entry=of(name), **how)
    parser.set_defaults(run=runs)
    if "prefix_chars" not in how:
        parser.colour()
    return parser


def _add_first_steps(commands: _Commands) -> None:
    add = partial(_add, commands)
    start = add("start", "starting.start")
    to_write = "file to write; an existing file is never overwritten"
    start.path("file", "FILE.hog", to_write, nargs="?", default=Path("plant.hog"))
    asked = "it is asked for"
    start.text("--feed-rate", "RATE", 'dry feed, as "450 t/h"', otherwise=asked)
    start.text("--top-size", "SIZE", 'largest piece, as "800 mm"', otherwise=asked)
    start.choice("--rock", "kind of rock", *ROCKS, otherwise=asked)
    ranges = 'size ranges in mm, as "0/4, 4/8, 8/16, 16/32"'
    start.text("--products", "SIZES", ranges, otherwise=asked)

    example = add("example", "exemplifying.example")
    which = "example to copy, or a folder to list"
    example.text("name", "EXAMPLE", which, nargs="?", otherwise="list all")
    here = "folder for its files; an existing file is never overwritten"
    example.path("--into", "FOLDER", here, default=Path(), otherwise="this folder")

    check = add("check", "checking.check")
    check.path("files", "FILE.hog", "plant or library, or a folder of them", nargs="+")

    balance = add("balance", "issuing.balance")
    balance.path("file", "FILE.hog", "plant")
    balance.case()
    balance.flag("--all-cases", "the plant as written and in every case, then a combined schedule")
    shown = ("summary", "balance", "equipment", "all", "json")
    balance.choice("--show", "what to print", *shown, default="summary")
    balance.flag("--range", "also the plausible range of rates, loads, power and requirements")

    view = add("view", "viewing.view")
    view.path("file", "FILE.hog", "plant")
    view.case()
    view.text("--port", "N", "port to listen on", 0, "a free one", type=port)
    view.flag("--no-browser", "print the address and open no browser")

    bench = add("bench", "benching.bench")
    place = "plant, library or folder to begin with"
    bench.path("place", "FILE.hog", place, nargs="?", default=Path(), otherwise="this folder")
    bench.text("--port", "N", "port to listen on", 0, "a free one", type=port)
    bench.flag("--no-browser", "print the address and open no browser")


def _add_design(commands: _Commands) -> None:
    add = partial(_add, commands)
    design = add("design", "designing.design")
    design.path("file", "FILE.hog", "plant with free settings")
    design.case()
    into = "write the plant with the settings found; with several aims, also the front as "
    into += "NEW_front.csv and .svg"
    design.path("--into", "NEW.hog", into, otherwise="write nothing")
    design.flag("--overwrite", "replace existing files")
    point = "with several aims: the point of the front to write"
    design.count("--point", 1, point, otherwise="by the weights")
    design.count("--starts", 8, "starting points scattered over each alternative", 64)
    design.seed("of the search", "settings")
    design.workers("processes for large batches")
    design.resume()
    design.form(*_PRINTED)

    mix = add("mix", "mixing.mix")
    mix.path("file", "FILE.hog", "plant")
    mix.case()
    mix.text("band", "BAND", "grading band as the file names it, or as astm.c33_57")
    mix.text("products", "PRODUCT", "products to mix", otherwise="all", nargs="*")


def _add_studies(commands: _Commands) -> None:
    add = partial(_add, commands)
    sweep = add("sweep", "sweeping.sweep")
    sweep.many_cases("sweep")
    over = "setting and values: `cone.css 34 mm to 50 mm in 17` or `book.position left, right`; "
    over += "twice for all combinations of both"
    sweep.text("--over", "SETTING", over, [], "none", action="append")
    rows = "in place of --over: cases in FILE.csv, FILE.xlsx or FILE.xlsx:NAME, with a column for "
    rows += "each setting and a row for each case"
    sweep.text("--rows", "SHEET", rows)
    result = "a result, as in `require`: chips.rate; may repeat"
    usual = "rates of products and required results"
    sweep.text("--result", "RESULT", result, [], usual, action="append")

    uncertainty = add("uncertainty", "uncertain.uncertainty")
    uncertainty.many_cases("uncertainty")
    uncertainty.count("--samples", _FEWEST_SAMPLES, "number of samples", 1024, most=MOST_SAMPLES)
    method = "Latin hypercube, plain Monte Carlo, or Sobol's sequence, which gives "
    method += "the most accurate ranking if --samples is a power of 2"
    uncertainty.choice("--method", method, "latin", "random", "sequence", default="latin")
    uncertainty.seed("of the samples", "samples")
    ranking = "do not rank the causes of the spread, which needs one more case for each input and "
    ranking += "sample"
    uncertainty.flag("--no-ranking", ranking)

    simulate = add("simulate", "simulating.simulate")
    simulate.study("operation")
    spans = "`8 h`, `2 shifts`, `1 day`, `1 week` or `1 year`"
    simulate.text("--for", "TIME", spans, dest="asked", default="1 week")
    simulate.count("--runs", 1, "number of runs", 200, most=_MOST_RUNS)
    simulate.seed("of the failures", "runs")
    failures = "one run without failures; availability reduces each section's pace instead"
    simulate.flag("--no-failures", failures)


def _add_review(commands: _Commands) -> None:
    add = partial(_add, commands)
    compare = add("compare", "comparing.compare")
    compare.text("before", "BEFORE", _SIDE)
    compare.text("after", "AFTER", "as BEFORE")
    compare.least("listed")
    compare.flag("--all", "show every row of every table, and every sieve of a grading")
    compare.form(*_PRINTED)
    into = "also draw both in one flowsheet, in this folder"
    compare.path("--into", "FOLDER", into, otherwise="draw nothing")
    compare.flag("--expect-same", "exit with 5 if anything differs")

    why = add("why", "attributing.why")
    why.text("before", "BEFORE", "FILE.hog, or REVISION:FILE.hog in git (:FILE.hog for the index)")
    why.text("after", "AFTER", "as BEFORE")
    why.text("result", "RESULT", "a result, as in `require`: chips.rate")
    why.case()
    drawn = "orders to sample if there are more than 10 edits"
    why.count("--samples", 4, drawn, otherwise="for some 2,400 hybrids")
    why.seed("of the orders", "shares")
    why.form(*_PRINTED)

    changes = add("changes", "changes.changes")
    changes.text("plant", "FILE.hog", "plant, or REVISION:FILE.hog to end with that revision")
    changes.flag("--tags", "tagged revisions only")
    since = "only revisions after this one; the first is compared with it"
    changes.text("--since", "REVISION", since, otherwise="all")
    changes.least("listed")
    changes.form("write", "markdown", "terminal", "json")
    changes.path("--into", "FILE", "file to write it to", otherwise="print it")

    regress = add("regress", "regressing.regress")
    regress.path("paths", "FOLDER", "folder of plants, or a file", nargs="+")
    regress.flag("--accept", "record the results that drifted or have no record yet")
    regress.text("--reason", "TEXT", "why it is accepted; kept in the record", otherwise="none")
    regress.text("--by", "NAME", "who accepts", otherwise="your name in git")
    regress.text("--date", "DATE", "when it is accepted", otherwise="now")
    regress.path("--summary", "FILE.md", "also write a summary for a review", otherwise="none")
    regress.path("--junit", "FILE.xml", "also write JUnit XML", otherwise="none")
    regress.path("--sarif", "FILE.sarif", "also write SARIF", otherwise="none")
    regress.count("--jobs", 1, "number of processes", otherwise="one for each processor")
    regress.flag("--all", "show every row of every table")
    regress.flag("--no-cache", "balance every plant and keep no results")


def _add_repositories(commands: _Commands) -> None:
    add = partial(_add, commands)
    review = add("review", "reviewing.review")
    folder = "folder of plants"
    review.path("folder", "FOLDER", folder, nargs="?", default=Path(), otherwise="this folder")
    review.text("--base", "REVISION", "revision in git to compare with", otherwise="none")
    review.path("--summary", "FILE.md", "also write a summary for a reviewer", otherwise="none")
    issued = Path("out", "review")
    review.path("--into", "FOLDER", "folder for the documents", default=issued)

    repository = add("repository", "repositories.repository")
    to_fill = "folder to write to; existing files are not changed"
    this = "this folder"
    repository.path("folder", "FOLDER", to_fill, nargs="?", default=Path(), otherwise=this)
    installed = "what pip installs in CI: a version, a wheel or an address"
    repository.text("--requirement", "TEXT", installed, otherwise="this version")


def _add_issue(commands: _Commands) -> None:
    add = partial(_add, commands)
    issue = add("issue", "issuing.issue")
    issue.path("file", "FILE.hog", "plant")
    issue.text("--case", "CASE", "issue this case only", "", "every case")
    issue.path("--into", "FOLDER", "folder for its files", otherwise="out/NAME, after the file")
    since = "also draw what was changed since this revision in git"
    issue.text("--since", "REVISION", since, otherwise="draw no changes")
    added = "also run the plug-in backend NAME; its files go to a folder NAME; may repeat"
    issue.text("--with", "NAME", added, action="append", default=[], dest="backends")

    report = add("report", "reporting.report")
    report.path("file", "FILE.hog", "plant")
    report.case()
    report.path("--into", "FOLDER", "folder for its files", otherwise="out/NAME/report")
    since = "add the changes since this revision in git, drawn too"
    report.text("--since", "REVISION", since, otherwise="no changes")


def _add_data(commands: _Commands) -> None:
    add = partial(_add, commands)
    sheets = commands.add_parser("import", entry=of("import"))
    kinds = sheets.add_subparsers(title="what to import", metavar="WHAT", required=True)
    gradings = _add(kinds, "import gradings", "importing.gradings")
    products = _add(kinds, "import products", "importing.products")
    table = _add(kinds, "import table", "importing.table")
    detected = "detected"
    for sheet in (gradings, products, table):
        sheet.text("sheet", "SHEET", "FILE.csv, FILE.xlsx or FILE.xlsx:NAME")
        sheet.path("--into", "FILE.hog", "library to write", otherwise="print it")
        sheet.flag("--overwrite", "replace an existing file")
        unit = "unit of sieve sizes without one"
        sheet.choice("--unit", unit, "mm", "um", "in", default="", otherwise="such a size is wrong")
        decimal = "decimal sign of numbers stored as text"
        sheet.choice("--decimal", decimal, "point", "comma", otherwise=detected)
    gradings.choice("--values", "what the values are", *VALUES, otherwise=detected)
    for sheet in (gradings, table):
        sheet.choice(
            "--values-in", "whether a half is 50 or 0.5", "percent", "fraction", otherwise=detected
        )
        place = "whether sieves go down a column or across a row"
        sheet.choice("--sieves", place, "down", "across", otherwise=detected)
        top = "a size that all of every sample passes, as 125mm, if the sheet has none"
        sheet.text("--top-size", "SIZE", top, type=size_mm, otherwise="the sheet's")
    extended = "class of a library that it extends, as std.jaws.single_toggle"
    table.text("--extends", "CLASS", extended, required=True)
    table.text("--name", "NAME", "name of the class", otherwise="from the file's name")
    table.text("--setting", "NAME", "setting that the table is by", "css")
    unstated = "not stated"
    top = "top size of the table's feed"
    table.text("--feed-top", "SIZE", top, type=size_mm, otherwise=unstated)
    f80 = "F80 of the table's feed"
    table.text("--feed-f80", "SIZE", f80, type=size_mm, otherwise=unstated)
    bulk = "bulk density that its capacity is for, as 1.6t/m3"
    table.text("--bulk-density", "DENSITY", bulk, type=density, otherwise=unstated)

    fit = add("fit", "fitting.fit")
    data = "measured gradings of feed and product, or a class with a table: FILE.hog:CLASS"
    fit.path("file", "DATA.csv", data)
    base = "class to start from: std.cones.high_speed, or FILE.hog:CLASS"
    fit.text("--class", "CLASS", base, dest="class_name", required=True)
    fit.path("--into", "FILE.hog", "library to write", required=True)
    fit.text("--name", "NAME", "name of the fitted class", otherwise="the class's with _fitted")
    fit.text("--breakage", "MODEL", "model to fit", otherwise="the class's first")
    coefficients = "coefficients to fit, as k1,k2,k3"
    fit.text("--free", "NAMES", coefficients, otherwise="the model's usual ones")
    given = "a setting or parameter of the class, as css=32mm; may repeat"
    fit.text("--set", "NAME=VALUE", given, action="append", default=[], dest="given")
    fit.flag("--overwrite", "replace existing files")


def _add_tools(commands: _Commands) -> None:
    add = partial(_add, commands)
    layout = add("format", "formatting.format_sources")
    layout.path("files", "FILE.hog", "file, or a folder, or - for standard input", nargs="+")
    layout.flag("--check", "change no files; exit with 5 if any would change")

    classes = add("classes", "listing.list_classes")
    part = "part of a name; also finds grading bands and sieve series"
    classes.text("name", "CLASS", part, otherwise="all classes", nargs="?")

    add("plugins", "listing.list_plugins")

    explain = add("explain", "explaining.explain")
    explain.text("code", "CODE", "as E0404", otherwise="list all", nargs="?")

    docs = add("docs", "documenting.docs")
    docs.text("page", "PAGE", "page to open, as language", nargs="?", otherwise="list all")
    docs.flag("--print", "print the page's text and open no browser")


def _add_set_up(commands: _Commands) -> None:
    """For set-up, or for other programs."""
    add = partial(_add, commands)
    completion = add("completion", "completing.completion")
    completion.choice("shell", "shell to print the script for", *SHELLS)

    editor = add("editor", "editors.overview")
    actions = editor.add_subparsers(title="what to do", metavar="WHAT")
    install = _add(actions, "editor install", "editors.install")
    install.text("editors", "EDITOR", "editors to set up", nargs="*", otherwise="all found")
    install.path(
        "--into",
        "FOLDER",
        "only write the files for editors to this folder",
        otherwise="set the editors up",
    )

    server = add("language-server", "serving.serve")
    server.flag("--stdio", "the only way to connect; may be omitted")

    facts = add("facts", "gitting.print_facts")
    facts.path("file", "FILE.hog", "plant or library")

    # These have no options, because a path that git passes may begin with any character.
    by_git: dict[str, Any] = {"prefix_chars": "\0", "add_help": False}
    git_compare = add("git-compare", "gitting.git_compare", **by_git)
    git_compare.text("arguments", "ARGUMENT", "as git gives them", nargs="+")
    git_merge = add("git-merge", "merging.git_merge", **by_git)
    for name, side in (("base", "the common base"), ("ours", "our side"), ("theirs", "their side")):
        git_merge.path(name, name.upper(), f"file with {side}, as git gives it")
    git_merge.text("length", "LENGTH", "length of conflict markers", type=at_least(1))
    git_merge.text("path", "PATH", "path in the repository", type=PurePosixPath)

    notices = add("notices", "listing.list_notices")
    package = "print this package's licence in full"
    notices.text("package", "PACKAGE", package, nargs="?", otherwise="list all")

    add("schema", "explaining.schema")

    reference = add("reference", "reference.reference")
    reference.path("folder", "FOLDER", "folder for the pages")
