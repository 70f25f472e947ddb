"""Where streams are routed in the text: the lines are counted by hand."""

from __future__ import annotations

from pathlib import Path

from hoggin.check.checker import check_file

EXAMPLES = Path(__file__).parents[2] / "examples"


def test_a_stream_is_where_its_route_is_written() -> None:
    file = EXAMPLES / "quarry.hog"
    checked = check_file(file)
    assert checked.plant is not None
    lines = file.read_text().splitlines()
    assert list(checked.routes) == [stream.name for stream in checked.plant.streams]
    for stream in checked.plant.streams:
        (span,) = checked.routes[stream.name]
        written = lines[span.line - 1]
        assert "->" in span.text and span.text in written
        assert span.text.split("->")[0].strip().startswith(stream.source)
        assert span.text.split()[-1] == stream.target


def test_a_stream_through_a_sections_ports_is_in_each_of_its_routes(tmp_path: Path) -> None:
    text = """\
use std.feeders
use std.sieves
material rock { solid_density 2.7 t/m3; bulk_density 1.6 t/m3; work_index 15 kWh/t }
template line(wide: mm) {
  in rock
  out done
  feeder pan: feeders.apron(width: wide)
  rock -> pan
  pan -> done
}
plant "two" {
  sieves sieves.quarry
  feed shot { rock rock; rate 100 t/h; passing { 100 mm: 100 %, 10 mm: 20 % } }
  section a: line(wide: 1500 mm)
  shot -> a
  a -> product heap
}
"""
    file = tmp_path / "two.hog"
    file.write_text(text)
    checked = check_file(file)
    assert checked.plant is not None, [(d.code, d.message) for d in checked.diagnostics]
    found = {name: [span.line for span in spans] for name, spans in checked.routes.items()}
    assert found == {"shot -> a.pan": [15, 8], "a.pan -> heap": [9, 16]}


def test_a_plant_with_errors_has_no_places(tmp_path: Path) -> None:
    file = tmp_path / "bad.hog"
    file.write_text('plant "x" { }\n')
    assert not check_file(file).routes
