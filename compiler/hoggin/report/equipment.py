"""The equipment schedule: every machine and deck against its limits, with the cautions."""

from __future__ import annotations

from collections.abc import Iterable

from hoggin.report import conveyors, dust, energy, screens, setting, storage, text
from hoggin.report.feed_notes import feed_notes
from hoggin.report.tables import Column, Document, Section, Table
from hoggin.report.wording import (
    DEFERENCE,
    PREDICTION,
    all_checks,
    clean,
    setting_of,
    settings_of,
    subtitle,
    verdict_word,
    worst_verdict,
)
from hoggin.schema.results import Check, MachineResult, Results


def terminal(results: Results, width: int = 140) -> str:
    """The schedule for a terminal: of the limits, only those that need attention."""
    return text.terminal(_document(results, brief=True), width)


def document(results: Results) -> Document:
    """The whole schedule, every limit checked."""
    return _document(results, brief=False)


def _document(results: Results, *, brief: bool) -> Document:
    attention = limits(results, only_attention=True)
    sections = [
        Section("Machines", feed_notes(results), machines(results)),
        Section("Screen decks", screens.area_notes(results), decks(results)),
        Section("Limits near or beyond", (), attention),
    ]
    if not brief:
        sections.append(Section("Every limit checked", (), limits(results, only_attention=False)))
        sections.append(Section("Machine classes", (), classes(results)))
    if not attention.rows:
        sections[2] = Section("Limits near or beyond", ("None.",))
    sections += setting.sections(results)
    sections += energy.sections(results)
    sections += storage.sections(results)
    sections += conveyors.sections(results)
    sections += dust.sections(results, brief=brief)
    sections.append(Section("Warnings", (), warnings(results)))
    kept = [s for s in sections if s.notes or (s.table and s.table.rows)]
    closing = (
        Section("Safety", (f"These are the usual cautions. {DEFERENCE}",), points=safety(results)),
        Section("Sources", points=sources(results.machines)),
        Section("Assumptions", (PREDICTION,), points=results.assumptions),
    )
    spoken = [s for s in closing if s.notes or s.points]
    return Document(f"Equipment schedule: {results.title}", subtitle(results), (*kept, *spoken))


def machines(results: Results) -> Table:
    """One row a machine."""
    columns = (
        Column("tag", width=20),
        Column("verdict", width=12),
        Column("class", width=24),
        Column("duty", width=12),
        Column("settings", width=26),
        Column("feed", "t/h", "rate"),
        Column("F80", "mm", "size"),
        Column("P80", "mm", "size"),
        Column("reduction ratio", kind="number"),
        Column("capacity", "t/h", "rate"),
        Column("load", "%", "percent"),
        Column("drawn", "kW", "rate"),
        Column("installed", "kW", "rate"),
    )
    rows = tuple(
        (
            machine.tag,
            worst_verdict(check for _, check in all_checks(machine)),
            machine.class_name or machine.kind,
            setting_of(machine, "duty"),
            ", ".join(settings_of(machine)),
            machine.feed_t_h,
            machine.f80_mm,
            machine.p80_mm,
            machine.reduction_ratio,
            machine.capacity_t_h,
            machine.load,
            machine.power_kw,
            machine.installed_power_kw,
        )
        for machine in results.machines
    )
    return Table("Machines", columns, rows)


def classes(results: Results) -> Table:
    """What each machine is: its class in words, and the class's traits."""
    columns = (
        Column("tag", width=20),
        Column("kind", width=12),
        Column("class", width=24),
        Column("about", width=40),
        Column("traits", width=50),
    )
    rows = tuple(
        (
            machine.tag,
            machine.kind,
            machine.class_name,
            machine.about,
            ", ".join(f"{name} {machine.traits[name]}".replace("_", " ") for name in traits),
        )
        for machine in results.machines
        for traits in [sorted(machine.traits)]
        if machine.about or traits
    )
    return Table("Machine classes", columns, rows)


def decks(results: Results) -> Table:
    """One row a deck, top to bottom."""
    columns = (
        Column("deck", width=24),
        Column("verdict", width=12),
        Column("aperture", "mm", "size"),
        Column("shape", width=10),
        Column("feed", "t/h", "rate"),
        Column("over", "t/h", "rate"),
        Column("under", "t/h", "rate"),
        Column("cut size", "mm", "size"),
        Column("undersize efficiency", "%", "percent"),
        Column("near size", "%", "percent"),
        Column("area fitted", "m2", "number"),
        Column("area needed", "m2", "number"),
        Column("area by Karra", "m2", "number"),
        Column("area use", "%", "percent"),
        Column("bed depth", "mm", "size"),
    )
    rows = tuple(
        (
            f"{machine.tag}.{deck.name}",
            worst_verdict(deck.checks),
            deck.aperture_mm,
            screens.shape(deck),
            deck.feed_t_h,
            deck.oversize_t_h,
            deck.undersize_t_h,
            deck.cut_size_mm,
            deck.undersize_efficiency,
            deck.near_size,
            deck.area_m2,
            deck.area_needed_m2,
            deck.area_by_karra_m2,
            deck.area_use,
            deck.bed_depth_mm,
        )
        for machine in results.machines
        for deck in machine.decks
    )
    return Table("Screen decks", columns, rows)


def limits(results: Results, *, only_attention: bool) -> Table:
    """One row a limit, in the words of the check; beyond first when asked only for those."""
    columns = (
        Column("tag", width=24),
        Column("limit", width=24),
        Column("verdict", width=12),
        Column("finding", width=60),
        Column("code", width=8),
    )
    found = [pair for machine in results.machines for pair in all_checks(machine)]
    if only_attention:
        found = [pair for pair in found if pair[1].verdict != "ok"]
        found.sort(key=lambda pair: pair[1].verdict != "over")

    def row(tag: str, check: Check) -> tuple[str | None, ...]:
        return tag, check.name, verdict_word(check), check.text, check.code

    title = "Limits near or beyond" if only_attention else "Limits"
    return Table(title, columns, tuple(row(tag, check) for tag, check in found))


def warnings(results: Results) -> Table:
    """What rating warned of, and what to do about it."""
    columns = (
        Column("code", width=8),
        Column("warning", width=52),
        Column("what helps", width=44),
        Column("where", width=24),
    )
    rows = tuple(
        (warning.code, warning.text, warning.help, f"{warning.file}:{warning.line}")
        for warning in results.warnings
    )
    return Table("Warnings", columns, rows)


def safety(results: Results) -> tuple[str, ...]:
    """The plant's cautions, then each caution once with the machines it holds for."""
    holders: dict[str, list[str]] = {}
    for machine in results.machines:
        for caution in machine.cautions:
            holders.setdefault(clean(caution), []).append(machine.tag)
    by_machine = (f"{', '.join(tags)}: {caution}" for caution, tags in holders.items())
    return (*results.cautions, *by_machine)


def sources(listed: Iterable[MachineResult]) -> tuple[str, ...]:
    """Every published source the machines' models rest on, once, in order."""
    return tuple(dict.fromkeys(clean(s) for machine in listed for s in machine.sources))
