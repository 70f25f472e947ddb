"""Flat and elongated particles from the language to the tables. Plants are scenarios of our own."""

from __future__ import annotations

import io

import pytest
from openpyxl import load_workbook

from hoggin.check.library import load_library
from hoggin.check.records import written_out
from hoggin.report import documents
from hoggin.syntax import tree
from hoggin.syntax.printer import line
from hoggin.world import library_names
from tests.rating.conftest import Rate
from tests.rating.test_shape import ASKED, CUT, SCREENED, found_in
from tests.report.shown import balance_text

CHIPS = (
    CUT.replace("flakiness 20 %", "flat_elongated 9 %")
    .replace("require stone.flakiness", "require stone.flat_elongated")
    .replace("require chips.flakiness", "require chips.flat_elongated")
)
CONE = "crusher c: cones.high_speed(head: 900 mm) { duty tertiary; css 12 mm }\n  "


@pytest.mark.slow
def test_a_plant_that_states_it_has_it_judged_and_shown_everywhere(rate_plant: Rate) -> None:
    results = rate_plant(CHIPS)
    missed, met = results.requirements
    chips = next(p for p in results.products if p.tag == "chips")
    assert chips.flat_elongated is not None and chips.flakiness is None
    assert met.met and met.margin == pytest.approx(20.0 - 100.0 * chips.flat_elongated)
    assert not missed.met
    shown = balance_text(results)
    assert "PRODUCT FLAT AND ELONGATED" in shown and "PRODUCT FLAKINESS" not in shown
    assert "ASTM D4791" in shown and "more than 5 times" in " ".join(shown.split())
    written = documents.documents(results)
    assert "flat and elongated (%)" in written["mass_balance.csv"].decode().splitlines()[0]
    assert "## Product flat and elongated" in written["mass_balance.md"].decode()
    assert b'"flat_elongated_by_fraction"' in written["results.json"]
    sheets = load_workbook(io.BytesIO(written["mass_balance.xlsx"])).sheetnames
    assert "Product flat and elongated" in sheets


def test_a_plant_that_states_none_is_shown_without(rate_plant: Rate) -> None:
    results = rate_plant(CUT)
    assert all(s.flat_elongated is None for s in results.streams)
    assert "elongated (" not in balance_text(results)
    assert "PRODUCT FLAT AND ELONGATED" not in balance_text(results)


def test_the_share_of_a_product_is_that_of_its_fractions_by_their_mass(rate_plant: Rate) -> None:
    """ASTM D4791, from memory: the average of the fractions weighted by their mass."""
    products = [p for p in rate_plant(CHIPS).products if p.flat_elongated is not None]
    assert products
    for product in products:
        parts = product.flat_elongated_by_fraction
        assert sum(part.share for part in parts) == pytest.approx(1.0, abs=0.005)
        mean = sum(part.share * part.flat_elongated for part in parts)
        assert mean == pytest.approx(product.flat_elongated, abs=0.002)
        assert min(part.lower_mm for part in parts) >= 4.75


def test_the_ratio_of_the_plant_is_named(rate_plant: Rate) -> None:
    text = SCREENED.replace("flakiness {", "flat_elongated {").replace(
        "%MORE%", "elongation_ratio 3\n  dug -> product pile"
    )
    results = rate_plant(text)
    assert results.products[0].flat_elongated is not None
    assert any("more than 3 times as long as thick" in said for said in results.assumptions)


def test_a_feed_that_states_none_leaves_the_product_open_and_warned_of(rate_plant: Rate) -> None:
    more = """feed bought { rock rock; rate 50 t/h; passing { 16 mm: 100 %, 4 mm: 5 % } }
  blend heap
  dug -> heap
  bought -> heap -> product mixed"""
    text = SCREENED.replace("flakiness {", "flat_elongated {").replace("%MORE%", more)
    results = rate_plant(text)
    assert results.products[0].flat_elongated is None
    assert [w.text for w in results.warnings if w.code == "W0515"] == [
        "`mixed`: its flat and elongated share is known for only a part of its rock"
    ]


# -- what the checker refuses --------------------------------------------------------------------

ASKED_ELONGATED = ASKED.replace("flakiness", "flat_elongated")


def test_asking_for_it_needs_feeds_that_state_it() -> None:
    assert found_in(CONE + ASKED_ELONGATED, feed="flat_elongated 9 %") == []
    assert found_in(CONE + ASKED_ELONGATED) == [
        (
            "E0402",
            "`chips.flat_elongated` can't be computed: feed `dug` states no flat and elongated "
            "share",
        )
    ]


def test_asking_for_it_needs_crushers_with_a_model_of_the_plants_ratio() -> None:
    other = "elongation_ratio 3\n  " + CONE + ASKED_ELONGATED
    ((code, message),) = found_in(other, feed="flat_elongated 9 %")
    assert code == "E0408" and "3 times as long as thick" in message and "`c`" in message
    assert found_in(other.replace("ratio 3", "ratio 5"), feed="flat_elongated 9 %") == []


def test_a_share_that_cannot_be_is_refused() -> None:
    wrong = {"120 %": "E0306", "20 mm": "E0302", "{ 20 mm: 1 % to 2 % }": "E0601", "": "E0403"}
    for value, code in wrong.items():
        found = found_in("dug -> product chips", feed=f"flat_elongated {value}")
        assert [reported for reported, _ in found] == [code]


# -- the library's classes -----------------------------------------------------------------------


def test_every_crusher_of_the_library_says_how_it_shapes_rock_and_that_no_source_does() -> None:
    for library in library_names():
        for entity in load_library(library).classes.values():
            if entity.node.kind.text != "crusher":
                continue
            body = written_out(entity).body
            models = [m for m in body if isinstance(m, tree.ModelDefinition)]
            (own,) = [m for m in models if m.role.text == "flat_elongated"]
            starts = [
                f
                for f in own.body or ()
                if f.name.text in ("best", "share")  # type: ignore[attr-defined]
            ]
            assert starts, entity.node.name.text
            assert all("common practice, no source" in line(f) for f in starts)


@pytest.mark.parametrize("name", ["high_speed", "supported_shaft", "medium_speed"])
def test_choke_feeding_makes_fewer_flat_and_elongated_pieces(rate_plant: Rate, name: str) -> None:
    """Common practice, no source: a full chamber breaks rock against rock. The same feed chokes
    a small machine and starves a large one."""

    def made(head_mm: int) -> float:
        more = (
            f"crusher c: cones.{name}(head: {head_mm} mm) "
            "{ duty tertiary; css 20 mm }\n  dug -> c -> product pile"
        )
        text = SCREENED.replace("flakiness {", "flat_elongated {").replace("%MORE%", more)
        found = rate_plant(text).products[0].flat_elongated
        assert found is not None
        return found

    assert made(750) < made(2100)
