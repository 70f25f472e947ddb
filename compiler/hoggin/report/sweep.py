"""A sweep as text: every step in a table, and where the requirements are met."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product, starmap

from hoggin.report import fields, wording
from hoggin.report.chart.scale import decimals
from hoggin.report.fields import Field, number, words
from hoggin.report.tables import Document, Section, Table
from hoggin.report.tally import marked, tally, verdict_counts
from hoggin.schema.results import Judgement
from hoggin.studies.paired.document import Paired, PairedRequirement
from hoggin.studies.sweep.document import (
    Stretch,
    Sweep,
    SweptOutput,
    SweptRequirement,
    SweptSetting,
)

_MOST_REASONS = 20
_MOST_COLUMNS = 25  # of a field shown in words


def document(sweep: Sweep) -> Document:
    """The document for terminal and Markdown."""
    single = len(sweep.settings) == 1
    sections = (
        _answer(sweep),
        Section("Steps", table=_steps(sweep)) if single else _field(sweep),
        *([_without_balance(sweep)] if any(sweep.refused) else []),
        _reading(sweep),
    )
    over = " and ".join(_ranged(setting) for setting in sweep.settings)
    whole = Document(f"{sweep.title}: {over}", wording.subtitle(sweep), sections)
    return marked(whole, sweep.missing, sweep.steps, "steps")


def table(sweep: Sweep) -> Table:
    """Every step with all its figures, for CSV."""
    stepped = zip(*_places(sweep), strict=True)  # each setting's value at every step
    numbers = [
        *((one.name, one.unit, one.values) for one in sweep.outputs),
        *((f"margin: {one.text}", one.unit, one.margins) for one in sweep.requirements),
    ]
    columns = [
        *map(_at_steps, sweep.settings, stepped),
        *(number(name, unit, "number", values.__getitem__) for name, unit, values in numbers),
        words("requirements", lambda step: met_words(sweep, step)),
        words("why there is no balance", sweep.refused.__getitem__),
    ]
    return fields.table("Sweep", columns, range(sweep.steps), len(sweep.settings))


def _at_steps(setting: SweptSetting, values: Sequence[float]) -> Field:
    """A setting's value at every step."""
    if setting.words:
        return words(setting.name, lambda step: _said(setting, values[step]))
    return number(setting.name, setting.unit, "number", values.__getitem__)


def _said(setting: SweptSetting, value: float) -> str:
    """A value without its unit: the word, where it stands for one."""
    return setting.words[round(value) - 1] if setting.words else wording.significant(value, 5)


def feasible_words(sweep: Sweep) -> str:
    """Where all requirements are met, in a sentence."""
    if not sweep.requirements:
        return " ".join(["The plant states no requirements.", *overload_words(sweep)])
    setting = sweep.settings[0]
    if len(sweep.settings) == 1 and setting.scale == "range":
        if not sweep.feasible:
            said = "No value in this range meets all requirements."
            return " ".join([said, *overload_words(sweep)])
        return f"All requirements are met {_stretched(sweep.feasible, setting)}."
    count = sum(sweep.all_met)
    if not count:
        said = f"None of the {sweep.steps} steps meets all requirements."
        return " ".join([said, *overload_words(sweep)])
    return f"All requirements are met at {count} of {sweep.steps} steps."


def overload_words(found: Sweep | Paired, of: str = "steps") -> list[str]:
    """Where a machine can't take its feed, in a sentence; none where all can."""
    tags = sorted({tag for step in found.overloaded for tag in step})
    if not tags:
        return []
    count = sum(map(bool, found.overloaded))
    return [
        f"At {count} of {len(found.overloaded)} {of} a machine is OVERLOADED ({', '.join(tags)}): "
        "what is downstream of it is void there."
    ]


def where_met(one: SweptRequirement, sweep: Sweep) -> str:
    """Where a requirement is met, in words."""
    count, settled = one.verdicts.count("met"), sweep.refused.count("")
    if settled and count == settled:
        return "met everywhere" if settled == sweep.steps else "met wherever there is a balance"
    if one.feasible:
        return f"met {_stretched(one.feasible, sweep.settings[0])}"
    if count:
        return f"met at {count} of {sweep.steps} steps"
    return "NOT JUDGED anywhere" if "not met" not in one.verdicts else "NOT MET anywhere"


def setting_text(setting: SweptSetting, value: float) -> str:
    return f"{_said(setting, value)} {setting.unit}".strip()


def with_unit(one: SweptSetting | SweptOutput) -> str:
    """`cone.css, mm`; of words, which place is whose: `order_book.position: 1 left, 2 right`."""
    if isinstance(one, SweptSetting) and one.words:
        return f"{one.name}: {', '.join(f'{n} {word}' for n, word in enumerate(one.words, 1))}"
    return f"{one.name}, {one.unit}" if one.unit else one.name


def _answer(sweep: Sweep) -> Section:
    points = [
        f"{number}: {one.text}: {_met_and_counted(one, sweep)}"
        for number, one in enumerate(sweep.requirements, start=1)
    ]
    notes = (feasible_words(sweep), tally(sweep, "steps"))
    return Section("Where the requirements are met", notes, points=tuple(points))


def _met_and_counted(one: SweptRequirement, sweep: Sweep) -> str:
    """Where a requirement is met, if that is more than a number of steps; and at how many."""
    counts, where = verdict_counts(one.verdicts, sweep.refused, "steps"), where_met(one, sweep)
    return counts if where in counts else f"{where} ({counts})"


def _stretched(stretches: tuple[Stretch, ...], setting: SweptSetting) -> str:
    def end(value: float) -> str:
        """An end between two steps is known to about three figures."""
        if value in setting.values:
            return setting_text(setting, value)
        return f"about {wording.significant(value, 3)} {setting.unit}".strip()

    def told(stretch: Stretch) -> str:
        low, high = (end(side) for side in stretch)
        return f"at {low}" if low == high else f"from {low} to {high}"

    return " and ".join(map(told, stretches))


def _ranged(setting: SweptSetting) -> str:
    low, high = (setting_text(setting, v) for v in (min(setting.values), max(setting.values)))
    if setting.scale == "steps":
        listed = ", ".join(_said(setting, v) for v in setting.values)
        return f"{setting.name} {listed} {setting.unit}".strip()
    return f"{setting.name} from {low} to {high}"


def _steps(sweep: Sweep) -> Table:
    def of(output: SweptOutput) -> Field:
        places = decimals(output.values)
        values = [wording.fixed(value, places) for value in output.values]
        return number(output.name, output.unit, "number", values.__getitem__)

    columns = (
        _of_setting(sweep.settings[0]),
        *map(of, sweep.outputs),
        words("requirements", lambda step: met_words(sweep, step), 30),
    )
    return fields.table("Steps", columns, range(sweep.steps))


def _of_setting(setting: SweptSetting) -> Field:
    """A setting's value, by its place among its values."""
    values = [_said(setting, value) for value in setting.values]
    return number(setting.name, setting.unit, "number", values.__getitem__)


def _field(sweep: Sweep) -> Section:
    """The grid in words: met, or the numbers of what is not."""
    first, second = sweep.settings
    across = len(second.values)
    notes = (
        f"Rows: {_named(first)}. Columns: {_named(second)}. A number is "
        "that of a requirement that is not met; in brackets, it is not judged, because what it "
        "depends on is overloaded; `over`, a machine is overloaded that no requirement depends on.",
    )
    if across > _MOST_COLUMNS:
        return Section("The field", ("The table is too wide to show; see the CSV.",))

    def of(place: int, value: float) -> Field:
        """What is met at a value of the second setting, by the place of the first one's value."""
        heading = _said(second, value)
        return words(heading, lambda row: _short(sweep, row * across + place), 12)

    columns = (_of_setting(first), *starmap(of, enumerate(second.values)))
    table = fields.table("The field", columns, range(len(first.values)))
    return Section("The field", notes, table)


def _named(setting: SweptSetting) -> str:
    return f"{setting.name}, {setting.unit}" if setting.unit else setting.name


def _short(sweep: Sweep, step: int) -> str:
    if sweep.refused[step]:
        return "none"
    missed = [
        *map(str, _judged(sweep, step, "not met")),
        *(f"({n})" for n in _judged(sweep, step, "not judged")),
    ]
    if missed:
        return ",".join(missed)
    return "over" if sweep.overloaded[step] else "met"


def _judged(sweep: Sweep | Paired, step: int, verdict: Judgement) -> list[int]:
    """The numbers of the requirements with a verdict."""
    asked: Sequence[SweptRequirement | PairedRequirement] = sweep.requirements
    return [n for n, one in enumerate(asked, start=1) if one.verdicts[step] == verdict]


def met_words(sweep: Sweep | Paired, step: int) -> str:
    """Which requirements a step meets, by their numbers where not all, and what is overloaded."""
    if sweep.refused[step]:
        return "no balance"
    kinds: tuple[Judgement, ...] = ("not met", "not judged")
    said = [
        f"{kind.upper()}: {', '.join(map(str, numbers))}"
        for kind in kinds
        if (numbers := _judged(sweep, step, kind))
    ]
    if over := sweep.overloaded[step]:
        said.append(f"OVERLOADED: {', '.join(over)}")
    return "; ".join(said) or ("all met" if sweep.requirements else "")


def _places(sweep: Sweep) -> list[tuple[float, ...]]:
    """The settings' values at every step."""
    return list(product(*(setting.values for setting in sweep.settings)))


def _without_balance(sweep: Sweep) -> Section:
    refused = [step for step in range(sweep.steps) if sweep.refused[step]]
    points = [f"{_place_words(sweep, at)}: {sweep.refused[at]}" for at in refused[:_MOST_REASONS]]
    more = len(refused) - _MOST_REASONS
    points += [f"and {more} more; the CSV has all"] if more > 0 else []
    note = f"{len(refused)} of {sweep.steps} steps. They are left out of the plots."
    return Section("Steps without a balance", (note,), points=tuple(points))


def _place_words(sweep: Sweep, step: int) -> str:
    places = zip(sweep.settings, _places(sweep)[step], strict=True)
    return ", ".join(f"{setting.name} {setting_text(setting, value)}" for setting, value in places)


def _reading(sweep: Sweep) -> Section:
    points = [
        "All other settings are those of the file; free and uncertain numbers are at their "
        "starting values.",
        "All steps are balanced on one grid of sizes, so the last digits of a figure may differ "
        "from those of `hoggin balance`.",
        f"{wording.PREDICTION} {wording.DEFERENCE}",
    ]
    if any(setting.scale == "range" for setting in sweep.settings):
        points.insert(1, "Margins are interpolated linearly between two steps.")
    return Section("Notes", points=tuple(points))
