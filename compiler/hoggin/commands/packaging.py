"""`hoggin package`: the report as HTML and PDF, and the workbook, in one folder."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from hoggin.schema.results import Results


_LEAST = 1.0  # least weight of a result in the change log, as `hoggin changes` has it


def add_options(parser: argparse.ArgumentParser) -> None:
    """The command's arguments. What the title block says beside the plant is asked for here and
    never taken from the clock or the machine: the same input gives the same bytes."""
    parser.add_argument("file", type=Path, metavar="FILE")
    parser.add_argument(
        "--into", type=Path, metavar="FOLDER", help="where to (default: out/NAME/package)"
    )
    parser.add_argument("--date", default="", metavar="TEXT", help="date in the title block")
    parser.add_argument(
        "--for", dest="client", default="", metavar="TEXT", help="whom it is for, in the same"
    )
    parser.add_argument("--by", default="", metavar="TEXT", help="who issues it, in the same")
    parser.add_argument(
        "--since", metavar="REVISION", help="add the change log since this revision in git"
    )


def folder(options: argparse.Namespace) -> Path:
    """The folder that the package goes into."""
    into: Path | None = options.into
    file: Path = options.file
    return into or Path("out") / file.stem / "package"


def packaged(results: Results, options: argparse.Namespace) -> Mapping[str, bytes]:
    """The package's files by name. Raises: HogginError when one of them cannot be made."""
    from hoggin.report.package.content import Issue
    from hoggin.report.package.package import package

    changes = None
    if options.since is not None:
        from hoggin.commands.changes import log_of
        from hoggin.world import named

        with named(options.file):
            changes = log_of(str(options.file), options.since, _LEAST, only_tags=False)
    date, client, by = (_readable(text) for text in (options.date, options.client, options.by))
    return package(results, Issue(date, client, by, changes))


def _readable(text: str) -> str:
    """Bytes of a command line that are no text come as halves of letters, which none may write."""
    return text.encode(errors="replace").decode()
