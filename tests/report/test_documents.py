"""All documents together: complete, the same each time, and put on disk whole or not at all."""

from __future__ import annotations

import csv
import hashlib
import io
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from hoggin.errors import HogginError
from hoggin.report.documents import documents, file_stems
from hoggin.schema.results import Results
from hoggin.writing import write

OLD, NEW = b"issued last month", b"issued today"
CONTENTS = {"flowsheet.svg": NEW, "gradings/chips.svg": NEW, "results.json": NEW}


def listing(folder: Path) -> dict[str, bytes]:
    files = (path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


def interrupt_at(call: int, error: BaseException) -> Callable[..., None]:
    """An `os.replace` that works until the given call, then raises once."""
    calls = 0
    genuine = os.replace

    def replace(*places: Any, **options: Any) -> None:
        nonlocal calls
        calls += 1
        if calls == call:
            raise error
        genuine(*places, **options)

    return replace


@pytest.mark.slow
def test_the_three_documents_and_a_plot_for_each_product_are_there(quarry: Results) -> None:
    names = set(documents(quarry))
    assert {f"flowsheet.{form}" for form in ("svg", "png", "pdf", "dxf")} <= names
    assert "graph.dot" in names
    for table in ("mass_balance", "equipment"):
        assert {f"{table}.{form}" for form in ("md", "csv", "xlsx")} <= names
    plots = {name for name in names if name.startswith("gradings/")}
    assert plots == {
        "gradings/all-products.svg", *(f"gradings/{p.tag}.svg" for p in quarry.products)
    }  # fmt: skip


@pytest.mark.slow
@pytest.mark.parametrize("sample", ["quarry", "hostile"])
def test_another_process_makes_the_same_bytes(sample: str, request: pytest.FixtureRequest) -> None:
    """Hash seed, process and second of the clock differ; the documents do not."""
    here = Path(__file__).parent
    script = (
        "import sys, hashlib, emit_sample; from hoggin.report.documents import documents\n"
        f"made = documents(emit_sample.{sample}())\n"
        "print(*(n + ' ' + hashlib.sha256(made[n]).hexdigest() for n in made), sep='\\n')"
    )
    there = subprocess.run(
        [sys.executable, "-c", script],
        capture_output=True, text=True, check=True,
        env={**os.environ, "PYTHONHASHSEED": "12345", "PYTHONPATH": str(here), "TZ": "Asia/Tokyo"},
    ).stdout.splitlines()  # fmt: skip
    made = documents(request.getfixturevalue(sample))
    assert there == [f"{n} {hashlib.sha256(made[n]).hexdigest()}" for n in made]


@pytest.mark.slow
@pytest.mark.parametrize("sample", ["quarry", "hostile", "large"])
def test_the_json_reads_back_to_nine_digits(sample: str, request: pytest.FixtureRequest) -> None:
    results: Results = request.getfixturevalue(sample)
    content = documents(results)["results.json"]
    assert content.endswith(b"}\n")
    back = Results.model_validate_json(content)
    assert [s.name for s in back.streams] == [s.name for s in results.streams]
    assert back.title == results.title
    for ours, theirs in zip(results.streams, back.streams, strict=True):
        assert theirs.rate_t_h == pytest.approx(ours.rate_t_h, rel=1e-8)
        assert theirs.passing == pytest.approx(ours.passing, rel=1e-8)


@pytest.mark.slow
def test_documents_agree_with_one_another(quarry: Results) -> None:
    made = documents(quarry)
    rows = list(csv.DictReader(io.StringIO(made["equipment.csv"].decode())))
    secondary = next(row for row in rows if row["tag"] == "secondary")
    drawn = made["flowsheet.svg"].decode()
    assert f"OVER LIMIT: load {float(secondary['load (%)']):.0f} % of" in drawn
    assert f">{float(secondary['feed (t/h)']):.1f}<" in drawn
    assert f"{float(secondary['load (%)']):.0f} %" in made["equipment.md"].decode()


def test_file_names_are_safe_and_distinct_on_any_system() -> None:
    stems = file_stems(["line1.chips", "Chips", "chips", "con", "../../etc", "a" * 300, "..."])
    assert stems[0] == "line1.chips"
    assert len({stem.lower() for stem in stems}) == len(stems)
    assert all("/" not in stem and not stem.startswith(".") for stem in stems)
    assert all(0 < len(stem) <= 85 for stem in stems)
    assert stems[3].lower() != "con"  # a device name on some systems
    assert "all-products" not in file_stems(["all-products"])


def test_writing_puts_every_file_in_place_and_touches_no_other(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_bytes(b"mine")
    (tmp_path / "flowsheet.svg").write_bytes(OLD)
    written = write(CONTENTS, tmp_path)
    assert listing(tmp_path) == {**CONTENTS, "notes.txt": b"mine"}
    assert {path.read_bytes() for path in written} == {NEW}


@pytest.mark.parametrize("call", [1, 2, 3])
@pytest.mark.parametrize("error", [OSError(28, "No space left on device"), KeyboardInterrupt()])
def test_a_failure_in_the_middle_leaves_everything_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, call: int, error: BaseException
) -> None:
    (tmp_path / "flowsheet.svg").write_bytes(OLD)
    (tmp_path / "notes.txt").write_bytes(b"mine")
    before = listing(tmp_path)
    monkeypatch.setattr(os, "replace", interrupt_at(call, error))
    expected = HogginError if isinstance(error, OSError) else KeyboardInterrupt
    with pytest.raises(expected):
        write(CONTENTS, tmp_path)
    assert listing(tmp_path) == before
    assert sorted(path.name for path in tmp_path.iterdir()) == ["flowsheet.svg", "notes.txt"]


def test_a_failure_leaves_no_folder_it_made(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "replace", interrupt_at(2, OSError(28, "No space left on device")))
    with pytest.raises(HogginError, match="no space left on device"):
        write(CONTENTS, tmp_path / "issue" / "c")
    assert list(tmp_path.iterdir()) == []


def test_a_reader_never_sees_half_a_set_missing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """At each rename every old file is still there whole, and every new file is complete."""
    write(dict.fromkeys(CONTENTS, OLD), tmp_path)
    seen: list[set[bytes]] = []
    genuine = os.replace

    def watching(*places: Any, **options: Any) -> None:
        seen.append({(tmp_path / name).read_bytes() for name in CONTENTS})
        genuine(*places, **options)

    monkeypatch.setattr(os, "replace", watching)
    write(CONTENTS, tmp_path)
    assert len(seen) == len(CONTENTS)
    assert all(state <= {OLD, NEW} for state in seen)


def test_a_file_where_the_folder_should_be_is_a_plain_sentence(tmp_path: Path) -> None:
    (tmp_path / "out").write_bytes(b"mine")
    with pytest.raises(HogginError, match="cannot write the documents to"):
        write(CONTENTS, tmp_path / "out")
    assert (tmp_path / "out").read_bytes() == b"mine"


def test_a_folder_where_a_file_should_be_is_a_plain_sentence(tmp_path: Path) -> None:
    (tmp_path / "results.json").mkdir()
    with pytest.raises(HogginError, match=r"results\.json: a folder of that name is in the way"):
        write(CONTENTS, tmp_path)
    assert listing(tmp_path) == {}
    assert [path.name for path in tmp_path.iterdir()] == ["results.json"]


@pytest.mark.skipif(sys.platform == "win32", reason="folder permissions are POSIX")
def test_a_folder_that_may_not_be_written_is_a_plain_sentence(tmp_path: Path) -> None:
    tmp_path.chmod(0o500)
    try:
        if os.access(tmp_path, os.W_OK):
            pytest.skip("this user may write anywhere")
        with pytest.raises(HogginError, match="permission denied"):
            write(CONTENTS, tmp_path)
    finally:
        tmp_path.chmod(0o700)


@pytest.mark.parametrize("name", ["../out.svg", "/etc/out.svg", "a/../../b", "a\\..\\b", ""])
def test_a_path_out_of_the_folder_is_refused(tmp_path: Path, name: str) -> None:
    with pytest.raises(HogginError, match="not a plain path"):
        write({name: NEW}, tmp_path / "out")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.slow
def test_importing_the_backends_loads_no_heavy_library() -> None:
    script = (
        "import sys, hoggin.report.documents\n"
        "print([m for m in ('jinja2', 'xlsxwriter', 'numpy') if m in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "[]"


def _without_products(results: Results) -> Results:
    kept = tuple(s for s in results.streams if s.target not in {p.tag for p in results.products})
    return results.model_copy(update={"products": (), "streams": kept, "requirements": ()})


def _carrying_nothing(results: Results) -> Results:
    empty = {"rate_t_h": 0.0, "p80_mm": None, "passing": (0.0,) * len(results.sieves_mm)}
    return results.model_copy(
        update={
            "streams": tuple(s.model_copy(update=empty) for s in results.streams),
            "products": tuple(
                p.model_copy(update={**empty, "curve": (), "bands": ()}) for p in results.products
            ),
        }
    )


def _loops_unmarked(results: Results) -> Results:
    streams = tuple(s.model_copy(update={"recirculating": False}) for s in results.streams)
    return results.model_copy(update={"streams": streams, "loops": ()})


@pytest.mark.slow
@pytest.mark.parametrize("change", [_without_products, _carrying_nothing, _loops_unmarked])
def test_odd_plants_get_their_documents_too(
    quarry: Results, change: Callable[[Results], Results]
) -> None:
    odd = change(quarry)
    made = documents(odd)
    assert Results.model_validate_json(made["results.json"]).title == quarry.title
    drawn = made["flowsheet.svg"].decode()
    assert all(f'data-of="machine {machine.tag}"' in drawn for machine in odd.machines)
    assert "nan" not in made["mass_balance.md"].decode().lower()
