"""A design overloads no machine: what it would gain downstream never arrives."""

from __future__ import annotations

import pytest
from tests.check.reading import LIBRARIES, MATERIAL
from tests.studies.design.plants import design_of, results_of

pytestmark = pytest.mark.slow

_PLANT = f"""{LIBRARIES}{MATERIAL}
plant "One small cone" {{
  sieves {{ 63 mm, 20 mm, 5 mm }}
  feed rock {{ rock granite; rate 300 t/h; passing {{ 100 mm: 100 %, 50 mm: 40 % }} }}
  splitter gate {{ out crushed free(5 % to 95 %); out sold rest }}
  crusher cone: cones.medium_speed(head: 900 mm) {{ duty secondary; chamber coarse; css 22 mm }}
  rock -> gate
  gate.crushed -> cone -> product chips
  gate.sold -> product ballast
  maximize chips.rate
}}
"""


def test_the_optimum_loads_the_machine_in_the_way_to_100_per_cent_and_no_further() -> None:
    found = design_of(_PLANT)
    assert found.text is not None
    cone = next(m for m in results_of(found.text).machines if m.tag == "cone")
    assert cone.utilization == pytest.approx(1.0, abs=0.02)  # rounded to a whole per cent
    assert cone.utilization is not None and cone.utilization <= 1.0
    (full,) = found.design.requirements
    assert full.text == "cone.utilization <= 100 %" and full.binds
    assert full.about.startswith("load 99 % of "), (
        "it says by what, after rounding to a whole share"
    )


def test_where_no_setting_fits_the_machine_is_named_in_the_conflict() -> None:
    found = design_of(_PLANT.replace("free(5 % to 95 %)", "free(90 % to 95 %)"))
    assert found.text is None and found.design.conflict is not None
    assert any("cone.utilization" in part.text for part in found.design.conflict.parts)
