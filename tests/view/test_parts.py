"""Parts of the page: what they say is what `Results` says, and no text of a plant acts in them.

HTML is read with the standard library's parser; the gradings are worked by hand from the samples.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from html.parser import HTMLParser
from itertools import combinations
from xml.etree import ElementTree

import networkx as nx
import pytest

from hoggin.commands.viewing import read_plant
from hoggin.report.wording import rate
from hoggin.schema.figures import LOAD, POWER
from hoggin.schema.results import Results, Warning
from hoggin.view.details import details
from hoggin.view.drawing import sheets
from hoggin.view.items import items
from hoggin.view.live import State
from hoggin.view.parts import headline, shown, tables, verdicts
from hoggin.view.plot import Grading, plot
from hoggin.view.reading import Reading, SourceLine
from tests.view.conftest import EXAMPLES

SVG = "{http://www.w3.org/2000/svg}"


class Read(HTMLParser):
    """Every element with its attributes, and the text."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.text = ""
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        self.text += data

    @property
    def keys(self) -> set[str]:
        return {told["data-key"] or "" for _, told in self.elements if "data-key" in told}


def state(results: Results, said: str = "") -> State:
    reading = Reading(results, said)
    return State(1, reading, 1, reading)


def read(name: str) -> Results:
    """An example's results."""
    results = read_plant(EXAMPLES / name)[0].results
    assert results is not None
    return results


def all_keys(results: Results) -> list[str]:
    return [item.key for item in items(results)]


def test_items_are_joined_as_the_plants_graph_is(quarry: Results) -> None:
    """networkx: predecessors and successors of the graph whose nodes are streams as well."""
    graph: nx.DiGraph[str] = nx.DiGraph()
    for stream in quarry.streams:
        graph.add_edges_from([(stream.source, stream.name), (stream.name, stream.target)])
    for item in items(quarry):
        assert set(item.onward) == set(graph.successors(item.key))
        assert set(item.back) == set(graph.predecessors(item.key))
    assert len(items(quarry)) == graph.number_of_nodes()


def drawn(results: Results, changed: Mapping[str, str] | None = None) -> list[ElementTree.Element]:
    return [ElementTree.fromstring(one.drawing) for one in sheets(results, changed or {})]


def buttons(root: ElementTree.Element) -> list[ElementTree.Element]:
    return [group for group in root.iter(f"{SVG}g") if group.get("role") == "button"]


@pytest.mark.slow
@pytest.mark.parametrize("name", ["quarry.hog", "cookbook/washed_gravel.hog"])
def test_every_feed_machine_product_and_stream_is_one_button_of_the_drawing(name: str) -> None:
    results = read(name)
    (root,) = drawn(results)
    keys = [button.get("data-key", "") for button in buttons(root)]
    assert sorted(keys) == sorted(all_keys(results))
    assert all(one.get("aria-label") and one.get("tabindex") == "-1" for one in buttons(root))
    assert all(one.find(f"{SVG}rect[@class='hit']") is not None for one in buttons(root))


@pytest.mark.slow
def test_a_plant_of_several_sheets_has_every_item_on_one_and_its_streams_where_they_run(
    large: Results,
) -> None:
    found = drawn(large)
    keys = [{button.get("data-key", "") for button in buttons(root)} for root in found]
    assert set().union(*keys) == set(all_keys(large))
    for item in items(large):
        of_it = [n for n, known in enumerate(keys) if item.key in known and n > 0]
        assert len(of_it) == 1 or item.kind == "stream"
        ends = {n for n, known in enumerate(keys) if {*item.onward, *item.back} & known and n > 0}
        assert item.kind != "stream" or set(of_it) == ends


@pytest.mark.slow
def test_a_connector_leads_to_the_sheet_on_which_its_stream_goes_on(large: Results) -> None:
    found = drawn(large)
    ways = [
        (n, group.get("data-key", ""), int(group.get("data-sheet", "")))
        for n, root in enumerate(found, start=1)
        for group in root.iter(f"{SVG}g")
        if group.get("class") == "way"
    ]
    overview = [sheet for n, key, sheet in ways if n == 1]
    assert sorted(overview) == list(range(2, len(found) + 1))
    connectors = {way for way in ways if way[0] > 1}
    assert connectors
    assert connectors == {(sheet, key, n) for n, key, sheet in connectors}  # both ways


def test_a_button_says_tag_and_tonnes_and_what_is_wrong(quarry: Results) -> None:
    told = {item.key: item.label for item in items(quarry)}
    for machine in quarry.machines:
        assert machine.tag in told[machine.tag]
        assert f"{rate(machine.feed_t_h)} t/h" in told[machine.tag]
    overloaded = next(m for m in quarry.machines if any(c.verdict == "over" for c in m.checks))
    assert told[overloaded.tag].endswith("OVER LIMIT")
    for stream in quarry.streams:
        assert f"{rate(stream.rate_t_h)} t/h" in told[stream.name]
        assert ("recirculating" in told[stream.name]) == stream.recirculating


def test_the_line_of_a_stream_is_the_streams(quarry: Results) -> None:
    for root in drawn(quarry):
        pieces = [g for g in root.iter(f"{SVG}g") if g.get("class") == "piece"]
        assert sorted(g.get("data-key", "") for g in pieces) == sorted(
            stream.name for stream in quarry.streams
        )
        assert all(g.get("aria-hidden") == "true" for g in pieces)
        assert all(g.find(f"{SVG}path[@class='grip']") is not None for g in pieces)


@pytest.mark.slow
def test_a_rate_stands_beside_the_number_of_a_stream_and_over_nothing_else() -> None:
    """What is read off the SVG: the number of each stream, and the t/h that the results have."""
    results = read("sand.hog")
    (root,) = drawn(results)
    said = {
        button.get("data-key"): [text.text for text in button.iter(f"{SVG}text")]
        for button in buttons(root)
    }
    for stream in results.streams:
        assert said[stream.name] == [stream.number, f"{stream.rate_t_h:.1f}"]
    boxes = [
        [float(hit.get(side, "")) for side in ("x", "y", "width", "height")]
        for hit in root.iter(f"{SVG}rect")
    ]
    for (ax, ay, aw, ah), (bx, by, bw, bh) in combinations(boxes, 2):
        assert ax + aw <= bx or bx + bw <= ax or ay + ah <= by or by + bh <= ay


def test_what_the_last_save_changed_has_a_filled_ground_and_says_so(quarry: Results) -> None:
    stream = quarry.streams[3].name
    words = "changed: load 71 %, before 65 %"
    (root,) = drawn(quarry, {"secondary": words, stream: words})
    filled = {
        button.get("data-key")
        for button in buttons(root)
        if any("ink" in (path.get("class") or "").split() for path in button.iter(f"{SVG}path"))
    }
    assert filled == {"secondary", stream}
    for button in buttons(root):
        said = (button.get("aria-label") or "").endswith(f", {words}")
        assert said == (button.get("data-key") in filled)
        assert said == ("changed" in (button.get("class") or "").split())


def test_details_tell_the_source_line(small: Results) -> None:
    place = SourceLine("plant.hog", 41, "crusher cone: <b>cones</b>.high_speed {")
    read = Read(details(small, "cone", {"cone": (place,)}) or "")
    assert "plant.hog:41" in read.text and place.text in read.text


def test_details_of_a_machine_tell_load_power_settings_checks_and_cautions(
    quarry: Results,
) -> None:
    machine = next(m for m in quarry.machines if m.load and m.load > 1 and m.settings)
    read = Read(details(quarry, machine.tag, {}) or "")
    assert f"load (%){LOAD.text(machine.load or 0.0)}" in read.text
    assert f"drawn (kW){POWER.text(machine.power_kw or 0.0)}" in read.text
    for setting in machine.settings:
        assert f"{setting.name}{setting.text}" in read.text
    for check in machine.checks:
        assert check.text in read.text
    assert "OVER LIMIT" in read.text
    for caution in machine.cautions:
        assert caution in read.text
    assert "Local codes and licensed practice govern." in read.text
    joined = {s.name for s in quarry.streams if machine.tag in (s.source, s.target)}
    assert read.keys == joined


@pytest.mark.slow
def test_details_of_equal_machines_tell_once_how_many_there_are() -> None:
    results = read_plant(EXAMPLES / "twins.hog")[0].results
    assert results is not None
    read = Read(details(results, "fine.cone", {}) or "")
    assert read.text.count("quantity") == 1 and "quantity2" in read.text
    assert {item.key for item in items(results)} <= Read(
        "".join(one.drawing for one in sheets(results, {}))
    ).keys


def test_details_of_a_stream_tell_its_grading_sieve_by_sieve(quarry: Results) -> None:
    """The samples' gradings are (size / top size) to the power of their slope, by definition."""
    stream = next(s for s in quarry.streams if s.name == "secondary -> sizing")
    text = details(quarry, stream.name, {}) or ""
    for mm in (63.0, 16.0, 4.0):
        share = f"{100 * (mm / 75.0) ** 0.8:.1f}"
        assert f'class="short">{mm:g}</th><td class="number">{share}</td>' in text
    assert Read(text).keys == {"secondary", "sizing"}


@pytest.mark.slow
def test_details_of_a_stream_tell_the_number_it_has_in_the_mass_balance(quarry: Results) -> None:
    for number, stream in enumerate(quarry.streams, start=1):
        assert f"no.{number}rate (t/h)" in Read(details(quarry, stream.name, {}) or "").text


def test_details_of_a_product_tell_its_specification(quarry: Results) -> None:
    product = next(p for p in quarry.products if p.bands and not p.bands[0].met)
    read = Read(details(quarry, product.tag, {}) or "")
    assert "NOT MET" in read.text and "OUTSIDE" in read.text
    assert product.bands[0].name in read.text


@pytest.mark.slow
def test_there_are_details_of_everything_and_of_nothing_else(quarry: Results) -> None:
    assert all(details(quarry, key, {}) for key in all_keys(quarry))
    assert details(quarry, "nobody", {}) is None
    assert details(quarry, "", {}) is None


def test_a_stream_that_carries_nothing_has_no_grading(small: Results) -> None:
    empty = small.streams[0].model_copy(update={"rate_t_h": 0.0, "p80_mm": None, "p50_mm": None})
    changed = small.model_copy(update={"streams": (empty, *small.streams[1:])})
    assert "<svg" not in (details(changed, empty.name, {}) or "<svg")


def test_verdicts_are_words(quarry: Results) -> None:
    missed = quarry.requirements[0].model_copy(update={"verdict": "not met"})
    changed = quarry.model_copy(update={"requirements": (*quarry.requirements, missed)})
    text = verdicts(state(changed))
    assert text.count(">NOT MET</strong>") == 1
    assert headline(state(changed)) == "1 of 2 requirements met, 1 NOT MET"
    for warning in quarry.warnings:
        assert warning.text in Read(text).text


def test_errors_stand_in_the_place_of_verdicts_and_are_text(small: Results) -> None:
    said = "error E0301: `<script>alert(1)</script>` is no number\n  at x.hog:1:1\n"
    good = Reading(small)
    text = verdicts(State(2, Reading(None, said), 1, good))
    read = Read(text)
    assert said in read.text and "script" not in {tag for tag, _ in read.elements}
    assert "older text" in read.text and "met" not in read.text.split()


def test_tables_hold_every_stream_and_machine_and_lead_to_them(quarry: Results) -> None:
    read = Read(tables(Reading(quarry)))
    assert {s.name for s in quarry.streams} <= read.keys
    assert {m.tag for m in quarry.machines} <= read.keys
    assert {p.tag for p in quarry.products} <= read.keys


@pytest.mark.slow
def test_a_word_that_names_no_item_where_it_stands_leads_to_none() -> None:
    """The example's `tertiary` has a tertiary duty: its tag leads to it, its duty does not."""
    reading, _ = read_plant(EXAMPLES / "quarry.hog")
    schedule = tables(reading).partition("Equipment schedule: Machines")[2].partition("</table>")[0]
    row = next(r for r in schedule.split("<tr>") if 'data-key="tertiary"' in r)
    assert row.count("<button") == 1
    assert '<td class="short">tertiary</td>' in row


def test_a_limit_tells_its_mend_and_is_not_told_again_as_a_warning(quarry: Results) -> None:
    machine = next(m for m in quarry.machines if any(c.verdict == "over" for c in m.checks))
    check = next(c for c in machine.checks if c.verdict == "over")
    code = check.code or "W0501"
    coded = check.model_copy(update={"code": code})
    warned = Warning(code=code, subject=machine.tag,
                     text=f"`{machine.tag}`: {check.text}", help="open the setting",
                     file="plant.hog", line=7, column=1)  # fmt: skip
    other = warned.model_copy(update={"text": "something else", "help": "", "line": 8})
    checks = tuple(coded if c is check else c for c in machine.checks)
    changed = machine.model_copy(update={"checks": checks})
    results = quarry.model_copy(update={
        "machines": tuple(changed if m is machine else m for m in quarry.machines),
        "warnings": (warned, other),
    })  # fmt: skip
    text = Read(verdicts(state(results))).text
    assert text.count(check.text) == 1
    assert f"{machine.tag}: {check.text}. Help: open the setting {code} plant.hog:7" in text
    assert "something else plant.hog:8" in text


def test_what_is_not_met_is_told_once(quarry: Results) -> None:
    missed = quarry.requirements[0].model_copy(update={"verdict": "not met"})
    warned = Warning(code="W0511", subject=missed.text, text="not met: as told",
                     help="", file=missed.file,
                     line=missed.line, column=1)  # fmt: skip
    results = quarry.model_copy(update={"requirements": (missed,), "warnings": (warned,)})
    text = Read(verdicts(state(results))).text
    assert "NOT MET" in text and "as told" not in text
    elsewhere = warned.model_copy(update={"line": missed.line + 1})
    results = results.model_copy(update={"warnings": (elsewhere,)})
    assert "as told" in Read(verdicts(state(results))).text


def test_the_headline_says_in_a_few_words_what_is_wrong(small: Results) -> None:
    gone = Reading(None, "`a.hog`: there is no such file\n", "The file can't be read")
    after = State(2, gone, 1, Reading(small))
    assert headline(after) == "The file can't be read"
    assert "NO VERDICTS The file can't be read. The" in Read(verdicts(after)).text


def test_letters_that_hide_or_turn_others_about_are_shown_as_squares(small: Results) -> None:
    """A right-to-left override (U+202E) would show the name of a file backwards; Unicode Standard
    Annex 9."""
    assert shown("a\u202eb\x07c\u2066 d\n  e\tf") == "a□b□c□ d\n  e□f"
    place = SourceLine("x\u202egoh.hog", 1, 'product sand { title "a\u202eb" }')
    text = details(small, "cone", {"cone": (place,)}) or ""
    text += verdicts(State(1, Reading(None, "at x\u202egoh.hog:1"), 0, None))
    assert "\u202e" not in text and text.count("x□goh.hog:1") == 2


@pytest.mark.slow
def test_no_text_of_a_plant_becomes_an_element_or_a_script(hostile: Results) -> None:
    page = [verdicts(state(hostile, "<img src=x>")), tables(Reading(hostile))]
    page += [details(hostile, key, {}) or "" for key in all_keys(hostile)]
    for text in page:
        read = Read(text)
        assert not {"script", "img", "a", "iframe", "style", "link"} & {t for t, _ in read.elements}
        for tag, told in read.elements:
            wrong = [name for name in told if name.startswith("on") or name in ("style", "href")]
            assert not wrong, (tag, told)
    nodes = {node.tag.removeprefix(SVG) for root in drawn(hostile) for node in root.iter()}
    assert nodes <= {"svg", "defs", "g", "use", "path", "rect", "circle", "text"}


def test_no_part_needs_a_style_that_the_pages_policy_forbids(quarry: Results) -> None:
    drawing = "".join(one.drawing for one in sheets(quarry, {}))
    for text in (drawing, tables(Reading(quarry)), details(quarry, "secondary", {}) or ""):
        assert " style=" not in text and "<style" not in text


@pytest.mark.parametrize("passing", [0.0, 1.0, 0.4])
def test_a_plot_of_a_curve_without_a_slope_is_no_fault(passing: float) -> None:
    svg = plot([Grading("flat", ((10.0, passing), (1.0, passing)))])
    assert "nan" not in svg and "<svg" in svg


def test_a_plot_is_on_a_log_axis_and_linear_passing() -> None:
    """By hand: 10 mm is midway between 1 mm and 100 mm, 25 % a quarter of the way up."""
    svg = plot([Grading("one", ((100.0, 0.998), (10.0, 0.25), (1.0, 0.002)))])
    curve = next(line for line in svg.splitlines() if 'class="series"' in line)
    up = {word: float(y) - 4 for y, word in re.findall(r'y="([\d.]+)"[^>]*>(\d+)</text>', svg)}
    points = [tuple(map(float, p.strip("ML").split(","))) for p in curve.split('"')[3].split()]
    (x1, _), (x10, y10), (x100, _) = points
    assert x10 == pytest.approx((x1 + x100) / 2, abs=0.01)
    assert y10 == pytest.approx(up["0"] - 0.25 * (up["0"] - up["100"]), abs=0.02)
    assert plot([]) == ""
