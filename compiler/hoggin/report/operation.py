"""A plant over time as text: what was made, what each section did, and where the bottleneck is."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from hoggin.report.fields import Field, number, table, words
from hoggin.report.tables import Document, Section, Table, where_rows
from hoggin.report.wording import ABSENT, DEFERENCE, PREDICTION, fixed, significant, subtitle
from hoggin.studies.simulate.document import (
    STATES,
    Operation,
    ProductOperation,
    SectionOperation,
    Spread,
)

_TONNES = 0  # decimals


def document(found: Operation) -> Document:
    """The document for terminal and Markdown."""
    sections = (
        Section("Answer", points=tuple(_answer(found))),
        Section("Products", table=products(found)),
        Section("Hours of each section", (_hours_note(found),), sections_hours(found)),
        Section(
            "Tonnes not taken in, by cause",
            ("Compared with each section running all the time at its full pace.",),
            lost(found),
        ),
        *where_rows("Stores", (), stores(found)),
        *where_rows("Repairs", (), repairs(found)),
        Section("Sections", points=tuple(_members(found))),
        Section("Cautions", points=tuple(_caution(c.code, c.text) for c in found.cautions)),
        Section("Notes", points=tuple(_reading(found))),
    )
    return Document(f"{found.title}: {found.asked}", subtitle(found), sections)


def made_words(found: Operation) -> str:
    """What was made, in a sentence."""
    made = found.made_t
    said = f"{fixed(made.mean, 0)} t of products in {significant(found.hours, 5)} h of shift time"
    if found.runs == 1:
        return f"{said}, {significant(made.mean / found.hours, 4)} t/h on average."
    return (
        f"{said} on average over {found.runs} runs; one run in ten makes less than "
        f"{fixed(made.p10, 0)} t, one in ten more than {fixed(made.p90, 0)} t."
    )


def bottleneck_words(found: Operation) -> str:
    """Where the bottleneck is, in a sentence."""
    if all(section.gain_t is None for section in found.sections):
        return f"The section with the fewest idle hours is {found.busiest}."
    if found.bottleneck is None:
        return (
            "No single section is the bottleneck: none of them, run 10 % faster, would make more "
            f"in the long run. {found.busiest} has the fewest idle hours."
        )
    one = next(section for section in found.sections if section.name == found.bottleneck)
    gain = one.gain_t or 0.0
    drawn = fixed(one.gain_from_stores_t, 0)
    text = (
        f"The bottleneck is {one.name}: if it alone ran 10 % faster, the plant would make "
        f"{fixed(gain, 0)} t more ({fixed(100 * gain / found.made_t.mean, 1)} %)"
        + ("." if drawn == "0" else f", {drawn} t of it only by emptying the stores.")
    )
    return (
        text if found.busiest == one.name else f"{text} {found.busiest} has the fewest idle hours."
    )


def overload_words(found: Operation) -> list[str]:
    """Which machines can't take the rates that are run here, in a sentence."""
    if not found.overloaded:
        return []
    tags = ", ".join(found.overloaded)
    return [f"VOID: OVERLOADED at the balance's rates: {tags}. Less than this arrives downstream."]


def _answer(found: Operation) -> list[str]:
    said = [*overload_words(found), made_words(found), bottleneck_words(found)]
    stored = found.stored_t.mean
    if found.stores:
        word = "more" if stored >= 0 else "less"
        end = fixed(abs(stored), 0)
        said.append(
            "The stores are as full at the end as at the start."
            if end == "0"
            else f"The stores have {end} t {word} at the end than at the start."
        )
    return said


def products(found: Operation) -> Table:
    fields = (
        words("product", lambda one: one.tag),
        words("title", lambda one: one.title),
        *_spread(found, "made", lambda one: one.made_t),
        _tonnes("at the balance's rates", lambda one: one.steady_t),
        number("of that", "%", "percent", _of_steady),
    )
    return table("Products", fields, found.products)


def _of_steady(one: ProductOperation) -> float | None:
    return one.made_t.mean / one.steady_t if one.steady_t > 0 else None


def sections_hours(found: Operation) -> Table:
    def in_state(state: str) -> Field:
        return _hours(state, lambda one: one.hours[state])

    fields = (
        words("section", lambda one: one.name),
        number("pace", "%", "percent", lambda one: one.pace),
        number("available", "%", "percent", lambda one: one.availability),
        in_state(STATES[0]),
        _hours("of it slowed", lambda one: one.slowed_h),
        *map(in_state, STATES[1:]),
        number("running", "%", "percent", lambda one: one.utilisation),
    )
    return table("Hours of each section", fields, found.sections)


def lost(found: Operation) -> Table:
    def lost_in(state: str) -> Field:
        return _tonnes(state, lambda one: one.lost_t[state])

    fields = (
        words("section", lambda one: one.name),
        number("rate at the balance", "t/h", "rate", lambda one: one.rate_t_h),
        _tonnes("taken in", lambda one: one.taken_t.mean),
        *map(lost_in, STATES[1:]),
        number("products if 10 % faster", "t", "number", lambda one: _signed(one.gain_t)),
        number(
            "of it only from stores", "t", "number", lambda one: _signed(one.gain_from_stores_t)
        ),
    )
    return table("Tonnes not taken in", fields, found.sections)


def stores(found: Operation) -> Table:
    fields = (
        words("store", lambda one: one.tag),
        _tonnes("live", lambda one: one.live_t),
        _tonnes("start", lambda one: one.start_t),
        *_spread(found, "end", lambda one: one.end_t),
        _hours("empty", lambda one: one.empty_h),
        _hours("full", lambda one: one.full_h),
    )
    return table("Stores", fields, found.stores)


def repairs(found: Operation) -> Table:
    fields = (
        words("machine", lambda one: one.tag),
        words("cause", lambda one: one.cause),
        words("stops section", lambda one: one.section),
        number("availability", "%", "percent", lambda one: one.availability),
        number("mean repair", "h", "number", lambda one: significant(one.repair_h, 3)),
        number("times", "", "number", lambda one: fixed(one.failures, 1)),
        _hours("down", lambda one: one.down_h),
    )
    return table("Repairs", fields, found.repairs)


def levels(found: Operation) -> Table:
    """The spread of every store's level in time, for CSV."""
    fields = [number("shift time", "h", "number", found.hours_at.__getitem__)]
    for one in found.levels:
        for name, level in (("P10", one.p10_t), ("P50", one.p50_t), ("P90", one.p90_t)):
            fields.append(number(f"{one.tag} {name}", "t", "number", level.__getitem__))
    return table("Levels", fields, range(len(found.hours_at)))


def shown_run(found: Operation) -> Table:
    """Every event of the run that the plot shows, for CSV."""
    fields = (
        number("shift time", "h", "number", found.shown_h.__getitem__),
        *(number(one.tag, "t", "number", one.shown_t.__getitem__) for one in found.levels),
    )
    return table("Shown run", fields, range(len(found.shown_h)))


def _tonnes(heading: str, get: Callable[[Any], float]) -> Field:
    return number(heading, "t", "number", lambda thing: fixed(get(thing), _TONNES))


def _hours(heading: str, get: Callable[[Any], float]) -> Field:
    return number(heading, "h", "number", lambda thing: fixed(get(thing), 1))


def _spread(found: Operation, what: str, get: Callable[[Any], Spread]) -> tuple[Field, ...]:
    """Tonnes over all runs; of one run there is no spread."""
    if found.runs == 1:
        return (_tonnes(what, lambda one: get(one).mean),)
    return (
        _tonnes(f"{what}, mean", lambda one: get(one).mean),
        _tonnes("P10", lambda one: get(one).p10),
        _tonnes("P50", lambda one: get(one).p50),
        _tonnes("P90", lambda one: get(one).p90),
    )


def _signed(tonnes: float | None) -> str:
    if tonnes is None:
        return ABSENT
    text = fixed(tonnes, _TONNES)
    return text if text.startswith("-") or text == "0" else f"+{text}"


def _hours_note(found: Operation) -> str:
    return (
        f"Of {significant(found.hours, 5)} h of shift time"
        + (", averaged over all runs." if found.runs > 1 else ".")
        + " If a section is stopped for several reasons, its hours are under the first of: repair, "
        "planned stop, changeover, not loaded, blocked or short of feed."
    )


def _members(found: Operation) -> list[str]:
    said = [f"{one.name}: {_ways(one)}{', '.join(one.members)}" for one in found.sections]
    if found.inside:
        said.append(
            f"{', '.join(found.inside)}: part of one section, which both feeds it and draws from "
            "it."
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
        "Sections run at the balance's rates times a factor, with the balance's gradings. A store "
        "keeps no grading of its own.",
        "All machines of a section run, or none: one stopped machine stops the whole section, even "
        "if two run side by side, unless they are one machine with a `count`.",
    ]
    if found.in_parallel:
        said.append(
            f"Equal machines in parallel ({', '.join(found.in_parallel)}) stop one by one: while "
            "one of N is stopped, its section runs at no more than (N - 1) / N of its pace. Their "
            "planned stops take turns. A row of repairs is of all of them."
        )
    if found.failures:
        said.append(
            "Times to failure and repair are exponential. Machines fail only while their section "
            f"runs. Repairs continue in shift time only. Seed {found.seed}."
        )
    elif any(one.availability < 1 for one in found.sections):
        said.append("No failures: each section's pace is reduced by its availability.")
    return [*said, f"{PREDICTION} {DEFERENCE}"]
