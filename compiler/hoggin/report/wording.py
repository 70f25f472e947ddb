"""Numbers and words as every document shows them, so that two documents never disagree."""

from __future__ import annotations

import math
import unicodedata
from collections.abc import Iterable, Sequence
from typing import Protocol

from hoggin.paint import Ink
from hoggin.schema.figures import NUMBER, RATE
from hoggin.schema.results import (
    BandVerdict,
    Check,
    Judgement,
    MachineResult,
    ProductResult,
    RequirementResult,
    Results,
    StreamResult,
)

PREDICTION = "Results are predictions for design, not guarantees."
DEFERENCE = "Local codes and licensed practice govern."
ABSENT = "-"
_NO_XML = "\ufffe\uffff"


def clean(text: str) -> str:
    """One line of visible text: control and direction characters, those that XML can't hold, and
    runs of space go."""
    if text.isprintable():  # nearly every text
        return " ".join(text.split())
    unseen = ("Cc", "Cf", "Cs", "Zl", "Zp")
    visible = (" " if unicodedata.category(c) in unseen or c in _NO_XML else c for c in text)
    return " ".join("".join(visible).split())


def quotable(text: str) -> str:
    """A text as it may be in quotes or a comment of the language."""
    return clean(text).replace('"', "'")


def shorten(text: str, length: int) -> str:
    """`clean` text cut to `length` characters, the cut shown by dots."""
    line = clean(text)
    return line if len(line) <= length else line[: length - 3].rstrip() + "..."


def fixed(value: float | None, decimals: int) -> str:
    """A number with fixed decimals, never a negative zero; `-` for none."""
    if value is None or not math.isfinite(value):
        return ABSENT
    return f"{round(value, decimals) + 0.0:.{decimals}f}"


def significant(value: float | None, digits: int) -> str:
    """A number to so many significant digits in plain notation: 0.063, 26.5, 1250."""
    if value is None or not math.isfinite(value):
        return ABSENT
    if value == 0:
        return "0"
    decimals = digits - 1 - math.floor(math.log10(abs(value)))
    text = f"{round(value, decimals):.{max(0, decimals)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def rate(t_h: float | None) -> str:
    return ABSENT if t_h is None else RATE.text(t_h)


def percent(fraction: float | None, decimals: int = 1) -> str:
    return fixed(None if fraction is None else 100 * fraction, decimals)


def size(mm: float | None) -> str:
    """A size read off a curve."""
    return ABSENT if mm is None else NUMBER.text(mm)


def sieve(mm: float) -> str:
    """A sieve's nominal size, in full: 0.063, 1.18, 37.5."""
    return significant(mm, 5)


def nearest(mm: float, sizes_mm: Sequence[float]) -> int:
    """The place of the size that is nearest on a log scale."""
    return min(range(len(sizes_mm)), key=lambda i: abs(math.log(sizes_mm[i] / mm)))


def outlet_of(stream: StreamResult) -> str:
    """`sizing.top.over`, or the bare tag of a feed or a machine with one product."""
    if stream.outlet in ("", "product"):
        return stream.source
    return f"{stream.source}.{stream.outlet}"


def setting_of(machine: MachineResult, name: str) -> str:
    """The text of one setting, "" if the machine has none of that name."""
    return next((s.text for s in machine.settings if s.name == name), "")


def settings_of(machine: MachineResult) -> tuple[str, ...]:
    """`chamber coarse`, `css 32 mm`: every setting but the duty, which has its own place."""
    return tuple(
        clean(f"{s.name.replace('_', ' ')} {s.text}") for s in machine.settings if s.name != "duty"
    )


def all_checks(machine: MachineResult) -> tuple[tuple[str, Check], ...]:
    """Checks of the machine and of its decks, each with the tag it belongs to."""
    tag = machine.shown_tag
    own = [(tag, check) for check in machine.checks]
    decks = [(f"{tag}.{deck.name}", c) for deck in machine.decks for c in deck.checks]
    return (*own, *decks)


def verdict_word(check: Check) -> str:
    """The verdict in words that stand out without colour."""
    return {"ok": "ok", "watch": "WATCH", "over": "OVER LIMIT"}[check.verdict]


def worst_verdict(checks: Iterable[Check]) -> str:
    """The gravest verdict word among checks; `-` when nothing was checked."""
    order = ("ok", "watch", "over")
    worst = max(checks, key=lambda check: order.index(check.verdict), default=None)
    return ABSENT if worst is None else verdict_word(worst)


def judgement(judged: BandVerdict | RequirementResult) -> str:
    """The verdict on a requirement or specification in words that stand out without colour."""
    return "met" if judged.met else judged.verdict.upper()


def band_text(band: BandVerdict) -> str:
    """`meets X`, `NOT MET: X` or `NOT JUDGED: X`."""
    return f"meets {band.name}" if band.met else f"{judgement(band)}: {band.name}"


def machine_verdict(machine: MachineResult) -> str:
    """The gravest verdict word of a machine and its decks; downstream of an overload it is void."""
    word = worst_verdict(check for _, check in all_checks(machine))
    return f"{word}, VOID" if machine.void_by and word != ABSENT else word


_BAD = ("OVER LIMIT", "NOT MET", "NOT JUDGED", "OUTSIDE", "BROKEN")
_NEAR = ("WATCH", "WARNING", "MET IN THE MIDDLE")
_GOOD = ("ok", "met", "meets", "inside", "same")


def gravity(text: str) -> Ink | None:
    """How serious a verdict is, from the words that every document uses for it; of a change, the
    verdict after it."""
    said = text.rpartition(" -> ")[2]
    if said.startswith(_BAD) or "NOT MET" in said or "VOID" in said:
        return "bad"
    if said.startswith(_NEAR):
        return "near"
    return "good" if said.startswith(_GOOD) else None


def bands_text(product: ProductResult) -> str:
    """`meets X; NOT MET: Y`, or `-` for a product with no specification."""
    return "; ".join(map(band_text, product.bands)) or ABSENT


def count_text(requirements: Sequence[RequirementResult], noun: str = "") -> str:
    """`2 of 5 met, 2 NOT MET, 1 NOT JUDGED`."""
    met = sum(one.met for one in requirements)
    kinds: tuple[Judgement, ...] = ("not met", "not judged")
    counts = ((sum(one.verdict == kind for one in requirements), kind.upper()) for kind in kinds)
    return ", ".join(
        [f"{met} of {len(requirements)} {noun}met", *(f"{n} {word}" for n, word in counts if n)]
    )


def void_text(part: StreamResult | MachineResult | ProductResult) -> str:
    """`downstream of cone`: the overloaded machines that make the numbers of a part void."""
    return f"downstream of {', '.join(part.void_by)}" if part.void_by else ""


def overload_notes(results: Results) -> tuple[str, ...]:
    """What a reader must know of a plant with overloaded machines before any number."""
    if not results.overloaded:
        return ()
    tags = ", ".join(f"`{tag}`" for tag in results.overloaded)
    return (
        f"OVERLOADED: {tags}. The balance passes the whole feed through, but the plant can't: "
        "less arrives downstream. What is downstream is void until every machine fits.",
    )


class FromPlant(Protocol):
    """Results, or a study: what was found of a revision of a plant."""

    @property
    def title(self) -> str: ...
    @property
    def revision(self) -> str: ...
    @property
    def source_file(self) -> str: ...
    @property
    def compiler_version(self) -> str: ...


def subtitle(found: FromPlant) -> str:
    """The line under every document's title."""
    return (
        f"Revision {clean(found.revision) or ABSENT}, from {clean(found.source_file)}, "
        f"compiler {clean(found.compiler_version)}"
    )


def full_subtitle(found: FromPlant) -> str:
    """The same led by the plant's title, for a drawing with a title of its own."""
    return f"{clean(found.title)}. {subtitle(found)}"
