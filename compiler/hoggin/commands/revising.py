"""The commands for a design that is revised: compare, why, format, regress, and what git calls."""

from __future__ import annotations

import argparse
from pathlib import Path, PurePosixPath

from hoggin.commands.arguments import add_form, add_seed, at_least
from hoggin.commands.running import write_files
from hoggin.errors import Exit


def add_revision_commands(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add them to the command line, each with what it runs."""
    _add_compare(commands.add_parser("compare", help="what differs between two revisions"))
    _add_why(commands.add_parser("why", help="which edits changed a result, and by how much"))
    _add_regress(commands.add_parser("regress", help="check plants against recorded results"))

    _add_changes(commands.add_parser("changes", help="the change log of a plant kept in git"))

    layout = commands.add_parser("format", help="put files in their one layout")
    layout.add_argument("files", nargs="+", type=Path, metavar="FILE", help="or a folder, or -")
    layout.add_argument(
        "--check", action="store_true", help="change nothing; exit with 5 where a file would be"
    )
    layout.set_defaults(run=_format)

    facts = commands.add_parser("facts", help="every fact of a file in a fixed order, for git")
    facts.add_argument("file", type=Path, metavar="FILE")
    facts.set_defaults(run=_facts)

    git_compare = _called_by_git(commands, "git-compare", "compare as git's external diff driver")
    git_compare.add_argument("arguments", nargs="+", metavar="...", help="as git gives them")
    git_compare.set_defaults(run=_git_compare)

    git_merge = _called_by_git(commands, "git-merge", "merge as git's merge driver")
    for name in ("base", "ours", "theirs"):
        git_merge.add_argument(name, type=Path, metavar=name.upper())
    git_merge.add_argument("length", type=at_least(1), metavar="LENGTH", help="of markers")
    git_merge.add_argument("path", type=PurePosixPath, metavar="PATH", help="in the repository")
    git_merge.set_defaults(run=_git_merge)


def _called_by_git(
    commands: argparse._SubParsersAction[argparse.ArgumentParser], name: str, help: str
) -> argparse.ArgumentParser:
    """A command without options: a path that git hands over may begin with any sign."""
    return commands.add_parser(name, help=help, prefix_chars="\0", add_help=False)


def _add_compare(compare: argparse.ArgumentParser) -> None:
    side = "FILE.hog, a folder, a results.json, or REVISION:PATH in git (:PATH is the index)"
    compare.add_argument("before", metavar="BEFORE", help=side)
    compare.add_argument("after", metavar="AFTER", help="the same")
    compare.add_argument(
        "--least",
        type=float,
        default=1.0,
        metavar="PERCENT",
        help="least weight of a result that is listed (default: 1)",
    )
    compare.add_argument(
        "--all", action="store_true", help="cut no table, and list every sieve of a grading"
    )
    add_form(compare)
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


def _add_changes(changes: argparse.ArgumentParser) -> None:
    changes.add_argument(
        "plant", metavar="FILE.hog", help="or REVISION:FILE.hog to end with that revision"
    )
    changes.add_argument("--tags", action="store_true", help="of tagged revisions, not of all")
    changes.add_argument(
        "--since", metavar="REVISION", help="only what came after it; it is compared with"
    )
    changes.add_argument(
        "--least",
        type=float,
        default=1.0,
        metavar="PERCENT",
        help="least weight of a result that is told (default: 1)",
    )
    changes.add_argument(
        "--as",
        dest="form",
        choices=("markdown", "terminal", "json"),
        default="markdown",
        help="how to write it (default: markdown)",
    )
    changes.add_argument("--into", type=Path, metavar="FILE", help="write it to a file")
    changes.set_defaults(run=_changes)


def _add_regress(regress: argparse.ArgumentParser) -> None:
    regress.add_argument("paths", nargs="+", type=Path, metavar="FOLDER", help="or a file")
    regress.add_argument(
        "--accept", action="store_true", help="record what drifted or is not recorded yet"
    )
    regress.add_argument("--reason", metavar="TEXT", help="why it is accepted; kept in the record")
    regress.add_argument("--by", metavar="NAME", help="who accepts (default: as git names you)")
    regress.add_argument("--on", metavar="DATE", help="when it is accepted (default: now)")
    regress.add_argument(
        "--summary", type=Path, metavar="FILE.md", help="write a summary for a review as well"
    )
    regress.add_argument("--junit", type=Path, metavar="FILE.xml", help="write JUnit XML as well")
    regress.add_argument("--sarif", type=Path, metavar="FILE.sarif", help="write SARIF as well")
    regress.add_argument(
        "--jobs", type=at_least(1), metavar="N", help="how many at once (default: processors)"
    )
    regress.add_argument("--full", action="store_true", help="show every row of every table")
    regress.add_argument("--no-cache", action="store_true", help="balance all; keep nothing")
    regress.set_defaults(run=_regress)


def _add_why(why: argparse.ArgumentParser) -> None:
    why.add_argument(
        "before", metavar="BEFORE", help="FILE.hog, or REVISION:FILE.hog in git (: the index)"
    )
    why.add_argument("after", metavar="AFTER", help="the same")
    why.add_argument("result", metavar="RESULT", help="as `require` has it: chips.rate")
    why.add_argument(
        "--samples",
        type=at_least(4),
        metavar="N",
        help="orders drawn of more than 10 edits (default: as many as make some 2,400 hybrids)",
    )
    add_seed(why, "to draw them by")
    add_form(why)
    why.set_defaults(run=_why)


def _compare(options: argparse.Namespace) -> int:
    from hoggin.commands.comparing import (
        Compared,
        compare_named,
        drawing,
        printed,
        printed_fleet,
    )

    found = compare_named(options.before, options.after, options.least)
    contents = drawing(found, options.drawing) if options.drawing else {}
    if isinstance(found, Compared):
        print(printed(found.comparison, options.form, everything=options.all), end="")
        unsettled = bool(found.before.unsettled or found.after.unsettled)
        broken, same = False, found.comparison.same
    else:
        print(printed_fleet(found, options.form, everything=options.all), end="")
        sides = [r for e in found.plants if e.comparison for r in e.comparison.sides]
        unsettled = any(side.unsettled for side in sides)
        broken, same = any(e.status == "broken" for e in found.plants), found.same
    if contents:
        write_files(contents, options.drawing.parent)
    if broken:
        return Exit.SOURCE
    if unsettled:
        return Exit.UNBALANCED
    return Exit.DIFFERENT if options.expect_same and not same else Exit.DONE


def _changes(options: argparse.Namespace) -> int:
    from hoggin.commands.changes import log_of, printed
    from hoggin.world import named

    with named(str(options.plant)):
        log = log_of(options.plant, options.since, options.least, only_tags=options.tags)
    text = printed(log, options.form)
    if options.into is not None:
        write_files({options.into.name: text}, options.into.parent)
    else:
        print(text, end="")
    return Exit.DONE


def _format(options: argparse.Namespace) -> int:
    from hoggin.commands.formatting import format_files, format_input

    if options.files == [Path("-")]:
        return format_input(only_check=options.check)
    return format_files(options.files, only_check=options.check)


def _facts(options: argparse.Namespace) -> int:
    from hoggin.commands.gitting import facts

    print(facts(options.file), end="")
    return Exit.DONE


def _git_compare(options: argparse.Namespace) -> int:
    """Always 0: git takes anything else for a failure and stops."""
    from hoggin.commands.gitting import git_compare

    print(git_compare(options.arguments), end="")
    return Exit.DONE


def _git_merge(options: argparse.Namespace) -> int:
    """0 where the file is merged and has no errors; git takes anything else for a conflict."""
    from hoggin.commands.merging import merge_files
    from hoggin.world import named

    with named(str(options.path)):
        clean = merge_files(options)
    return Exit.DONE if clean else Exit.SOURCE


def _regress(options: argparse.Namespace) -> int:
    from hoggin.commands.regressing import regress
    from hoggin.revise.regress.outcome import State

    outcomes, strays = regress(options)
    found = {state for outcome in outcomes for state in outcome.states}
    gravest = next((state.code for state in State if state in found), Exit.DONE)
    return gravest or (Exit.DIFFERENT if strays else Exit.DONE)


def _why(options: argparse.Namespace) -> int:
    from hoggin.commands.attributing import answered
    from hoggin.commands.showing import shown
    from hoggin.report.attribution import document
    from hoggin.report.results_json import found_json

    found = answered(options)
    json = options.form == "json"
    print(found_json(found) if json else shown(document(found), options.form), end="")
    return Exit.DONE
