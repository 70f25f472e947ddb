"""One plant put through the checker, the balance, rating and documents: what is wrong with it."""

from __future__ import annotations

import math
import random
import traceback
import warnings
from collections.abc import Iterator
from dataclasses import dataclass

from pydantic import BaseModel

from hoggin.balancing import rated
from hoggin.report import conveyors, dust, energy, equipment, mass_balance, setting, storage, text
from hoggin.report.documents import documents
from hoggin.schema.results import Results
from tests.bounds.sites import Site
from tests.check.reading import check_text

_SIGNED = {"margin", "worst_margin"}
_SHARES = {
    "passing",
    "undersize_efficiency",
    "near_size",
    "flakiness",
    "flat_elongated",
    "lost",
}
_SMALL = 1e-9
_CLOSES = 1e-7  # of the feed: the digits of the document, over some products


@dataclass(frozen=True)
class Outcome:
    """refused: by the checker. fault: what must not be; "" where all is well."""

    refused: bool
    fault: str = ""


def tried(plant: str, *, drawn: bool = False) -> Outcome:
    """What becomes of a plant's text. drawn: with every document."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")  # numpy's: on the way, something was divided by 0
        return _tried(plant, drawn)


def _tried(plant: str, drawn: bool) -> Outcome:
    try:
        checked = check_text(plant)
        if checked.plant is None:
            errors = any(one.is_error for one in checked.diagnostics)
            return Outcome(True, "" if errors else "neither a plant nor an error")
        results = rated(checked)
        if not isinstance(results, Results):
            model = results.code == "E0802"
            return Outcome(False, f"found by the model only: {results.message}" if model else "")
        _written(results, drawn)
    except Exception:
        return Outcome(False, traceback.format_exc(limit=-3))
    return Outcome(False, "; ".join([*_nonsense(results, "results"), *_lost(results)][:4]))


def _written(results: Results, drawn: bool) -> None:
    if drawn:
        documents(results)
        return
    for table in (mass_balance.document(results), equipment.document(results)):
        text.markdown(table)
    for rows in (setting.settings, energy.power, energy.wear, energy.liner_costs):
        text.comma_separated(rows(results))
    for rows in (storage.storage, conveyors.belts, dust.by_source, equipment.decks):
        text.comma_separated(rows(results))


def _nonsense(value: object, path: str) -> Iterator[str]:
    """Numbers of the results that no plant has."""
    name = path.rpartition(".")[2].partition("[")[0]
    if isinstance(value, BaseModel):
        for field in type(value).model_fields:
            if field not in ("plant", "provenance"):
                yield from _nonsense(getattr(value, field), f"{path}.{field}")
    elif isinstance(value, tuple | list):
        for place, one in enumerate(value):
            yield from _nonsense(one, f"{path}[{place}]")
    elif isinstance(value, float):
        what = _wrong(name, value)
        if what:
            yield f"{path} is {value:g}, {what}"


def _lost(results: Results) -> Iterator[str]:
    """What the plant takes in and does not give. Every machine's own closure is in its results."""
    given = sum(product.rate_t_h for product in results.products)
    if abs(given - results.feed_t_h) > _CLOSES * max(results.feed_t_h, _SMALL):
        yield f"{results.feed_t_h:g} t/h are fed, {given:g} t/h are made"


def _wrong(name: str, value: float) -> str:
    if not math.isfinite(value):
        return "no number"
    if value < -_SMALL and name not in _SIGNED:
        return "below nothing"
    return "above the whole" if name in _SHARES and value > 1 + _SMALL else ""


def singles(site: Site) -> Iterator[tuple[dict[str, float], bool]]:
    """Each number at all its values, and whether that is out of its range."""
    for key, number in site.numbers.items():
        for value in number.tried:
            yield {key: value}, not number.low <= value <= number.high


def pairs(site: Site, count: int, random_: random.Random) -> Iterator[dict[str, float]]:
    """Two or three numbers, each at an end of its range."""
    keys = list(site.numbers)
    for _ in range(count if len(keys) > 1 else 0):
        some = random_.sample(keys, min(len(keys), random_.choice((2, 2, 3))))
        yield {k: random_.choice((site.numbers[k].low, site.numbers[k].high)) for k in some}
