"""Plants small enough to be worked by hand, studied in this process."""

from __future__ import annotations

import sys
from pathlib import Path

from tests.check.reading import LIBRARIES, MATERIAL

from hoggin.balance import balance
from hoggin.check.checker import check_file
from hoggin.rating.rate import rate
from hoggin.studies.runner.opening import Opened, opened
from hoggin.studies.runner.progress import Progress
from hoggin.studies.runner.spread import Here
from hoggin.studies.uncertainty.document import OutputSpread, Uncertainty
from hoggin.studies.uncertainty.uncertainty import Samples, UncertaintyQuestion, prepared, studied


def splitter_plant(
    rate_t_h: str = "200 t/h", share: str = "30 %", requires: str = "", above: str = ""
) -> str:
    """200 t/h divided into `a`, of this share, and `b`: both rates are worked by hand."""
    return (
        f'{LIBRARIES}{MATERIAL}{above}\nplant "Halves" {{\n  sieves {{ 63 mm, 20 mm, 5 mm }}\n'
        f"  feed rock {{ rock granite; rate {rate_t_h}\n"
        "    passing { 200 mm: 100 %, 50 mm: 40 % } }\n"
        f"  splitter s {{ out cut {share}; out rest rest }}\n"
        f"  rock -> s\n  s.cut -> product a\n  s.rest -> product b\n{requires}\n}}\n"
    )


def opened_text(folder: Path, text: str) -> Opened:
    file = folder / "plant.hog"
    file.write_text(text)
    return opened(check_file(file))


def studied_text(
    folder: Path, text: str, question: UncertaintyQuestion
) -> tuple[Uncertainty, Samples]:
    plant = opened_text(folder, text)
    study = prepared(question, plant, rate(plant.plant, balance(plant.plant), plant.file))
    return studied(question, study, Here(1), Progress(study.cases, sys.stderr, terminal=False))


def output(found: Uncertainty, name: str) -> OutputSpread:
    return next(one for one in found.outputs if one.name == name)
