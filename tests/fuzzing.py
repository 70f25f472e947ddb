"""Mutated sources through every phase of the compiler.

A run of any length:  python -m tests.fuzzing RUNS SEED FOLDER
FOLDER takes the sources that failed. `guided_fuzzing.py` does the same led by the code that is
reached; the tests put the same mutations to the checker (tests/check/test_robust.py).
"""

from __future__ import annotations

import resource
import sys
import time
import traceback
import warnings
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

from hoggin.balancing import rated
from hoggin.check.checker import check
from hoggin.diagnostics.render import render_all
from hoggin.diagnostics.source import Source
from hoggin.editor.reading import Reader
from hoggin.report import equipment, mass_balance, text
from hoggin.report.drawing.flowsheet import flowsheet
from hoggin.report.drawing.svg import svg
from hoggin.report.results_json import results_json
from hoggin.schema.results import Results
from hoggin.world import World
from tests.mutations import mutated, refigured, seeds, spliced

_SLOW = 10.0  # seconds of a processor for one source: more is a hang
_MEMORY = 2**31  # bytes
_REPORT = 10_000  # sources


@dataclass
class Run:
    """The sources of one run, and what became of them."""

    folder: Path
    seeds: Sequence[str]
    reader: Reader = field(default_factory=Reader)  # the libraries are parsed once
    counts: Counter[str] = field(default_factory=Counter)
    seen: set[str] = field(default_factory=set)
    slowest: float = 0.0
    began: float = field(default_factory=time.perf_counter)

    def one(self, source: str) -> None:
        """One source through the compiler; what goes wrong is kept, and the run goes on."""
        began = time.process_time()
        try:
            self.counts[self._compiled(source)] += 1
        except Exception as fault:
            where = traceback.extract_tb(fault.__traceback__)[-1]
            title = f"{type(fault).__name__} at {where.filename}:{where.lineno}"
            self._keep(source, title, traceback.format_exc())
        took = time.process_time() - began
        self.slowest = max(self.slowest, took)
        if took > _SLOW:
            self._keep(source, f"{took:.0f} s", "")
        self.counts["all"] += 1
        if self.counts["all"] % _REPORT == 0:
            self.tell()

    def _compiled(self, source: str) -> str:
        """Every phase in turn. Returns how far the source came."""
        checked = check(World(Path("/nowhere/plant.hog")), Source("plant.hog", source), self.reader)
        render_all(checked.diagnostics)
        for found in checked.diagnostics:
            for span in (found.span, *(note.span for note in found.notes)):
                assert 0 <= span.start <= span.end <= len(span.source.text)
        if checked.plant is None:
            return "refused" if checked.has_errors else "library"
        assert not checked.has_errors
        results = rated(checked)
        if not isinstance(results, Results):
            render_all([results])
            return "unsettled"
        for document in (mass_balance.document(results), equipment.document(results)):
            text.terminal(document)
            text.markdown(document)
        text.comma_separated(mass_balance.stream_ledger(results))
        results_json(results)
        svg(flowsheet(results))
        return "balanced"

    def _keep(self, source: str, title: str, story: str) -> None:
        self.counts["faults"] += 1
        if title not in self.seen:
            self.seen.add(title)
            path = self.folder / f"fault_{len(self.seen)}.hog"
            path.write_text(source, encoding="utf-8")
            print(f"{path}: {title}\n{story}", flush=True)

    def another(self, source: str, random: Random) -> str:
        """A source made from this one, or from one that is in order."""
        if len(source) < 2 or random.random() < 0.4:
            source = random.choice(self.seeds)
        match random.randrange(5):
            case 0:
                return refigured(source, random)
            case 1:
                return mutated(spliced(source, random.choice(self.seeds), random), random)
        return mutated(source, random)

    def tell(self) -> None:
        rest = ", ".join(f"{count} {what}" for what, count in sorted(self.counts.items()))
        took = time.perf_counter() - self.began
        print(f"{rest}; slowest {self.slowest:.1f} s; {took:.0f} s", flush=True)


def begin(folder: Path) -> Run:
    """A run that fails on what a user must not see: numpy's complaints, or memory without end."""
    folder.mkdir(parents=True, exist_ok=True)
    warnings.simplefilter("error")
    resource.setrlimit(resource.RLIMIT_AS, (_MEMORY, _MEMORY))
    return Run(folder, seeds("tests/fixtures", "stdlib", "examples"))


def main() -> None:
    runs, seed, folder = int(sys.argv[1]), int(sys.argv[2]), Path(sys.argv[3])
    run = begin(folder)
    random = Random(seed)
    source = ""
    for _ in range(runs):
        source = run.another(source, random)
        run.one(source)


if __name__ == "__main__":
    main()
