"""Mutated sources through every phase of the compiler, led by the code they reach (atheris).

A run of any length:  python -m tests.fuzzing RUNS SEED FOLDER
It needs `pip install atheris`, which the tests do not: they put the same mutations to the checker
with hypothesis (tests/check/test_robust.py). FOLDER takes the sources that failed, and the corpus.
"""

from __future__ import annotations

import sys
import time
import traceback
import warnings
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

import atheris

from tests.mutations import mutated, refigured, seeds, spliced

with atheris.instrument_imports(include=["hoggin"]):
    from hoggin.check.checker import check
    from hoggin.commands.balancing import rated
    from hoggin.diagnostics.render import render_all
    from hoggin.diagnostics.source import Source
    from hoggin.editor.reading import Reader
    from hoggin.emit import equipment, flowsheet, mass_balance, text
    from hoggin.emit.results_json import results_json
    from hoggin.rating.results import Results
    from hoggin.world import World

_LONGEST = 20_000  # bytes of a source
_SLOW = 10.0  # seconds of a processor for one source: more is a hang
_MEMORY_MB = 2048
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

    def one(self, data: bytes) -> None:
        """One source through the compiler; what goes wrong is kept, and the run goes on."""
        source = data.decode("utf-8", "replace")
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
        flowsheet.dot(results)
        return "balanced"

    def _keep(self, source: str, title: str, story: str) -> None:
        self.counts["faults"] += 1
        if title not in self.seen:
            self.seen.add(title)
            path = self.folder / f"fault_{len(self.seen)}.hog"
            path.write_text(source, encoding="utf-8")
            print(f"{path}: {title}\n{story}", flush=True)

    def mutate(self, data: bytes, most: int, seed: int) -> bytes:
        """Another source from one that reached new code."""
        random = Random(seed)
        source = data.decode("utf-8", "replace")
        if len(source) < 2 or random.random() < 0.3:
            source = random.choice(self.seeds)
        match random.randrange(5):
            case 0:
                source = refigured(source, random)
            case 1:
                source = mutated(spliced(source, random.choice(self.seeds), random), random)
            case _:
                source = mutated(source, random)
        return source.encode("utf-8", "replace")[:most]

    def tell(self) -> None:
        rest = ", ".join(f"{count} {what}" for what, count in sorted(self.counts.items()))
        took = time.perf_counter() - self.began
        print(f"{rest}; slowest {self.slowest:.1f} s; {took:.0f} s", flush=True)


def main() -> None:
    runs, seed, folder = int(sys.argv[1]), int(sys.argv[2]), Path(sys.argv[3])
    corpus = folder / "corpus"
    corpus.mkdir(parents=True, exist_ok=True)
    sources = seeds("tests/fixtures", "stdlib", "examples")
    for number, source in enumerate(sources):
        (corpus / f"seed_{number:03}").write_text(source, encoding="utf-8")
    run = Run(folder, sources)
    warnings.simplefilter("error")  # numpy's complaints would stand on a user's screen
    options = [f"-runs={runs}", f"-seed={seed}", f"-max_len={_LONGEST}", "-print_final_stats=0"]
    limits = [f"-rss_limit_mb={_MEMORY_MB}", "-timeout=60", "-verbosity=0"]
    atheris.Setup([sys.argv[0], *options, *limits, str(corpus)], run.one, custom_mutator=run.mutate)
    atheris.Fuzz()


if __name__ == "__main__":
    main()
