"""The three files as a whole: the same bytes wherever they are made, and light to import."""

from __future__ import annotations

import hashlib
import io
import math
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import openpyxl
import pytest

from hoggin.report.package.package import package
from hoggin.schema.results import Results

from .conftest import EXAMPLE
from .evaluator import Evaluator
from .paper import read

pytestmark = pytest.mark.slow

SCRIPT = """
import hashlib
from pathlib import Path
from hoggin.check.checker import check_file
from hoggin.balancing import balanced
from hoggin.report.package.package import package
results = balanced(check_file(Path({path!r})))
for name, content in package(results).items():
    print(name, hashlib.sha256(content).hexdigest())
"""


def test_the_same_plant_gives_the_same_bytes_in_another_process_place_and_time_zone(
    packages: dict[str, dict[str, bytes]], tmp_path: Path
) -> None:
    """Also in a home without fonts of its own: none of the system's may matter."""
    there = subprocess.run(
        [sys.executable, "-c", SCRIPT.format(path=str(EXAMPLE))],
        capture_output=True,
        text=True,
        check=True,
        cwd=tmp_path,
        env={
            **os.environ,
            "PYTHONHASHSEED": "12345",
            "TZ": "Asia/Tokyo",
            "HOME": str(tmp_path),
            "FONTCONFIG_FILE": str(tmp_path / "none.conf"),
            "TYPST_FONT_PATHS": "/usr/share/fonts",
            "SOURCE_DATE_EPOCH": "1234567890",
        },
    ).stdout.splitlines()
    made = packages["example"]
    assert there == [f"{n} {hashlib.sha256(made[n]).hexdigest()}" for n in made]


def test_the_package_is_three_files(packages: dict[str, dict[str, bytes]]) -> None:
    for made in packages.values():
        assert list(made) == ["report.html", "report.pdf", "workbook.xlsx"]


def test_importing_the_package_loads_no_heavy_library() -> None:
    script = (
        "import sys, hoggin.report.package.package\n"
        "heavy = ('typst', 'jinja2', 'xlsxwriter', 'numpy', 'markupsafe')\n"
        "print([name for name in heavy if name in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "[]"


def _without_products(results: Results) -> Results:
    products = {product.tag for product in results.products}
    kept = tuple(stream for stream in results.streams if stream.target not in products)
    return results.model_copy(update={"products": (), "streams": kept, "requirements": ()})


def _carrying_nothing(results: Results) -> Results:
    empty = {"rate_t_h": 0.0, "p80_mm": None, "passing": (0.0,) * len(results.sieves_mm)}
    bare = {**empty, "curve": (), "bands": ()}
    return results.model_copy(
        update={
            "streams": tuple(s.model_copy(update=empty) for s in results.streams),
            "products": tuple(p.model_copy(update=bare) for p in results.products),
        }
    )


def _as_an_old_document(results: Results) -> Results:
    return results.model_copy(update={"plant": None, "provenance": None, "revision": ""})


@pytest.mark.parametrize("change", [_without_products, _carrying_nothing, _as_an_old_document])
def test_odd_plants_get_their_package_too(
    example: Results, change: Callable[[Results], Results]
) -> None:
    made = package(change(example))
    book = openpyxl.load_workbook(io.BytesIO(made["workbook.xlsx"]))
    worked = Evaluator(book)
    for sheet in book:
        for row in sheet.iter_rows():
            for cell in row:
                if cell.data_type == "f":
                    assert math.isfinite(worked.value(sheet.title, cell.coordinate))
    assert example.title.encode() in made["report.html"]
    assert read(made["report.pdf"]).outline
