"""A design as text: what was found and what limits it, or what is in conflict."""

from __future__ import annotations

from collections.abc import Sequence

from hoggin.report import wording
from hoggin.report.fields import Field, number, table, words
from hoggin.report.tables import Document, Section, Table
from hoggin.studies.design.document import (
    ConflictPart,
    Design,
    FoundAim,
    FoundConflict,
    FoundPick,
    FoundRequirement,
    FoundSetting,
    FrontierPoint,
    FrontierSetting,
    LimitWorth,
    TriedAlternative,
    TriedCase,
)

_DIGITS = 5
_CAUTION = (
    "Change a setting only by the machine's manual and the site's lock-out procedure, and verify "
    "the plant after each change."
)


def document(design: Design) -> Document:
    """The document for terminal and Markdown."""
    found = (
        [
            _aims(design),
            _settings(design),
            *_front(design),
            _requirements(design),
            *_worth(design),
            *_limits(design),
        ]
        if design.conflict is None
        else [_conflict(design, design.conflict)]
    )
    sections = (*found, *_alternatives(design), _reading(design))
    return Document(f"Design of {design.title}", wording.subtitle(design), sections)


def _requirements(design: Design) -> Section:
    fields = (
        words("requirement", lambda one: one.text, 44),
        words("met", lambda one: "yes" if one.met else "no"),
        words("value", lambda one: one.value, 40),
        words("margin", lambda one: one.margin, 26),
        words("binds", lambda one: "yes" if one.binds else ""),
    )
    return Section("Requirements", table=table("Requirements", fields, design.requirements))


def front_table(design: Design) -> Table:
    """Every point of the front with all its figures, for CSV."""
    free = dict.fromkeys((s.name, s.unit) for point in design.frontier for s in point.settings)
    fields = (
        _POINT,
        *(_of_aim(place, aim, written=False) for place, aim in enumerate(design.aims)),
        *([words("alternatives", lambda pair: pair[1].words)] if design.picks else []),
        *(_of_free(name, unit) for name, unit in free),
        _WRITTEN,
    )
    return table("Front", fields, enumerate(design.frontier, start=1))


def tried_table(cases: Sequence[TriedCase], aims: Sequence[str]) -> Table:
    """Cases that were balanced in a search, for CSV."""
    free = dict.fromkeys((s.name, s.unit) for case in cases for s in case.settings)
    fields = (
        *([words("alternatives", lambda one: one.words)] if any(c.words for c in cases) else []),
        *(_tried_setting(*one) for one in free),
        *(_tried_aim(place, aim) for place, aim in enumerate(aims)),
        words("all requirements met", lambda one: "yes" if one.met else "no"),
    )
    return table("Cases", fields, cases)


def _tried_setting(name: str, unit: str) -> Field:
    def get(case: TriedCase) -> float | None:
        return next((s.value for s in case.settings if (s.name, s.unit) == (name, unit)), None)

    return number(name, unit, "number", get)


def _tried_aim(place: int, aim: str) -> Field:
    return number(aim, "", "number", lambda case: case.values[place])


_POINT = number("point", "", "count", lambda pair: pair[0])
_WRITTEN = words("written", lambda pair: "yes" if pair[1].picked else "")


def _of_aim(place: int, aim: FoundAim, *, written: bool) -> Field:
    """What a numbered point of the front reaches of an aim; `written` for a reader."""

    def get(pair: tuple[int, FrontierPoint]) -> str | float | None:
        value = pair[1].values[place]
        return _number(value) if written else value

    return number(aim_name(aim), aim.unit, "number", get)


def _of_free(name: str, unit: str) -> Field:
    def get(pair: tuple[int, FrontierPoint]) -> float | None:
        settings = pair[1].settings
        return next((s.value for s in settings if (s.name, s.unit) == (name, unit)), None)

    return number(name, unit, "number", get)


def aim_name(aim: FoundAim) -> str:
    """`maximize 12 * chips.rate`, without its weight."""
    return aim.text.partition(" weight ")[0]


def _setting(one: FrontierSetting) -> str:
    return f"{one.name} {wording.significant(one.value, 4)} {one.unit}".strip()


def _number(value: float | None) -> str:
    return wording.significant(value, _DIGITS)


def _aims(design: Design) -> Section:
    if not design.aims:
        note = "The plant states no aim. These settings have the largest margins to all "
        note += "requirements."
        return Section("Aims", (note,))
    fields = (
        words("aim", aim_name, 60),
        number("this revision", "", "number", lambda aim: _number(aim.value)),
        number("optimum before rounding", "", "number", lambda aim: _number(aim.exact)),
        words("unit", lambda aim: aim.unit or "-"),
    )
    return Section("Aims", table=table("Aims", fields, design.aims))


def _settings(design: Design) -> Section:
    fields = (
        words("setting", lambda one: one.name, 34),
        number("line", "", "count", lambda one: one.line),
        words("left free", _left_free, 36),
        words("found", lambda one: one.option if isinstance(one, FoundPick) else one.written, 20),
        words("optimum before rounding", lambda one: getattr(one, "exact", ""), 16),
        words("at an end of its range", lambda one: _end(design, one), 30),
    )
    return Section("Settings", table=table("Settings", fields, (*design.picks, *design.settings)))


def _left_free(one: FoundPick | FoundSetting) -> str:
    return ", ".join(one.options) if isinstance(one, FoundPick) else one.choices


def _end(design: Design, one: FoundPick | FoundSetting) -> str:
    if isinstance(one, FoundPick) or not one.end:
        return ""
    end = f"{one.end} end" + (f", which is {one.end_by}" if one.end_by else "")
    if one.end_worth is None or not design.aims:
        return end
    return f"{end}; {_worth_text(design, one.end_worth)} per {one.unit or 'unit'} beyond"


def _worth_text(design: Design, worth: float) -> str:
    """What is gained of the first aim: `+0.14 t/h` of what is to be most, `-3.1 kW` of least."""
    aim = design.aims[0]
    sign = "+" if aim.direction == "most" else "-"
    return f"{sign}{wording.significant(worth, 3)} {aim.unit}".strip()


def _worth(design: Design) -> list[Section]:
    if not design.aims:
        return []
    found = [(_named(one), worth) for one in design.requirements for worth in one.worths]
    found += [(f"{one.place} {one.text}", one.worth) for one in design.rules]
    heading = "What limits it"
    if not found:
        note = "No requirement and no rule of a class binds; only the ranges of the settings do."
        return [Section(heading, (note,))]
    chosen = _all_choices(design)
    by_multiplier = words("by multiplier", lambda pair: _by_multiplier(design, pair[1]), 26)
    found.sort(key=lambda pair: -(pair[1].by_search or 0.0))
    fields = (
        words("requirement, or rule of a class", lambda pair: pair[0], 40),
        words("limit", lambda pair: pair[1].limit, 32),
        words("relaxed by", lambda pair: _valued(pair[1].relaxed, pair[1].unit), 14),
        words("gain in the first aim", lambda pair: _gain(design, pair[1].by_search), 26),
        *([] if chosen else [by_multiplier]),
    )
    notes = [] if len(design.aims) == 1 else ["All other aims are held at their values."]
    return [Section(heading, tuple(notes), table(heading, fields, found))]


def _named(one: FoundRequirement) -> str:
    return f"{one.text} ({one.about})" if one.about else one.text


def _limits(design: Design) -> list[Section]:
    """What the search does not hold, and this revision does not keep."""
    if not design.limits:
        return []
    fields = (
        words("machine or deck", lambda one: one.subject, 24),
        words("limit", lambda one: one.text, 70),
        words("verdict", lambda one: "OVER LIMIT" if one.verdict == "over" else "WATCH"),
    )
    note = (
        "The search holds what the plant requires, the ranges and rules of classes, and that every "
        "machine takes its feed. It does not hold these limits. To hold one, require it, as "
        "`require cone.reduction_ratio <= 6`."
    )
    heading = "Limits near or exceeded"
    return [Section(heading, (note,), table(heading, fields, design.limits))]


def _valued(value: float, unit: str) -> str:
    return f"{wording.significant(value, 3)} {unit}".strip()


def _all_choices(design: Design) -> bool:
    return all(one.choice for one in design.settings)


def _by_multiplier(design: Design, worth: LimitWorth) -> str:
    return _gain(design, worth.by_multiplier)


def _gain(design: Design, worth: float | None) -> str:
    return "not known" if worth is None else _worth_text(design, worth)


def _front(design: Design) -> list[Section]:
    if not design.frontier:
        return []
    fields = (
        _POINT,
        *(_of_aim(place, aim, written=True) for place, aim in enumerate(design.aims)),
        *([words("alternatives", lambda pair: pair[1].words, 30)] if design.picks else []),
        words("settings", lambda pair: ", ".join(map(_setting, pair[1].settings)), 70),
        _WRITTEN,
    )
    front = table("Trade-off front", fields, enumerate(design.frontier, start=1))
    notes = (
        "No point that was found is as good in all aims and better in one. `--point N` writes "
        "another point.",
    )
    return [Section("Trade-off front", notes, front)]


def _alternatives(design: Design) -> list[Section]:
    if not design.alternatives:
        return []
    unit = design.aims[0].unit if design.aims else ""
    none = "no settings meet all requirements" if design.aims else ""
    fields = (
        words("alternative", lambda one: one.words, 50),
        number("best of the first aim", unit, "number", lambda one: _number(one.best)),
        words("why not", lambda one: one.refused or ("" if one.best is not None else none), 60),
        words("search", lambda one: _searched(one)),
    )
    return [Section("Alternatives", table=table("Alternatives", fields, design.alternatives))]


def _searched(one: TriedAlternative) -> str:
    if one.refused:
        return "none"
    return "full" if one.is_searched else "short only"


def _conflict(design: Design, found: FoundConflict) -> Section:
    many = len(found.parts)
    said = (
        "No values of the free settings meet this requirement"
        if many == 1
        else f"These {many} requirements can't be met together"
    )
    proof = (
        "every combination of settings was balanced"
        if found.proven
        else f"none were found in {design.balances:,} balances, but a search can't prove that "
        "there are none"
    )
    size = (
        "No smaller set of requirements is in conflict"
        if found.smallest
        else "Without any one of them the others can be met; not every smaller set was tried"
    )
    fields = (
        words("requirement", lambda part: part.text, 60),
        words("relaxed alone by", _needed, 40),
    )
    another = "Even without these, the others can't be met: there is another conflict."
    notes = (
        f"{said}: {proof}. {size}.",
        *([another] if all(part.needed is None for part in found.parts) else []),
        "Relaxed alone by: the least that was found with which all other requirements are met.",
    )
    return Section("Requirements in conflict", notes, table("Conflict", fields, found.parts))


def _needed(part: ConflictPart) -> str:
    return "not enough by itself" if part.needed is None else _valued(part.needed, part.unit)


def _reading(design: Design) -> Section:
    searched = (
        f"All {design.balances:,} combinations of settings were balanced."
        if design.every
        else f"{design.balances:,} balances, from {design.starts} scattered starting points per "
        f"alternative, seed {design.seed}. The result is the best that was found; a search can't "
        "prove that none is better."
    )
    points = [searched]
    if design.conflict is None:
        points.append(
            "Settings are rounded to steps that can be set. The rounded plant was checked, "
            "balanced and rated again, and meets all its requirements. Uncertain numbers are at "
            "their mean."
        )
    worths = [worth for requirement in design.requirements for worth in requirement.worths]
    worths += [rule.worth for rule in design.rules]
    if worths and _all_choices(design):
        points.append(
            "All settings are choices. So a limit must be relaxed by the amount shown before there "
            "is a gain with all other requirements met."
        )
    elif worths:
        points.append(
            "The gain is that of a small relaxation: by a new search with the limit relaxed by "
            "1 %, and by the multiplier at the optimum. For larger steps it may be smaller. Beyond "
            "a rule of a class nothing can be balanced: there the new search stays 1 % inside, and "
            "shows what that loses."
        )
    points.append(f"{wording.PREDICTION} {_CAUTION} {wording.DEFERENCE}")
    return Section("Notes", points=tuple(points))
