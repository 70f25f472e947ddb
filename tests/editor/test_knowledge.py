"""Hover, hints, verdicts, outline, folds, tokens and fixes, asked directly."""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path

import pytest

from hoggin.balancing import rated
from hoggin.editor.colouring import coloured
from hoggin.editor.faults import faults_of
from hoggin.editor.fixes import fixes, tried
from hoggin.editor.formatting import formatting
from hoggin.editor.hints import hints, verdicts
from hoggin.editor.hover import hover
from hoggin.editor.outline import folds, outline
from hoggin.editor.project import Project
from hoggin.editor.snapshot import Snapshot
from hoggin.world import read_text
from tests.check.reading import FIXTURES
from tests.editor.fuzzing import EXAMPLE
from tests.editor.plants import Files, messages

_SECOND = """\
  section next: circuit(head: 1200 mm)
  splitter ways { out a 50 %; out b rest }
  rock -> ways
  ways.a -> third
  ways.b -> next
  next.stone -> product more
  next.sand -> sand
"""


@pytest.fixture
def files(tmp_path: Path) -> Files:
    return Files(tmp_path)


def told(snapshot: Snapshot, offset: int) -> str:
    found = hover(snapshot, offset)
    assert found is not None
    return "\n".join(found.lines)


# --- hover


def test_a_quantity_in_both_unit_systems(files: Files) -> None:
    """By definition: an inch is 25.4 mm, a short ton 0.90718474 t (NIST SP 811)."""
    assert "150 t/h = 165.3 stph" in told(files.look(), files.at("150 t/h"))
    assert "80 mm = 3.15 in" in told(files.look(), files.at("80 mm"))


def test_a_machine_and_its_setting_tell_the_balance(files: Files) -> None:
    snapshot = files.balanced()
    results = snapshot.results
    assert results is not None
    (cone,) = (m for m in results.machines if m.tag == "third.cone")
    assert cone.load is not None
    text = told(snapshot, files.at("third.cone", inside=7))
    assert f"load {100 * cone.load:.0f} %" in text
    argument = told(snapshot, files.at("head: 1500 mm"))
    assert "900 mm to 2000 mm" in argument
    assert "35.43 in" in argument  # 900 / 25.4


def test_a_stream_tells_what_runs_in_it(files: Files) -> None:
    """All of the feed's 150 t/h runs into the section."""
    snapshot = files.balanced()
    assert "150 t/h" in told(snapshot, files.at("rock -> third", inside=6))


@pytest.mark.slow
def test_stale_results_say_so(files: Files) -> None:
    files.balanced()
    snapshot = files.put(files.text().replace("50 %; out rest", "40 %; out rest"))
    text = told(snapshot, files.at("rock -> third", inside=6))
    assert "the text has changed since" in text
    assert "the text has changed since" not in told(
        files.balanced(), files.at("rock -> th", inside=6)
    )


def test_a_let_tells_its_value_and_a_band_its_limits_and_source(files: Files) -> None:
    files.put(files.text().replace("150 t/h", "100 t/h + 50 t/h"))
    assert "= 150 t/h" in told(files.look(), files.at("rate tonnes", inside=6))
    assert "0 % to 60 % passing" in told(files.look(), files.at("parts.coarse", inside=7))


def test_a_fault_is_explained(files: Files) -> None:
    files.put(files.text().replace("parts.coarse", "parts.corse"))
    assert "E0201" in told(files.look(), files.at("parts.corse", inside=8))


def test_a_class_tells_range_source_and_cautions() -> None:
    project = Project()
    snapshot = project.snapshot(EXAMPLE)
    text = told(snapshot, snapshot.source.text.index("supported_shaft"))
    for words in ("css", "6 mm to 70 mm", "source: ", "Caution: Lock out"):
        assert words in text


def test_words_facts_and_results_are_explained() -> None:
    """The language's own words; bounds as the checker has them, 0 % to 50 % for moisture."""
    snapshot = Project().snapshot(EXAMPLE)
    text = snapshot.source.text
    assert "divides a stream" in told(snapshot, text.index("splitter order_book"))
    assert "feed over capacity" in told(snapshot, text.index("secondary.load") + 11)
    assert "second or later time" in told(snapshot, text.index("tertiary.recirculating_load") + 12)
    moisture = told(snapshot, text.index("moisture       1.5 %"))
    assert "water over dry solids, for feeds that state none; 0 to 50 %" in moisture
    work_index = told(snapshot, text.index("work_index"))
    assert "15.5 kWh/t = 14.06 kWh/st" in work_index  # a short ton is 0.90718474 t
    assert "2 to 60 kWh/t" in work_index
    share = told(snapshot, text.index("35 %"))
    assert "other units" not in share  # there is none


def test_a_count_is_explained() -> None:
    snapshot = Project().snapshot(EXAMPLE.with_name("twins.hog"))
    found = re.search(r"count +2", snapshot.source.text)
    assert found is not None
    count = told(snapshot, found.start())
    assert "equal machines in parallel" in count and "1 to 100" in count


_PICTURE = "![x](http://127.0.0.1/x.png) <img src=x> `b` [l](http://127.0.0.1)"


@pytest.mark.slow
def test_a_writers_text_puts_no_picture_or_link_in_a_hover(files: Files) -> None:
    """CommonMark: a backslash before punctuation makes it plain text."""
    text = files.text().replace(
        "  splitter halves",
        f'  product fill {{ title "{_PICTURE}" }}\n  splitter halves',
    )
    files.put(f'let odd = "{_PICTURE}"\n{text}')
    files.put(files.text("parts").replace("passing {", f'about "{_PICTURE}"; passing {{'), "parts")
    snapshot = files.balanced()
    for words, inside in (("odd =", 1), ("title", 1), ("-> product fill", 13), ("parts.coarse", 8)):
        found = told(snapshot, files.at(words, inside=inside))
        assert re.search(r"(?<!\\)(!\[|\]\(|<img|`b`)", found) is None, found
        assert "127.0.0.1" in found


# --- hints and verdicts


def test_hints_are_those_of_the_results(files: Files) -> None:
    snapshot = files.balanced()
    results = snapshot.results
    assert results is not None
    text = snapshot.source.text
    by_line = {text[: hint.offset].split("\n")[-1].strip(): hint for hint in hints(snapshot)}
    rates = {stream.name: stream.rate_t_h for stream in results.streams}
    hint = by_line["halves.stone -> product stone"]
    assert hint.text.startswith(f"{rates['halves.stone -> stone']:.3g} t/h")


def test_hints_of_a_template_tell_each_of_its_sections(files: Files) -> None:
    own = files.text("parts").replace("use std.cones", "use std.cones\nuse std.sieves")
    plant = files.text().partition("let tonnes")
    two = own + "".join(plant[1:]).replace("parts.", "").replace("  rock -> third\n", _SECOND)
    snapshot = files.put(two)
    assert messages(snapshot) == []
    snapshot = files.balanced()
    (load,) = (h for h in hints(snapshot) if h.text.startswith("load "))
    assert len(load.text.split("|")) == 2


def test_hints_are_at_the_ends_of_lines_so_that_columns_stay(files: Files) -> None:
    text = files.text().replace("  rock -> third\n", "  rock -> third  # all of it\n")
    files.put(text)
    snapshot = files.balanced()
    found = hints(snapshot)
    assert found
    assert all(text[hint.offset] == "\n" for hint in found)
    assert any(text[: hint.offset].endswith("# all of it") for hint in found)


def test_the_steps_of_a_route_are_one_hint_in_their_order(files: Files) -> None:
    files.put(
        files.text().replace(
            "  rock -> third\n", "  bin heap { live 50 t }\n  rock -> heap -> third\n"
        )
    )
    snapshot = files.balanced()
    (both,) = (hint for hint in hints(snapshot) if "->" in hint.text)
    assert both.tip.split("\n") == ["rock -> heap", "heap -> third.sizing"]
    assert both.text.count("150 t/h") == 2  # the feed's own rate, before any machine


@pytest.mark.slow
def test_a_load_is_at_the_end_of_its_machines_first_line() -> None:
    project = Project()
    snapshot = project.snapshot(EXAMPLE)
    project.keep(EXAMPLE, snapshot.checked, rated(snapshot.checked))
    snapshot = project.snapshot(EXAMPLE)
    text = snapshot.source.text
    loads = [hint.offset for hint in hints(snapshot) if hint.text.startswith("load ")]
    assert len(loads) == 5  # by hand: two feeders and three crushers
    assert all(text[:place].endswith("mm) {") for place in loads)


_CHOICE = """\
  choose way {
    option one { stockpile heap { live 100 t }; rock -> heap -> third }
    option two { bin heap { live 50 t }; rock -> heap -> third }
  }
"""


def test_an_option_that_does_not_stand_is_told_no_results(files: Files) -> None:
    """The first option stands: a machine of the same name in the other was not balanced."""
    files.put(files.text().replace("  rock -> third\n", _CHOICE))
    snapshot = files.balanced()
    text = snapshot.source.text
    other = text.index("option two")
    assert any(text.index("option one") < hint.offset < other for hint in hints(snapshot))
    assert not any(other < hint.offset < text.index("third.stone ->") for hint in hints(snapshot))
    assert "Balanced" in told(snapshot, text.index("rock -> heap -> third") + 6)
    assert "Balanced" not in told(snapshot, text.index("bin heap") + 5)


def test_verdicts_and_hints_of_an_older_text_say_so(files: Files) -> None:
    snapshot = files.balanced()
    assert not any(verdict.is_stale for verdict in verdicts(snapshot))
    assert not any("changed since" in hint.tip for hint in hints(snapshot))
    snapshot = files.put(files.text() + "# more\n")
    assert all(verdict.is_stale for verdict in verdicts(snapshot))
    assert all("changed since" in hint.tip for hint in hints(snapshot))


def test_hints_stay_while_a_line_is_half_typed(files: Files) -> None:
    whole = hints(files.balanced())
    snapshot = files.put(files.text() + "require (")
    assert [hint.text for hint in hints(snapshot)] == [hint.text for hint in whole]


def test_verdicts_are_those_of_the_results(files: Files) -> None:
    files.put(files.text().replace("0.1 * tonnes", "10 * tonnes"))
    snapshot = files.balanced()
    results = snapshot.results
    assert results is not None
    found = verdicts(snapshot)
    assert len(found) == 5  # by hand: four lines, one of them of two limits
    of_text = {r.text: r.met for r in results.requirements}
    for verdict in found:
        parts = verdict.span.text.removeprefix("require ").split(" and ")
        assert verdict.met == all(of_text[part] for part in parts)
    assert found[0].text.startswith("not met: ")


@pytest.mark.slow
def test_warnings_of_the_balance_stand_until_the_text_changes(tmp_path: Path) -> None:
    text = EXAMPLE.read_text(encoding="utf-8").replace("rate 450 t/h", "rate 600 t/h")
    files = Files(tmp_path, plant=text)
    snapshot = files.balanced()
    results = snapshot.results
    assert results is not None
    assert results.warnings
    codes = {fault.code for fault in faults_of(snapshot)}
    assert codes >= {warning.code for warning in results.warnings}
    assert faults_of(files.put(text + "\n")) == ()


# --- outline, folds, tokens, layout


def test_the_outline_holds_every_declaration(files: Files) -> None:
    snapshot = files.look("parts")
    (template,) = (e for e in outline(snapshot.file) if e.kind == "template")
    # by hand, from the text
    assert [e.title for e in template.inner if e.kind in ("crusher", "screen", "port")] == [
        "rock",
        "stone",
        "sand",
        "cone",
        "sizing",
    ]
    for entry in outline(snapshot.file):
        assert entry.span.start <= entry.name.start <= entry.name.end <= entry.span.end


def test_folds_keep_the_closing_line_in_sight(files: Files) -> None:
    lines = files.text().split("\n")
    found = folds(files.look())
    assert len(found) == 2  # by hand: the plant and its feed
    for fold in found:
        assert lines[fold.first].rstrip().split("#")[0].rstrip().endswith("{")
        assert lines[fold.last + 1].strip() == "}"


def test_tokens_cover_comments_texts_and_names_once(files: Files) -> None:
    snapshot = files.look()
    found = coloured(snapshot)
    for first, second in pairwise(found):
        assert first.end <= second.start
    by_text = {snapshot.source.text[one.start : one.end]: one for one in found}
    assert by_text["# gap parts tonnes"].type == "comment"
    assert by_text['"Hill, gap of parts"'].type == "string"
    assert by_text["en_set2"].modifiers == ("defaultLibrary",)
    assert by_text["section"].type == "keyword"


def test_formatting_is_the_languages_one_layout(files: Files) -> None:
    ugly = files.text().replace("  rate tonnes", "      rate    tonnes")
    files.put(ugly)
    files.apply(formatting(files.look()))
    assert formatting(files.look()) == ()
    assert messages(files.look()) == []


# --- fixes


@pytest.mark.slow
@pytest.mark.parametrize(
    ("right", "wrong", "title"),
    [
        ("parts.coarse", "parts.corse", "change `corse` to `coarse`"),
        ("150 t/h", "150 t/hh", "change `t/hh` to `t/h`"),
        ("chamber: fine", "chamber: fin", "change `fin` to `fine`"),
        ("third.cone.load", "third.cone.lod", "change `lod` to `load`"),
        ("halves.stone ->", "halves.ston ->", "change `ston` to `stone`"),
        ("use std.sieves", "use std.sieve", "change `std.sieve` to `std.sieves`"),
        ("    rate tonnes", "    rat tonnes", "change `rat` to `rate`"),
        ("head: 1500 mm", "head: 1500", "write it in mm"),
        ("fine: 15 %", "fine: 15", "write `15 %`"),
        ("<= 300 %", "<= 300", "write `300 %`"),
        ("product fill", "product fill\n  product fill { title odd }", 'write `"odd"`'),
        ("(head: 1500 mm, ", "(", "add `head: 900 mm`"),
        ("third.sand", "third", ""),
    ],
)
def test_a_fix_mends_its_fault(files: Files, right: str, wrong: str, title: str) -> None:
    assert files.text().count(right) >= 1
    snapshot = files.put(files.text().replace(right, wrong, 1))
    mended = set()
    for fault in faults_of(snapshot):
        for fix in fixes(snapshot, fault):
            files.put(snapshot.source.text)
            files.apply(fix.edits)
            told = [(d.code, d.message) for d in files.look().checked.diagnostics]
            if (fault.code, fault.message) not in told:
                mended.add(fix.title)
    assert mended if not title else title in mended


def test_a_missing_setting_is_added_in_the_block(tmp_path: Path) -> None:
    text = EXAMPLE.read_text(encoding="utf-8").replace("    duty    secondary\n", "")
    files = Files(tmp_path, plant=text)
    (fault,) = faults_of(files.look())
    found = fixes(files.look(), fault)
    assert [fix.title for fix in found] == ["add `duty secondary`", "add `duty tertiary`"]
    files.apply(found[0].edits)
    assert messages(files.look()) == []


def test_a_library_that_is_not_used_yet_is_added(tmp_path: Path) -> None:
    text = EXAMPLE.read_text(encoding="utf-8").replace("use std.jaws\n", "")
    files = Files(tmp_path, plant=text)
    fault = next(f for f in faults_of(files.look()) if f.code == "E0201")
    fix = next(f for f in fixes(files.look(), fault) if f.title == "add `use std.jaws`")
    files.apply(fix.edits)
    assert messages(files.look()) == []


def _titles(files: Files, code: str) -> list[str]:
    snapshot = files.look()
    fault = next(f for f in faults_of(snapshot) if f.code == code)
    return [fix.title for fix in tried(files.project, snapshot, fault)]


@pytest.mark.slow
def test_only_proposals_that_check_are_left_and_a_lone_one_is_sure(files: Files) -> None:
    """By hand: the class takes a head of 900 mm to 2000 mm, so 1500 of no other unit; a library
    that is not used is meant by its name and not by that of a rock."""
    files.put(files.text().replace("head: 1500 mm", "head: 1500"))
    snapshot = files.look()
    (fix,) = tried(files.project, snapshot, faults_of(snapshot)[0])
    assert (fix.title, fix.sure) == ("write it in mm", True)
    plant = EXAMPLE.read_text(encoding="utf-8").replace("use std.feeders\n", "")
    files.put(plant)
    assert _titles(files, "E0201") == ["add `use std.feeders`"]


@pytest.mark.slow
def test_a_result_is_named_where_only_the_product_was(files: Files) -> None:
    """Both are rates; the usual one comes first."""
    files.put(files.text().replace("stone.rate >=", "stone >="))
    assert _titles(files, "E0209") == [
        "change `stone` to `stone.rate`",
        "change `stone` to `stone.per_year`",
    ]


def test_tons_are_asked_after_and_not_guessed(files: Files) -> None:
    """A short ton is a tenth less than a tonne: neither may be taken for the other unseen."""
    files.put(files.text().replace("150 t/h", "150 TPH"))
    found = tried(files.project, files.look(), faults_of(files.look())[0])
    assert {fix.title for fix in found} == {"change `TPH` to `t/h`", "change `TPH` to `stph`"}
    assert not any(fix.sure for fix in found)


@pytest.mark.parametrize(
    ("taken_out", "title"),
    [
        ("  solid_density  2.68 t/m3\n", "add `solid_density 2.70 t/m3`"),
        ("  sieves sieves.quarry\n", "add `sieves sieves.iso_r20_3`"),
        ("    rate 450 t/h\n", "add `rate 450 t/h`"),
    ],
)
def test_what_a_block_lacks_is_added_to_it(tmp_path: Path, taken_out: str, title: str) -> None:
    words = taken_out.split()
    text = "\n".join(
        line for line in EXAMPLE.read_text(encoding="utf-8").split("\n") if line.split() != words
    )
    files = Files(tmp_path, plant=text)
    fault = next(fault for fault in faults_of(files.look()) if fault.is_error)
    (fix,) = fixes(files.look(), fault)
    assert fix.title == title
    files.apply(fix.edits)
    assert messages(files.look()) == []


def test_a_line_is_added_behind_the_last_lines_comment(files: Files) -> None:
    rock = "material rock {\n  solid_density 2.7 t/m3 # dry\n  bulk_density 1.6 t/m3  # loose\n}\n"
    files.put(rock)
    fault = next(f for f in faults_of(files.look()) if f.is_error)
    files.apply(fixes(files.look(), fault)[0].edits)
    assert "# loose\n  work_index 15 kWh/t\n}" in files.text()


@pytest.mark.parametrize("rock", ["material rock {", "material rock {\n", "material rock {}"])
def test_a_block_that_is_only_begun_takes_a_line(files: Files, rock: str) -> None:
    files.put(rock)
    fault = next(f for f in faults_of(files.look()) if "solid_density" in f.message)
    files.apply(fixes(files.look(), fault)[0].edits)
    assert all("solid_density" not in message for message in messages(files.look()))


@pytest.mark.slow
def test_no_fix_breaks_a_file_further() -> None:
    """Over every faulty file of the checker's own tests: a fix that is the only one mends its
    fault, or at least leaves no more faults than there were."""
    count = 0
    for path in sorted((FIXTURES / "errors").glob("*.hog")):
        project = Project()
        snapshot = project.snapshot(path)
        before = len(snapshot.checked.diagnostics)
        for fault in faults_of(snapshot):
            for fix in fixes(snapshot, fault):
                if fix.sure:
                    count += 1
                    text = read_text(path)
                    for edit in sorted(fix.edits, reverse=True):
                        text = text[: edit.start] + edit.text + text[edit.end :]
                    again = Project(project.reader)
                    again.put(path, text)
                    after = again.snapshot(path).checked.diagnostics
                    gone = (fault.code, fault.message) not in {(d.code, d.message) for d in after}
                    assert gone or len(after) <= before, (path.name, fix.title)
    assert count > 10


@pytest.mark.slow
def test_every_name_of_the_library_is_found_in_itself() -> None:
    """Each class of the standard library: what its text declares is what the index declares."""
    library = Path(__file__).parents[2] / "stdlib"
    for path in sorted(library.rglob("*.hog")):
        snapshot = Project().snapshot(path)
        found = snapshot.names.occurrences(snapshot.name)
        declared = {one.symbol.name for one in found if one.declares}
        line = r"^(?:class \w+|template|series|band) (\w+)"
        written = re.findall(line, snapshot.source.text, re.MULTILINE)
        assert set(written) <= declared
