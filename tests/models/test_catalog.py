"""The catalog tells the truth about the functions it names."""

import inspect
import subprocess
import sys
from math import inf

import pytest

from hoggin.models import catalog
from hoggin.schema.units import unit_named

MODELS = [
    model
    for role in catalog.roles()
    for name in catalog.names(role)
    if (model := catalog.find(role, name)) is not None
]
by_name = pytest.mark.parametrize("model", MODELS, ids=lambda m: f"{m.role}-{m.name}")


def test_models_are_found_by_role_and_name_only() -> None:
    assert catalog.find("breakage", "matrix") is not None
    assert catalog.find("capacity", "matrix") is None
    assert catalog.names("no such role") == ()
    assert len(MODELS) == len({(model.role, model.name) for model in MODELS}) > 10


@by_name
def test_coefficients_are_arguments_of_the_functions_with_the_same_default(
    model: catalog.Model,
) -> None:
    arguments = {
        name: parameter
        for part in model.functions
        for name, parameter in inspect.signature(model.load(part)).parameters.items()
    }
    for coefficient in model.coefficients:
        given = arguments[coefficient.name].default
        default = None if given is inspect.Parameter.empty else given
        assert coefficient.default == default, coefficient.name


@by_name
def test_every_argument_is_a_coefficient_or_supplied(model: catalog.Model) -> None:
    supplied = {
        "edges_mm", "feed_t_h", "cut_size_mm", "aperture_mm", "area_m2", "deck_number",
        "bulk_density_t_m3", "solid_density_t_m3", "open_area", "shape_factor", "f80_mm", "p80_mm",
        "work_index_kwh_t", "abrasion_index", "rock_shares", "flow_m3_h", "density_t_m3",
        "energy_kwh_t", "chamber", "points_mm", "moisture", "clay", "filling", "rows",
        "feed_passing", "rock", "others", "solids_by_volume", "pressure_kpa", "moved_t_h", "decks",
    }  # fmt: skip
    known = {coefficient.name for coefficient in model.coefficients} | supplied
    for part in model.functions:
        assert set(inspect.signature(model.load(part)).parameters) <= known


@by_name
def test_coefficients_have_a_unit_of_the_language_and_a_default_in_range(
    model: catalog.Model,
) -> None:
    assert model.meaning and model.source
    for coefficient in model.coefficients:
        assert coefficient.unit == "" or unit_named(coefficient.unit) is not None, coefficient.name
        assert -inf < coefficient.low < coefficient.high < inf
        if coefficient.default is not None:
            assert coefficient.low <= coefficient.default <= coefficient.high


@pytest.mark.slow
def test_reading_the_catalog_does_not_import_numpy() -> None:
    code = "import sys, hoggin.models.catalog; sys.exit('numpy' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
