"""The written text: what was left open is settled in place, and all else stays as it was."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.check.reading import FEED, LIBRARIES, MATERIAL
from tests.studies.design.plants import crushing, design_of, divided, results_of

from hoggin.check.checker import check
from hoggin.diagnostics.source import Source
from hoggin.errors import HogginError, SourceError
from hoggin.studies.design.design import DesignQuestion, designed
from hoggin.studies.design.search import Effort
from hoggin.world import World

pytestmark = pytest.mark.slow

_SHORT = "crusher cone: cones.high_speed(head: 1300 mm) { duty secondary; chamber coarse;"
_CHOOSE = f"""{LIBRARIES}{MATERIAL}
plant "Hill" {{
{FEED}
  # Which machine crushes.
  choose machine {{
    # the long one was asked for
    option long {{
      # the long one
      crusher cone: cones.high_speed(head: 1500 mm) {{
        duty    secondary
        chamber any(coarse, medium)   # either
        css     any(30 mm, 32 mm)     # as wide as it goes
      }}
      require cone.load <= 5 %
    }}
    # the short one is at hand
    option short {{ {_SHORT} css any(30 mm, 34 mm) }} }}
  }}
  screen sizing: screens.inclined(width: 2.4 m, length: 6.0 m) {{ deck top 45 mm square }}
  rock -> sizing
  sizing.top.over -> cone -> sizing   # closed
  sizing.under    -> product all
  minimize plant.power
}}
"""


def test_only_the_free_words_change_and_comments_stay() -> None:
    lines = "  # wide open\n  minimize plant.power   # as ever\n"
    text = crushing("free(30 mm to 42 mm)", "any(40 mm, 45 mm)", lines)
    found = design_of(text)
    settings = {one.name: one.written for one in found.design.settings}
    expected = text.replace("free(30 mm to 42 mm)", settings["cone.css"]).replace(
        "any(40 mm, 45 mm)", settings["sizing.top"]
    )
    assert found.text == expected


def test_a_choose_is_replaced_by_its_picked_option() -> None:
    found = design_of(_CHOOSE)
    assert found.text is not None
    assert [(pick.name, pick.option) for pick in found.design.picks] == [("machine", "short")]
    (css,) = found.design.settings
    before, _, rest = _CHOOSE.partition("  choose machine {")
    after = rest[rest.index("  screen sizing") :]
    body = f"  # the short one is at hand\n  {_SHORT} css {css.written} }}\n"
    assert found.text == f"{before}{body}{after}"


def test_words_and_numbers_within_a_picked_option_are_settled_too() -> None:
    found = design_of(
        _CHOOSE.replace("cone.load <= 5 %", "cone.load <= 95 %").replace("34 mm", "20 mm")
    )
    assert found.text is not None
    picks = {pick.name: pick.option for pick in found.design.picks}
    tried = {
        (machine, chamber, css): results_of(_plain(machine, chamber, css)).power_kw
        for machine, chamber, css in (
            *(("1500 mm", chamber, css) for chamber in ("coarse", "medium") for css in (30, 32)),
            *(("1300 mm", "coarse", css) for css in (30, 20)),
        )
    }
    machine, chamber, css = min(tried, key=lambda key: tried[key])
    assert picks["machine"] == ("long" if machine == "1500 mm" else "short")
    assert picks.get("chamber", "coarse") == chamber
    assert [one.written for one in found.design.settings] == [f"{css} mm"]
    assert "choose" not in found.text
    assert "any(" not in found.text
    assert ("# the long one was" in found.text) == (machine == "1500 mm")


def _plain(head: str, chamber: str, css: int) -> str:
    before, _, rest = _CHOOSE.partition("  choose machine {")
    after = rest[rest.index("  screen sizing") :]
    settings = f"duty secondary; chamber {chamber}; css {css} mm"
    return f"{before}  crusher cone: cones.high_speed(head: {head}) {{ {settings} }}\n{after}"


def test_alternatives_are_all_told_with_what_refuses_them() -> None:
    alternatives = design_of(_CHOOSE).design.alternatives
    assert [one.words for one in alternatives] == [
        "machine: long, chamber: coarse",
        "machine: long, chamber: medium",
        "machine: short",
    ]
    assert [one.best is None for one in alternatives] == [True, True, False]


def test_the_same_words_used_twice_get_the_same_value() -> None:
    text = f"""{LIBRARIES}{MATERIAL}
template half(name: text = "x") {{
  in  rock
  out left
  out right
  splitter parts {{ out a free(10 % to 60 %); out b rest }}
  rock -> parts
  parts.a -> left
  parts.b -> right
}}
plant "Hill" {{
{FEED}
  section one: half()
  section two: half()
  rock -> one
  one.left  -> two
  one.right -> product coarse
  two.left  -> product twice
  two.right -> product once
  maximize once.rate
}}
"""
    found = design_of(text)
    (share,) = found.design.settings
    # 200 t/h * a * (1 - a) is most at a half, by calculus.
    assert share.written == "50 %"
    assert found.design.aims[0].value == pytest.approx(50.0)


def test_uncertain_numbers_stay_as_they_are() -> None:
    text = divided("  maximize first.rate\n").replace("rate 200 t/h", "rate normal(200 t/h, 5 %)")
    found = design_of(text)
    assert found.text is not None
    assert "rate normal(200 t/h, 5 %)" in found.text


def test_what_is_left_open_in_another_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "ours.hog").write_text("let share = free(10 % to 60 %)\n", encoding="utf-8")
    text = divided("  maximize first.rate\n").replace("out a free(5 % to 70 %)", "out a ours.share")
    main = tmp_path / "main.hog"
    main.write_text(f'use "ours.hog" as ours\n{text}', encoding="utf-8")
    world = World(main)
    with pytest.raises(HogginError, match=r"left open in `ours\.hog`"):
        designed(world, world.open_main(), DesignQuestion(Effort(starts=8)))


def test_a_plant_that_leaves_nothing_free_is_refused() -> None:
    text = crushing("36 mm", "45 mm", "  minimize plant.power\n")
    with pytest.raises(HogginError, match="no setting is free"):
        design_of(text)


def test_a_plant_without_aims_and_requirements_is_refused() -> None:
    with pytest.raises(HogginError, match="states no aim"):
        design_of(crushing("free(30 mm to 40 mm)", "45 mm", ""))


def test_errors_of_any_option_end_it() -> None:
    with pytest.raises(SourceError):
        design_of(_CHOOSE.replace("css any(30 mm, 34 mm)", "css any(30 mm, 340 mm)"))


def test_every_alternative_that_breaks_a_rule_of_its_class_is_left_out() -> None:
    """The fine chamber of the library's cone does not crush as a secondary: its own rule."""
    text = crushing("any(30 mm, 32 mm)", "45 mm", "  minimize plant.power\n")
    text = text.replace("chamber coarse", "chamber any(coarse, extra_fine)")
    source = Source("plant.hog", text.replace("any(coarse, extra_fine)", "extra_fine"))
    refused = check(World(Path("/nowhere/plant.hog")), source)
    assert refused.has_errors
    found = design_of(text)
    coarse, fine = found.design.alternatives
    assert coarse.best is not None
    assert fine.refused == next(d.message for d in refused.diagnostics if d.is_error)


def test_a_rule_of_the_class_holds_along_the_whole_range() -> None:
    """The library's jaw: `rule css < gape / 3`, checked by the checker at every setting."""
    text = f"""use std.jaws
{MATERIAL}
plant "Hill" {{
{FEED}
  crusher jaw: jaws.single_toggle(gape: 400 mm, width: 800 mm) {{ count 4; css SETTING }}
  rock -> jaw -> product all
  AIM all.p80
}}
"""
    wide = text.replace("AIM", "maximize").replace("SETTING", "free(60 mm to 200 mm, 80 mm)")
    found = design_of(wide)
    widest = max(
        css for css in range(60, 200) if not _refused(text.replace("SETTING", f"{css} mm"))
    )
    (css,) = found.design.settings
    assert widest <= float(css.written.split()[0]) < widest + 1


def _refused(text: str) -> bool:
    source = Source("plant.hog", text.replace("AIM", "maximize"))
    return check(World(Path("/nowhere/plant.hog")), source).has_errors


def test_a_choose_that_a_case_picks_from_stays_and_is_settled() -> None:
    """The plant as it is written has the found option; the case still picks its own."""
    text = _CHOOSE.replace(
        "  minimize plant.power\n", "  minimize plant.power\n  case old { machine long }\n"
    )
    found = design_of(text)
    assert found.text is not None
    assert [(pick.name, pick.option) for pick in found.design.picks] == [("machine", "short")]
    (css,) = found.design.settings
    short = f"option short {{ {_SHORT} css "
    expected = text.replace("choose machine {", "choose machine: short {").replace(
        f"{short}any(30 mm, 34 mm)", f"{short}{css.written}"
    )
    assert found.text == expected  # the other option is as open as it was
    checked = check(World(Path("plant.hog")), Source("plant.hog", found.text))
    written, old = checked.plant, checked.in_case("old").plant
    assert written is not None and old is not None
    assert checked.freedom.alternatives == {}
    motors = [
        next(m for m in plant.machines if m.tag == "cone").facts["design_power_kw"]
        for plant in (written, old)
    ]
    assert motors[0] < motors[1]
