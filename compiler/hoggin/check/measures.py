"""The unit of a number as a file writes it: what is not a unit, prices in another currency than the
plant's own, and rates by the year in a plant that states no hours."""

from __future__ import annotations

import math
from collections.abc import Iterator

from hoggin.check.scope import Session
from hoggin.check.year import in_hours
from hoggin.diagnostics.families.classes import E0418
from hoggin.diagnostics.families.values import E0301, E0310
from hoggin.diagnostics.fault import Fault
from hoggin.diagnostics.source import Span
from hoggin.schema.tracing import Traced
from hoggin.schema.units import (
    BASE_UNITS,
    OTHER_SPELLINGS,
    SYNONYMS,
    TONS,
    Unit,
    is_currency,
    is_yearly,
    number_text,
    usual_units,
    written_unit,
)
from hoggin.syntax import tree

_RATES = ("TPH", "tons/h", "tons/hr", "ton/h", "ton/hr")
_OPENINGS = ("square", "round", "slotted")


def unit_of_measure(node: tree.Measure, session: Session) -> Unit | None:
    """The unit a number is written with; None after a reported fault. One by the year has the size
    that the plant's hours give it, NaN where there is no plant to state them."""
    unit = written_unit(node.unit)
    if unit is None:
        return session.report(_unknown(node), node.span)
    check_currency(unit.currency, node.span, session)
    return _by_the_year(unit, node, session) if is_yearly(unit) else unit


def _by_the_year(unit: Unit, node: tree.Measure, session: Session) -> Unit | None:
    hours = math.nan if session.hours_of_year is None else session.hours_of_year(node.span)
    if hours is None:
        return session.report(E0310.no_hours(unit.name), node.span)
    if isinstance(hours, Traced):
        return session.report(E0310.open_hours(unit.name), node.span)
    return in_hours(unit, hours)


def check_currency(currency: str, span: Span, session: Session) -> None:
    """Report a price in a plant that states another currency, or none: nothing is converted. A
    library states none, so its prices are held against that of the plant that uses it."""
    if not currency or session.currency is None:
        return
    session.priced = True
    if not session.currency:
        session.report(E0418.missing(currency), span)
    elif currency != session.currency:
        session.report(E0418.other(currency, session.currency), span)


def likely_units(written: str) -> Iterator[str]:
    """Names of units that a word that is none may be meant for: of a quotient, those with its
    unknown part replaced."""
    yield from (*BASE_UNITS, *SYNONYMS, *usual_units())
    parts = written.split("/")
    wrong = [index for index, part in enumerate(parts) if part not in BASE_UNITS]
    if len(parts) > 1 and len(wrong) == 1:
        place = wrong[0]
        yield from ("/".join((*parts[:place], one, *parts[place + 1 :])) for one in BASE_UNITS)


def _unknown(node: tree.Measure) -> Fault:
    unit = node.unit
    if unit in _OPENINGS:
        return E0301.opening(unit, number_text(node.number))
    if "money" in unit.split("/"):
        return E0301.money(unit)
    if sum(map(is_currency, unit.split("/"))) > 1:
        return E0301.currencies(unit)
    right = _in_the_languages_spelling(unit)
    if right != unit and written_unit(right) is not None:
        return E0301.usual(unit, right)
    if unit in _RATES:
        return E0301.which_tons_an_hour(unit)
    if unit in TONS:
        return E0301.which_ton(unit)
    ton = next((part for part in right.split("/") if part.lower() in TONS), "")
    if ton:
        return E0301.which_ton_of(unit, *(right.replace(ton, one) for one in ("t", "st")))
    fault = E0301.unknown(unit, likely_units(unit))
    return fault if fault.help or "/" not in unit else E0301.quotient(unit)


def _in_the_languages_spelling(unit: str) -> str:
    """A unit with its parts written as the language does: `kg/h` for `kg/hr`, `rpm` for `RPM`."""
    return "/".join(_spelling(part) for part in unit.split("/"))


def _spelling(part: str) -> str:
    small = part.lower()
    if part in BASE_UNITS or written_unit(part) is not None:
        return part
    in_capitals = part.isupper() and small in BASE_UNITS
    return OTHER_SPELLINGS.get(small, small if in_capitals else part)
