"""Limits that keep a slip or a stranger's file from exhausting the computer: each case ends within
20 s of processor time and 2 GB, with a documented exit code, a sentence, and no traceback."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from hoggin.check.choose import MOST_OPTIONS
from hoggin.check.gradings import MOST_SIZES
from hoggin.check.network import MOST_NODES
from hoggin.commands.command_line import MOST_SAMPLES
from hoggin.commands.main import main
from hoggin.intake import gradings as sheets
from hoggin.intake import products
from hoggin.intake.measured import MOST_BYTES
from hoggin.intake.sheet import MOST_CELLS
from hoggin.revise.regress.settings import MOST_CASES as MOST_REGRESSED
from hoggin.studies.simulate.schedule import MOST_STOPS
from hoggin.studies.simulate.simulate import MOST_EVENTS
from hoggin.studies.sweep.ranges import MOST_STEPS
from hoggin.studies.sweep.sweep import MOST_CASES as MOST_SWEPT
from hoggin.syntax.parser import DEEPEST_NESTING, LONGEST_SOURCE, LONGEST_SUM
from hoggin.syntax.tokens import MOST_TOKENS
from hoggin.world import LARGEST_FILE

resource = pytest.importorskip("resource", reason="limits of a process are POSIX")
REPOSITORY = Path(__file__).resolve().parents[2]
MEMORY, SECONDS = 2 << 30, 20
HEAD = """use std.sieves
material g { solid_density 2.68 t/m3; bulk_density 1.6 t/m3; work_index 15 kWh/t; moisture 1 % }
"""
ROUTE = "rock -> product all\n"


def plant(body: str, before: str = "") -> str:
    return (
        f'{HEAD}{before}plant "t" {{\n sieves sieves.quarry\n feed rock {{ rock g; '
        f"rate 200 t/h; passing {{ 63 mm: 100 %, 8 mm: 10 % }} }}\n{body}\n}}\n"
    )


def held(arguments: list[str], folder: Path) -> subprocess.CompletedProcess[str]:
    """Run the command in a process that is held to the limits."""

    def limits() -> None:
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
        resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS + 1))

    return subprocess.run(
        [sys.executable, "-m", "hoggin", *arguments],
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
        preexec_fn=limits,
        timeout=300,
    )


def templates(levels: int, each: str) -> str:
    first = "template t0() { in a; out b; a -> b }\n"
    return first + "".join(
        f"template t{n}() {{ in a; out b; {each.format(below=f't{n - 1}')} }}\n"
        for n in range(1, levels)
    )


def nested(levels: int) -> str:
    each = "section s: {below}(); a -> s -> b"
    body = f"section s: t{levels - 1}()\nrock -> s -> product all"
    return plant(body, templates(levels, each))


def doubled(levels: int) -> str:
    each = "section p: {below}(); section q: {below}(); a -> p -> q -> b"
    body = f"section s: t{levels - 1}()\nrock -> s -> product all"
    return plant(body, templates(levels, each))


def options(count: int) -> str:
    each = (f"option o{n} {{ rock -> product p{n} }}" for n in range(count))
    return plant("choose c {\n" + "\n".join(each) + "\n}")


def stored(amount: str, before: str = "") -> str:
    return plant(f"bin b {{ live {amount} }}\nrock -> b -> product all", before)


SOURCES: dict[str, tuple[str, str]] = {  # the source, and the code that it is refused with
    "templates 1,000 deep": (nested(1000), "E0106"),
    "2^60 instances": (doubled(61), "E0703"),
    "a template in itself": (
        plant(ROUTE + "section s: t()", "template t() { section s: t() }\n"),
        "E0701",
    ),
    "too many options": (options(3000), "E0703"),
    "too many options of many choices": (
        plant(ROUTE + "".join(
            f"choose c{n} {{\n option a {{ require all.rate >= 1 t/h }}\n"
            f" option b {{ require all.rate >= 2 t/h }}\n}}\n" for n in range(300)
        )),
        "E0703",
    ),
    "30,000 bins": (
        plant("\n".join(f"bin s{n} {{ live 1 t }}" for n in range(30_000)) + ROUTE),
        "E0105",
    ),
    "a chain of 10,000 names": (
        stored("x9999", "let x0 = 1 t\n" + "".join(
            f"let x{n} = x{n - 1} + 1 t\n" for n in range(1, 10_000))),
        "E0106",
    ),
    "a number of 900,000 digits": (stored("9" * 900_000 + " t"), "E"),
    "an exponent of 100,000 digits": (stored("1e" + "9" * 100_000 + " t"), "E"),
    "powers of powers": (stored("1 t * ((9^9)^9)^9"), "E"),
    "brackets 90,000 deep": (stored("(" * 90_000 + "1 t" + ")" * 90_000), "E01"),
    "a sum of 90,000": (stored(" + ".join(["1 t"] * 90_000)), "E01"),
    "20,000 sieves": (
        plant(ROUTE).replace(
            "sieves sieves.quarry",
            "sieves { " + ", ".join(f"{n} mm" for n in range(20_000, 0, -1)) + " }",
        ),
        "E0703",
    ),
    "a route of 100,000 hops": (plant("blend s\nrock -> " + "s -> " * 100_000 + "s"), "E"),
}  # fmt: skip


@pytest.mark.slow
@pytest.mark.parametrize("case", SOURCES)
def test_what_is_too_large_is_refused_with_its_code(case: str, tmp_path: Path) -> None:
    source, code = SOURCES[case]
    (tmp_path / "plant.hog").write_text(source)
    done = held(["issue", "plant.hog", "--into", "out"], tmp_path)
    assert done.returncode == 1, done.stderr[-500:]
    assert f"error {code}" in done.stderr
    assert "Traceback" not in done.stderr
    assert not (tmp_path / "out").exists()


@pytest.mark.slow
def test_as_many_options_as_are_allowed_are_checked(tmp_path: Path) -> None:
    (tmp_path / "most.hog").write_text(options(MOST_OPTIONS))
    (tmp_path / "more.hog").write_text(options(MOST_OPTIONS + 1))
    assert held(["check", "most.hog"], tmp_path).returncode == 0
    assert held(["check", "more.hog"], tmp_path).returncode == 1


@pytest.fixture(scope="module")
def results(tmp_path_factory: pytest.TempPathFactory) -> str:
    folder = tmp_path_factory.mktemp("results")
    (folder / "ok.hog").write_text(plant(ROUTE))
    assert main(["issue", str(folder / "ok.hog"), "--into", str(folder / "out")]) == 0
    return (folder / "out" / "results.json").read_text()


@pytest.mark.slow
@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("200.0", "NaN"),
        ("200.0", "-Infinity"),
        ("200.0", "1e400"),
        ("200.0", "9" * 1_000_000),
        ("{", "[" * 1_000_000),
        ("{", '{"a":' * 1_000_000),
        ('"title": "t"', '"title": 7'),
        ('"title": "t",', ""),
        ('"title": "t"', '"title": "\\ud800"'),
    ],
    ids=["NaN", "infinity", "overflow", "digits", "lists", "objects", "type", "missing", "half"],
)
def test_a_results_document_that_is_none_is_refused(
    old: str, new: str, results: str, tmp_path: Path
) -> None:
    assert old in results
    (tmp_path / "before.json").write_text(results.replace(old, new, 1))
    (tmp_path / "after.json").write_text(results)
    done = held(["compare", "before.json", "after.json", "--as=json"], tmp_path)
    assert done.returncode == 2
    assert "`before.json` is not a results document" in done.stderr
    assert "Traceback" not in done.stderr
    assert done.stdout == ""


RECORDS = {
    "lists": "a = " + "[" * 200_000,
    "tables": "a = " + "{a=" * 200_000,
    "names": "a" + ".a" * 200_000 + " = 1",
    "quoted names": "a" + '."a"' * 200_000 + " = 1",
    "headings": "[a" + ".a" * 200_000 + "]",
    "digits": "a = " + "9" * 1_000_000,
}


@pytest.mark.slow
@pytest.mark.parametrize("case", RECORDS)
def test_a_record_that_cannot_be_read_is_the_fault_of_its_plant_alone(
    case: str, tmp_path: Path
) -> None:
    (tmp_path / "bad.hog").write_text(plant(ROUTE))
    (tmp_path / "good.hog").write_text(plant(ROUTE))
    assert held(["regress", ".", "--accept", "--reason", "a test"], tmp_path).returncode == 0
    (tmp_path / "recorded" / "bad.toml").write_text(RECORDS[case])
    done = held(["regress", ".", "--jobs", "1"], tmp_path)
    assert done.returncode == 5, done.stderr[-500:]
    assert "its record can't be read" in done.stdout + done.stderr
    assert "holds" in done.stdout  # the other plant has been gone through
    assert "Traceback" not in done.stderr


@pytest.mark.slow
@pytest.mark.parametrize(
    ("settings", "sentence"),
    [
        ("vary.x = [" + ",".join(map(str, range(100_000))) + "]", "the limit is 10,000"),
        ("vary.x = [" + "9" * 100_000 + "]", "a number that is too long"),
        ("vary.x = [" + "9" * 4000 + "]", "is not a value"),
        ("vary.x = [inf]", "is not a value"),
        ("vary.x = " + "[" * 100_000, "nest too deeply"),
    ],
    ids=["values", "digits", "large", "infinite", "deep"],
)
def test_settings_of_a_regression_are_refused_by_line(
    settings: str, sentence: str, tmp_path: Path
) -> None:
    (tmp_path / "ok.hog").write_text(plant(ROUTE))
    (tmp_path / "regression.toml").write_text(f'[[grid]]\nplant = "ok.hog"\n{settings}\n')
    done = held(["regress", "."], tmp_path)
    assert done.returncode == 2
    assert "regression.toml:" in done.stderr and sentence in done.stderr
    assert "Traceback" not in done.stderr


@pytest.fixture
def odd_files(tmp_path: Path) -> Path:
    (tmp_path / "ok.hog").write_text(plant(ROUTE))
    (tmp_path / "loop.hog").symlink_to("loop.hog")
    (tmp_path / "zero.hog").symlink_to("/dev/zero")
    os.mkfifo(tmp_path / "fifo.hog")
    (tmp_path / "folder.hog").mkdir()
    with (tmp_path / "huge.hog").open("wb") as file:
        file.truncate(1 << 40)  # a terabyte of nothing
    return tmp_path


@pytest.mark.parametrize(
    "name",
    ["loop.hog", "zero.hog", "fifo.hog", "folder.hog", "huge.hog", "no.hog", "x" * 5000 + ".hog"],
    ids=lambda name: name[:12],
)
@pytest.mark.parametrize(
    "command",
    [
        ["check", "{}"],
        ["issue", "{}"],
        ["facts", "{}"],
        ["compare", "ok.hog", "{}"],
        ["why", "{}", "ok.hog", "all.rate"],
        ["format", "ok.hog", "{}"],
        ["import", "gradings", "{}"],
        ["git-compare", "{}", "{}", "a" * 40, "100644", "ok.hog", "b" * 40, "100644"],
    ],
    ids=lambda command: command[0],
)
def test_what_is_no_file_is_refused_in_a_sentence(
    command: list[str],
    name: str,
    odd_files: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(odd_files)
    code = main([word.format(name) for word in command])
    told = capsys.readouterr()
    if command[0] == "git-compare":  # git takes all but 0 for a failure
        assert code == 0 and told.out
    elif command[0] in ("format", "compare") and name == "folder.hog":
        assert code in (0, 2)  # an empty folder is one to go through
    else:
        assert code == 2 and "hoggin: " in told.err


@pytest.mark.slow
@pytest.mark.skipif(not Path("/dev/full").exists(), reason="a device of Linux")
def test_a_full_disk_under_standard_output_is_a_sentence(tmp_path: Path) -> None:
    (tmp_path / "ok.hog").write_text(plant(ROUTE))
    with open("/dev/full", "w") as full:  # noqa: PTH123
        done = subprocess.run(
            [sys.executable, "-m", "hoggin", "balance", "ok.hog"],
            cwd=tmp_path, stdout=full, stderr=subprocess.PIPE, text=True, check=False,
        )  # fmt: skip
    assert done.returncode == 2
    assert "no space left" in done.stderr
    assert "Traceback" not in done.stderr and "Exception ignored" not in done.stderr


def test_the_page_of_the_language_states_the_limits() -> None:
    page = (REPOSITORY / "docs" / "language.md").read_text()
    section = page.partition("## Limits\n")[2].partition("\n## ")[0]
    assert products.MOST_PRODUCTS == sheets.MOST_SAMPLES
    for stated in (
        f"{LONGEST_SOURCE:,} characters, {MOST_TOKENS:,} words",
        f"| {LARGEST_FILE // 1_000_000} MB |",
        f"| {DEEPEST_NESTING} deep |",
        f"| {LONGEST_SUM} operators |",
        f"| {MOST_NODES:,} machines",
        f"together | {MOST_OPTIONS} |",
        f"| {MOST_SIZES} sizes |",
        f"| {MOST_SWEPT:,} cases, {MOST_STEPS:,} steps",
        f"uncertainty` | {MOST_SAMPLES:,} |",
        f"| {MOST_REGRESSED:,} cases |",
        f"| {sheets.MOST_SAMPLES} samples or products, {MOST_BYTES // 1_000_000} MB unpacked, "
        f"{MOST_CELLS:,} merged or linked cells |",
        f"| {MOST_STOPS:,} planned stops, {MOST_EVENTS:,} events |",
    ):
        assert stated in section, stated


def test_results_hold_what_the_tests_above_change(results: str) -> None:
    assert json.loads(results)["title"] == "t"
