"""The lists that a plant is bought and built by. Each is declared once: its columns, each with how
a row is read, and what its rows are."""

from __future__ import annotations

from hoggin.report import conveyors, energy, screens
from hoggin.report.fields import (
    TAG,
    Field,
    known,
    names,
    number,
    result,
    second,
    supply,
    table,
    words,
)
from hoggin.report.tables import Section, Table, where_rows
from hoggin.report.wording import clean, setting_of
from hoggin.schema.kinds import DRIVEN, KINDS
from hoggin.schema.plant import Machine
from hoggin.schema.results import DeckResult, MachineResult, Results

_MASS_NOTE = (
    "Mass: that of the vibrating box with its decks, or of a set of liners, where the class states "
    "it. Masses of whole machines and structures are for the bidders. A dash is not known."
)
_MEDIA_NOTE = (
    "Wire or panel, and material, are for the bidder: they decide the open area and so the "
    "capacity. Area is that of the deck of one screen."
)


def described(machine: MachineResult) -> str:
    """What a machine is, in words: its title, and what its class says of itself."""
    about = machine.about or KINDS[machine.kind].meaning
    return clean(f"{machine.title}: {about}" if machine.title else about)


def stated(machine: MachineResult, results: Results) -> Machine | None:
    """The machine as the plant states it; None where the results do not hold the plant."""
    plant = results.plant
    return next((m for m in plant.machines if m.tag == machine.tag), None) if plant else None


def sizes(machine: MachineResult, results: Results) -> str:
    """`head 1500 mm`: the settings that are sizes of the machine, which nobody can set later."""
    of_class = size_names(machine, results)
    fixed = (one for one in machine.settings if one.name in of_class)
    return ", ".join(clean(f"{one.name.replace('_', ' ')} {one.text}") for one in fixed)


def size_names(machine: MachineResult, results: Results) -> frozenset[str]:
    """Names of the parameters of its class."""
    found = stated(machine, results)
    records = results.plant.classes if results.plant else ()
    record = next((one for one in records if found and one.path == found.class_path), None)
    if record is None:
        return frozenset()
    names = (one.name for one in machine.settings)
    return frozenset(name for name in names if f"setting {name}" not in record.lines)


def _mass_t(machine: MachineResult, results: Results) -> float | None:
    """Of a screen's box and decks, or of a set of liners; None where the class states neither."""
    found = stated(machine, results)
    drive = found.models.get("drive") if found else None
    if found is not None and drive is not None and "box_mass" in drive.coefficients:
        decks = len(found.decks) * drive.coefficients.get("deck_mass", 0.0)
        return drive.coefficients["box_mass"] + decks
    return machine.wear.liner_mass_t if machine.wear else None


def equipment(results: Results) -> Section:
    """One row a machine that is bought or stands: all but points where streams meet or part."""
    listed = [machine for machine in results.machines if not KINDS[machine.kind].point]
    optional: tuple[Field, ...] = (
        words("duty", lambda machine: setting_of(machine, "duty") or None, 12),
        words("size", lambda machine: sizes(machine, results) or None, 28),
        result(MachineResult, "drive.motor_kw", "motor of each", kind="stated"),
        number("mass stated", "t", "estimate", lambda machine: _mass_t(machine, results)),
    )
    fields = (
        TAG,
        *names(listed),
        result(MachineResult, "count", "quantity"),
        words("description", described, 40),
        *known(optional, listed),
        words("supply", lambda machine: "existing" if machine.existing else "new", 10),
    )
    return Section("Equipment list", (_MASS_NOTE,), table("Equipment list", fields, listed))


def motors(results: Results) -> tuple[Section, ...]:
    """Everything that turns, and the sums; then liners and what they cost."""
    turning = [machine for machine in results.machines if machine.kind in DRIVEN]
    if not turning:
        return ()
    power, *wear = energy.sections(results) or (Section("Power"),)
    listed = table("Motor list", motor_fields(turning), turning)
    drawn, connected, demand, use = energy.sums(results)
    motors = sum(machine.count for machine in turning)
    sums = (motors, None, connected, drawn, demand, use)
    blanks = (None,) * (len(listed.columns) - 1 - len(sums))
    summed = listed.then("all motors", *blanks, *sums)
    return (Section("Motor list", power.notes, summed), *wear)


def motor_fields(turning: list[MachineResult]) -> tuple[Field, ...]:
    return (
        TAG,
        words("drives", described, 34),
        *supply(turning),
        result(MachineResult, "count", "motors"),
        result(MachineResult, "drive.motor_kw", "motor of each", kind="stated"),
        result(MachineResult, "installed_power_kw", "connected", kind="stated"),
        result(MachineResult, "power_kw", "drawn"),
        result(MachineResult, "drive.demand_kw", "demand"),
        result(MachineResult, "power_use", "of connected"),
    )


def belts(results: Results) -> tuple[Section, ...]:
    return tuple(Section("Belt list", one.notes, one.table) for one in conveyors.sections(results))


_DECK: tuple[Field, ...] = (
    words("deck", lambda pair: f"{pair[0].shown_tag}.{pair[1].name}", 24),
    words("screen", lambda pair: described(pair[0]), 30),
    number("screens", "", "count", lambda pair: pair[0].count),
    number("aperture", "mm", "stated", lambda pair: pair[1].aperture_mm),
    words("shape", lambda pair: screens.shape(pair[1]), 12),
    number("area of each", "m2", "number", lambda pair: pair[1].area_m2 / pair[0].count),
    number("area in all", "m2", "number", lambda pair: pair[1].area_m2),
    second(result(DeckResult, "cut_size_mm", "cut size d50")),
    words("wire or panel", lambda _: "", 14, "mm"),
    words("material", lambda _: "", 14),
)


def media(results: Results) -> tuple[Section, ...]:
    """What lies on the decks: one row a deck, with blanks for what the bidder offers."""
    pairs = [(machine, deck) for machine in results.machines for deck in machine.decks]
    return where_rows("Screen media list", (_MEDIA_NOTE,), table("Screen media", _DECK, pairs))


def tables(results: Results) -> tuple[Table, ...]:
    """The lists as tables, for the workbook."""
    sections = (
        equipment(results),
        *motors(results),
        *belts(results),
        *media(results),
    )
    return tuple(section.table for section in sections if section.table and section.has_rows)
