"""A grid's values give what the same values give when written into the plant by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoggin.balancing import rated
from hoggin.check.checker import check, check_file
from hoggin.revise.regress.quantities import quantities
from hoggin.revise.regress.varied import Varied
from hoggin.revise.regress.vary import reader
from hoggin.schema.results import Results
from hoggin.world import World

from .conftest import edit

STANDARD = Path(__file__).parents[3] / "examples" / "standard"


def _varied(path: Path, **values: str) -> Results | list[tuple[str, str, int]]:
    """The results, or the faults as (code, file, line)."""
    varied = [
        Varied(name.replace("__", "."), value, "regression.toml", 7)
        for name, value in values.items()
    ]
    world = World(path)
    source = world.open_main()
    checked = check(world, source, reader(varied, source.name))
    if checked.has_errors:
        return [(d.code, d.span.source.name, d.span.line) for d in checked.diagnostics]
    results = rated(checked)
    assert isinstance(results, Results)
    return results


def _by_hand(path: Path) -> Results:
    results = rated(check_file(path))
    assert isinstance(results, Results)
    return results


@pytest.mark.parametrize(
    ("values", "old", "new"),
    [
        ({"flow": "140 t/h"}, "let flow = 100 t/h", "let flow = 140 t/h"),
        ({"part__share": "55 %"}, "share: 30 %", "share: 55 %"),
        ({"f__rate": "2 * 60 t/h"}, "rate flow", "rate 2 * 60 t/h"),
    ],
)
def test_a_let_a_parameter_and_a_fact_are_varied(
    project: Path, values: dict[str, str], old: str, new: str
) -> None:
    given = _varied(project / "east.hog", **values)
    edit(project / "east.hog", old, new)
    assert isinstance(given, Results)
    assert quantities(given) == quantities(_by_hand(project / "east.hog"))


def test_a_parameter_that_rests_on_its_default_is_varied(project: Path) -> None:
    edit(project / "east.hog", "(share: 30 %)", "()")
    given = _varied(project / "east.hog", part__share="80 %")
    edit(project / "east.hog", "halving()", "halving(share: 80 %)")
    assert isinstance(given, Results)
    assert quantities(given) == quantities(_by_hand(project / "east.hog"))


@pytest.mark.slow
def test_several_values_of_a_real_template_at_once(tmp_path: Path) -> None:
    for file in STANDARD.glob("*.hog"):
        (tmp_path / file.name).write_text(file.read_text(encoding="utf-8"), encoding="utf-8")
    north = tmp_path / "north.hog"
    given = _varied(north, tertiary__css="16 mm", tertiary__chamber="fine")
    edit(north, "css: 14 mm", "css: 16 mm, chamber: fine")
    assert isinstance(given, Results)
    assert quantities(given) == quantities(_by_hand(north))


@pytest.mark.parametrize(
    ("values", "code"),
    [
        ({"flo": "140 t/h"}, "E0201"),
        ({"part__shore": "50 %"}, "E0403"),
        ({"prt__share": "50 %"}, "E0201"),
        ({"f__moisture": "3 %"}, "E0201"),
        ({"part__share": "95 %"}, "E0404"),
        ({"part__share": "3 kW"}, "E0302"),
        ({"flow": "1 t/h; let x = 2"}, "E0101"),
        ({"flow": "1 t/h }"}, "E0103"),
        ({"flow": ""}, "E0101"),
        ({"flow": "140 kW"}, "E0302"),
        ({"flow": "140"}, "E0302"),
    ],
)
def test_a_fault_of_a_value_is_told_at_its_line_of_the_settings(
    project: Path, values: dict[str, str], code: str
) -> None:
    faults = _varied(project / "east.hog", **values)
    assert isinstance(faults, list)
    assert (code, "regression.toml", 7) in faults


def test_a_library_of_the_same_names_is_left_alone(project: Path) -> None:
    """Only the plant's own file is varied."""
    library = project / "lib" / "halving.hog"
    library.write_text("let flow = 3 mm\n" + library.read_text(encoding="utf-8"), encoding="utf-8")
    given = _varied(project / "east.hog", flow="140 t/h")
    assert isinstance(given, Results)
    assert given.feed_t_h == pytest.approx(140)
