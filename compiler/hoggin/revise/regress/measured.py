"""The outcome of one case: the quantities and verdicts of its results, or why there are none. It is
plain data, because it passes between processes and is kept in the cache as JSON."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from hoggin.diagnostics.diagnostic import Diagnostic
from hoggin.diagnostics.render import render
from hoggin.revise.regress.quantities import Quantity, limits, quantities
from hoggin.schema.leaves import NOT_MET
from hoggin.schema.plant import Place, Plant
from hoggin.schema.results import Judgement, Results, Warning


@dataclass(frozen=True, slots=True)
class Spot:
    """A place in a source, by its name under the project root; lines and columns from 1."""

    file: str
    line: int
    column: int
    end_line: int
    end_column: int


@dataclass(frozen=True, slots=True)
class Finding:
    """A diagnostic as plain data, with its text for the terminal."""

    code: str
    message: str
    help: str
    spot: Spot
    shown: str
    subject: str  # what it is about, without its figures

    @property
    def is_error(self) -> bool:
        return self.code.startswith("E")


@dataclass(frozen=True, slots=True)
class Verdict:
    """A requirement and whether it is met. Where two read alike, the later ones are numbered."""

    text: str
    verdict: Judgement
    found: str  # "118.4 t/h, margin -1.6 t/h (-1.3 %)"
    spot: Spot

    @property
    def met(self) -> bool:
        return self.verdict == "met"


@dataclass(frozen=True, slots=True)
class MadeFrom:
    """`sources` gives for each file the first digits of its text's SHA-256."""

    compiler: str
    library: str
    edition: int
    sources: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Measured:
    """A plant's case that balanced, or a library without a fault (`made_from` is None then)."""

    title: str
    revision: str
    quantities: tuple[Quantity, ...]
    verdicts: tuple[Verdict, ...]
    limits: Mapping[str, str]  # "crusher secondary: load" is "ok", "watch" or "over"
    warnings: tuple[Finding, ...]
    spots: Mapping[str, Spot]  # of each quantity's subject; "plant" is always there
    made_from: MadeFrom | None

    @property
    def is_library(self) -> bool:
        return self.made_from is None

    @property
    def judged(self) -> dict[str, str]:
        """Whether each requirement is met, by its text."""
        return {one.text: one.verdict for one in self.verdicts}

    @property
    def warned(self) -> dict[str, str]:
        """How often each warning is given, by its code and what it is about."""
        times = Counter(f"{one.code} {one.subject}" for one in self.warnings)
        return {name: "given" if n == 1 else f"given {n} times" for name, n in times.items()}


@dataclass(frozen=True, slots=True)
class Failed:
    """A case without results: errors in its sources, no balance, or a file that can't be read."""

    reason: Literal["errors", "unbalanced", "unreadable"]
    message: str
    findings: tuple[Finding, ...] = ()


CAN_RUN = "every machine takes its feed"
_QUOTED = re.compile(r"`([^`]+)`")
_HASH_DIGITS = 16


def findings(diagnostics: Iterable[Diagnostic]) -> tuple[Finding, ...]:
    return tuple(_finding(diagnostic) for diagnostic in diagnostics)


def library(warnings: tuple[Finding, ...]) -> Measured:
    return Measured("", "", (), (), {}, warnings, {}, None)


def measured(results: Results, warnings: tuple[Finding, ...]) -> Measured:
    """What is kept of a plant's results. `warnings` are the checker's; rating's are added."""
    plant, made = results.plant, results.provenance
    if plant is None or made is None:
        raise ValueError("results of a plant just balanced hold the plant and its provenance")
    rated = (_rated(warning) for warning in results.warnings if warning.code != NOT_MET)
    return Measured(
        title=results.title,
        revision=results.revision,
        quantities=quantities(results),
        verdicts=_verdicts(results, plant),
        limits=limits(results),
        warnings=(*warnings, *rated),  # a requirement not met is a verdict
        spots=_spots(results, plant),
        made_from=MadeFrom(
            made.compiler_version,
            made.library_version,
            made.edition,
            {record.name: record.sha256[:_HASH_DIGITS] for record in made.sources},
        ),
    )


def _finding(diagnostic: Diagnostic) -> Finding:
    span = diagnostic.span
    end_line, end_column = span.source.line_column(max(span.start, span.end))
    return Finding(
        diagnostic.code,
        diagnostic.message,
        diagnostic.help,
        Spot(span.source.name, span.line, span.column, end_line, end_column),
        render(diagnostic),
        ", ".join(_QUOTED.findall(diagnostic.message)) or span.source.name,
    )


def _rated(warning: Warning) -> Finding:
    shown = f"warning {warning.code}: {warning.text}\n"
    shown += f"  at {warning.file}:{warning.line}:{warning.column}\n"
    spot = _spot(warning)
    return Finding(warning.code, warning.text, warning.help, spot, shown, warning.subject)


def _verdicts(results: Results, plant: Plant) -> tuple[Verdict, ...]:
    times: Counter[str] = Counter()
    found = []
    for one, requirement in zip(results.requirements, plant.requirements, strict=True):
        times[one.text] += 1
        text = one.text if times[one.text] == 1 else f"{one.text} ({times[one.text]})"
        value = f"{one.value_text}, margin {one.margin_text}"
        found.append(Verdict(text, one.verdict, value, _spot(requirement.place)))
    return (*found, *_overload(results, plant))


def _overload(results: Results, plant: Plant) -> Iterator[Verdict]:
    """A plant with an overloaded machine can't run as balanced, whatever it requires."""
    place = next((m.place for m in plant.machines if m.tag in results.overloaded), None)
    if place is not None:
        said = f"overloaded: {', '.join(results.overloaded)}"
        yield Verdict(CAN_RUN, "not met", said, _spot(place))


def _spots(results: Results, plant: Plant) -> dict[str, Spot]:
    places = {"plant": plant.place}
    places |= {f"feed {feed.tag}": feed.place for feed in plant.feeds}
    places |= {f"product {product.tag}": product.place for product in plant.products}
    for machine in plant.machines:
        places[f"{machine.kind} {machine.tag}"] = machine.place
        places |= {f"deck {machine.tag}.{deck.name}": deck.place for deck in machine.decks}
    tagged = {machine.tag: machine.place for machine in plant.machines}
    for loop in results.loops:
        places[f"loop of {', '.join(loop.machines)}"] = tagged[loop.machines[0]]
    return {subject: _spot(place) for subject, place in places.items()}


def _spot(place: Place | Warning) -> Spot:
    return Spot(place.file, place.line, place.column, place.line, place.column)
