"""One plant through every command, as a user would run them, and what the laws say of it.

What must hold of every plant that balances:
- no command ends in a traceback, nor in an exit code that is not its own;
- it does not differ from itself, from its results document, nor from itself laid out;
- laying it out twice changes nothing more; issuing it twice gives the same bytes;
- machines in parallel do what the same machines do that are written out one by one;
- mass is conserved: on every size class by each machine that breaks nothing, in total by each
  crusher; water comes out as it went in (conservation laws);
- no text of its tables is a formula to a spreadsheet.
"""

from __future__ import annotations

import csv
import io
import re
import shutil
import traceback
import unicodedata
from collections.abc import Iterator, Sequence
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from openpyxl import load_workbook

from hoggin.balance import balance
from hoggin.check.checker import check_file
from hoggin.commands.main import main
from hoggin.rating.rate import rate
from hoggin.schema.plant import Plant
from hoggin.schema.results import Results
from tests.balance.written_out import written_out
from tests.generator.drawing import MAIN, Files, write
from tests.generator.spelling import TITLES

OK, SOURCE_ERRORS, USAGE, UNBALANCED, UNMET, DIFFERENT = range(6)
_CLOSE = 1e-9  # of the plant's feed
_CLOSE_IN_LOOPS = 1e-7  # where two loops are settled on their own


@dataclass
class Trial:
    """What became of one plant: whether it balanced, and the faults found."""

    seed: int
    outcome: str = "balanced"
    faults: list[str] = field(default_factory=list)
    reasons: list[tuple[str, str]] = field(default_factory=list)  # of a plant that was refused

    def fault(self, where: str, story: str) -> None:
        self.faults.append(f"seed {self.seed}: {where}: {story.strip()[:1500]}")


@dataclass(frozen=True)
class _Said:
    code: int
    out: str
    err: str


def trial(files: Files, folder: Path, *, thorough: bool = False) -> Trial:
    """Put a plant through the commands. thorough: with its package, its studies and its drawing."""
    found = Trial(files.seed)
    write(files, folder)
    file = str(folder / MAIN)
    try:
        _commands(found, file, folder, files, thorough)
        if found.outcome == "balanced":
            _laws(found, folder / MAIN)
    except _StopError:
        pass
    except Exception:
        found.fault("traceback", traceback.format_exc()[-1500:])
    return found


def _commands(found: Trial, file: str, folder: Path, files: Files, thorough: bool) -> None:
    balanced = _run(
        found, ["balance", file, "--show", "json"], (OK, SOURCE_ERRORS, UNBALANCED, UNMET)
    )
    if balanced.code in (SOURCE_ERRORS, UNBALANCED):
        found.outcome = "refused" if balanced.code == SOURCE_ERRORS else "unsettled"
        found.reasons = re.findall(r"^error (E\d+): (.*)$", balanced.err, re.MULTILINE)
        return
    document = folder / "results.json"
    document.write_text(balanced.out, "utf-8")
    _same(found, "its results document", str(document), file)
    _laid_out(found, folder, document)
    if thorough:
        _same(found, "itself", file, file)
        _run(found, ["check", file], (OK,))
        _run(found, ["balance", file], (OK, UNMET))
        _issued(found, folder, file)
        _studied(found, folder, file, files)


def _run(found: Trial, arguments: Sequence[str], codes: Sequence[int]) -> _Said:
    """A command in this process; another exit code than one of these is a fault."""
    out, err = io.StringIO(), io.StringIO()
    try:
        with redirect_stdout(out), redirect_stderr(err):
            code = main(list(arguments))
    except Exception:
        found.fault(f"traceback of `{arguments[0]}`", traceback.format_exc()[-1500:])
        raise _StopError from None
    said = _Said(code, out.getvalue(), err.getvalue())
    if code not in codes:
        found.fault(f"`{' '.join(arguments)}` exits with {code}", said.err + said.out)
    return said


class _StopError(Exception):
    """The fault is noted; the rest of this plant's commands would only repeat it."""


def _same(found: Trial, what: str, before: str, after: str) -> None:
    said = _run(
        found, ["compare", before, after, "--min-weight", "0", "--expect-same"], (OK, DIFFERENT)
    )
    if said.code != OK:
        found.fault(f"differs from {what}", said.out)


def _laid_out(found: Trial, folder: Path, document: Path) -> None:
    """`format` on a copy: the results stay the same, and a second time nothing changes."""
    copy = folder / "laid_out"
    for path in list(folder.rglob("*.hog")):
        place = copy / path.relative_to(folder)
        place.parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(path, place)
    _run(found, ["format", str(copy)], (OK,))
    if _run(found, ["format", "--check", str(copy)], (OK, DIFFERENT)).code != OK:
        found.fault("format", "a second time changes more")
    _same(found, "itself laid out", str(document), str(copy / MAIN))
    shutil.rmtree(copy)


def _issued(found: Trial, folder: Path, file: str) -> None:
    """`issue` and `package`, twice: the same bytes, and no formulas."""
    made = []
    for name in ("first", "second"):
        into = folder / name
        _run(found, ["issue", file, "--into", str(into)], (OK, UNMET))
        _run(found, ["report", file, "--into", str(into / "package")], (OK, UNMET))
        made.append({p.relative_to(into): p.read_bytes() for p in sorted(into.rglob("*.*"))})
    for path in made[0].keys() | made[1].keys():
        if made[0].get(path) != made[1].get(path):
            found.fault("issued twice", f"{path} has other bytes")
    for path, content in made[0].items():
        if path.suffix == ".csv":
            _no_formulas(found, str(path), (c for r in csv.reader(_text(content)) for c in r))
        if path.suffix == ".xlsx":
            cells = (c for s in load_workbook(io.BytesIO(content)) for r in s.rows for c in r)
            formulas = (str(c.value) for c in cells if c.data_type == "f")
            _no_formulas(found, str(path), (f for f in formulas if _of_title(f)))


def _text(content: bytes) -> io.StringIO:
    return io.StringIO(content.decode("utf-8-sig"), newline="")


def _no_formulas(found: Trial, path: str, cells: Iterator[str]) -> None:
    """A spreadsheet that skips what is not seen must not find a formula's sign first."""
    for cell in cells:
        seen = "".join(c for c in cell if unicodedata.category(c) not in ("Cf", "Cc", "Zs"))
        start = unicodedata.normalize("NFKC", seen)[:1]
        if start and start in "=+-@" and not _number(cell):
            found.fault("formula", f"{path}: {cell!r}")


def _of_title(formula: str) -> bool:
    """Whether a formula came out of a title, not out of the workbook's own sums."""
    letters = {re.sub(r"\W", "", unicodedata.normalize("NFKC", title)) for title in TITLES}
    return re.sub(r"\W", "", formula) in letters


def _number(cell: str) -> bool:
    try:
        float(cell)
    except ValueError:
        return cell == "-"  # an empty cell's sign
    return True


def _studied(found: Trial, folder: Path, file: str, files: Files) -> None:
    """A sweep over a number left open, where there is one; the plant run over a week."""
    for one in files.opened[:1]:
        over = f"{one.name} {one.low:.6g} mm to {one.high:.6g} mm in 3"
        into = str(folder / "sweep")
        _run(found, ["sweep", file, "--over", over, "--into", into], (OK, UNBALANCED))
    into = str(folder / "operation")
    _run(found, ["simulate", file, "--runs", "2", "--into", into], (OK, USAGE, UNMET))


# -- laws of conservation -------------------------------------------------------------------------


def _laws(found: Trial, file: Path) -> None:
    checked = check_file(file)
    plant = checked.plant
    assert plant is not None
    solved = balance(plant)
    feed = sum(one.rate_t_h for one in plant.feeds)
    flows = solved.streams_t_h[0]
    for index, machine in enumerate(plant.machines):
        came = solved.machine_feeds_t_h[0, index]
        went = _sum(flows, plant, machine.tag, "source")
        if not np.allclose(came, _sum(flows, plant, machine.tag, "target"), 0, _CLOSE * feed):
            found.fault("mass", f"the feed of {machine.tag} is not the sum of what enters it")
        if machine.kind == "crusher":
            came, went = came.sum(), went.sum()
        if not np.allclose(came, went, rtol=0, atol=_CLOSE * feed):
            found.fault("mass", f"{machine.tag} loses {np.max(np.abs(came - went)):g} t/h")
    products = sum(_sum(flows, plant, one.tag, "target").sum() for one in plant.products)
    if abs(products - feed) > _CLOSE * feed:
        found.fault("mass", f"{feed:g} t/h come and {products:g} t/h leave")
    if not np.all(np.isfinite(flows)) or flows.min() < -_CLOSE * feed:
        found.fault("mass", "a stream is below nothing")
    if any(machine.count > 1 for machine in plant.machines):
        _written_out(found, plant, flows, _CLOSE_IN_LOOPS * feed)
    results = rate(plant, solved, file.name)
    _water(found, plant, results)
    _tramp(found, results)


def _written_out(found: Trial, plant: Plant, flows: np.ndarray, close: float) -> None:
    """Equal machines in parallel are what single ones behind an equal splitter are."""
    apart = written_out(plant)
    single = balance(apart).streams_t_h[0]
    for product in plant.products:
        one, other = (
            _sum(f, p, product.tag, "target") for f, p in ((flows, plant), (single, apart))
        )
        if not np.allclose(one, other, rtol=0, atol=close):
            worst = np.max(np.abs(one - other))
            found.fault("count", f"{product.tag} differs by {worst:g} t/h from single machines")


def _sum(flows: np.ndarray, plant: Plant, tag: str, end: str) -> np.ndarray:
    wanted = [i for i, stream in enumerate(plant.streams) if getattr(stream, end) == tag]
    total: np.ndarray = flows[wanted].sum(axis=0)
    return total


def _water(found: Trial, plant: Plant, results: Results) -> None:
    """In all, and through every machine with what is put in there."""
    water = results.water
    if water is None:
        return
    came = water.with_feeds_m3_h + water.added_m3_h
    if abs(came - water.with_products_m3_h) > 1e-6 * max(came, 1.0):
        found.fault("water", f"{came:g} m3/h come and {water.with_products_m3_h:g} m3/h leave")
    for machine in plant.machines:
        into = sum(s.water_m3_h for s in results.streams if s.target == machine.tag)
        into += machine.count * sum(deck.spray_m3_h for deck in machine.decks)
        into += machine.count * machine.facts.get("added_water_m3_h", 0.0)
        out = sum(s.water_m3_h for s in results.streams if s.source == machine.tag)
        if abs(into - out) > 1e-6 * max(came, 1.0):
            found.fault("water", f"{machine.tag} is given {into:g} m3/h and gives {out:g} m3/h")


def _tramp(found: Trial, results: Results) -> None:
    """No more pieces arrive than come, and a crusher that all are taken before sees none."""
    for machine in results.machines:
        if machine.tramp is not None:
            shares = (machine.tramp.iron_share, machine.tramp.other_share)
            if any(share is not None and not 0.0 < share <= 1.0 for share in shares):
                found.fault("tramp", f"shares {shares} of the pieces arrive at {machine.tag}")
