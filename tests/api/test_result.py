"""A result's numbers, frames and drawings."""

from __future__ import annotations

from xml.etree import ElementTree

import numpy as np
import pandas as pd
import pytest

import hoggin

FRAMES = (
    "feeds", "streams", "products", "machines", "decks", "checks", "loops", "requirements",
    "warnings", "dust", "gradings", "stream_gradings",
)  # fmt: skip


@pytest.mark.slow
def test_a_result_by_its_name_is_that_of_the_document(result: hoggin.Result) -> None:
    for product in result.products:
        assert result[f"{product.tag}.rate"] == product.rate_t_h
        assert result[f"{product.tag}.p80"] == product.p80_mm
    cone = next(machine for machine in result.machines if machine.tag == "cone")
    assert cone.load is not None
    assert result["cone.load"] == pytest.approx(100 * cone.load, rel=1e-8)
    assert (result.unit("cone.load"), result.unit("coarse.rate")) == ("%", "t/h")
    total = result["coarse.rate + fine.rate + sand.rate"]
    assert total == pytest.approx(result.feed_t_h, rel=1e-8)


def test_gradings_weighted_by_rate_add_up_at_every_node(result: hoggin.Result) -> None:
    """Conservation of mass by size, by numpy's sums over the frames: what the screens let go is
    what reaches them; screens break nothing."""
    streams = result.frame("streams", library="pandas")
    gradings = result.frame("stream_gradings", library="pandas").drop(columns="sieve_mm")
    passing = gradings.to_numpy() * streams["rate_t_h"].to_numpy()
    for screen in ("first", "second"):
        into = passing[:, (streams["target"] == screen).to_numpy()].sum(axis=1)
        out = passing[:, (streams["source"] == screen).to_numpy()].sum(axis=1)
        np.testing.assert_allclose(into, out, atol=1e-6)


def test_the_products_gradings_are_those_of_the_streams_that_make_them(
    result: hoggin.Result,
) -> None:
    products = result.frame("gradings", library="pandas")
    streams = result.frame("stream_gradings", library="pandas")
    np.testing.assert_allclose(products["sand"], streams["second.under -> sand"], atol=1e-8)
    assert products["sieve_mm"].to_list() == list(result.document.sieves_mm)


@pytest.mark.parametrize("name", FRAMES)
def test_frames_of_both_libraries_are_equal(result: hoggin.Result, name: str) -> None:
    pandas = result.frame(name, library="pandas")
    polars = result.frame(name, library="polars")
    assert list(pandas.columns) == polars.columns
    for column in polars.columns:
        ours = [None if pd.isna(one) else one for one in pandas[column].to_list()]
        assert ours == polars[column].to_list()


def test_a_frame_without_a_library_says_what_to_install(
    result: hoggin.Result, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("hoggin.api.frames.find_spec", lambda _: None)
    for library in (None, "pandas", "polars"):
        with pytest.raises(hoggin.HogginError, match="hoggin\\[frames\\]"):
            result.frame("streams", library=library)


def test_a_frame_that_is_not_there_says_which_are(result: hoggin.Result) -> None:
    with pytest.raises(hoggin.HogginError, match='there are "feeds", "streams"'):
        result.frame("stream")


def test_drawings_are_svg(result: hoggin.Result) -> None:
    for picture in (result.flowsheet, result.gradings(), result.gradings("fine")):
        assert ElementTree.fromstring(picture._repr_svg_()).tag.endswith("svg")
    with pytest.raises(hoggin.HogginError, match="there is no product `gold`"):
        result.gradings("gold")


@pytest.mark.slow
def test_a_notebook_shows_requirements_warnings_and_cautions(plant: hoggin.Plant) -> None:
    result = plant.balance({"pit_run.rate": 160})
    assert not result.met
    shown = result._repr_html_()
    assert "NOT MET" in shown
    assert all(warning.code in shown for warning in result.warnings)
    assert "Lock out" in shown
    assert "Local codes and licensed practice govern" in shown
    assert ElementTree.fromstring(f"<all>{shown}</all>") is not None


@pytest.mark.slow
def test_a_comparison_lists_what_was_changed(plant: hoggin.Plant, result: hoggin.Result) -> None:
    difference = hoggin.compare(result, plant.balance({"cone.css": "15 mm"}))
    change = difference.document.changes[0]
    assert (change.subject, change.what) == ("crusher cone", "css")
    assert (change.before, change.after) == ("13 mm", "15 mm")
    assert not difference.same
    assert "| 13 mm" in difference._repr_markdown_()
    assert hoggin.compare(result, plant.balance()).same
