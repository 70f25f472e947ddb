"""Names of sieves against the ASTM E11 and ISO 3310-1 series tabulated in the library fluids."""

from __future__ import annotations

import pytest
from fluids.particle_size_distribution import ASTM_E11_sieves, ISO_3310_1_sieves

from hoggin.intake.sheet import SheetError
from hoggin.intake.sieves import is_pan, read_sieve, unit_in

POINT = "."


@pytest.mark.parametrize("sieve", ASTM_E11_sieves.values(), ids=lambda sieve: sieve.designation)
def test_the_names_of_astm_e11_mean_its_openings(sieve: object) -> None:
    name = str(sieve.old_designation)  # type: ignore[attr-defined]
    opening_mm = 1000 * float(sieve.opening)  # type: ignore[attr-defined]
    variants = [name, name.upper(), name.replace(" in.", '"'), name.replace(" in.", " inches")]
    variants += [name.replace("No. ", "#"), name.replace("No. ", "No"), f"{name} sieve"]
    variants += [name.replace(" 1/2", "½"), f"{name} ({opening_mm:g} mm)"]
    for variant in variants:
        found = read_sieve(variant, "", POINT)
        assert found.mm == pytest.approx(opening_mm), variant
        assert found.has_unit


@pytest.mark.parametrize("sieve", ISO_3310_1_sieves.values(), ids=lambda sieve: sieve.designation)
def test_sizes_of_iso_3310_1_in_every_unit(sieve: object) -> None:
    mm = 1000 * float(sieve.opening)  # type: ignore[attr-defined]
    um = f"{1000 * mm:.10g}"
    assert read_sieve(f"{mm:.10g}", "", POINT).mm == pytest.approx(mm)
    assert read_sieve(f"{mm:.10g} mm", "um", POINT).mm == pytest.approx(mm)
    assert read_sieve(f"{um} µm", "mm", POINT).mm == pytest.approx(mm)
    assert read_sieve(um, "um", POINT).mm == pytest.approx(mm)
    comma = f"{mm:.10g}".replace(".", ",")
    assert read_sieve(f"{comma}mm", "", ",").mm == pytest.approx(mm)


def test_inches_by_definition_where_astm_e11_has_no_sieve() -> None:
    assert read_sieve("10 in", "", POINT).mm == pytest.approx(254.0)  # 25.4 mm by definition
    assert read_sieve("1-1/2", "in", POINT).mm == pytest.approx(37.5)


@pytest.mark.parametrize(
    "text",
    ["30 mesh", "4/8", "0/4 mm", "8-16 mm", "8 mm to 16 mm", "3/8", "No. 9", "sieve", "1/0 in"],
)
def test_what_names_no_single_sieve_is_refused(text: str) -> None:
    with pytest.raises(SheetError):
        read_sieve(text, "", POINT)


def test_a_name_and_a_size_that_differ_are_refused() -> None:
    with pytest.raises(SheetError, match=r"0\.075 mm and 0\.75 mm"):
        read_sieve("No. 200 (0.75 mm)", "", POINT)


@pytest.mark.parametrize(
    "text", ["Pan", "receiver", "< 0.063 mm", "-No. 200", "<63µm", "finer than 2"]
)
def test_the_pan_has_many_names(text: str) -> None:
    assert is_pan(text)
    assert read_sieve(text, "", POINT).mm == 0.0


def test_units_of_headings() -> None:
    units = {
        "Sieve [mm]": "mm",
        "Size, µm": "um",
        "Sieve (in)": "in",
        "in": "in",
        "Sieves in mm": "mm",
    }
    assert {text: unit_in(text) for text in units} == units
    assert unit_in("limits in the contract") == ""
