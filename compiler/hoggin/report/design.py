"""A design as text: what was found, what holds it back, or what is in conflict."""

from __future__ import annotations

import json

from hoggin.report import wording
from hoggin.report.tables import Column, Document, Section, Table, Value
from hoggin.studies.design.document import Design, FoundAim, FrontierSetting, LimitWorth

_DIGITS = 5
_CAUTION = (
    "Change a setting only as the machine's manual and the site's lock-out procedure have it, and "
    "prove the plant at each change."
)


def document(design: Design) -> Document:
    """The document for terminal and Markdown."""
    sections = (
        [_conflict(design)]
        if design.conflict is not None
        else [
            *_aims(design),
            *_settings(design),
            *_front(design),
            Section("Requirements", table=requirements(design)),
            *_worth(design),
        ]
    )
    sections += [*_alternatives(design), _reading(design)]
    return Document(
        title=f"Design of {design.title}",
        subtitle=wording.subtitle(design),
        sections=tuple(sections),
    )


def design_json(design: Design) -> str:
    """The whole design, numbers to nine significant digits."""
    from hoggin.schema.rounding import rounded

    content = rounded(design.model_dump(mode="json"))
    return json.dumps(content, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def requirements(design: Design) -> Table:
    columns = (
        Column("requirement", width=44),
        Column("met"),
        Column("value", width=40),
        Column("margin", width=26),
        Column("binds"),
    )
    rows = tuple(
        (r.text, "yes" if r.met else "no", r.value, r.margin, "yes" if r.binds else "")
        for r in design.requirements
    )
    return Table("Requirements", columns, rows)


def front_table(design: Design) -> Table:
    """Every point of the front with all its figures, for CSV."""
    free = dict.fromkeys((s.name, s.unit) for point in design.frontier for s in point.settings)
    columns = (
        Column("point", "", "count"),
        *(Column(aim_name(aim), aim.unit, "number") for aim in design.aims),
        *([Column("alternatives")] if design.picks else []),
        *(Column(name, unit, "number") for name, unit in free),
        Column("written"),
    )
    rows = []
    for number, point in enumerate(design.frontier, start=1):
        found = {(one.name, one.unit): one.value for one in point.settings}
        words = [point.words] if design.picks else []
        written = "yes" if point.picked else ""
        rows.append((number, *point.values, *words, *map(found.get, free), written))
    return Table("Front", columns, tuple(rows))


def aim_name(aim: FoundAim) -> str:
    """`most 12 * chips.rate`, without the word `aim` and its weight."""
    return aim.text.removeprefix("aim ").partition(" weight ")[0]


def _setting(one: FrontierSetting) -> str:
    return f"{one.name} {wording.significant(one.value, 4)} {one.unit}".strip()


def _number(value: float | None) -> str:
    return wording.significant(value, _DIGITS)


def _aims(design: Design) -> list[Section]:
    if not design.aims:
        note = "The plant states no aim: of all settings that meet it, these leave the most room."
        return [Section("Aims", (note,))]
    columns = (
        Column("aim", width=60),
        Column("this revision", "", "number"),
        Column("optimum before rounding", "", "number"),
        Column("unit", width=24),
    )
    rows = tuple(
        (aim_name(aim), _number(aim.value), _number(aim.exact), aim.unit or "-")
        for aim in design.aims
    )
    return [Section("Aims", table=Table("Aims", columns, rows))]


def _settings(design: Design) -> list[Section]:
    columns = (
        Column("setting", width=34),
        Column("line", "", "count"),
        Column("left free", width=36),
        Column("found", width=20),
        Column("optimum before rounding", width=16),
        Column("at an end of its range", width=30),
    )
    rows: list[tuple[Value, ...]] = [
        (pick.name, pick.line, ", ".join(pick.options), pick.option, "", "")
        for pick in design.picks
    ]
    rows += [
        (
            one.name,
            one.line,
            one.choices,
            one.written,
            one.exact,
            _end(design, one.end, one.end_worth, one.unit),
        )
        for one in design.settings
    ]
    table = Table("Settings", columns, tuple(rows))
    return [Section("Settings", table=table)]


def _end(design: Design, end: str, worth: float | None, unit: str) -> str:
    if not end:
        return ""
    if worth is None or not design.aims:
        return f"{end} end"
    return f"{end} end; {_worth_text(design, worth)} per {unit or 'unit'} beyond"


def _worth_text(design: Design, worth: float) -> str:
    """What is gained of the first aim: `+0.14 t/h` of what is to be most, `-3.1 kW` of least."""
    aim = design.aims[0]
    sign = "+" if aim.direction == "most" else "-"
    return f"{sign}{wording.significant(worth, 3)} {aim.unit}".strip()


def _worth(design: Design) -> list[Section]:
    if not design.aims:
        return []
    found = [(one.text, worth) for one in design.requirements for worth in one.worths]
    heading = "What holds it back"
    if not found:
        return [Section(heading, ("No requirement binds: only what the settings leave open.",))]
    chosen = _all_choices(design)
    columns = (
        Column("requirement", width=40),
        Column("limit", width=32),
        Column("relaxed by", width=14),
        Column("brings, of the first aim", width=26),
        *([] if chosen else [Column("by multiplier", width=26)]),
    )
    rows = tuple(
        (
            text,
            worth.limit,
            f"{wording.significant(worth.relaxed, 3)} {worth.unit}".strip(),
            _worth_text(design, worth.by_search),
            *([] if chosen else [_by_multiplier(design, worth)]),
        )
        for text, worth in _ranked(found)
    )
    notes = [] if len(design.aims) == 1 else ["All other aims are held where they are."]
    return [Section(heading, tuple(notes), Table(heading, columns, rows))]


def _all_choices(design: Design) -> bool:
    return all(one.choice for one in design.settings)


def _by_multiplier(design: Design, worth: LimitWorth) -> str:
    return "not told" if worth.by_multiplier is None else _worth_text(design, worth.by_multiplier)


def _ranked(found: list[tuple[str, LimitWorth]]) -> list[tuple[str, LimitWorth]]:
    return sorted(found, key=lambda one: -one[1].by_search)


def _front(design: Design) -> list[Section]:
    if not design.frontier:
        return []
    columns = (
        Column("point", "", "count"),
        *(Column(aim_name(aim), aim.unit, "number") for aim in design.aims),
        *([Column("alternatives", width=30)] if design.picks else []),
        Column("settings", width=70),
        Column("written"),
    )
    rows = tuple(
        (
            number,
            *map(_number, point.values),
            *([point.words] if design.picks else []),
            ", ".join(map(_setting, point.settings)),
            "yes" if point.picked else "",
        )
        for number, point in enumerate(design.frontier, start=1)
    )
    notes = (
        "No settings that were found are as good in all aims and better in one. "
        "`--point N` writes another point.",
    )
    return [Section("Trade-off front", notes, Table("Trade-off front", columns, rows))]


def _alternatives(design: Design) -> list[Section]:
    if not design.alternatives:
        return []
    unit = design.aims[0].unit if design.aims else ""
    columns = (
        Column("alternative", width=50),
        Column("best of the first aim", unit, "number"),
        Column("why not", width=60),
    )
    rows = tuple(
        (
            one.words,
            _number(one.best),
            one.refused
            or (
                ""
                if one.best is not None or not design.aims
                else "no settings meet all requirements"
            ),
        )
        for one in design.alternatives
    )
    return [Section("Alternatives", table=Table("Alternatives", columns, rows))]


def _conflict(design: Design) -> Section:
    found = design.conflict
    assert found is not None
    many = len(found.parts)
    if many == 1:
        said = "This requirement can't be met by any settings left free"
    else:
        said = f"These {many} requirements can't be met together"
    proof = (
        "every combination of settings was balanced"
        if found.proven
        else f"no settings were found that do, in {design.balances:,} balances; a search can't "
        "prove that there are none"
    )
    size = (
        "No smaller set of requirements is in conflict"
        if found.smallest
        else (
            "Leave out any one of them and the others can be met; not every smaller set was tried"
        )
    )
    columns = (Column("requirement", width=60), Column("relaxed alone by", width=40))
    rows = tuple(
        (
            part.text,
            "not enough by itself"
            if part.needed is None
            else f"{wording.significant(part.needed, 3)} {part.unit}".strip(),
        )
        for part in found.parts
    )
    another = all(part.needed is None for part in found.parts)
    notes = (
        f"{said}: {proof}. {size}.",
        *(
            ["However far these are relaxed, the others are not met: there is another conflict."]
            if another
            else []
        ),
        "Relaxed alone by: the least found with which all other requirements are met too.",
    )
    return Section("Requirements in conflict", notes, Table("Conflict", columns, rows))


def _reading(design: Design) -> Section:
    searched = (
        f"Every combination of settings was balanced, {design.balances:,} in all."
        if design.every
        else f"{design.balances:,} balances, from {design.starts} scattered starts an alternative, "
        f"seed {design.seed}. The best that was found; a search can't prove that none is better."
    )
    points = [searched]
    if design.conflict is None:
        points.append(
            "Settings are rounded to what can be set, and the rounded plant was checked, balanced "
            "and rated anew: it meets all its requirements. Uncertain numbers stand at their mean."
        )
    worths = [worth for requirement in design.requirements for worth in requirement.worths]
    if worths and _all_choices(design):
        points.append(
            "All settings are choices: a limit has to give way by what is told before it brings "
            "anything, with all other requirements met."
        )
    elif worths:
        points.append(
            "What relaxing brings is told for a small step: found by searching anew with the limit "
            "1 % relaxed, and by the multiplier at the optimum. Further on it may be less."
        )
    points.append(f"{wording.PREDICTION} {_CAUTION} {wording.DEFERENCE}")
    return Section("Reading these figures", points=tuple(points))
