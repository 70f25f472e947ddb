"""Two long comparisons of the balance with second solutions. A later run goes on from a first one.

    nice python -m tests.balance.long_runs converged --circuits 500 --keep FOLDER
    nice python -m tests.balance.long_runs roots --loops 2000 --keep FOLDER

`converged` compares the flows of random circuits with those of ever finer classes, and the error
that the balance states with the error it has. `roots` compares the balance that random loops come
to with all roots that scipy's brentq finds on a scan of the cut size. What a reference found is
kept by seed and is not computed again; the balance always is. All plants are scenarios of our own.
"""

from __future__ import annotations

import argparse
import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np

from hoggin.balance import CannotSettle, balance, with_error
from hoggin.schema.plant import Plant

from .fine_reference import Fine, Solved, converged
from .loop_roots import loop_roots
from .random_loops import double_loop, many_deck_loop, of_pieces, one_deck_loop

LOOPS = (one_deck_loop, many_deck_loop, double_loop)
LEAST = 1e-3  # of the feed: smaller streams are not compared
CLOSE = 1e-3
SAME_ROOT = 0.01  # of a cut size, relative
_OCTAVES = (32, 64)
_SCANNED, _FINER = 24, 96  # classes a doubling: of a scan, and where it disagrees

Key = tuple[str, str]


def main() -> None:
    arguments = argparse.ArgumentParser(description="Long comparisons of the balance.")
    arguments.add_argument("run", choices=("converged", "roots"))
    arguments.add_argument("--circuits", type=int, default=500)
    arguments.add_argument("--loops", type=int, default=2000)
    arguments.add_argument("--first", type=int, default=0, help="the first seed")
    arguments.add_argument("--keep", type=Path, required=True, help="where references are kept")
    chosen = arguments.parse_args()
    chosen.keep.mkdir(parents=True, exist_ok=True)
    if chosen.run == "converged":
        print_converged(range(chosen.first, chosen.first + chosen.circuits), chosen.keep)
    else:
        print_roots(range(chosen.first, chosen.first + chosen.loops), chosen.keep)


def circuit(seed: int) -> Plant:
    """One deck, several decks or two loops in turn; each second of them broken by pieces."""
    plant = LOOPS[seed % 3](seed)
    return of_pieces(plant, seed) if seed // 3 % 2 else plant


def loop(seed: int) -> Plant:
    """A loop that one deck closes."""
    plant = LOOPS[seed % 2](seed)
    return of_pieces(plant, seed) if seed // 2 % 2 else plant


def kept(path: Path, found: Callable[[], Any]) -> Any:
    """What a file holds, or what is found, which it then holds."""
    if not path.exists():
        path.write_text(json.dumps(found()))
    return json.loads(path.read_text())


# -- flows on ever finer classes ------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Compared:
    """One circuit: the largest relative error of a flow, and the one that the balance states."""

    seed: int
    error: float
    stated: float
    runs_away_at: float


def compared(seeds: range, keep: Path) -> Iterator[Compared | int]:
    """Each circuit, or the seed of one that has no balance."""
    for seed in seeds:
        plant = circuit(seed)
        try:
            result = balance(plant)
        except CannotSettle:
            yield seed
            continue
        decks = [(m.tag, d.name) for m in plant.machines for d in m.decks]
        start = np.log([result.cut_sizes_mm[deck][0] for deck in decks])
        totals = kept(keep / f"flows_{seed}.json", partial(reference, plant, start))
        if totals is None:
            yield seed
            continue
        feed = sum(feed.rate_t_h for feed in plant.feeds)
        rates = zip(plant.streams, result.streams_t_h[0].sum(axis=1), strict=True)
        errors = [
            abs(float(rate) / wanted - 1.0)
            for stream, rate in rates
            if (wanted := totals.get(f"{stream.source} {stream.outlet}", 0.0)) > LEAST * feed
        ]
        near = min(float(at[0]) for at in result.runs_away_at)
        yield Compared(seed, max(errors), float(with_error(plant, result).error[0]), near)


def reference(plant: Plant, start: np.ndarray[Any, Any]) -> dict[str, float] | None:
    """Flows by source and outlet; None where no root is found near the start."""
    solved: list[Solved] = []
    for octave in _OCTAVES:
        fine = Fine(plant, octave)
        root = fine.root(start)
        if root is None:
            return None
        solved.append(fine.at(np.exp(root)))
        start = root
    coarse, fine_totals = (one.totals for one in solved)
    return {
        f"{source} {outlet}": float(converged(coarse[source, outlet], total))
        for (source, outlet), total in fine_totals.items()
    }


def print_converged(seeds: range, keep: Path) -> None:
    found = list(compared(seeds, keep))
    results = [one for one in found if isinstance(one, Compared)]
    errors = np.array([one.error for one in results])
    stated = np.array([one.stated for one in results])
    worst = sorted(results, key=lambda one: -one.error)
    print(f"{len(results)} circuits compared, {len(found) - len(results)} without a balance")
    print(
        f"error of a flow: median {np.median(errors):.1e}, p90 {np.quantile(errors, 0.9):.1e}, "
        f"worst {errors.max():.1e}; {(errors > CLOSE).sum()} above {CLOSE:g}"
    )
    known = np.isfinite(stated)
    within = errors[known] <= stated[known]
    ratio = stated[known] / np.maximum(errors[known], 1e-12)
    print(
        f"stated error: known in {known.sum()}, not exceeded in {within.sum()}; over the true one: "
        f"median {np.median(ratio):.1f}, p10 {np.quantile(ratio, 0.1):.1f}, "
        f"p90 {np.quantile(ratio, 0.9):.1f}"
    )
    for one in worst[:12]:
        print(
            f"  seed {one.seed}: error {one.error:.1e}, stated {one.stated:.1e}, "
            f"runs away at {one.runs_away_at:.3f}"
        )


# -- all roots of a loop --------------------------------------------------------------------------


def print_roots(seeds: range, keep: Path) -> None:
    counted = {"agree": 0, "refused rightly": 0, "several roots": 0}
    wrong: list[str] = []
    for seed in seeds:
        plant = loop(seed)
        if plant.machines[1].models["partition"].model != "karra":
            continue
        roots = kept(keep / f"roots_{seed}.json", partial(_roots, plant, _SCANNED))
        counted["several roots"] += len(roots) > 1
        reached = cut_size(plant)
        if not _agree(reached, roots):
            roots = kept(keep / f"finer_{seed}.json", partial(_roots, plant, _FINER))
        if _agree(reached, roots):
            counted["agree" if roots else "refused rightly"] += 1
            continue
        what = "false refusal" if reached is None else "wrong branch" if roots else "no root"
        wrong.append(f"seed {seed}: {what}: balance {reached}, roots {roots}")
    print(", ".join(f"{name} {count}" for name, count in counted.items()))
    print(f"{len(wrong)} disagree")
    print("\n".join(wrong))


def _roots(plant: Plant, octave: int) -> list[float]:
    return loop_roots(Fine(plant, octave))


def cut_size(plant: Plant) -> float | None:
    """Log of the cut size of the deck that closes a loop; None where the loop is refused."""
    try:
        return float(np.log(balance(plant).cut_sizes_mm["sizing", "d1"][0]))
    except CannotSettle:
        return None


def _agree(reached: float | None, roots: list[float]) -> bool:
    if reached is None or not roots:
        return reached is None and not roots
    return abs(reached - roots[0]) < SAME_ROOT


if __name__ == "__main__":
    main()
