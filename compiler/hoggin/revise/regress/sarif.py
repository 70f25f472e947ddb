"""A run as SARIF 2.1.0 (OASIS standard): diagnostics, requirements not met and drift, each at its
place in a source, for the tools that show findings beside a change."""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any
from urllib.parse import quote

from hoggin import __version__
from hoggin.diagnostics.codes import CODES
from hoggin.revise.regress.cases import Case
from hoggin.revise.regress.measured import Failed, Finding, Spot
from hoggin.revise.regress.outcome import Outcome, visible
from hoggin.revise.regress.settings import FILE
from hoggin.revise.regress.sites import SUFFIX

SCHEMA = (
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
)
_ROOT = "%SRCROOT%"  # the usual name for the top of the checkout
_OWN_RULES = {
    "regress/requirement": (
        "a requirement is not met",
        "A `require` line of the plant or of a template it uses does not hold.",
    ),
    "regress/drift": (
        "a result is not as recorded",
        "A quantity is further from its record than its tolerance, or is new or gone. If it is "
        "intended, accept it with `hoggin regress --accept`.",
    ),
    "regress/record": (
        "a record is missing, can't be read, or has no plant",
        "Every plant and every case of a grid has a record, made by `hoggin regress --accept`.",
    ),
    "regress/file": ("a file can't be read", "The file is missing, too large, or not text."),
}

Json = dict[str, Any]


def sarif(outcomes: Sequence[Outcome], strays: Sequence[Path]) -> bytes:
    """The whole document."""
    results = [result for outcome in outcomes for result in _results(outcome)]
    for path in strays:
        message = "recorded, but without a plant or case"
        results.append(_result("regress/record", "error", message, _stray_place(path), str(path)))
    rules = sorted({result["ruleId"] for result in results})
    for result in results:
        result["ruleIndex"] = rules.index(result["ruleId"])
    described = [_rule(name) for name in rules]
    driver = {"name": "hoggin", "version": __version__, "rules": described}
    run = {"tool": {"driver": driver}, "columnKind": "unicodeCodePoints", "results": results}
    document = {"$schema": SCHEMA, "version": "2.1.0", "runs": [run]}
    return (json.dumps(document, indent=1, ensure_ascii=False) + "\n").encode()


def _rule(name: str) -> Json:
    if name in _OWN_RULES:
        title, why = _OWN_RULES[name]
        page = why
    elif name not in CODES:  # of a plug-in's check
        title = why = page = f"found by the check {name.partition('.')[0]}"
    else:
        title, why, page = CODES[name].title, CODES[name].why, CODES[name].page()
    texts = {"shortDescription": title, "fullDescription": why, "help": page}
    return {"id": name, **{key: {"text": text} for key, text in texts.items()}}


def _results(outcome: Outcome) -> Iterator[Json]:
    case, run = outcome.case, outcome.run
    if isinstance(run, Failed):
        yield from (_found(case, finding) for finding in run.findings)
        if not run.findings:
            yield _result("regress/file", "error", run.message, _file(case), case.name)
        return
    yield from (_found(case, finding) for finding in run.warnings)
    for verdict in outcome.unmet:
        message = f"not met: {verdict.text}: {verdict.found}"
        yield _of_case(case, "regress/requirement", message, verdict.spot, verdict.text)
    if not outcome.to_accept:
        return
    plant = run.spots["plant"]
    if outcome.record_trouble:
        yield _of_case(case, "regress/record", outcome.record_trouble, plant)
    spots = {verdict.text: verdict.spot for verdict in run.verdicts}
    for drift in outcome.drifts:
        subject = drift.subject.partition(": ")[0]
        spot = spots.get(drift.subject) or run.spots.get(subject, plant)
        yield _of_case(case, "regress/drift", drift.sentence, spot, drift.name)


def _found(case: Case, finding: Finding) -> Json:
    level = "error" if finding.is_error else "warning"
    hint = f"; help: {finding.help}" if finding.help else ""
    where = "" if _is_file(finding.spot) else f" (in {finding.spot.file}:{finding.spot.line})"
    message = f"{finding.message}{where}{hint}"
    return _of_case(case, finding.code, message, finding.spot, finding.message, level=level)


def _of_case(
    case: Case, rule: str, message: str, spot: Spot, *same: str, level: str = "error"
) -> Json:
    return _result(rule, level, f"{case.name}: {message}", _place(case, spot), case.name, *same)


def _result(rule: str, level: str, message: str, place: Json, *same: str) -> Json:
    """One result; `same` is what tells it from others, whatever its line or figures."""
    digest = hashlib.sha256("\n".join((rule, *same)).encode("utf-8", "replace")).hexdigest()
    return {
        "ruleId": rule,
        "level": level,
        "message": {"text": visible(message)},
        "locations": [{"physicalLocation": place}],
        "partialFingerprints": {"hogginRegress/v1": digest[:32]},
    }


def _place(case: Case, spot: Spot) -> Json:
    """Where a spot is. One in the compiler's library is no file of the project: then the plant's
    file stands in for it."""
    if not _is_file(spot):
        return _file(case)
    folder = case.root if spot.file.endswith(".hog") else Path()
    region = {"startLine": spot.line, "startColumn": spot.column}
    if (spot.end_line, spot.end_column) != (spot.line, spot.column):
        region |= {"endLine": spot.end_line, "endColumn": spot.end_column}
    return {**_location(folder / spot.file, _top(case)), "region": region}


def _is_file(spot: Spot) -> bool:
    return spot.file.lower().endswith((".hog", FILE, SUFFIX))


def _file(case: Case) -> Json:
    return _location(case.path, _top(case))


def _stray_place(path: Path) -> Json:
    tops = (folder for folder in path.resolve().parents if (folder / ".git").exists())
    return _location(path, next(tops, Path()))


def _top(case: Case) -> Path:
    """What paths are counted from: the repository's top, or the folder the command runs in."""
    return case.root if (case.root / ".git").exists() else Path()


def _location(path: Path, top: Path) -> Json:
    shown = os.path.relpath(path, top).replace(os.sep, "/")
    uri = quote(shown.encode("utf-8", "surrogateescape"))
    return {"artifactLocation": {"uri": uri, "uriBaseId": _ROOT}}
