"""`hoggin balance` and `hoggin issue`: a plant's tables, printed or written as documents."""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Iterator

from hoggin.api.result import Result
from hoggin.api.states import States
from hoggin.commands.running import folder_of, sound, verdict_code, write_files
from hoggin.commands.showing import show, shown, verdicts
from hoggin.errors import Exit, HogginError
from hoggin.progress import working
from hoggin.report.results_json import results_json


def balance(options: argparse.Namespace) -> int:
    if not options.all_cases:
        plant = sound(options.file, options.case)
        with working("balancing"):
            result = plant.balance(case=options.case)
            tables = (_with_range if options.range else _plainly)(result, options.show)
        print(tables, end="")
        return verdict_code(result)
    if options.range:
        raise HogginError("`--range` is of one case: name it with `--case`, without `--all-cases`")
    if options.case:
        raise HogginError("`--case` and `--all-cases` can't be combined")
    plant = sound(options.file)
    with working("balancing every case"):
        found = plant.balance_all()
    if options.show == "json":
        print(_json(found), end="")
    else:
        print("\n".join(_of_all(found, options.show)), end="")
    return verdict(found)


def _plainly(result: Result, what: str) -> str:
    return show(result.document, what)


def _of_all(found: States, what: str) -> Iterator[str]:
    """The tables of every state, then those of all side by side. These are a summary, so with
    several states no other is needed."""
    if what != "summary" or len(found) == 1:
        for one in found:
            yield show(one.document, what)
    if len(found) > 1:
        from hoggin.report.cases import document

        yield shown(document(found.schedule))


def _with_range(result: Result, what: str) -> str:
    """The tables asked for, then the plausible ranges."""
    from hoggin.report import plausible
    from hoggin.report.results_json import found_json

    if what == "json":
        document, ranges = results_json(result.document), found_json(result.plausible)
        return f'{{"results": {document}, "range": {ranges}}}\n'
    tables = show(result.document, what)
    return f"{tables}\n{shown(plausible.document(result.plausible))}"


def issue(options: argparse.Namespace) -> int:
    """The documents of the plant as written and of every case, each case in a folder of its own,
    and a combined schedule. With `--since`, also what was changed: of the plant as written, or of
    the one case."""
    plant = sound(options.file, options.case)
    with working("balancing") as line:
        found = plant.balance(case=options.case) if options.case else plant.balance_all()
        states = [found] if isinstance(found, Result) else list(found)
        line.now("drawing and writing")
        contents = found.documents(options.backends)
        if options.since is not None:
            from hoggin.commands.changes import drawn_since
            from hoggin.report.drawing.formats import files
            from hoggin.report.revised.drawing import STEM

            drawn = drawn_since(str(options.file), options.since, states[0].document)
            contents |= files(drawn, STEM)
    print("".join(verdicts(one.document) for one in states), end="")
    write_files(contents, folder_of(options))
    return verdict(states)


def _json(found: States) -> str:
    """Every state's results, and with several the schedule over all."""
    from hoggin.report.cases import as_json

    results = ",".join(results_json(one.document) for one in found)
    schedule = as_json(found.schedule) if len(found) > 1 else "{}"
    return f'{{"results": [{results}], "schedule": {schedule}}}\n'


def verdict(found: Iterable[Result]) -> Exit:
    return max(map(verdict_code, found))
