"""A limit that is checked: how it is noted, and when it is near or passed."""

from __future__ import annotations

from hoggin.schema.results import Check, Verdict

LOAD_WATCH = 0.95  # of what a machine can take; common practice, no source


def checked(
    name: str,
    verdict: Verdict,
    text: str,
    value: float,
    limit: float | None,
    unit: str,
    code: str | None,
) -> Check:
    """A check; its code is given only where it is not ok."""
    return Check(
        name=name,
        verdict=verdict,
        text=text,
        value=value,
        limit=limit,
        unit=unit,
        code=None if verdict == "ok" else code,
    )


def within(value: float, limit: float, watch: float | None = None) -> Verdict:
    """Whether a value is within its limit; near it from the share `watch` of it on."""
    if value > limit:
        return "over"
    return "watch" if watch is not None and value > watch * limit else "ok"
