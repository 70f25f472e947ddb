"""Commands on a plant with cases. Rates are known by hand: a splitter parts a feed, and a bin fills
by what comes to it."""

from __future__ import annotations

import csv
import json
from itertools import pairwise
from pathlib import Path

import pytest

from hoggin.commands.main import main
from hoggin.report.cases import states
from hoggin.revise.merge import Labels, merge
from hoggin.schema.results import Results
from tests.check.reading import MATERIAL

pytestmark = pytest.mark.slow

QUARRY = Path(__file__).parents[2] / "examples" / "quarry.hog"
PLANT = f"""\
use std.cones
{MATERIAL}
plant "Hill" {{
  sieves {{ 63 mm, 20 mm, 5 mm }}
  operation {{ hours_per_year 2000 h }}
  feed rock {{
    rock granite
    rate 100 t/h
    passing {{ 60 mm: 100 %, 20 mm: 50 %, 4 mm: 10 % }}
  }}
  crusher cone: cones.high_speed(head: 1300 mm) {{ duty tertiary; chamber medium; css 20 mm }}
  splitter parted {{ out a 30 %; out b rest }}
  rock     -> cone -> parted
  parted.a -> product a
  parted.b -> product b
  require a.rate >= 25 t/h
  require b.rate >= 60 t/h in wet
  case wet {{
    hours      500 h
    rock.rate  80 t/h
    parted.a   20 %
  }}
  case peak: wet {{
    rock.rate 150 t/h
  }}
  case dry {{ hours 300 h; rock.rate 120 t/h }}
}}
"""


@pytest.fixture
def plant(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "hill.hog").write_text(PLANT)
    return tmp_path


def _rows(file: Path) -> list[dict[str, str]]:
    with file.open(encoding="utf-8", newline="") as text:
        return list(csv.DictReader(text))


def test_every_case_is_issued_and_one_schedule_over_all(
    plant: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["issue", "hill.hog", "--into", "out"]) == 4  # a.rate is 16 t/h in wet
    assert "Hill, case wet: 80.0 t/h in" in capsys.readouterr().out
    cases = plant / "out" / "cases"
    found = {
        name: Results.model_validate_json((folder / "results.json").read_text())
        for name, folder in (
            ("", plant / "out"),
            *((name, cases / name) for name in ("dry", "peak", "wet")),
        )
    }
    rates = {name: {p.tag: p.rate_t_h for p in one.products} for name, one in found.items()}
    assert rates == {
        "": {"a": 30.0, "b": 70.0},
        "dry": {"a": 36.0, "b": 84.0},
        "peak": {"a": 30.0, "b": 120.0},
        "wet": {"a": 16.0, "b": 64.0},
    }
    # Annual tonnes by hand: 1200 h as written, 300 h dry, 500 h wet; peak has no hours.
    tonnes = {
        row["product"]: float(row["all cases (t/y)"]) for row in _rows(cases / "products.csv")
    }
    assert tonnes == {
        "feed": 100 * 1200 + 120 * 300 + 80 * 500,
        "a": 30 * 1200 + 36 * 300 + 16 * 500,
        "b": 70 * 1200 + 84 * 300 + 64 * 500,
    }
    asked = {row["requirement"]: row for row in _rows(cases / "requirements.csv")}
    assert [asked["a.rate >= 25 t/h"][key] for key in ("verdict", "case", "holds in")] == [
        *("NOT MET", "wet", "every case")
    ]
    assert [asked["b.rate >= 60 t/h"][key] for key in ("verdict", "case", "holds in")] == [
        *("met", "wet", "wet")
    ]


def test_a_machine_is_rated_on_the_case_of_its_highest_load(plant: Path) -> None:
    """Held against every case's own document."""
    main(["issue", "hill.hog", "--into", "out"])
    cases = plant / "out" / "cases"
    loads, powers = {}, {}
    for name, folder in (("as written", plant / "out"), *((p.name, p) for p in cases.iterdir())):
        if folder.is_dir():
            results = Results.model_validate_json((folder / "results.json").read_text())
            (cone,) = [m for m in results.machines if m.tag == "cone"]
            loads[name], powers[name] = cone.load or 0.0, cone.power_kw or 0.0
    (row,) = [one for one in _rows(cases / "equipment.csv") if one["tag"] == "cone"]
    worst = max(loads, key=lambda name: loads[name])
    assert worst == "peak"
    assert row["governing case"] == worst
    assert float(row["load (%)"]) == pytest.approx(100 * loads[worst])
    assert row["in case"] == max(powers, key=lambda name: powers[name])
    assert float(row["highest power (kW)"]) == pytest.approx(max(powers.values()))


def test_one_case_or_all_are_balanced(plant: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["balance", "hill.hog", "--show", "json"]) == 0
    assert json.loads(capsys.readouterr().out)["plant"]["case"] == ""
    assert main(["balance", "hill.hog", "--case", "wet", "--show", "json"]) == 4
    assert json.loads(capsys.readouterr().out)["title"] == "Hill, case wet"
    assert main(["balance", "hill.hog", "--all-cases", "--show", "json"]) == 4
    whole = json.loads(capsys.readouterr().out)
    listed = [one["plant"]["case"] for one in whole["results"]]
    assert listed == ["", "dry", "peak", "wet"]
    rows = {row["product"]: row for row in whole["schedule"]["products"]}
    assert [rows["a"][f"{case} (t/h)"] for case in ("as written", "dry", "peak", "wet")] == [
        *(30.0, 36.0, 30.0, 16.0)
    ]
    assert main(["balance", "hill.hog", "--all-cases"]) == 4
    assert "EQUIPMENT SCHEDULE OF ALL CASES" in capsys.readouterr().out.upper()
    assert main(["issue", "hill.hog", "--case", "dry", "--into", "out"]) == 0
    assert not (plant / "out" / "cases").exists()


def test_a_case_has_a_folder_of_its_own_where_none_is_asked_for(plant: Path) -> None:
    """Or else what is issued of one state would take the place of another."""
    main(["issue", "hill.hog"])
    folder = plant / "out" / "hill"
    before = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    main(["issue", "hill.hog", "--case", "wet"])
    after = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    assert after == before
    main(["simulate", "hill.hog", "--case", "wet", "--runs", "1"])
    assert (folder / "cases" / "wet" / "operation" / "operation.md").exists()


def test_wrong_uses_are_sentences(plant: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for arguments, said in (
        (["balance", "hill.hog", "--case", "wte"], "no case `wte`: did you mean `wet`"),
        (["balance", "hill.hog", "--case", "wet", "--all-cases"], "can't be combined"),
        (["issue", "hill.hog", "--case", "x"], "no case `x`"),
        (["why", "hill.hog", "hill.hog", "a.rate", "--case", "x"], "no case `x`"),
        (["sweep", "hill.hog", "--case", "x", "--over", "cone.css 18 mm, 20 mm"], "no case `x`"),
        (["design", "hill.hog", "--case", "x"], "no case `x`"),
        (["simulate", "hill.hog", "--case", "x"], "no case `x`"),
        (["uncertainty", "hill.hog", "--case", "x"], "no case `x`"),
        (["report", "hill.hog", "--case", "x"], "no case `x`"),
    ):
        assert main(arguments) == 2, arguments
        assert said in capsys.readouterr().err
    assert sorted(path.name for path in plant.iterdir()) == ["hill.hog"]


def test_a_circuit_that_fills_up_in_a_case_names_it(
    plant: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = PLANT.replace(
        "rock     -> cone -> parted",
        "splitter back { out on rest; out again 10 % }\n"
        "  rock     -> cone -> back\n  back.on -> parted\n  back.again -> cone",
    ).replace("rock.rate 150 t/h", "back.again 100 %")
    (plant / "hill.hog").write_text(text)
    assert main(["balance", "hill.hog"]) == 0
    assert main(["issue", "hill.hog", "--into", "out"]) in (1, 3)
    assert "in case `peak`" in capsys.readouterr().err
    assert not (plant / "out").exists()


def test_studies_take_the_plant_in_a_case(plant: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What is swept over wins over what the case states."""
    over = ["--over", "parted.a 20 %, 40 %", "--result", "a.rate", "--into", "swept"]
    assert main(["sweep", "hill.hog", "--case", "peak", *over]) == 0
    assert "Hill, case peak" in capsys.readouterr().out
    rows = _rows(plant / "swept" / "sweep.csv")
    assert [float(row["a.rate (t/h)"]) for row in rows] == pytest.approx([30.0, 60.0])


def test_compare_tells_changed_lines_of_a_case_and_what_follows_there_alone(
    plant: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (plant / "new.hog").write_text(
        PLANT.replace("parted.a   20 %", "parted.a   25 %").replace("in wet", "in dry")
    )
    assert main(["compare", "hill.hog", "new.hog", "--as", "json"]) == 0
    found = json.loads(capsys.readouterr().out)
    changes = [(c["subject"], c["what"], c["before"], c["after"]) for c in found["changes"]]
    assert changes == [
        ("case dry", "require b.rate >= 60 t/h", "-", "required"),
        ("case wet", "parted.a", "20 %", "25 %"),
        ("case wet", "require b.rate >= 60 t/h", "required", "-"),
    ]
    assert not found["consequences"] and not found["turns"]
    by_case = {one["case"]: one for one in found["cases"]}
    assert set(by_case) == {"dry", "peak", "wet"}
    rates = {
        name: {
            c["subject"]: (c["before"], c["after"])
            for c in one["consequences"]
            if c["what"] == "rate" and c["subject"].startswith("product")
        }
        for name, one in by_case.items()
    }
    assert rates["wet"] == {"product a": (16.0, 20.0), "product b": (64.0, 60.0)}
    assert rates["peak"] == {"product a": (30.0, 37.5), "product b": (120.0, 112.5)}
    assert rates["dry"] == {}
    assert main(["compare", "hill.hog", "new.hog", "--expect-same"]) == 5
    assert "CASE PEAK: PRODUCTS" in capsys.readouterr().out


def test_nothing_differs_where_a_case_is_written_otherwise(
    plant: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Units, order and layout make no difference; a line of a case does, though it changes no
    result of the plant as written."""
    same = PLANT.replace("parted.a   20 %", "parted.a 0.2").replace(
        "    hours      500 h\n    rock.rate  80 t/h\n",
        "    rock.rate 80000 kg/h; hours 500 h\n",
    )
    (plant / "same.hog").write_text(same)
    assert main(["compare", "hill.hog", "same.hog", "--expect-same"]) == 0
    for old, new in (
        ("hours      500 h", "hours 400 h"),
        ("case peak: wet", "case peak"),
        (" in wet", " in wet, dry"),
        ("case dry {", "case arid {"),
    ):
        (plant / "other.hog").write_text(PLANT.replace(old, new))
        assert main(["compare", "hill.hog", "other.hog", "--expect-same"]) == 5, new
    capsys.readouterr()


def test_why_follows_a_case_as_it_follows_a_file_with_its_values(
    plant: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """By hand: of product a 80 t/h x 20 % = 16 t/h, then 90 t/h x 30 % = 27 t/h. The shares are
    (10 x 20 % + 10 x 30 %) / 2 = 2.5 t/h of the rate, and (80 + 90) / 2 x 10 % = 8.5 t/h."""
    new = PLANT.replace("rock.rate  80 t/h", "rock.rate  90 t/h")
    (plant / "new.hog").write_text(new.replace("parted.a   20 %", "parted.a   30 %"))
    assert main(["why", "hill.hog", "new.hog", "a.rate", "--case", "wet", "--as", "json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert (found["before"], found["after"]) == (16.0, 27.0)
    shares = {one["changes"][0].split(":")[0]: one["share"] for one in found["edits"]}
    assert shares == pytest.approx({"rate of feed rock": 2.5, "out a of splitter parted": 8.5})
    lines = (plant / "new.hog").read_text().splitlines()
    numbers = [int(one["places"][0].rpartition(":")[2]) for one in found["edits"]]
    stated = sorted(lines[number - 1].split()[0] for number in numbers)
    assert stated == ["parted.a", "rock.rate"]  # in the case, not in the plant
    # As written nothing hangs on the case.
    assert main(["why", "hill.hog", "new.hog", "a.rate"]) == 0
    out = capsys.readouterr().out
    assert "rock.rate of `case wet`: 90 t/h, was 80 t/h" in out


def test_cases_merge_line_by_line() -> None:
    ours = PLANT.replace("rock.rate  80 t/h", "rock.rate  85 t/h")
    theirs = PLANT.replace("hours      500 h", "hours      450 h").replace(
        "  case dry {", "  case icy { rock.rate 60 t/h }\n  case dry {"
    )
    found = merge(PLANT, ours, theirs, Labels())
    assert found is not None and not found.conflicts
    for line in ("rock.rate  85 t/h", "hours      450 h", "case icy { rock.rate 60 t/h }"):
        assert line in found.text
    both = merge(PLANT, ours, PLANT.replace("rock.rate  80 t/h", "rock.rate 70 t/h"), Labels())
    assert both is not None
    assert [told.split(":")[0] for told in both.conflicts] == ["rock.rate of `case wet`"]
    asked = PLANT.replace("in wet\n", "in wet, dry\n")
    taken = merge(PLANT, ours, asked, Labels())
    assert taken is not None and "in wet, dry" in taken.text and not taken.conflicts


def test_every_case_is_regressed(plant: Path, capsys: pytest.CaptureFixture[str]) -> None:
    accept = ["--accept", "--reason", "a test", "--by", "t", "--date", "2026-03-02T09:00:00Z"]
    main(["regress", "hill.hog", "--no-cache", *accept])
    assert sorted(p.name for p in (plant / "recorded").iterdir()) == [
        *("hill,case=dry.toml", "hill,case=peak.toml", "hill,case=wet.toml", "hill.toml")
    ]
    (plant / "hill.hog").write_text(PLANT.replace("rock.rate 150 t/h", "rock.rate 160 t/h"))
    capsys.readouterr()
    assert main(["regress", "hill.hog", "--no-cache"]) == 4  # wet misses a requirement
    out = capsys.readouterr().out
    assert "hill[case=peak]: drifted" in out and "hill[case=wet]: drifted" not in out


def test_hours_that_no_case_runs_are_run_as_written(plant: Path) -> None:
    main(["issue", "hill.hog", "--into", "out"])
    folder = plant / "out"
    found = [
        Results.model_validate_json((folder / name / "results.json").read_text())
        for name in (".", "cases/dry", "cases/wet")
    ]
    assert [state.hours for state in states(found)] == [1200.0, 300.0, 500.0]
    # Each case's document counts its own hours.
    assert [one.per_year_t_y for one in found] == [100 * 2000.0, 120 * 300.0, 80 * 500.0]
    assert all(a.name != b.name for a, b in pairwise(states(found)))


def test_the_schedule_over_all_cases_is_issued_as_json_too(plant: Path) -> None:
    main(["issue", "hill.hog", "--into", "out"])
    found = json.loads((plant / "out" / "cases" / "equipment.json").read_text())
    judged = {row["requirement"]: row for row in found["judged"]}
    assert judged["a.rate >= 25 t/h"]["wet"] == "NOT MET: 16 t/h"
    assert judged["a.rate >= 25 t/h"]["dry"] == "36 t/h"
    assert judged["b.rate >= 60 t/h"]["dry"] is None  # it holds in `wet` alone
    loads = {row["tag"]: row for row in found["loads"]}["cone"]
    rates = {"as written": 100.0, "dry": 120.0, "peak": 150.0, "wet": 80.0}
    # The same rock and setting: the load is as the feed.
    for case, rate in rates.items():
        assert loads[f"{case} (%)"] / loads["as written (%)"] == pytest.approx(rate / 100)


@pytest.mark.parametrize("case", ["", "wet"])
def test_the_report_shows_every_case_side_by_side(plant: Path, case: str) -> None:
    """Of whichever state it is."""
    main(["report", "hill.hog", "--into", "out", *(("--case", case) if case else ())])
    page = (plant / "out" / "report.html").read_text()
    assert all(f"<h3>{heading}</h3>" in page for heading in ("Products", "Loads"))
    assert "Requirements case by case" in page and "NOT MET: 16 t/h" in page


def test_the_report_of_a_plant_without_cases_has_none(plant: Path) -> None:
    text = PLANT[: PLANT.index("  require b.rate")] + "}\n"
    (plant / "hill.hog").write_text(text)
    main(["report", "hill.hog", "--into", "out"])
    assert "Requirements case by case" not in (plant / "out" / "report.html").read_text()
