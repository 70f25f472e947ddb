"""The fitted class as a `.hog` library: the base class's own text with the fitted numbers in it."""

from __future__ import annotations

from collections.abc import Iterator

from hoggin.diagnostics.source import Source
from hoggin.fit.base import BaseClass
from hoggin.fit.calibrate import Calibration, Estimate
from hoggin.fit.wording import figure, interval, summary
from hoggin.report.wording import quotable
from hoggin.syntax import tree
from hoggin.syntax.edits import Edit, applied
from hoggin.syntax.layout import laid_out


def library_text(base: BaseClass, calibration: Calibration, name: str, data: str) -> str:
    """A library file with the class under a new name. `data` names the measurements.

    It has no date, so the same data and class give the same bytes.
    """
    node, data = base.entity.node, quotable(data)
    source, behind = node.span.source.text, len(node.span.source.text) - node.span.end
    edited = applied(source, _edits(base, calibration, name, data))
    body = edited[node.span.start : len(edited) - behind]
    text = "\n".join([*_heading(base, calibration, data), "", body]) + "\n"
    laid = laid_out(Source("library.hog", text))
    return laid if isinstance(laid, str) else text


def _heading(base: BaseClass, calibration: Calibration, data: str) -> Iterator[str]:
    yield f"# Written by `hoggin fit` from {quotable(base.name)} and {data}. You may change it."
    yield f"# {summary(base, calibration)}"
    for estimate in calibration.estimates:
        yield f"#   {estimate.parameter.label} = {figure(estimate.value)}, {interval(estimate)}"
    yield "# Everything else is from the base class. A prediction for design, not a guarantee."


def _edits(base: BaseClass, calibration: Calibration, name: str, data: str) -> Iterator[Edit]:
    node = base.entity.node
    yield Edit(node.name.span.start, node.name.span.end, name)
    facts = (fact for fact in node.body if isinstance(fact, tree.Fact))
    about = next((fact for fact in facts if fact.name.text == "about"), None)
    told = f'source "breakage {base.model.name} fitted: {data}; {summary(base, calibration)}"'
    if about is not None and isinstance(about.value, tree.Text):
        span = about.value.span
        yield Edit(span.start, span.end, f'"{about.value.text}, fitted to measured gradings"')
        yield _insert(about.span.end, f"\n{told}")
    else:
        yield _insert(node.span.start + node.span.text.rindex("}"), f"{told}\n")
    missing = [e for e in calibration.estimates if e.parameter.name not in base.facts]
    for estimate in calibration.estimates:
        fact = base.facts.get(estimate.parameter.name)
        if fact is not None and fact.value is not None:
            yield from _fact_edits(fact, fact.value, estimate, base, data)
    if missing:
        model = base.definition.span
        written = "".join(
            f'{e.parameter.name} {_written(e)} source "{_origin(e, data)}"\n' for e in missing
        )
        if model.text.endswith("}"):
            yield _insert(model.end - 1, f"\n{written}")
        else:
            yield _insert(model.end, f" {{\n{written}}}")


def _insert(place: int, text: str) -> Edit:
    return Edit(place, place, text)


def _fact_edits(
    fact: tree.Fact, value: tree.Expression, estimate: Estimate, base: BaseClass, data: str
) -> Iterator[Edit]:
    """The new value, only in the applicable branch if there are several, and its source."""
    origin = _origin(estimate, data)
    fitted = value
    if isinstance(value, tree.By) and value.choice.dotted in base.words:
        chosen = base.words[value.choice.dotted]
        old = fact.source.text if fact.source is not None else "no source"
        origin = f"{chosen}: {origin}; others: {old}"
        fitted = next(
            entry.value
            for entry in value.entries
            if isinstance(entry.key, tree.Path) and entry.key.dotted == chosen and entry.value
        )
    yield from _scaled(fitted, estimate)
    if fact.source is not None:
        yield Edit(fact.source.span.start, fact.source.span.end, f'"{origin}"')
    else:
        yield _insert(value.span.end, f' source "{origin}"')


def _scaled(expression: tree.Expression, estimate: Estimate) -> Iterator[Edit]:
    """The expression times the fitted factor, in its leading number if it has one: `0.65 * css`.

    So the class keeps its dependence on other settings than those of the samples.
    """
    span, start = expression.span, estimate.parameter.start
    leading = expression
    while isinstance(leading, tree.Arithmetic) and leading.operator in "*/":
        leading = leading.left
    if start <= 0.0:  # nothing times anything stays nothing
        yield Edit(span.start, span.end, _written(estimate))
    elif isinstance(leading, tree.Number | tree.Measure):
        unit = leading.unit if isinstance(leading, tree.Measure) else ""
        number = figure(leading.number * estimate.value / start)
        yield Edit(leading.span.start, leading.span.end, f"{number} {unit}".rstrip())
    else:
        yield _insert(span.start, f"{figure(estimate.value / start)} * (")
        yield _insert(span.end, ")")


def _written(estimate: Estimate) -> str:
    """The coefficient for a class that did not state it before."""
    parameter, number = estimate.parameter, figure(estimate.value)
    if parameter.times_css:
        return f"{number} * css"
    return f"{number} {parameter.unit}".rstrip()


def _origin(estimate: Estimate, data: str) -> str:
    return f"fitted to {data}, {interval(estimate)}"


def valid_name(name: str) -> bool:
    """Whether a text can name a class; the compiler has the last word."""
    return name.isascii() and name.isidentifier()
