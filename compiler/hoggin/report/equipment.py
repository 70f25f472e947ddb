"""The equipment schedule: every machine and deck against its limits, with the cautions."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from hoggin.report import (
    conveyors,
    cost,
    dust,
    energy,
    screens,
    setting,
    slurry,
    storage,
    tramp,
)
from hoggin.report.feed_notes import feed_notes
from hoggin.report.fields import (
    TAG,
    Field,
    known,
    names,
    number,
    quantity,
    result,
    results_of,
    second,
    supply,
    table,
    verdict,
    words,
)
from hoggin.report.tables import Document, Section, Table, where_rows
from hoggin.report.wording import (
    DEFERENCE,
    PREDICTION,
    all_checks,
    clean,
    machine_verdict,
    overload_notes,
    setting_of,
    settings_of,
    subtitle,
    verdict_word,
    worst_verdict,
)
from hoggin.schema.results import DeckResult, MachineResult, Results


def document(results: Results, *, brief: bool = False) -> Document:
    """The schedule: the whole of it, with every limit checked, unless `brief`: then of the limits
    only those that need attention."""
    near, attention = "Limits near or exceeded", limits(results, only_attention=True)
    whole = (
        Section("Every limit checked", (), limits(results, only_attention=False)),
        Section("Machine classes", (), classes(results)),
    )
    sections = (
        Section("Machines", (*overload_notes(results), *feed_notes(results)), machines(results)),
        Section("Screen decks", screens.area_notes(results), decks(results)),
        *(where_rows(near, (), attention) or (Section(near, ("None.",)),)),
        *(() if brief else whole),
        Section("Notes", points=notes(results)),
        *setting.sections(results),
        *energy.sections(results),
        *cost.sections(results),
        *storage.sections(results),
        *conveyors.sections(results),
        *slurry.sections(results),
        *tramp.sections(results),
        *dust.sections(results, brief=brief),
        Section("Warnings", (), warnings(results)),
        Section("Safety", (f"These are the usual cautions. {DEFERENCE}",), points=safety(results)),
        Section("Sources", points=sources(results.machines)),
        Section("Assumptions", (PREDICTION,), points=results.assumptions),
    )
    kept = tuple(section for section in sections if section.says)
    return Document(f"Equipment schedule: {results.title}", subtitle(results), kept)


MACHINE = (
    verdict(machine_verdict, 18),
    words("class", lambda machine: machine.class_name or machine.kind, 24),
    words("duty", lambda machine: setting_of(machine, "duty"), 12),
    words("settings", lambda machine: ", ".join(settings_of(machine)), 26),
    *results_of(
        MachineResult, "feed_t_h", "f80_mm", "p80_mm", "reduction_ratio", "capacity_t_h", "load"
    ),
    result(MachineResult, "power_kw", "drawn"),
    result(MachineResult, "installed_power_kw", "installed", kind="stated"),
)


def machines(results: Results) -> Table:
    """One row a machine."""
    named = (TAG, *names(results.machines), *quantity(results.machines))
    fields = (*named, *_titles(results.machines), *MACHINE)
    return table("Machines", fields, results.machines)


def _titles(machines: Sequence[MachineResult]) -> list[Field]:
    """What each is called, where the plant says so, and which are not to be bought."""
    called = words("title", lambda machine: machine.title or None, 30)
    return [*known((called,), machines), *supply(machines)]


def classes(results: Results) -> Table:
    """What each machine is: its class in words, and the class's traits."""
    fields = (
        TAG,
        *names(results.machines),
        words("kind", lambda machine: machine.kind, 12),
        words("class", lambda machine: machine.class_name, 24),
        words("about", lambda machine: machine.about, 40),
        words("traits", _traits, 50),
    )
    return table("Machine classes", fields, [m for m in results.machines if m.about or m.traits])


def _traits(machine: MachineResult) -> str:
    traits = sorted(machine.traits.items())
    return ", ".join(f"{name} {value}".replace("_", " ") for name, value in traits)


DECK = (
    words("deck", lambda pair: f"{pair[0].shown_tag}.{pair[1].name}", 24),
    verdict(lambda pair: worst_verdict(pair[1].checks), 12),
    number("aperture", "mm", "stated", lambda pair: pair[1].aperture_mm),
    words("shape", lambda pair: screens.shape(pair[1]), 10),
    *map(second, results_of(DeckResult, "feed_t_h", "oversize_t_h", "undersize_t_h")),
    *map(second, results_of(DeckResult, "cut_size_mm", "undersize_efficiency", "near_size")),
    second(result(DeckResult, "area_m2", "area fitted")),
    second(result(DeckResult, "area_needed_m2")),
    *map(second, results_of(DeckResult, "area_by_tables_m2", "area_by_partition_m2")),
    *map(second, results_of(DeckResult, "area_use", "bed_depth_mm")),
)


def decks(results: Results) -> Table:
    """One row a deck, top to bottom."""
    pairs = [(machine, deck) for machine in results.machines for deck in machine.decks]
    return table("Screen decks", DECK, pairs)


_LIMIT = (
    words("tag", lambda pair: pair[0]),
    words("limit", lambda pair: pair[1].name),
    verdict(lambda pair: verdict_word(pair[1]), 12),
    words("finding", lambda pair: pair[1].text, 60),
    words("code", lambda pair: pair[1].code, 8),
)


def limits(results: Results, *, only_attention: bool) -> Table:
    """One row a limit, in the words of the check; beyond first when asked only for those."""
    found = [pair for machine in results.machines for pair in all_checks(machine)]
    if only_attention:
        found = [pair for pair in found if pair[1].verdict != "ok"]
        found.sort(key=lambda pair: pair[1].verdict != "over")
    fits = words("would do", lambda pair: pair[1].fit, 30)
    fields = (*_LIMIT, fits) if any(check.fit for _, check in found) else _LIMIT
    return table("Limits near or exceeded" if only_attention else "Limits", fields, found)


def warnings(results: Results) -> Table:
    """What rating warned of, and what to do about it."""
    fields = (
        words("code", lambda warning: warning.code, 8),
        words("warning", lambda warning: warning.text, 52),
        words("what helps", lambda warning: warning.help, 44),
        words("where", lambda warning: f"{warning.file}:{warning.line}"),
    )
    return table("Warnings", fields, results.warnings)


def notes(results: Results) -> tuple[str, ...]:
    """What the plant's file notes at its machines."""
    return tuple(f"{m.shown_tag}: {clean(note)}" for m in results.machines for note in m.notes)


def safety(results: Results) -> tuple[str, ...]:
    """The plant's cautions, then each caution once with the machines it holds for."""
    holders: dict[str, list[str]] = {}
    for machine in results.machines:
        for caution in machine.cautions:
            holders.setdefault(clean(caution), []).append(machine.shown_tag)
    by_machine = (f"{', '.join(tags)}: {caution}" for caution, tags in holders.items())
    return (*results.cautions, *by_machine)


def sources(listed: Iterable[MachineResult]) -> tuple[str, ...]:
    """Every published source the machines' models rest on, once, in order."""
    return tuple(dict.fromkeys(clean(s) for machine in listed for s in machine.sources))
