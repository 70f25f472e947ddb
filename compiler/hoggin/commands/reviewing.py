"""`hoggin review`: all that the reviewer of a change to a folder of plants needs, in one run."""

from __future__ import annotations

import argparse
import re
import tempfile
from collections.abc import Callable, Iterable
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass, replace
from functools import partial
from io import StringIO
from pathlib import Path
from textwrap import indent

from hoggin.api.plant import load
from hoggin.commands.arguments import LEAST_WEIGHT
from hoggin.commands.checking import check
from hoggin.commands.comparing import compared_by_name, printed_fleet
from hoggin.commands.formatting import format_sources
from hoggin.commands.issuing import verdict
from hoggin.commands.output import say
from hoggin.commands.regressing import regress
from hoggin.commands.running import told, write_files
from hoggin.commands.showing import verdicts
from hoggin.errors import Exit, HogginError
from hoggin.progress import working
from hoggin.revise.compare.fleet import Fleet
from hoggin.revise.regress.cases import find_cases
from hoggin.revise.regress.outcome import State
from hoggin.revise.regress.record import FOLDER
from hoggin.world import files_below

_GRAVEST = tuple(dict.fromkeys(state.code for state in State))
_OUTCOMES = {
    Exit.DONE: "ok",
    Exit.USE: "could not be done",
    Exit.SOURCE: "errors",
    Exit.UNBALANCED: "can't be balanced",
    Exit.UNMET: "a machine is overloaded or a requirement is not met",
    Exit.DIFFERENT: "differs",
}


@dataclass(frozen=True, slots=True)
class _Step:
    """What one step found: what it printed, and a page of Markdown where it writes one."""

    name: str
    code: Exit
    printed: str
    page: str = ""

    @property
    def outcome(self) -> str:
        return f"{self.name}: {_OUTCOMES[self.code]}"


def review(options: argparse.Namespace) -> Exit:
    """Run every step, whatever the one before found, and return the gravest exit code."""
    folder: Path = options.folder
    files = sorted({case.path for case in find_cases([folder]).cases})
    if not files:
        raise HogginError(f"there is no `.hog` file in `{folder}`")
    steps = [
        _step("layout", lambda: format_sources(argparse.Namespace(files=files, check=True))),
        _step("errors", lambda: check(argparse.Namespace(files=files))),
    ]
    for file in filter(_can_be_issued, files):
        into = options.into / file.relative_to(folder).with_suffix("")
        steps.append(_step(f"plant {file.as_posix()}", partial(_issue, file, into)))
    if any(path.parent.name == FOLDER for path in files_below(folder)):
        steps.append(_records(folder))
    if options.base is not None:
        steps.append(_comparison(options.base, folder))
    if options.summary is not None:
        write_files({options.summary.name: _summary(steps)}, options.summary.parent)
    return min((step.code for step in steps), key=_GRAVEST.index)


def _step(name: str, run: Callable[[], Exit]) -> _Step:
    """Run a step and keep what it prints. A fault ends the step, not the review."""
    kept = StringIO()
    with redirect_stdout(kept), redirect_stderr(kept):
        try:
            code = run()
        except HogginError as fault:
            code = told(fault)
    return _shown(_Step(name, code, kept.getvalue()))


def _shown(step: _Step) -> _Step:
    print(f"- {step.outcome}")
    say(f"{step.printed.rstrip()}\n" if step.printed.strip() else "")
    return step


def _can_be_issued(file: Path) -> bool:
    """Whether a file has a plant, and no errors, which another step reports."""
    try:
        checked = load(file).checked
    except HogginError:
        return False
    return checked.plant is not None and not checked.has_errors


def _issue(file: Path, into: Path) -> Exit:
    """Print the verdicts on a plant, as written and in every case, and write its documents."""
    found = load(file).balance_all()  # another step prints the warnings of its text
    print("".join(verdicts(one.document) for one in found), end="")
    write_files(found.documents([]), into, named_in=StringIO())
    print(f"documents in {into}")
    return verdict(found)


def _records(folder: Path) -> _Step:
    """The results compared with those that were recorded."""
    from hoggin.commands.command_line import command_parser

    with tempfile.TemporaryDirectory() as made:
        page = Path(made, "page.md")
        asked = command_parser().parse_args(["regress", "--summary", str(page), "--", str(folder)])
        step = _step("recorded results", lambda: regress(asked))
        return replace(step, page=page.read_text("utf-8") if page.exists() else "")


def _comparison(base: str, folder: Path) -> _Step:
    """What the change does. It is for the reviewer to judge, so no difference is a fault."""
    pages: list[str] = []

    def compared() -> Exit:
        with working("balancing and comparing") as line:
            found = compared_by_name(f"{base}:{folder}", str(folder), LEAST_WEIGHT, line)
        assert isinstance(found, Fleet)
        print(printed_fleet(found, "terminal"), end="")
        pages.append(printed_fleet(found, "markdown"))
        return Exit.DONE

    return replace(_step(f"compared with {base}", compared), page="".join(pages))


def _summary(steps: Iterable[_Step]) -> str:
    """A page for the reviewer: the outcomes, then what each step has to say."""
    outcomes = "".join(f"- {step.outcome}\n" for step in steps)
    parts = [_part(step) for step in steps if step.printed]
    return "\n".join(["# Review of plants\n", outcomes, *parts])


def _part(step: _Step) -> str:
    """What a step printed, as it was printed; or its page, a level down."""
    if step.page:
        return re.sub("^#", "##", step.page, flags=re.MULTILINE)
    return f"## {step.name[0].upper()}{step.name[1:]}\n\n{indent(step.printed, '    ')}"
