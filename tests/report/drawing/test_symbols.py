"""Where material enters and leaves a symbol: in from above, out below or at a deck's end (common
practice of flow diagrams, no source)."""

from __future__ import annotations

import pytest

from hoggin.report.drawing.model import Arc, Circle, Stroke, Words
from hoggin.report.drawing.symbols import Port, Symbol, symbol
from hoggin.schema.kinds import KINDS

_NAMES = (
    *("feed", "product", "jaw", "cone", "gyratory", "impactor", "shaft_impactor", "rolls"),
    *("press_rolls", "belt", "belt_feeder", "pan_feeder", "screw", "cyclone", "upflow"),
    *("thickener", "sump", "pump", "blend", "magnet", "metal_detector", "instrument", "water"),
    *("screen_1", "screen_4", "drying_screen_1", "drying_screen_2", "grizzly_feeder_1"),
    *("grizzly_feeder_2", "splitter_2", "splitter_5", "bin_1", "bin_2", "pile_1", "pile_2"),
    *("section_1", "section_12"),
)


def _ports(one: Symbol) -> list[Port]:
    return [*([one.inlet] if one.inlet else []), *one.outlets]


@pytest.mark.parametrize("name", _NAMES)
def test_material_enters_above_and_leaves_at_the_side_or_foot(name: str) -> None:
    one = symbol(name)
    assert one.inlet is None or (one.inlet.side == "top" and one.inlet.at[1] == 0)
    edges = {"foot": (1, one.height), "right": (0, one.width)}
    for port in one.outlets:
        axis, edge = edges[port.side]
        assert port.at[axis] == edge


@pytest.mark.parametrize("name", _NAMES)
def test_no_two_streams_share_a_place(name: str) -> None:
    places = [port.at for port in _ports(symbol(name))]
    assert len(set(places)) == len(places)


@pytest.mark.parametrize("name", _NAMES)
def test_its_strokes_stay_in_its_box_and_fill_it(name: str) -> None:
    one = symbol(name)
    points = []
    for shape in one.shapes:
        match shape:
            case Stroke():
                points += list(shape.points)
            case Circle() | Arc():
                x, y = shape.centre
                points += [
                    (x - shape.radius, y - shape.radius),
                    (x + shape.radius, y + shape.radius),
                ]
            case Words():
                points.append(shape.at)
    for axis, size in ((0, one.width), (1, one.height)):
        along = [point[axis] for point in points]
        assert min(along) == pytest.approx(0, abs=0.7)
        assert max(along) == pytest.approx(size, abs=0.7)
        assert min(along) >= -1e-9
        assert max(along) <= size + 1e-9


@pytest.mark.parametrize("decks", [1, 2, 3, 4])
def test_each_deck_of_a_screen_is_a_line_to_its_own_outlet(decks: int) -> None:
    one = symbol(f"screen_{decks}")
    dashed = [shape for shape in one.shapes if isinstance(shape, Stroke) and shape.dash == "dashed"]
    ends = [shape.points[-1] for shape in dashed]
    assert ends == [port.at for port in one.outlets[:-1]]
    assert one.outlets[-1].side == "foot"
    assert [end[1] for end in ends] == sorted(end[1] for end in ends)


def test_every_kind_of_machine_has_a_symbol() -> None:
    named = {
        "crusher": "cone", "screen": "screen_1", "feeder": "pan_feeder", "conveyor": "belt",
        "classifier": "cyclone", "grizzly_feeder": "grizzly_feeder_1", "splitter": "splitter_2",
        "bin": "bin_1", "stockpile": "pile_1",
    }  # fmt: skip
    for kind in KINDS.values():
        assert len(symbol(named.get(kind.name, kind.name)).outlets) >= max(1, len(kind.outlets))
