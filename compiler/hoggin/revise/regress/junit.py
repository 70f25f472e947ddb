"""A run as JUnit XML: a suite for each case; in it its sources, its requirements and its record.

The format has no standard of its own; this is the part that readers of it share (from memory).
Times are left out, so that the same outcome gives the same bytes.
"""

from __future__ import annotations

import xml.etree.ElementTree as ElementTree
from collections.abc import Sequence
from pathlib import Path

from hoggin.revise.regress.measured import Failed
from hoggin.revise.regress.outcome import Outcome, visible, visible_lines


def junit(outcomes: Sequence[Outcome], strays: Sequence[Path]) -> bytes:
    """The whole document."""
    root = ElementTree.Element("testsuites", name="hoggin regress")
    for outcome in outcomes:
        _suite(root, outcome)
    if strays:
        suite = ElementTree.SubElement(root, "testsuite", name="records without a plant or case")
        for path in strays:
            test = _test(suite, "records", str(path))
            _failure(test, "stray", "recorded, but without a plant or case", "")
        _count(suite)
    _count(root)
    ElementTree.indent(root)
    text: bytes = ElementTree.tostring(root, encoding="utf-8", xml_declaration=True)
    return text + b"\n"


def _suite(root: ElementTree.Element, outcome: Outcome) -> None:
    name = outcome.case.name
    suite = ElementTree.SubElement(root, "testsuite", name=visible(name))
    test = _test(suite, name, "checked" if outcome.is_library else "checked and balanced")
    run = outcome.run
    if isinstance(run, Failed):
        first = run.findings[0] if run.findings else None
        kind, said = (first.code, first.message) if first else (run.reason, run.message)
        found = ElementTree.SubElement(test, "error", type=kind, message=visible(said))
        found.text = visible_lines(run.message)
    elif not run.is_library:
        for verdict in run.verdicts:
            test = _test(suite, name, f"require {verdict.text}")
            if not verdict.met:
                _failure(test, "requirement", f"{verdict.verdict}: {verdict.found}", "")
        _record(_test(suite, name, "as recorded"), outcome)
    _count(suite)


def _record(test: ElementTree.Element, outcome: Outcome) -> None:
    if not outcome.to_accept:
        return
    if outcome.record_trouble:
        _failure(test, "record", outcome.record_trouble, "")
    else:
        number = len(outcome.drifts)
        causes = [f"since it was recorded: {cause}" for cause in outcome.causes]
        lines = [*causes, *(drift.sentence for drift in outcome.drifts)]
        _failure(test, "drift", f"{number} beyond tolerance", "\n".join(lines))


def _test(suite: ElementTree.Element, owner: str, name: str) -> ElementTree.Element:
    return ElementTree.SubElement(suite, "testcase", classname=visible(owner), name=visible(name))


def _failure(test: ElementTree.Element, kind: str, message: str, text: str) -> None:
    found = ElementTree.SubElement(test, "failure", type=kind, message=visible(message))
    found.text = visible_lines(text) or None


def _count(element: ElementTree.Element) -> None:
    for kind, counted in (("tests", "testcase"), ("failures", "failure"), ("errors", "error")):
        element.set(kind, str(len(element.findall(f".//{counted}"))))
