"""A balanced plant: its numbers, documents and drawings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from html import escape
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, overload

from hoggin.api.findings import Findings, plant_errors
from hoggin.api.frames import Library, frame
from hoggin.api.picture import Picture
from hoggin.api.tables import table
from hoggin.errors import HogginError
from hoggin.report.equipment import safety
from hoggin.report.wording import DEFERENCE, judgement
from hoggin.schema.results import (
    MachineResult,
    ProductResult,
    RequirementResult,
    Results,
    StreamResult,
    Warning,
)
from hoggin.schema.rounding import nine_digits
from hoggin.syntax.settings import Setting
from hoggin.world import World

if TYPE_CHECKING:
    import pandas as pd
    import polars as pl

    from hoggin.studies.plausible.document import Plausible
    from hoggin.studies.runner.opening import Opened
    from hoggin.studies.runner.solving import Solved

_PREDICTION = "Results are predictions for design, not guarantees."


@dataclass(frozen=True, eq=False, repr=False)
class Result:
    """A balanced plant. Numbers are in the unit that a field's name ends in: `rate_t_h` in t/h,
    `p80_mm` in mm; shares, loads and moisture are fractions.

    Attributes:
        document: the whole of the results, as in `results.json`.
        diagnostics: the checker's warnings.
        case: the case of the plant that was balanced; "" as it is written.
    """

    document: Results
    diagnostics: Findings
    _world: World
    _settings: tuple[Setting, ...]
    case: str

    @property
    def title(self) -> str:
        """The plant's title."""
        return self.document.title

    @property
    def feed_t_h(self) -> float:
        """Dry solids that enter the plant, t/h."""
        return self.document.feed_t_h

    @property
    def power_kw(self) -> float:
        """Power drawn by crushers and conveyors, kW."""
        return self.document.power_kw

    @property
    def products(self) -> tuple[ProductResult, ...]:
        """Each product with its rate, sizes and grading."""
        return self.document.products

    @property
    def machines(self) -> tuple[MachineResult, ...]:
        """Each machine with its feed, load, power, decks and checked limits."""
        return self.document.machines

    @property
    def streams(self) -> tuple[StreamResult, ...]:
        """Each stream with its rate, sizes and water, by its number in the documents."""
        return self.document.streams

    @property
    def requirements(self) -> tuple[RequirementResult, ...]:
        """Each `require` line with its value, verdict and margin."""
        return self.document.requirements

    @property
    def warnings(self) -> tuple[Warning, ...]:
        """What rating warns of: loads near their limits, and the like."""
        return self.document.warnings

    @property
    def met(self) -> bool:
        """Whether the plant can run as balanced, and meets every requirement."""
        return self.document.met

    def __getitem__(self, name: str) -> float:
        """A result by its name in a `require` line, in the unit that `unit` gives; shares in per
        cent. NaN where it has no value, as the P80 of an empty stream.

        Raises:
            PlantError or HogginError: for a name that can't be read.

        >>> import hoggin
        >>> result = hoggin.load("examples/gravel.hog").balance()
        >>> result["coarse.rate"] == result.products[0].rate_t_h
        True
        """
        output = self._asked(name).asked[0]
        assert output.expression is not None, "a result that is asked for by name has one"
        return nine_digits(float(self._solved.read(output.expression)[0]) * output.scale)

    def unit(self, name: str) -> str:
        """The unit of a result that `[]` gives: `t/h`, `%`; "" for a plain number."""
        return self._asked(name).asked[0].unit

    @overload
    def frame(self, of: str, library: Literal["pandas"]) -> pd.DataFrame: ...
    @overload
    def frame(self, of: str, library: Literal["polars"]) -> pl.DataFrame: ...
    @overload
    def frame(self, of: str, library: None = None) -> Any: ...
    def frame(self, of: str, library: Library | None = None) -> Any:
        """A part of the results as a frame of pandas, or of polars.

        Args:
            of: "feeds", "streams", "products", "machines", "decks", "checks", "loops",
                "requirements", "warnings" or "dust", with the document's own fields as columns;
                "gradings" for the passing (a fraction) of each product by sieve,
                "stream_gradings" for that of each stream.
            library: "pandas" or "polars"; whichever is installed where it is not named, pandas
                first.

        Raises:
            HogginError: for another name, and where the library is not installed.

        >>> import hoggin
        >>> result = hoggin.load("examples/gravel.hog").balance()
        >>> result.frame("products", library="pandas")["tag"].to_list()
        ['coarse', 'fine', 'sand']
        """
        return frame(table(self.document, of), library)

    @cached_property
    def flowsheet(self) -> Picture:
        """The first sheet of the flowsheet.

        Raises:
            HogginError: where it can't be drawn.
        """
        from hoggin.report.drawing.flowsheet import flowsheet
        from hoggin.report.drawing.svg import svg

        return Picture(f"Flowsheet of {self.title}", svg(flowsheet(self.document))[0].decode())

    def gradings(self, product: str | None = None) -> Picture:
        """The products' gradings in one plot; of one product, by its tag, with its bands.

        Raises:
            HogginError: for a product that is not there.
        """
        from hoggin.report import grading_plot

        if product is None:
            return Picture(f"Gradings of {self.title}", grading_plot.together(self.document))
        for one in self.products:
            if one.tag == product:
                return Picture(f"Grading of {product}", grading_plot.one(self.document, one))
        known = ", ".join(f"`{one.tag}`" for one in self.products)
        raise HogginError(f"there is no product `{product}`; the products are {known}")

    def documents(self, backends: Sequence[str] = ()) -> dict[str, bytes]:
        """The documents of this state of the plant by file name, as `hoggin issue` writes them,
        with those of plug-ins' backends.

        Raises:
            HogginError: for what can't be drawn, and for a backend that is not there.
        """
        from hoggin.plugins import backends as plugins
        from hoggin.report.documents import documents

        contents = documents(self.document)
        return contents | plugins.documents(self.document, backends) if backends else contents

    def write(self, folder: str | Path) -> tuple[Path, ...]:
        """Write the documents into a folder, all or none, and give their paths.

        Raises:
            HogginError: where they can't be written.
        """
        from hoggin.writing import write

        return write(self.documents(), Path(folder))

    @cached_property
    def plausible(self) -> Plausible:
        """The plausible ranges of rates, loads, power and requirements, from what the classes of
        the machines say of their own figures.

        >>> import hoggin
        >>> found = hoggin.load("examples/gravel.hog").balance().plausible
        >>> load = next(one for one in found.results if one.name == "jaw.load")
        >>> load.low < load.value < load.high
        True
        """
        from hoggin.studies.plausible.plausible import plausible

        assert self.document.plant is not None, "a plant just balanced is in its results"
        return plausible(self.document.plant, self.document)

    def __repr__(self) -> str:
        unmet = sum(not one.met for one in self.requirements)
        verdict = f"{unmet} of {len(self.requirements)} requirements not met" if unmet else "met"
        if self.document.overloaded:
            verdict = f"overloaded: {', '.join(self.document.overloaded)}"
        return f"<Result: {self.title}: {self.feed_t_h:.1f} t/h, {verdict}>"

    def _repr_html_(self) -> str:
        rows = "".join(
            f"<tr><td>{'met' if one.met else f'<b>{judgement(one)}</b>'}</td>"
            + "".join(f"<td>{escape(t)}</td>" for t in (one.text, one.value_text, one.margin_text))
            + "</tr>"
            for one in self.requirements
        )
        heads = "".join(f"<th>{head}</th>" for head in ("", "requirement", "value", "margin"))
        asked = f"<table><tr>{heads}</tr>{rows}</table>" if rows else "<p>No requirements.</p>"
        made = ", ".join(f"{escape(p.tag)} {p.rate_t_h:.1f} t/h" for p in self.products)
        told = [f"{one.code}: {one.text}" for one in self.warnings]
        return (
            f"<b>{escape(self.title)}</b><p>{self.feed_t_h:.1f} t/h of feed, "
            f"{self.power_kw:.0f} kW drawn. Products: {made}.</p>{asked}"
            + (f"<p>Warnings:</p>{_listed(told)}" if told else "")
            + f"<details><summary>{_PREDICTION} Safety: these are the usual cautions. {DEFERENCE}"
            f"</summary>{_listed(safety(self.document))}</details>"
        )

    def _asked(self, name: str) -> Opened:
        from hoggin.studies.runner.opening import opened_with

        with plant_errors():
            return opened_with(self._world, self._settings, (name,), self.case)

    @cached_property
    def _solved(self) -> Solved:
        from hoggin.schema.tracing import Freedom
        from hoggin.studies.runner.cases import cases
        from hoggin.studies.runner.solving import solve_cases

        assert self.document.plant is not None, "a plant just balanced is in its results"
        return solve_cases(cases(self.document.plant, Freedom(), {}))


def _listed(texts: tuple[str, ...] | list[str]) -> str:
    return f"<ul>{''.join(f'<li>{escape(text)}</li>' for text in texts)}</ul>"
