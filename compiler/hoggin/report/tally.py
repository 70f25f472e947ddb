"""How many cases of a study meet what is required, and how many can't be judged at all."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Protocol

from hoggin.report.tables import Document, Section


class Cases(Protocol):
    """What a study says of each of its cases."""

    @property
    def refused(self) -> tuple[str, ...]: ...
    @property
    def overloaded(self) -> tuple[tuple[str, ...], ...]: ...
    @property
    def all_met(self) -> tuple[bool, ...]: ...
    @property
    def missing(self) -> int: ...
    @property
    def verdicts(self) -> Sequence[Sequence[str]]:
        """Of each requirement, in each case."""


def tally(found: Cases, of: str) -> str:
    """How the cases are divided, in a sentence. `of`: what they are called, as `steps`."""
    return f"Of {len(found.refused)} {of}: {'; '.join(_counts(found))}."


def _counts(found: Cases) -> Iterator[str]:
    if found.verdicts:
        yield f"all requirements are met at {sum(found.all_met)}"
        missed = (any(word == "not met" for word in words) for words in _by_case(found))
        yield f"one or more is NOT MET at {sum(missed)}"
    void = sum("not judged" in words for words in _by_case(found))
    if void:
        yield f"one or more is NOT JUDGED at {void}"
    over = sum(map(bool, found.overloaded))
    tags = sorted({tag for case in found.overloaded for tag in case})
    said = f" ({', '.join(tags)}), and what is downstream of it is void" if tags else ""
    yield f"a machine is {'OVERLOADED' if tags else 'overloaded'} at {over}{said}"
    yield f"there is no balance at {sum(map(bool, found.refused)) - found.missing}"
    if found.missing:
        yield f"NOT COMPUTED: {found.missing}"


def _by_case(found: Cases) -> Iterator[Sequence[str]]:
    """The verdicts of each case that has a balance."""
    for case, reason in enumerate(found.refused):
        if not reason:
            yield [words[case] for words in found.verdicts]


def verdict_counts(verdicts: Sequence[str], refused: Sequence[str], of: str) -> str:
    """How often a requirement has each verdict: `met at 5 of 17 steps, not judged at 2`."""
    known = [word for word, reason in zip(verdicts, refused, strict=True) if not reason]
    others = (("NOT MET", "not met"), ("NOT JUDGED", "not judged"), ("not asked", "not asked"))
    said = [f"{shown} at {known.count(word)}" for shown, word in others if word in known]
    return ", ".join([f"met at {known.count('met')} of {len(refused)} {of}", *said])


def marked(document: Document, missing: int, cases: int, of: str) -> Document:
    """The document of an interrupted study says so before all else."""
    if not missing:
        return document
    note = (
        f"PARTIAL: the study was interrupted. {cases - missing:,} of {cases:,} {of} were computed; "
        "the figures are for these only. The same command with `--resume` computes the rest."
    )
    sections = (Section("PARTIAL result", (note,)), *document.sections)
    return Document(f"PARTIAL: {document.title}", document.subtitle, sections)
