"""A plant over time as text: what was made, what each section did, and where the bottleneck is."""

from __future__ import annotations

import json

from hoggin.report.tables import Column, Document, Section, Table, Value
from hoggin.report.wording import ABSENT, DEFERENCE, PREDICTION, fixed, significant, subtitle
from hoggin.schema.rounding import rounded
from hoggin.studies.simulate.document import STATES, Operation, SectionOperation, Spread

_TONNES = 0  # decimals


def document(found: Operation) -> Document:
    """The document for terminal and Markdown."""
    sections = [
        Section("Answer", points=tuple(_answer(found))),
        Section("Products", table=products(found)),
        Section("Hours of each section", (_hours_note(found),), sections_hours(found)),
        Section(
            "Tonnes not taken in, and why",
            ("Against each section running at its pace all the time.",),
            lost(found),
        ),
    ]
    if found.stores:
        sections.append(Section("Stores", table=stores(found)))
    if found.repairs:
        sections.append(Section("Repairs", table=repairs(found)))
    sections.append(Section("Sections", points=tuple(_members(found))))
    sections.append(
        Section("Cautions", points=tuple(_caution(c.code, c.text) for c in found.cautions))
    )
    sections.append(Section("Reading these figures", points=tuple(_reading(found))))
    return Document(f"{found.title}: {found.asked}", subtitle(found), tuple(sections))


def operation_json(found: Operation) -> str:
    content = rounded(found.model_dump(mode="json"))
    return json.dumps(content, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def made_words(found: Operation) -> str:
    """What was made, in a sentence."""
    made = found.made_t
    said = f"{fixed(made.mean, 0)} t of products in {significant(found.hours, 5)} h of shift time"
    if found.runs == 1:
        return f"{said}, {significant(made.mean / found.hours, 4)} t/h on the average."
    return (
        f"{said} on the average of {found.runs} runs; one run in ten makes less than "
        f"{fixed(made.p10, 0)} t, one in ten more than {fixed(made.p90, 0)} t."
    )


def bottleneck_words(found: Operation) -> str:
    """Where the bottleneck is, in a sentence."""
    if all(section.gain_t is None for section in found.sections):
        return f"The section with the fewest idle hours is {found.busiest}."
    if found.bottleneck is None:
        return (
            "No section is a bottleneck alone: none of them, run 10 % faster, would lastingly make "
            f"more. The fewest idle hours has {found.busiest}."
        )
    one = next(section for section in found.sections if section.name == found.bottleneck)
    gain = one.gain_t or 0.0
    drawn = fixed(one.gain_from_stores_t, 0)
    text = (
        f"The bottleneck is {one.name}: 10 % faster alone, it would make {fixed(gain, 0)} t more "
        f"({fixed(100 * gain / found.made_t.mean, 1)} %)"
        + ("." if drawn == "0" else f", {drawn} t of it only by emptying the stores.")
    )
    return (
        text if found.busiest == one.name else f"{text} The fewest idle hours has {found.busiest}."
    )


def _answer(found: Operation) -> list[str]:
    said = [made_words(found), bottleneck_words(found)]
    stored = found.stored_t.mean
    if found.stores:
        word = "more" if stored >= 0 else "less"
        end = fixed(abs(stored), 0)
        said.append(
            "The stores end as full as they began."
            if end == "0"
            else f"The stores end with {end} t {word} in them than at the start."
        )
    return said


def products(found: Operation) -> Table:
    columns = (
        Column("product"),
        Column("title"),
        *_spread_columns(found, "made"),
        Column("at the balance's rates", "t", "number"),
        Column("of that", "%", "percent"),
    )
    rows = tuple(
        (
            one.tag,
            one.title,
            *_spread_cells(found, one.made_t),
            fixed(one.steady_t, _TONNES),
            one.made_t.mean / one.steady_t if one.steady_t > 0 else None,
        )
        for one in found.products
    )
    return Table("Products", columns, rows)


def sections_hours(found: Operation) -> Table:
    columns = (
        Column("section"),
        Column("pace", "%", "percent"),
        Column("available", "%", "percent"),
        Column("running", "h", "number"),
        Column("of it slowed", "h", "number"),
        *(Column(state, "h", "number") for state in STATES[1:]),
        Column("running", "%", "percent"),
    )
    rows: tuple[tuple[Value, ...], ...] = tuple(
        (
            one.name,
            one.pace,
            one.availability,
            _hours(one.hours[STATES[0]]),
            _hours(one.slowed_h),
            *(_hours(one.hours[state]) for state in STATES[1:]),
            one.utilisation,
        )
        for one in found.sections
    )
    return Table("Hours of each section", columns, rows)


def lost(found: Operation) -> Table:
    columns = (
        Column("section"),
        Column("rate at the balance", "t/h", "rate"),
        Column("taken in", "t", "number"),
        *(Column(state, "t", "number") for state in STATES[1:]),
        Column("products if 10 % faster", "t", "number"),
        Column("of it only from stores", "t", "number"),
    )
    rows: tuple[tuple[Value, ...], ...] = tuple(
        (
            one.name,
            one.rate_t_h,
            fixed(one.taken_t.mean, _TONNES),
            *(fixed(one.lost_t[state], _TONNES) for state in STATES[1:]),
            _signed(one.gain_t),
            _signed(one.gain_from_stores_t),
        )
        for one in found.sections
    )
    return Table("Tonnes not taken in", columns, rows)


def stores(found: Operation) -> Table:
    columns = (
        Column("store"),
        Column("live", "t", "number"),
        Column("start", "t", "number"),
        *_spread_columns(found, "end"),
        Column("empty", "h", "number"),
        Column("full", "h", "number"),
    )
    rows = tuple(
        (
            one.tag,
            fixed(one.live_t, _TONNES),
            fixed(one.start_t, _TONNES),
            *_spread_cells(found, one.end_t),
            _hours(one.empty_h),
            _hours(one.full_h),
        )
        for one in found.stores
    )
    return Table("Stores", columns, rows)


def repairs(found: Operation) -> Table:
    columns = (
        Column("machine"),
        Column("stops section"),
        Column("availability", "%", "percent"),
        Column("mean repair", "h", "number"),
        Column("failures", "", "number"),
        Column("down", "h", "number"),
    )
    rows = tuple(
        (
            one.tag,
            one.section,
            one.availability,
            significant(one.repair_h, 3),
            fixed(one.failures, 1),
            _hours(one.down_h),
        )
        for one in found.repairs
    )
    return Table("Repairs", columns, rows)


def levels(found: Operation) -> Table:
    """The spread of every store's level in time, for CSV."""
    columns = [Column("shift time", "h", "number")]
    for one in found.levels:
        columns += [Column(f"{one.tag} {name}", "t", "number") for name in ("P10", "P50", "P90")]
    rows = tuple(
        (
            hour,
            *(level[place] for one in found.levels for level in (one.p10_t, one.p50_t, one.p90_t)),
        )
        for place, hour in enumerate(found.hours_at)
    )
    return Table("Levels", tuple(columns), rows)


def shown_run(found: Operation) -> Table:
    """Every event of the run that the plot shows, for CSV."""
    columns = (
        Column("shift time", "h", "number"),
        *(Column(one.tag, "t", "number") for one in found.levels),
    )
    rows = tuple(
        (hour, *(one.shown_t[place] for one in found.levels))
        for place, hour in enumerate(found.shown_h)
    )
    return Table("Shown run", columns, rows)


def _spread_columns(found: Operation, what: str) -> tuple[Column, ...]:
    if found.runs == 1:
        return (Column(what, "t", "number"),)
    mean = Column(f"{what}, mean", "t", "number")
    return (mean, *(Column(name, "t", "number") for name in ("P10", "P50", "P90")))


def _spread_cells(found: Operation, spread: Spread) -> tuple[str, ...]:
    values = (spread.mean, spread.p10, spread.p50, spread.p90)
    return tuple(fixed(value, _TONNES) for value in values[: 1 if found.runs == 1 else 4])


def _hours(hours: float) -> str:
    return fixed(hours, 1)


def _signed(tonnes: float | None) -> str:
    if tonnes is None:
        return ABSENT
    text = fixed(tonnes, _TONNES)
    return text if text.startswith("-") or text == "0" else f"+{text}"


def _hours_note(found: Operation) -> str:
    return (
        f"Of {significant(found.hours, 5)} h of shift time"
        + (", on the average of all runs." if found.runs > 1 else ".")
        + " Where several things stop a section, the hours are told under the first of: repair, "
        "planned stop, changeover, not loaded, blocked or short of feed."
    )


def _members(found: Operation) -> list[str]:
    said = [f"{one.name}: {_ways(one)}{', '.join(one.members)}" for one in found.sections]
    if found.inside:
        said.append(
            f"{', '.join(found.inside)}: parts no sections (fed and drained by the same one), and "
            "counts as a part of its own."
        )
    return said


def _ways(one: SectionOperation) -> str:
    from_, to = ", ".join(one.from_stores), ", ".join(one.to_stores)
    ways = [f"from {from_}"] if from_ else []
    ways += [f"to {to}"] if to else []
    return f"{' '.join(ways)}: " if ways else ""


def _caution(code: str, text: str) -> str:
    return f"{code}: {text}" if code else text


def _reading(found: Operation) -> list[str]:
    said = [
        "Sections run at the balance's rates, or at a part or multiple of them, with the balance's "
        "gradings; a store mixes nothing and keeps no grading of its own.",
        "A section runs together or not at all: one machine that stands stops all of it, also "
        "where two stand side by side.",
    ]
    if found.failures:
        said.append(
            f"Failures and repairs are drawn by seed {found.seed}, exponential, while a section "
            "runs; repairs go on in shift time only."
        )
    elif any(one.availability < 1 for one in found.sections):
        said.append("Nothing fails: each section's pace is taken down to its availability.")
    return [*said, f"{PREDICTION} {DEFERENCE}"]
