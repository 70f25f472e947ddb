"""A broken plug-in package is named in a clear error, whatever is wrong with it; nothing is
written, and no traceback is shown."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.plugins.installing import PLANT, hoggin, lay_out

pytestmark = pytest.mark.slow

_MODEL = """
import numpy as np
from hoggin.models.catalog import Coefficient, Model
def operator({takes}):
    n = len(edges_mm) - 1
    {body}
MODEL = Model("breakage", "halving", "m", "s", {{"{part}": "bad_m:operator"}},
              (Coefficient("gap", "mm", "g", 1.0, 500.0),))
"""


def _model(takes: str = "edges_mm, *, gap", body: str = "...", part: str = "operator") -> str:
    return _MODEL.format(takes=takes, body=body, part=part)


def _check(run: str, kinds: str = '{"low": "h"}') -> str:
    return (
        "from hoggin.plugins import Check, Finding\n"
        f"def run(plant, results):\n    {run}\n"
        f"CHECK = Check({kinds}, run)\n"
    )


@dataclass(frozen=True)
class _Broken:
    """What a package offers in place of the sample's, its module, and what must be said of it."""

    entry: str
    leads_to: str
    module: str
    said: str


_MODELS = "models:breakage.halving"
BROKEN = {
    "import error": _Broken(_MODELS, "bad_m:MODEL", "import no_such_thing", "can't be imported"),
    "exit at import": _Broken(_MODELS, "bad_m:MODEL", "raise SystemExit(3)", "can't be imported"),
    "no such object": _Broken(_MODELS, "bad_m:MODEL", "", "can't be imported"),
    "not a model": _Broken(_MODELS, "bad_m:MODEL", "MODEL = 3", "is a int, not a"),
    "other name": _Broken(
        _MODELS, "bad_m:MODEL", _model().replace('"halving"', '"other"'), "calls itself"
    ),
    "other part": _Broken(
        _MODELS, "bad_m:MODEL", _model(part="op"), "needs the functions operator"
    ),
    "unknown argument": _Broken(
        _MODELS, "bad_m:MODEL", _model("edges_mm, *, gap, moon"), "takes `moon`"
    ),
    "no sizes": _Broken(_MODELS, "bad_m:MODEL", _model("*, gap"), "must begin with (edges_mm)"),
    "other order": _Broken(
        _MODELS, "bad_m:MODEL", _model("gap, edges_mm"), "must begin with (edges_mm)"
    ),
    "unused coefficient": _Broken(
        _MODELS, "bad_m:MODEL", _model("edges_mm"), "does not take its coefficient `gap`"
    ),
    "fails": _Broken(_MODELS, "bad_m:MODEL", _model(body="return 1 / 0"), "ZeroDivisionError"),
    "wrong shape": _Broken(
        _MODELS, "bad_m:MODEL", _model(body="return np.ones(3)"), "numbers of shape (3,)"
    ),
    "not numbers": _Broken(
        _MODELS, "bad_m:MODEL", _model(body="return np.full((1, n, n), np.nan)"), "not a number"
    ),
    "loses mass": _Broken(
        _MODELS,
        "bad_m:MODEL",
        _model(body="return 0.5 * np.eye(n)[None]"),
        "does not keep the mass",
    ),
    "library without a folder": _Broken(
        "libraries:sample", "bad_m", "", "not a package with a folder"
    ),
    "library that is not there": _Broken("libraries:sample", "bad_none.x", "", "can't be found"),
    "not a check": _Broken("checks:headroom", "bad_m:CHECK", "CHECK = print", "not a `hoggin.plug"),
    "check of one argument": _Broken(
        "checks:headroom",
        "bad_m:CHECK",
        "from hoggin.plugins import Check\nCHECK = Check({}, lambda plant: [])",
        "can't be called with (plant, results)",
    ),
    "check that fails": _Broken("checks:headroom", "bad_m:CHECK", _check("{}['x']"), "failed"),
    "check that returns nothing": _Broken(
        "checks:headroom", "bad_m:CHECK", _check("..."), "failed"
    ),
    "finding of another kind": _Broken(
        "checks:headroom",
        "bad_m:CHECK",
        _check("return [Finding('high', 'mill', 't')]"),
        "not one of its kinds",
    ),
    "finding at nothing": _Broken(
        "checks:headroom",
        "bad_m:CHECK",
        _check("return [Finding('low', 'moon', 't')]"),
        "which the plant does not have",
    ),
    "finding without words": _Broken(
        "checks:headroom", "bad_m:CHECK", _check("return [Finding('low', 'plant', 3)]"), "not words"
    ),
    "backend of no argument": _Broken(
        "backends:machine_list", "bad_m:B", "def B(): ...", "can't be called with (results)"
    ),
    "backend that fails": _Broken(
        "backends:machine_list", "bad_m:B", "def B(results): return results.nothing", "failed"
    ),
    "backend that gives no files": _Broken(
        "backends:machine_list", "bad_m:B", "def B(results): return 'x'", "not files by their names"
    ),
    "backend that writes elsewhere": _Broken(
        "backends:machine_list",
        "bad_m:B",
        "def B(results): return {'../x': ''}",
        "not a plain path",
    ),
    "the compiler's own name": _Broken("libraries:std", "bad_m", "", "the compiler's own library"),
}
_ONLY_LISTED = {"the compiler's own name"}  # a plant that says `std` means the compiler's
_SEEN_IN_USE = {
    *("fails", "wrong shape", "not numbers", "loses mass", "check that fails"),
    *("check that returns nothing", "finding of another kind", "finding at nothing"),
    *("finding without words", "backend that fails", "backend that gives no files"),
    "backend that writes elsewhere",
}


@pytest.fixture
def others(sample: Path, tmp_path: Path) -> Path:
    """The sample package beside which a broken one takes the place of one of its things."""
    target = tmp_path / "installed"
    target.mkdir()
    for path in sample.iterdir():
        if not path.name.endswith(".dist-info"):
            (target / path.name).symlink_to(path)
    return target


def _entries(broken: _Broken) -> tuple[dict[str, str], dict[str, str]]:
    """What the broken package offers, and what is left to the good one."""
    good = {
        "models:breakage.halving": "hoggin_sample.models:HALVING",
        "libraries:sample": "hoggin_sample.machines",
        "backends:machine_list": "hoggin_sample.machine_list:machine_list",
        "checks:headroom": "hoggin_sample.headroom:HEADROOM",
    }
    return {broken.entry: broken.leads_to}, {k: v for k, v in good.items() if k != broken.entry}


@pytest.mark.parametrize("case", sorted(set(BROKEN) - _ONLY_LISTED))
def test_a_plant_that_uses_it_gets_an_error_that_names_the_package(
    case: str, others: Path, tmp_path: Path
) -> None:
    broken = BROKEN[case]
    bad, good = _entries(broken)
    lay_out(others, "bad-package", bad, {"bad_m": broken.module})
    lay_out(others, "good", good, {})
    into = tmp_path / "out"
    done = hoggin("issue", "--with", "machine_list", "--into", into, PLANT, installed=others)
    assert done.returncode in (1, 2, 3), done.stderr
    assert "plug-in package `bad-package` 0.1: " in done.stderr
    assert broken.said in done.stderr
    assert "Traceback" not in done.stderr
    assert not into.exists()


@pytest.mark.parametrize("case", sorted(set(BROKEN) - _SEEN_IN_USE))
def test_the_list_of_plug_ins_says_what_is_wrong(case: str, others: Path) -> None:
    broken = BROKEN[case]
    bad, good = _entries(broken)
    lay_out(others, "bad-package", bad, {"bad_m": broken.module})
    lay_out(others, "good", good, {})
    done = hoggin("plugins", installed=others)
    assert done.returncode == 2
    assert "plug-in package `bad-package` 0.1: " in done.stderr
    assert broken.said in done.stderr
    assert len(done.stderr.splitlines()) == 1
    assert len(done.stdout.splitlines()) == len(good)


def test_two_packages_with_one_name_are_both_named(sample: Path, others: Path) -> None:
    for name in ("one", "two"):
        lay_out(others, name, {"libraries:sample": "hoggin_sample.machines"}, {})
    del sample
    done = hoggin("check", PLANT, installed=others)
    assert done.returncode == 1
    assert "plug-in package `one` 0.1: library `sample` is offered by `two` 0.1 too" in done.stderr


def test_a_model_of_the_compilers_own_name_is_refused_and_the_own_one_stands(others: Path) -> None:
    text = _model("edges_mm, *, gap").replace('"halving"', '"matrix"')
    lay_out(others, "bad-package", {"models:breakage.matrix": "bad_m:MODEL"}, {"bad_m": text})
    done = hoggin("plugins", installed=others)
    assert done.returncode == 2
    assert "has the name of a model of the compiler's own" in done.stderr
    assert hoggin("check", "examples/quarry.hog", installed=others).returncode == 0
