"""A document's diagnostics: those of the checker, and the warnings of its balance."""

from __future__ import annotations

import re
from collections.abc import Iterator

from hoggin.diagnostics.codes import CODES
from hoggin.diagnostics.diagnostic import Diagnostic
from hoggin.diagnostics.source import Source, Span
from hoggin.editor.snapshot import Snapshot, texts_of
from hoggin.schema.results import Warning

_WORD = re.compile(r"\w+|.")


def faults_of(snapshot: Snapshot) -> tuple[Diagnostic, ...]:
    """Diagnostics in all files that the document reads. Those of a balance are shown only while the
    text is the one that was balanced, because they may not apply to another."""
    return (*snapshot.checked.diagnostics, *_of_balance(snapshot))


def _of_balance(snapshot: Snapshot) -> Iterator[Diagnostic]:
    unsettled = snapshot.unsettled
    if unsettled is not None and unsettled.texts == texts_of(snapshot.checked):
        yield unsettled.diagnostic
    elif snapshot.is_fresh and snapshot.results is not None:
        for warning in snapshot.results.warnings:
            source = snapshot.checked.sources.get(warning.file)
            if source is not None and (warning.code in CODES or "." in warning.code):
                yield _diagnostic(source, warning)


def _diagnostic(source: Source, warning: Warning) -> Diagnostic:
    start = source.offset(warning.line, warning.column)
    word = _WORD.match(source.text, start)
    end = word.end() if word else start
    return Diagnostic(warning.code, Span(source, start, end), warning.text, warning.help)


def explained(snapshot: Snapshot, offset: int) -> list[str]:
    """The explanations of the diagnostics at an offset."""
    codes = dict.fromkeys(
        found.code
        for found in faults_of(snapshot)
        if found.span.source.name == snapshot.name
        and found.span.start <= offset <= found.span.end
        and found.code in CODES
    )
    return [line for code in codes for line in ("", *CODES[code].page().strip().split("\n"))]
