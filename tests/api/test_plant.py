"""Loading, checking and balancing: the same as the command line, and as editing the text."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import hoggin
from hoggin.commands.main import main
from hoggin.errors import Exit

ROOT = Path(__file__).parents[2]
GRAVEL = ROOT / "examples" / "gravel.hog"
SEASONS = ROOT / "examples" / "seasons.hog"
TEXT = GRAVEL.read_text(encoding="utf-8")
# What stands in the text, with a place for a number, and the setting's name.
EDITS = (
    ("cone.css", "css 13 mm", "css {} mm", st.floats(8, 30)),
    ("jaw.css", "css 50 mm", "css {} mm", st.floats(45, 70)),
    ("pit_run.rate", "rate 120 t/h", "rate {} t/h", st.floats(40, 160)),
    ("river_gravel.moisture", "moisture      3 %", "moisture {} %", st.floats(0.5, 6)),
    ("second.top", "deck top    25 mm", "deck top {} mm", st.floats(20, 31)),
    ("second.width", "second: screens.horizontal(width: 1.8 m",
     "second: screens.horizontal(width: {} m", st.floats(1.2, 2.4)),
)  # fmt: skip


def outcome(plant: hoggin.Plant, numbers: dict[str, float]) -> Any:
    """The document, but for what it was made from, and columns, which an edit moves; the codes of
    the diagnostics where there is none."""
    try:
        result = plant.balance(numbers)
    except hoggin.PlantError as fault:
        return [one.code for one in fault.diagnostics]
    found = result.document.model_dump(mode="json", exclude={"provenance"})
    return _without_columns(found)


def _without_columns(value: Any) -> Any:
    if isinstance(value, dict):
        return {k: _without_columns(v) for k, v in value.items() if k not in ("column", "place")}
    if isinstance(value, list | tuple):
        return [_without_columns(one) for one in value]
    return value


@pytest.mark.slow
def test_a_result_is_what_the_command_line_issues(result: hoggin.Result, tmp_path: Path) -> None:
    assert main(["issue", str(GRAVEL), "--into", str(tmp_path / "issued")]) == 0
    issued = (tmp_path / "issued" / "results.json").read_text(encoding="utf-8")
    assert json.loads(issued) == json.loads(result.document.model_dump_json())
    paths = result.write(tmp_path / "written")
    assert {p.relative_to(tmp_path / "written") for p in paths} == {
        p.relative_to(tmp_path / "issued") for p in (tmp_path / "issued").rglob("*") if p.is_file()
    }
    for path in paths:
        twin = tmp_path / "issued" / path.relative_to(tmp_path / "written")
        assert path.read_bytes() == twin.read_bytes()


@pytest.mark.slow
@settings(max_examples=15, deadline=None)
@given(st.data())
def test_a_setting_that_is_changed_equals_an_edit_of_the_text(data: st.DataObject) -> None:
    chosen = data.draw(st.lists(st.sampled_from(EDITS), min_size=1, unique_by=lambda e: e[0]))
    text, numbers = TEXT, {}
    for name, old, new, values in chosen:
        number = round(data.draw(values), 4)
        assert text.count(old) == 1
        text, numbers[name] = text.replace(old, new.format(number)), number
    edited = hoggin.loads(text, GRAVEL.parent, "gravel.hog")
    assert outcome(hoggin.load(GRAVEL), numbers) == outcome(edited, {})


@pytest.mark.slow
def test_a_text_with_its_unit_and_a_number_in_the_own_unit_are_the_same(
    plant: hoggin.Plant,
) -> None:
    one, other = plant.balance({"cone.css": 12.7}), plant.balance({"cone.css": "0.5 in"})
    assert one["coarse.rate"] == pytest.approx(other["coarse.rate"], rel=1e-8)


@pytest.mark.slow
def test_a_let_is_changed_by_keyword() -> None:
    text = TEXT.replace('plant "', 'let gap = 13 mm\n\nplant "').replace("css 13 mm", "css gap")
    plant = hoggin.loads(text, GRAVEL.parent)
    expected = hoggin.load(GRAVEL).balance({"cone.css": 15})["coarse.rate"]
    assert plant.balance(gap=15)["coarse.rate"] == expected
    assert plant.balance({"cone.css": 15})["coarse.rate"] == expected


@pytest.mark.slow
def test_changed_settings_show_in_the_record_of_sources(plant: hoggin.Plant) -> None:
    made = plant.balance({"cone.css": 12}).document.provenance
    first = plant.balance().document.provenance
    assert made is not None
    assert first is not None
    assert made.content_sha256 != first.content_sha256
    assert "setting cone.css" in {one.name for one in made.sources}


def test_a_plant_with_faults_raises_with_codes_and_spans() -> None:
    text = TEXT.replace("css 13 mm", "css 1300 mm").replace("rate 120 t/h", "rate 120 kW")
    plant = hoggin.loads(text, GRAVEL.parent, "faulty.hog")
    assert [one.code for one in plant.check().errors] == ["E0302", "E0404"]
    with pytest.raises(hoggin.PlantError) as caught:
        plant.balance()
    assert caught.value.exit_code is Exit.SOURCE
    assert caught.value.diagnostics == plant.diagnostics
    spans = [one.span for one in caught.value.diagnostics]
    assert [span.text for span in spans] == ["120 kW", "1300 mm"]
    assert [text.splitlines()[s.line - 1][s.column - 1 :][:3] for s in spans] == ["120", "130"]
    assert "error E0404" in str(caught.value)
    assert "1300 mm" in plant.check()._repr_html_()


def test_a_fault_in_a_value_is_shown_at_the_value(plant: hoggin.Plant) -> None:
    with pytest.raises(hoggin.PlantError) as caught:
        plant.balance({"cone.css": "140 kg"})
    assert [one.code for one in caught.value.diagnostics] == ["E0302"]
    assert caught.value.diagnostics[0].span.source.name == "setting cone.css"


def test_a_plant_without_a_balance_raises() -> None:
    path = next((ROOT / "tests/fixtures/errors").rglob("*E0801*.hog"), None)
    path = path or next((ROOT / "tests/fixtures").rglob("*E0801*.hog"))
    plant = hoggin.load(path)
    assert not plant.check().errors
    with pytest.raises(hoggin.PlantError) as caught:
        plant.balance()
    assert caught.value.exit_code is Exit.UNBALANCED
    assert [one.code for one in caught.value.diagnostics] == ["E0801"]


@pytest.mark.parametrize(
    ("settings", "words"),
    [
        ({"con.css": 12}, "did you mean `cone.css`"),
        ({"con.css": "12 mm"}, "did you mean `cone.css`"),
        ({"cone.css": float("nan")}, "neither a number"),
        ({"cone.css": True}, "neither a number"),
        ({"cone.css": "12 mm extra"}, "is not a value"),
    ],
)
def test_a_setting_that_can_not_be_read_says_why(
    plant: hoggin.Plant, settings: dict[str, Any], words: str
) -> None:
    with pytest.raises(hoggin.HogginError, match=words):
        plant.balance(settings)


def test_a_file_that_is_not_there_and_a_library_raise() -> None:
    with pytest.raises(hoggin.HogginError, match="there is no such file"):
        hoggin.load("nowhere.hog")
    with pytest.raises(hoggin.HogginError, match="is a library"):
        hoggin.loads("let a = 1 mm\n").balance()


@pytest.mark.slow
def test_importing_and_checking_load_no_numpy_and_no_frames() -> None:
    script = (
        "import sys, hoggin; assert 'pydantic' not in sys.modules; "
        f"assert not hoggin.load({str(GRAVEL)!r}).check(); "
        "assert not {'numpy', 'pandas', 'polars'} & set(sys.modules)"
    )
    subprocess.run([sys.executable, "-c", script], check=True, cwd=ROOT)


@pytest.mark.slow
def test_a_case_is_what_the_command_line_prints_of_it(capsys: pytest.CaptureFixture[str]) -> None:
    plant = hoggin.load(SEASONS)
    assert main(["balance", str(SEASONS), "--case", "wet", "--show", "json"]) == 0
    printed = json.loads(capsys.readouterr().out)
    assert printed == json.loads(plant.balance(case="wet").document.model_dump_json())
    assert main(["balance", str(SEASONS), "--all-cases", "--show", "json"]) == 0
    printed = json.loads(capsys.readouterr().out)
    states = plant.balance_all()
    assert printed["results"] == [json.loads(one.document.model_dump_json()) for one in states]
    assert [one["case"] for one in printed["schedule"]["cases"]] == ["as written", *plant.cases]
    assert states.names == ("as written", *plant.cases)


@pytest.mark.slow
def test_all_cases_are_written_as_the_command_line_issues_them(tmp_path: Path) -> None:
    assert main(["issue", str(SEASONS), "--into", str(tmp_path / "issued")]) == 0
    paths = hoggin.load(SEASONS).balance_all().write(tmp_path / "written")
    issued = [path for path in (tmp_path / "issued").rglob("*") if path.is_file()]
    assert len(paths) == len(issued)
    for path in paths:
        twin = tmp_path / "issued" / path.relative_to(tmp_path / "written")
        assert path.read_bytes() == twin.read_bytes()


@pytest.mark.slow
def test_a_changed_setting_goes_before_what_the_case_states() -> None:
    plant = hoggin.load(SEASONS)
    wet = plant.balance({"pit.rate": 200}, case="wet")
    assert wet.feed_t_h == 200
    assert wet["pit.moisture"] == pytest.approx(5)
    assert plant.balance(case="wet").feed_t_h == 220
    assert [one.feed_t_h for one in plant.balance_all({"pit.rate": 190})] == [190] * 5


@pytest.mark.slow
@pytest.mark.parametrize("settings", [{}, {"pit.rate": 200}])
def test_a_case_that_is_not_there_says_which_are(settings: dict[str, Any]) -> None:
    plant = hoggin.load(SEASONS)
    with pytest.raises(hoggin.HogginError, match="no case `wt`: did you mean `wet`"):
        plant.balance(settings, case="wt")
    with pytest.raises(hoggin.HogginError, match="no case `wt`; it has `as written`"):
        plant.balance_all()["wt"]


@pytest.mark.slow
def test_frames_of_all_cases_are_those_of_each_one_below_another() -> None:
    states = hoggin.load(SEASONS).balance_all()
    frame = states.frame("machines", library="pandas")
    for name in states.names:
        own = frame[frame["case"] == name].drop(columns="case").reset_index(drop=True)
        assert own["tag"].to_list() == [one.tag for one in states[name].machines]
        assert own["load"].dropna().to_list() == [
            one.load for one in states[name].machines if one.load is not None
        ]


@pytest.mark.slow
def test_what_is_raised_names_no_option_of_the_command_line(plant: hoggin.Plant) -> None:
    result = plant.balance()
    difference = hoggin.compare(result, plant.balance({"cone.css": "20 mm"}), least=5)
    told = [str(difference), difference._repr_markdown_()]
    for ask in (
        lambda: result["bad.rate"],
        lambda: plant.balance({"cone.css": "900 mm"}),
        lambda: plant.study({"cone.css": [12]}, ["bad.rate"]),
        lambda: plant.study({"con.css": ["12 mm"]}),
    ):
        with pytest.raises(hoggin.HogginError) as caught:
            ask()
        told.append(str(caught.value))
    assert "more differ by a weight under 5: `least=0` adds them" in told[0]
    assert not [text for text in told if re.search(r"(?<!-)--[a-z]", text)]
