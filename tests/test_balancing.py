"""What the commands make of a plant that can't be worked out, and of one that can."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from hoggin.balancing import rated
from hoggin.check.checker import Checked, check_file
from hoggin.commands.main import main
from hoggin.diagnostics.diagnostic import Diagnostic
from hoggin.report.results_json import results_json
from hoggin.schema.plant import Plant
from hoggin.schema.results import Results

_JAW = """
class crusher own(size: 100 mm to 2000 mm) {
  setting css: 5 mm to 500 mm
  model breakage: matrix { k1 0.7 * css; k2 2.2 * css }
  model capacity: jaw { gape size; width 900 mm; css css; throw 20 mm }
  model power: bond
}
material granite { solid_density 2.65 t/m3; bulk_density 1.55 t/m3; work_index 15 kWh/t }
plant "Hill" {
  sieves { 63 mm, 20 mm, 5 mm }
  feed rock { rock granite; rate 200 t/h; passing { 200 mm: 100 %, 50 mm: 40 % } }
  crusher first: own(size: 400 mm) { css 100 mm }
  crusher second: own(size: SIZE) { css CSS }
  rock -> first -> second -> product base
}
"""


def _checked(folder: Path, size: str = "150 mm", css: str = "100 mm") -> tuple[Path, Checked]:
    path = folder / "plant.hog"
    path.write_text(_JAW.replace("SIZE", size).replace("CSS", css), encoding="utf-8")
    return path, check_file(path)


def _with(plant: Plant, tag: str, role: str, name: str, value: float) -> Plant:
    """The plant with one coefficient changed behind the checker's back."""

    def changed(machine):  # type: ignore[no-untyped-def]
        if machine.tag != tag:
            return machine
        use = machine.models[role]
        use = use.model_copy(update={"coefficients": {**use.coefficients, name: value}})
        return machine.model_copy(update={"models": {**machine.models, role: use}})

    return plant.model_copy(update={"machines": tuple(map(changed, plant.machines))})


@pytest.mark.parametrize(
    ("role", "name", "value"),
    [("capacity", "css", 180.0), ("breakage", "k2", 1.0), ("breakage", "k1", 500.0)],
)
def test_a_model_that_refuses_its_arguments_is_a_diagnostic(
    tmp_path: Path, role: str, name: str, value: float
) -> None:
    _, checked = _checked(tmp_path)
    assert checked.plant is not None
    found = rated(replace(checked, plant=_with(checked.plant, "second", role, name, value)))
    assert isinstance(found, Diagnostic)
    assert found.code == "E0802"
    assert found.message.startswith(f"`second`: the {role} model ")
    assert found.span.text == "second"


def test_a_gape_below_its_setting_is_blamed_at_the_setting(tmp_path: Path) -> None:
    _, checked = _checked(tmp_path, css="160 mm")
    (found,) = [one for one in checked.diagnostics if one.is_error]
    assert found.code == "E0404"
    assert found.span.text == "160 mm"
    assert "`gape` 150 mm is not above its `css` 160 mm" in found.message
    assert found.help


@pytest.mark.slow
def test_a_sweep_over_settings_above_the_gape_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path, _ = _checked(tmp_path, css="free(80 mm to 140 mm)")
    into = str(tmp_path / "out")
    over = "second.css 100 mm to 200 mm in 5"
    assert main(["sweep", str(path), "--over", over, "--into", into]) == 0
    told = capsys.readouterr().out
    assert "there is no balance at 3" in told
    assert "second.css 150 mm: `second` must keep the rule of its class: css < gape" in told


@pytest.mark.slow
def test_results_are_what_their_document_holds(tmp_path: Path) -> None:
    _, checked = _checked(tmp_path, size="1.1 ft", css="3 * 1.698 mm + 11 in / 3")
    found = rated(checked)
    assert isinstance(found, Results)
    assert Results.model_validate_json(results_json(found)) == found
