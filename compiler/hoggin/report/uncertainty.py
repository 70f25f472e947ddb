"""A study of uncertainty as text and as JSON: spreads, chances, and what causes the spread."""

from __future__ import annotations

from collections.abc import Sequence

from hoggin.report import fields, wording
from hoggin.report.chart.scale import decimals
from hoggin.report.fields import Field, number, words
from hoggin.report.tables import Document, Section, Table
from hoggin.report.tally import marked
from hoggin.studies.uncertainty.document import Chance, OutputSpread, UncertainNumber, Uncertainty
from hoggin.studies.uncertainty.uncertainty import Samples
from hoggin.studies.unfinished import NOT_COMPUTED

_LEAST_INDEX = 0.005  # less than half a per cent of the variance is shown as none
_LEAST_CUT = 1e-6
_FIGURES = ("at start", "P10", "P50", "P90", "mean", "standard deviation")
_MOST_NUMBERS = 8  # columns of the ranking


def document(found: Uncertainty) -> Document:
    """The document for terminal and Markdown."""
    sections = [
        _numbers(found),
        *_chances(found),
        *_overloaded(found),
        Section("Spread of the results", table=spreads(found, written=True)),
        *_ranking(found),
        *_left_out(found),
        _reading(found),
    ]
    subtitle = f"{wording.subtitle(found)}; {_drawn(found)}"
    whole = Document(f"{found.title}: uncertainty", subtitle, tuple(sections))
    return marked(whole, found.missing, found.samples, "samples")


def spreads(found: Uncertainty, *, written: bool = False) -> Table:
    """P10, P50 and P90 of every result; `written` for a reader, else for CSV."""
    columns = (
        words("result", lambda one: one.name, 44),
        words("unit", lambda one: one.unit, 12),
        *(_figure(place, name, written=written) for place, name in enumerate(_FIGURES)),
        number("samples", "", "count", lambda one: one.count),
    )
    return fields.table("Spread", columns, found.outputs)


def _figure(place: int, name: str, *, written: bool) -> Field:
    def get(one: OutputSpread) -> str | float | None:
        figures = (one.at_start, one.p10, one.p50, one.p90, one.mean, one.deviation)
        return wording.fixed(figures[place], decimals(figures)) if written else figures[place]

    return number(name, "", "number", get)


def chances(found: Uncertainty) -> Table:
    """The chance of each requirement, with its interval."""
    columns = (
        words("requirement", lambda one: one.text, 52),
        number("chance", "%", "percent", lambda one: one.chance),
        number("from", "%", "percent", lambda one: one.low),
        number("to", "%", "percent", lambda one: one.high),
        number("met", "", "count", lambda one: one.met),
        number("not judged", "", "count", lambda one: one.not_judged),
        number("of", "", "count", lambda one: one.samples),
    )
    return fields.table("Chances", columns, _all_chances(found))


def causes(found: Uncertainty) -> Table:
    """Both indices of every result for every number, for CSV."""
    columns = (
        words("result", lambda pair: pair[0].name, 44),
        words("number", lambda pair: pair[1].number, 32),
        number("first", "", "number", lambda pair: pair[1].first),
        number("first error", "", "number", lambda pair: pair[1].first_error),
        number("total", "", "number", lambda pair: pair[1].total),
        number("total error", "", "number", lambda pair: pair[1].total_error),
    )
    pairs = ((one, cause) for one in found.outputs for cause in one.causes)
    return fields.table("Causes", columns, pairs)


def samples(found: Uncertainty, drawn: Samples) -> Table:
    """Every sample by itself, for CSV."""
    named = [*((n.name, n.unit) for n in found.numbers), *((o.name, o.unit) for o in found.outputs)]
    drawn_of = (*drawn.numbers.T, *drawn.outputs.T)
    asked = [f"verdict: {one.text}" for one in found.chances]
    columns = (
        *(
            number(name, unit, "number", values.item)
            for (name, unit), values in zip(named, drawn_of, strict=True)
        ),
        *(words(name, row.item) for name, row in zip(asked, drawn.verdicts.T, strict=True)),
        words("overloaded", lambda n: ", ".join(drawn.overloaded[n])),
        words("balance", lambda n: _balanced(drawn, n)),
    )
    return fields.table("Samples", columns, range(len(drawn.settled)))


def _balanced(drawn: Samples, sample: int) -> str:
    if not drawn.is_computed[sample]:
        return NOT_COMPUTED
    return "yes" if drawn.settled[sample] else "no"


def foremost(found: Uncertainty) -> list[str]:
    """The results that a plot has room for: rates of the products, and what is required."""
    return [one.name for one in found.outputs if one.foremost]


def number_words(number: UncertainNumber) -> str:
    """`normal, mean 450 t/h, standard deviation 22.5 t/h`."""
    names = {
        "normal": ("mean", "standard deviation"),
        "uniform": ("from", "to"),
        "triangle": ("from", "most likely", "to"),
    }[number.kind]
    said = (
        f"{name} {wording.significant(value, 5)} {number.unit}".strip()
        for name, value in zip(names, number.numbers, strict=True)
    )
    return f"{number.kind}, {', '.join(said)}"


def number_limits(number: UncertainNumber) -> str:
    """What the number is held within, and what of its distribution that leaves out."""
    sides = [
        f"{word} {wording.significant(limit, 5)} {number.unit}".strip()
        for word, limit in (("from", number.low), ("to", number.high))
        if limit is not None
    ]
    if not sides:
        return "no limits"
    share = "nothing" if number.left_out < _LEAST_CUT else f"{100 * number.left_out:.2g} %"
    return f"{' '.join(sides)} ({number.limited_by}); {share} cut off"


def _drawn(found: Uncertainty) -> str:
    how = {
        "latin": "in a Latin hypercube",
        "random": "at random",
        "sequence": "along Sobol's sequence",
    }[found.method]
    return f"{found.samples:,} samples {how}, seed {found.seed}, {found.cases:,} cases balanced"


def _numbers(found: Uncertainty) -> Section:
    columns = (
        words("number", lambda one: one.name, 32),
        words("distribution", number_words, 60),
        words("limits", number_limits, 44),
    )
    return Section("Uncertain numbers", table=fields.table("Numbers", columns, found.numbers))


def _all_chances(found: Uncertainty) -> list[Chance]:
    together = found.all_together
    return [*found.chances, *([together] if together and len(found.chances) > 1 else [])]


def _chances(found: Uncertainty) -> list[Section]:
    if not found.chances:
        return []
    note = (
        "From and to: the true chance lies between them 19 times in 20, for this number of samples "
        "(Wilson 1927). A sample without a balance does not meet a requirement. Nor does one in "
        "which it is not judged, because what it depends on is overloaded."
    )
    return [Section("Chance of meeting the requirements", (note,), chances(found))]


def _overloaded(found: Uncertainty) -> list[Section]:
    if not found.overloaded:
        return []
    note = "Results downstream of an overloaded machine are void in these samples."
    points = tuple(
        f"{one.tag}: OVERLOADED in {one.samples} of {found.samples} samples"
        for one in found.overloaded
    )
    return [Section("Overloaded machines", (note,), points=points)]


def _ranking(found: Uncertainty) -> list[Section]:
    if not found.ranked:
        return []
    front = [one for one in found.outputs if one.foremost]
    varying = [one for one in front if one.causes]
    still = [one.name for one in front if not one.causes and one.count]
    names = _by_weight(found, varying)[:_MOST_NUMBERS]
    columns = (words("result", lambda one: one.name, 44), *map(_total_index, names))
    notes = [
        "Total index: the share of a result's variance that would remain if all other numbers were "
        "known. If the indices add up to clearly more than 100 %, the numbers interact. All other "
        "results, first indices and errors are in causes.csv."
    ]
    left = len(found.numbers) - len(names)
    if left > 0:
        notes.append(f"{left} numbers with less weight are not shown.")
    if still:
        notes.append(f"Without spread: {', '.join(still)}.")
    table = fields.table("Ranking", columns, varying)
    return [Section("What causes the spread", tuple(notes), table)]


def _by_weight(found: Uncertainty, varying: Sequence[OutputSpread]) -> list[str]:
    """Numbers by the sum of their total indices over all results."""
    weight = {number.name: 0.0 for number in found.numbers}
    for one in varying:
        for cause in one.causes:
            weight[cause.number] += cause.total
    return sorted(weight, key=lambda name: -weight[name])


def _total_index(name: str) -> Field:
    """How much of a result's spread a number causes."""

    def get(one: OutputSpread) -> str:
        total = next(cause.total for cause in one.causes if cause.number == name)
        return wording.ABSENT if total < _LEAST_INDEX else wording.fixed(min(100.0, 100 * total), 0)

    return number(name, "%", "number", get)


def _left_out(found: Uncertainty) -> list[Section]:
    if not found.left_out and not found.unsettled:
        return []
    notes = []
    if found.left_out:
        notes.append(
            f"{found.left_out} of {found.samples} samples are not valid plants and are left out "
            "of all figures."
        )
    if found.unsettled:
        notes.append(
            f"{found.unsettled} of {found.samples} samples have no balance. They are left out of "
            "the spreads, and meet no requirement."
        )
    points = tuple(f"{reason.text}: {reason.samples} samples" for reason in found.reasons)
    return [Section("Samples left out", tuple(notes), points=points)]


def _reading(found: Uncertainty) -> Section:
    points = [
        "P10: one sample in ten is below it; P50: half of them; P90: nine in ten. At start: with "
        "every number at its mean, middle or most likely value.",
        "The numbers are sampled independently of one another. Free numbers, which the designer "
        "chooses, stay at their starting values.",
    ]
    if found.ranked:
        points.append(
            "Indices: Sobol's, first by Saltelli et al. (2010), total by Jansen (1999), from "
            f"{found.ranked:,} samples with one case more for each number. They are estimates: "
            "an index near 0 may come out slightly negative, and one above 100 % is shown as 100."
        )
    if found.ranked and found.ranked < found.samples:
        points.append(
            "The indices are computed only from samples whose cases all have a balance. If many "
            "have none, the indices describe only the rest."
        )
    points.append(f"{wording.PREDICTION} {wording.DEFERENCE}")
    return Section("Notes", points=tuple(points))
