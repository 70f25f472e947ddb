"""Two plants, balanced or not, in; the comparison out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from hoggin.revise.compare.changes import changes
from hoggin.revise.compare.comparison import Change, Comparison, Consequence, Revision
from hoggin.revise.compare.consequences import Differences, differences
from hoggin.revise.compare.matching import match
from hoggin.revise.compare.requirements import pair_requirements
from hoggin.schema.plant import Plant
from hoggin.schema.results import Provenance, Results

_MADE_WITH = ("compiler", "standard library")


@dataclass(frozen=True, slots=True)
class Side:
    """A plant to compare. It has no results where it can't be balanced; `unsettled` says why."""

    name: str
    plant: Plant
    results: Results | None
    unsettled: str | None = None
    cases: Mapping[str, Side] = field(default_factory=dict)  # where they are known


def compare(before: Side, after: Side, threshold: float = 1.0) -> Comparison:
    """Compare two plants.

    threshold: smallest weight, in per cent, of a listed consequence (`Consequence.weight`). If a
    side has no results, only what the plants state is compared.
    """
    matching = match(before.plant, after.plant)
    found = Differences((), (), (), 0)
    if before.results is not None and after.results is not None:
        pairs = pair_requirements(before.plant, after.plant, matching)
        found = differences(before.results, after.results, matching, pairs)
    stated = changes(before.plant, after.plant, matching)
    listed = tuple(c for c in found.consequences if c.weight >= threshold or _always(c))
    return Comparison(
        before=_revision(before),
        after=_revision(after),
        notes=tuple(_notes(before, after)),
        changes=(*stated, *_made_with(before, after)),
        requirements=found.requirements,
        turns=found.turns,
        consequences=listed,
        threshold=threshold,
        below_threshold=len(found.consequences) - len(listed),
        other_currency=found.other_currency,
        renamed=matching.renamed,
        case=after.plant.case if after.plant.case == before.plant.case else "",
        cases=tuple(_cases(before, after, set(stated), threshold)),
    )


def _cases(
    before: Side, after: Side, stated: set[Change], threshold: float
) -> Iterator[Comparison]:
    """Each case that both plants have and that differs. Changes in the plant as written are not
    repeated."""
    for name, side in after.cases.items():
        if name not in before.cases:
            continue
        found = compare(before.cases[name], side, threshold)
        own = [c for c in found.changes if c not in stated and not _made_anew(c)]
        found = found.model_copy(update={"changes": tuple(own), "notes": ()})
        if not found.same or any(one.unsettled for one in found.sides):
            yield found


def _made_anew(change: Change) -> bool:
    """Whether it is of what both were made with, which is said of the plants once."""
    return change.subject in _MADE_WITH


def _always(consequence: Consequence) -> bool:
    """Whether it is listed however small the difference: a review needs every product's rate."""
    return consequence.group == "product" and consequence.what == "rate"


def _notes(before: Side, after: Side) -> Iterator[str]:
    """Two contents under one revision mark can't be distinguished by it. A results document holds
    one state of its plant."""
    for side in (before, after):
        if side.plant.cases and not side.cases:
            yield (
                f"`{side.name}` has only the results of the plant as written: "
                "its cases are not compared."
            )
    old, new = _revision(before), _revision(after)
    hashes = {old.content_sha256, new.content_sha256}
    if old.revision and old.revision == new.revision and len(hashes) == 2 and None not in hashes:
        yield (
            f"Both are marked revision {old.revision}, but their contents differ. Give the later "
            "one its own mark before it is issued."
        )


def _revision(side: Side) -> Revision:
    made = _provenance(side)
    return Revision(
        name=side.name,
        title=side.plant.title,
        revision=side.plant.revision,
        content_sha256=made.content_sha256 if made is not None else None,
        unsettled=side.unsettled,
    )


def _made_with(before: Side, after: Side) -> list[Change]:
    """Another compiler, another version of its library or of a plug-in package."""
    old, new = _provenance(before), _provenance(after)
    if old is None or new is None:
        return []
    versions = (
        (old.compiler_version, new.compiler_version),
        (old.library_version, new.library_version),
    )
    pairs = ((made, *both) for made, both in zip(_MADE_WITH, versions, strict=True))
    was, now = ({one.name: one.version for one in made.plugins} for made in (old, new))
    packages = ((f"plug-in {n}", was.get(n, "-"), now.get(n, "-")) for n in sorted({**was, **now}))
    return [
        Change(kind="changed", subject=subject, what="version", before=a, after=b)
        for subject, a, b in (*pairs, *packages)
        if a != b
    ]


def _provenance(side: Side) -> Provenance | None:
    return None if side.results is None else side.results.provenance
