"""`hoggin`: check, balance, issue, package, mix, fit, explain, classes.

Exit codes
    0  done; for balance, issue and package, every requirement is met
    1  the source has errors; nothing was written
    2  the command line is wrong, or a file can't be read or written
    3  the plant can't be balanced; nothing was written
    4  balanced (and written, for issue and package), but a requirement is not met, or a mix is
       not in its band
    5  a difference was found where none was to be
"""

from __future__ import annotations

import argparse
import gc
import os
import sys
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from hoggin import __version__
from hoggin.commands.packaging import add_options as add_package_options
from hoggin.commands.sweeping import add_sweep
from hoggin.commands.uncertain import add_uncertainty

if TYPE_CHECKING:
    from hoggin.check.checker import Checked
    from hoggin.rating.results import Results

OK, SOURCE_ERRORS, USAGE, UNBALANCED, UNMET, DIFFERENT = range(6)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line and return its exit code."""
    # Looking for cycles to free and for plugins of pydantic's costs a tenth of a check's time, and
    # a process that lives a second needs neither.
    gc.disable()
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "1")
    options = _parser().parse_args(arguments)
    try:
        code: int = options.run(options)
        sys.stdout.flush()
    except BrokenPipeError:  # the reader, `head` say, has gone: not our fault, and no traceback
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return OK
    except KeyboardInterrupt:
        print("hoggin: interrupted; nothing half-written is left", file=sys.stderr)
        return 130
    return code


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="hoggin",
        description="Checks and balances crushing and screening plants written in .hog files.",
        epilog="Exit codes: 0 done; 1 errors in the source; 2 wrong use, or a file that can't be "
        "read or written; 3 the plant can't be balanced; 4 a requirement is not met; "
        "5 a difference was found.",
    )
    parser.add_argument(
        "--version", action=_Version, nargs=0, help="print versions of compiler and library"
    )
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", required=True)

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

    mix = commands.add_parser("mix", help="proportions of products that suit a grading band best")
    mix.add_argument("file", type=Path, metavar="FILE")
    mix.add_argument("band", metavar="BAND", help="as the file names it, or as astm.c33_57")
    mix.add_argument("products", nargs="*", metavar="PRODUCT", help="products (default: all)")
    mix.set_defaults(run=_mix)

    _add_compare(commands.add_parser("compare", help="what differs between two revisions"))
    _add_why(commands.add_parser("why", help="which edits changed a result, and by how much"))

    layout = commands.add_parser("format", help="put files in their one layout")
    layout.add_argument("files", nargs="+", type=Path, metavar="FILE", help="or a folder, or -")
    layout.add_argument(
        "--check", action="store_true", help="change nothing; exit with 5 where a file would be"
    )
    layout.set_defaults(run=_format)

    facts = commands.add_parser("facts", help="every fact of a file in a fixed order, for git")
    facts.add_argument("file", type=Path, metavar="FILE")
    facts.set_defaults(run=_facts)

    git_compare = commands.add_parser("git-compare", help="compare as git's external diff driver")
    git_compare.add_argument("arguments", nargs="+", metavar="...", help="as git gives them")
    git_compare.set_defaults(run=_git_compare)

    _add_fit(commands.add_parser("fit", help="calibrate a machine class to measured gradings"))

    add_sweep(commands.add_parser("sweep", help="a setting over a range, or two as a grid"))
    add_uncertainty(
        commands.add_parser("uncertainty", help="what uncertain numbers do to the results")
    )

    _add_regress(commands.add_parser("regress", help="check plants against recorded results"))

    explain = commands.add_parser("explain", help="explain a diagnostic code, or list them all")
    explain.add_argument("code", nargs="?", metavar="CODE")
    explain.set_defaults(run=_explain)

    classes = commands.add_parser("classes", help="list the machine classes of the library")
    classes.add_argument("name", nargs="?", metavar="NAME", help="part of a name to look for")
    classes.set_defaults(run=_classes)

    reference = commands.add_parser("reference", help="write the reference pages of the docs")
    reference.add_argument("folder", type=Path, metavar="FOLDER")
    reference.set_defaults(run=_reference)

    schema = commands.add_parser("schema", help="print the JSON schema of the results document")
    schema.set_defaults(run=_schema)
    return parser


def _add_compare(compare: argparse.ArgumentParser) -> None:
    side = "FILE.hog, a folder, a results.json, or REVISION:PATH in git"
    compare.add_argument("before", metavar="BEFORE", help=side)
    compare.add_argument("after", metavar="AFTER", help="the same")
    compare.add_argument(
        "--least",
        type=float,
        default=1.0,
        metavar="PERCENT",
        help="least weight of a result that is told (default: 1)",
    )
    compare.add_argument(
        "--as",
        dest="form",
        choices=("terminal", "markdown", "json"),
        default="terminal",
        help="how to print it (default: terminal)",
    )
    compare.add_argument(
        "--drawing",
        type=Path,
        metavar="FILE",
        help="draw both plants in one flowsheet as .svg, .png or .dot",
    )
    compare.add_argument(
        "--expect-same", action="store_true", help="exit with 5 where anything differs"
    )
    compare.set_defaults(run=_compare)


def _add_regress(regress: argparse.ArgumentParser) -> None:
    regress.add_argument("paths", nargs="+", type=Path, metavar="FOLDER", help="or a file")
    regress.add_argument(
        "--accept", action="store_true", help="record what drifted or is not recorded yet"
    )
    regress.add_argument("--junit", type=Path, metavar="FILE.xml", help="write JUnit XML as well")
    regress.add_argument("--sarif", type=Path, metavar="FILE.sarif", help="write SARIF as well")
    regress.add_argument(
        "--jobs", type=_at_least_one, metavar="N", help="how many at once (default: processors)"
    )
    regress.add_argument("--no-cache", action="store_true", help="balance all; keep nothing")
    regress.set_defaults(run=_regress)


def _at_least_one(text: str) -> int:
    if not text.isdecimal() or int(text) < 1:
        raise argparse.ArgumentTypeError(f"`{text}` is not 1 or more")
    return int(text)


class _Version(argparse.Action):
    """Prints what results are made with; read only when asked for."""

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        from hoggin.check.edition import EDITIONS
        from hoggin.provenance import library_version

        print(f"hoggin {__version__}, standard library {library_version()}, ", end="")
        print(f"language editions {', '.join(map(str, EDITIONS))}")
        parser.exit()


def _add_why(why: argparse.ArgumentParser) -> None:
    why.add_argument("before", metavar="BEFORE", help="FILE.hog, or REVISION:FILE.hog in git")
    why.add_argument("after", metavar="AFTER", help="the same")
    why.add_argument("result", metavar="RESULT", help="as `require` has it: chips.rate")
    why.add_argument(
        "--samples",
        type=_at_least(4),
        metavar="N",
        help="orders drawn of more than 10 edits (default: as many as make some 2,400 hybrids)",
    )
    why.add_argument(
        "--seed", type=_at_least(0), default=0, metavar="N", help="to draw them by (default: 0)"
    )
    why.add_argument(
        "--as",
        dest="form",
        choices=("terminal", "markdown", "json"),
        default="terminal",
        help="how to print it (default: terminal)",
    )
    why.set_defaults(run=_why)


def _at_least(least: int) -> Callable[[str], int]:
    def whole_number(text: str) -> int:
        value = int(text)
        if value < least:
            raise argparse.ArgumentTypeError(f"{value} is less than {least}")
        return value

    return whole_number


def _add_fit(fit: argparse.ArgumentParser) -> None:
    fit.add_argument("file", type=Path, metavar="DATA.csv", help="feed and product gradings")
    fit.add_argument(
        "--class",
        dest="class_name",
        required=True,
        metavar="CLASS",
        help="class to start from: std.cones.high_pivot, or FILE.hog:CLASS",
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


def _complain(text: str) -> None:
    print(f"hoggin: {text}", file=sys.stderr)


def _checked(path: Path) -> Checked | None:
    """Check a file and print its diagnostics; None where it can't be read."""
    from hoggin.check.checker import UnreadableError, check_file
    from hoggin.diagnostics.render import render_all

    try:
        checked = check_file(path)
    except UnreadableError as fault:
        _complain(f"`{path}`: {fault}")
        return None
    print(render_all(checked.diagnostics), end="", file=sys.stderr)
    return checked


def _check(options: argparse.Namespace) -> int:
    worst = OK
    for path in options.files:
        checked = _checked(path)
        if checked is None:
            worst = max(worst, USAGE)
        elif checked.has_errors:
            worst = max(worst, SOURCE_ERRORS)
        else:
            print(f"{path}: {_summary(checked)}")
    return worst


def _summary(checked: Checked) -> str:
    plant = checked.plant
    if plant is None:
        return "library, no errors"
    machines, products = len(plant.machines), len(plant.products)
    return f"{plant.title}: {machines} machines, {products} products, no errors"


def _results(path: Path) -> Results | int:
    """Check, balance and rate a plant; an exit code where that fails (it has been told why)."""
    checked = _checked(path)
    if checked is None:
        return USAGE
    if checked.has_errors:
        return SOURCE_ERRORS
    if checked.plant is None:
        _complain(f"`{path}` is a library: it holds no plant to balance")
        return USAGE
    from hoggin.commands.balancing import balanced

    results = balanced(checked)
    return UNBALANCED if results is None else results


def _balance(options: argparse.Namespace) -> int:
    results = _results(options.file)
    if isinstance(results, int):
        return results
    from hoggin.commands.showing import show

    print(show(results, options.show), end="")
    return _verdict(results)


def _issue(options: argparse.Namespace) -> int:
    results = _results(options.file)
    if isinstance(results, int):
        return results
    from hoggin.commands.showing import verdicts
    from hoggin.emit.documents import documents
    from hoggin.emit.errors import EmitError

    try:
        contents = documents(results)
    except EmitError as fault:
        _complain(str(fault))
        return USAGE
    print(verdicts(results), end="")
    folder = options.into or Path("out") / options.file.stem
    return _write(contents, folder) or _verdict(results)


def _package(options: argparse.Namespace) -> int:
    results = _results(options.file)
    if isinstance(results, int):
        return results
    from hoggin.commands.packaging import folder, packaged
    from hoggin.commands.showing import verdicts
    from hoggin.emit.errors import EmitError

    print(verdicts(results), end="")
    try:
        contents = packaged(results, options)
    except EmitError as fault:
        _complain(str(fault))
        return USAGE
    return _write(contents, folder(options)) or _verdict(results)


def _verdict(results: Results) -> int:
    return OK if all(requirement.met for requirement in results.requirements) else UNMET


def _mix(options: argparse.Namespace) -> int:
    results = _results(options.file)
    if isinstance(results, int):
        return results
    from hoggin.check.bands import find_band, library_bands
    from hoggin.commands.mixing import MixError, mixed
    from hoggin.diagnostics.diagnostic import did_you_mean

    band = find_band(options.band, options.file)
    if band is None:
        near = did_you_mean(options.band, library_bands())
        _complain(f"there is no grading band `{options.band}`. {near}".strip())
        return USAGE
    try:
        text, inside = mixed(results, band, options.products)
    except MixError as fault:
        _complain(str(fault).strip())
        return USAGE
    print(text, end="")
    return OK if inside else UNMET


def _compare(options: argparse.Namespace) -> int:
    from hoggin.commands.comparing import (
        NothingToCompareError,
        SourceFaultError,
        comparisons,
        drawing,
        printed,
        unpaired,
    )
    from hoggin.emit.errors import EmitError
    from hoggin.world import UnreadableError

    try:
        compared = list(comparisons(options.before, options.after, options.least))
        contents = drawing(compared, options.drawing) if options.drawing else {}
        alone = unpaired(options.before, options.after)
    except SourceFaultError:
        return SOURCE_ERRORS
    except (UnreadableError, NothingToCompareError, EmitError) as fault:
        _complain(str(fault))
        return USAGE
    found = [one.comparison for one in compared]
    print(printed(found, options.form), end="")
    for sentence in alone:
        _complain(sentence)
    if contents and _write(contents, options.drawing.parent):
        return USAGE
    if any(one.before.unsettled or one.after.unsettled for one in found):
        return UNBALANCED
    differs = bool(alone) or not all(comparison.same for comparison in found)
    return DIFFERENT if options.expect_same and differs else OK


def _format(options: argparse.Namespace) -> int:
    from hoggin.commands.formatting import format_files, format_input

    if options.files == [Path("-")]:
        return format_input(only_check=options.check)
    return format_files(options.files, only_check=options.check)


def _facts(options: argparse.Namespace) -> int:
    from hoggin.commands.gitting import facts
    from hoggin.world import UnreadableError

    try:
        print(facts(options.file), end="")
    except UnreadableError as fault:
        _complain(f"`{options.file}`: {fault}")
        return USAGE
    return OK


def _git_compare(options: argparse.Namespace) -> int:
    """Always 0: git takes anything else for a failure and stops."""
    from hoggin.commands.gitting import git_compare

    print(git_compare(options.arguments), end="")
    return OK


def _regress(options: argparse.Namespace) -> int:
    from hoggin.commands.regressing import RegressError, RegressOptions, regress
    from hoggin.emit.errors import EmitError
    from hoggin.regress.outcome import State
    from hoggin.regress.settings import SettingsError
    from hoggin.world import UnreadableError

    wanted = RegressOptions(
        paths=tuple(options.paths),
        accept=options.accept,
        junit=options.junit,
        sarif=options.sarif,
        jobs=options.jobs,
        use_cache=not options.no_cache,
    )
    try:
        outcomes, strays = regress(wanted)
    except SettingsError as fault:
        for sentence in fault.faults:
            _complain(sentence)
        return USAGE
    except (UnreadableError, EmitError, RegressError) as fault:
        _complain(str(fault))
        return USAGE
    codes = {
        State.UNREADABLE: USAGE,
        State.ERRORS: SOURCE_ERRORS,
        State.UNBALANCED: UNBALANCED,
        State.UNMET: UNMET,
        State.DRIFTED: DIFFERENT,
        State.UNRECORDED: DIFFERENT,
    }
    found = {state for outcome in outcomes for state in outcome.states}
    gravest = next((code for state, code in codes.items() if state in found), OK)
    return gravest or (DIFFERENT if strays else OK)


def _why(options: argparse.Namespace) -> int:
    from hoggin.attribute import CannotAttribute
    from hoggin.commands.attributing import (
        Question,
        SourceFaultError,
        UnbalancedError,
        answered,
        printed,
    )
    from hoggin.world import UnreadableError

    question = Question(
        options.before, options.after, options.result, options.samples, options.seed
    )
    try:
        found = answered(question)
    except SourceFaultError:
        return SOURCE_ERRORS
    except UnbalancedError:
        return UNBALANCED
    except (UnreadableError, CannotAttribute) as fault:
        _complain(str(fault))
        return USAGE
    print(printed(found, options.form), end="")
    return OK


def _fit(options: argparse.Namespace) -> int:
    from hoggin.commands.fitting import FitOptions, fit
    from hoggin.fit import FitError

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
    try:
        written = fit(wanted)
    except FitError as fault:
        _complain(str(fault).strip())
        return USAGE
    if written is None:
        return SOURCE_ERRORS
    for path in written:
        print(path)
    return OK


def _explain(options: argparse.Namespace) -> int:
    from hoggin.diagnostics.codes import CODES
    from hoggin.diagnostics.diagnostic import did_you_mean

    if options.code is None:
        for code in CODES.values():
            print(f"{code.code}  {code.title}")
        return OK
    found = CODES.get(options.code.upper())
    if found is None:
        _complain(f"there is no code `{options.code}`. {did_you_mean(options.code.upper(), CODES)}")
        return USAGE
    print(found.page(), end="")
    return OK


def _classes(options: argparse.Namespace) -> int:
    from hoggin.commands.listing import classes

    text = classes(options.name or "")
    if not text:
        _complain(f"no machine class has `{options.name}` in its name")
        return USAGE
    print(text, end="")
    return OK


def _reference(options: argparse.Namespace) -> int:
    from hoggin.commands.reference import pages

    return _write({name: text.encode() for name, text in pages().items()}, options.folder)


def _write(contents: Mapping[str, bytes], folder: Path) -> int:
    """Write files and name them; all of them or none."""
    from hoggin.emit.documents import write
    from hoggin.emit.errors import EmitError

    try:
        written = write(contents, folder)
    except EmitError as fault:
        _complain(str(fault))
        return USAGE
    for path in written:
        print(path)
    return OK


def _schema(_options: argparse.Namespace) -> int:
    import json

    from hoggin.rating.results import Results

    print(json.dumps(Results.model_json_schema(), indent=2, sort_keys=True))
    return OK


if __name__ == "__main__":
    sys.exit(main())
