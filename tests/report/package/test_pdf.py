"""The PDF report, read back."""

from __future__ import annotations

from itertools import pairwise

import pytest

from hoggin.report import equipment
from hoggin.report.drawing.flowsheet import flowsheet
from hoggin.report.package.content import report
from hoggin.report.package.data_sheet import data_sheets
from hoggin.report.package.pdf import BOXES, pdf
from hoggin.report.wording import clean
from hoggin.schema.plant import Revision
from hoggin.schema.results import Results

from .conftest import SAMPLES
from .paper import Paper, Sheet, read, squeezed

pytestmark = pytest.mark.slow

A3 = (420.0, 297.0)  # mm, landscape: ISO 216
A4, A4_WIDE = (210.0, 297.0), (297.0, 210.0)
SMALLEST_PT = 6.0
LEAST_ON_DRAWING_PT = 1.8 * 72 / 25.4  # the smallest lettering of ISO 3098-1 (from memory)
FONTS = ("Arimo", "LibertinusSerif", "DejaVuSansMono", "NewCM")


@pytest.fixture(scope="session")
def papers(packages: dict[str, dict[str, bytes]]) -> dict[str, Paper]:
    return {name: read(made["report.pdf"]) for name, made in packages.items()}


def is_drawing(sheet: Sheet) -> bool:
    return sheet.width_mm > A3[0] - 1.0


def size_mm(sheet: Sheet) -> tuple[float, float]:
    return sheet.width_mm, sheet.height_mm


def test_pages_are_a4_and_the_flowsheet_is_a3(papers: dict[str, Paper]) -> None:
    front, flowsheet, *rest = papers["example"].sheets
    assert size_mm(front) == pytest.approx(A4, abs=0.1)
    assert size_mm(flowsheet) == pytest.approx(A3, abs=0.1)
    sizes = {tuple(round(side) for side in size_mm(sheet)) for sheet in rest}
    assert sizes == {A4, A4_WIDE}


def test_each_sheet_of_the_flowsheet_is_in_the_report_with_its_streams(
    results: dict[str, Results], papers: dict[str, Paper]
) -> None:
    for sample in ("example", "large"):
        drawn = flowsheet(results[sample])
        sizes = [(sheet.width, sheet.height) for sheet in drawn.sheets]
        found = papers[sample].sheets[1:]
        first = next(n for n, sheet in enumerate(found) if sheet.width_mm >= A3[0] - 0.1)
        pages = found[first : first + len(sizes)]
        assert [size_mm(page) for page in pages] == [pytest.approx(one, abs=0.1) for one in sizes]
        letters = "".join(page.letters for page in pages)
        for product in results[sample].products:
            assert squeezed(product.shown_tag) in letters


def test_each_machine_has_a_data_sheet_on_one_page(
    example: Results, papers: dict[str, Paper]
) -> None:
    """With blanks for a bidder, but where the machine stands already."""
    for sheet in data_sheets(example):
        pages = [s for s in papers["example"].sheets if squeezed(sheet.title) in s.letters]
        pages = [page for page in pages if "Service" in page.letters]
        assert len(pages) == 1, sheet.title
        for section in sheet.sections:
            assert squeezed(section.heading) in pages[0].letters, (sheet.title, section.heading)


def test_no_page_but_the_last_of_a_run_is_half_empty(papers: dict[str, Paper]) -> None:
    """Down to where text goes; a chapter begins on the page where the last one ends. Data sheets
    have a page each, and a plot that does not fit moves to the next page."""
    sheets = papers["example"].sheets
    short = 0
    for page, after in pairwise(sheets):
        own = (
            "Service" in page.letters or "Service" in after.letters or "sievesize" in after.letters
        )
        body = [word.y_mm for word in page.words if word.y_mm > 17.0]
        if not own and size_mm(page) == size_mm(after) and min(body) > page.height_mm / 2:
            short += 1
    assert short == 0


@pytest.mark.parametrize("sample", SAMPLES)
def test_title_products_requirements_and_cautions_are_said(
    results: dict[str, Results], papers: dict[str, Paper], sample: str
) -> None:
    said = papers[sample].letters
    plain = results[sample]
    told = [product.tag for product in plain.products]
    told += [requirement.text for requirement in plain.requirements]
    told += [*equipment.safety(plain), *plain.assumptions]
    if sample != "hostile":  # its title has letters that the fonts lack
        told.append(plain.title)
    for text in told:
        assert squeezed(clean(text)) in said, text


def test_the_title_block_and_the_revisions_stand_on_the_front(
    example: Results, papers: dict[str, Paper]
) -> None:
    front = papers["example"].sheets[0].letters
    assert example.provenance is not None
    assert example.plant is not None
    wanted = [
        "2026-11-02",
        "Skarrow Hill Quarry (invented)",
        "A. B.",
        "SKH-PR-001",
        "examples/quarry.hog",
    ]
    wanted += [example.provenance.content_sha256[:12], example.provenance.library_version]
    wanted += [revision.text for revision in example.plant.revisions]
    assert len(wanted) == 10
    for text in wanted:
        assert squeezed(text) in front
    assert example.provenance.content_sha256 in papers["example"].letters


def test_every_stream_is_there_with_its_rate(example: Results, papers: dict[str, Paper]) -> None:
    said = "\n".join(sheet.text for sheet in papers["example"].sheets)
    for stream in example.streams:
        assert f"{stream.rate_t_h:.1f}" in said
        assert stream.target in said


@pytest.mark.parametrize("sample", SAMPLES)
def test_no_sheet_is_empty_and_each_knows_its_number(papers: dict[str, Paper], sample: str) -> None:
    sheets = papers[sample].sheets
    for number, sheet in enumerate(sheets, start=1):
        if is_drawing(sheet):  # it has a title block of its own
            continue
        foot = squeezed(f"page {number} of {len(sheets)}")
        assert foot in sheet.letters
        assert "Resultsarepredictionsfordesign" in sheet.letters
        assert len(sheet.letters) > 250 + len(foot)


@pytest.mark.parametrize("sample", SAMPLES)
def test_no_text_is_too_small_to_read_or_begins_off_its_sheet(
    papers: dict[str, Paper], sample: str
) -> None:
    for sheet in papers[sample].sheets:
        assert len(sheet.words) > 10
        least = LEAST_ON_DRAWING_PT if is_drawing(sheet) else SMALLEST_PT
        assert min(word.size_pt for word in sheet.words) >= least - 0.01
        _assert_within(sheet)


def _assert_within(sheet: Sheet) -> None:
    for word in sheet.words:
        assert 0 < word.x_mm < sheet.width_mm, word
        assert 0 < word.y_mm < sheet.height_mm, word


@pytest.mark.parametrize("sample", SAMPLES)
def test_only_fonts_that_come_along_are_used_and_they_are_embedded(
    papers: dict[str, Paper], sample: str
) -> None:
    fonts = papers[sample].fonts
    assert fonts
    assert all(fonts.values())
    for name in fonts:
        assert name.split("+")[1].startswith(FONTS), name


def test_hostile_words_are_set_as_they_are(papers: dict[str, Paper]) -> None:
    paper = papers["hostile"]
    words = ['=HYPERLINK("http://x") <b>&amp; "quoted" \\N \\', "{{ 7*7 }} | `x` *y*", '\\"<&>']
    assert all(squeezed(text) in paper.letters for text in words)
    assert "49" not in [word for sheet in paper.sheets for word in sheet.text.split()]
    assert not any(sheet.links for sheet in paper.sheets)


def test_code_of_the_typesetter_in_a_title_is_only_text(example: Results) -> None:
    title = '#panic("x") #import "a" $x$ *b* _i_ `c` @ref <label> // no \\ #read("/etc/passwd")'
    paper = read(pdf(report(example.model_copy(update={"title": title}))))
    assert squeezed(title) in paper.sheets[0].letters


def test_letters_that_the_fonts_lack_are_owned_up_to(papers: dict[str, Paper]) -> None:
    assert squeezed(BOXES) in papers["hostile"].sheets[0].letters
    assert squeezed(BOXES) not in papers["example"].sheets[0].letters


def test_greek_cyrillic_and_accents_are_set(example: Results) -> None:
    title = "Größe Übung Ære Łódź Čapek Ωμέγα Карьер ≥ 5 µm ½ – “a”"
    paper = read(pdf(report(example.model_copy(update={"title": title}))))
    assert squeezed(title) in paper.sheets[0].letters
    assert squeezed(BOXES) not in paper.sheets[0].letters


def test_a_long_history_runs_on_over_the_next_page(
    example: Results,
) -> None:
    assert example.plant is not None
    revisions = tuple(Revision(mark=f"R{n}", text=f"change {n} " * (n % 5 + 1)) for n in range(60))
    plant = example.plant.model_copy(update={"revisions": revisions})
    long = example.model_copy(update={"plant": plant, "title": "A long title " * 50})
    paper = read(pdf(report(long)))
    front = paper.sheets[0]
    assert all(squeezed(r.mark + r.text) in paper.letters for r in revisions)
    _assert_within(front)


def test_cells_as_long_as_a_sheet_run_on_over_the_next(example: Results) -> None:
    """Nothing that is kept in one piece may be taller than its sheet."""
    long = " ".join(f"word{n}" for n in range(1500))
    machines = tuple(m.model_copy(update={"about": long}) for m in example.machines)
    warnings = tuple(w.model_copy(update={"text": long, "help": "x"}) for w in example.warnings)
    changed = example.model_copy(update={"machines": machines, "warnings": warnings})
    paper = read(pdf(report(changed)))
    assert paper.letters.count("word300") >= 3
    for sheet in paper.sheets:
        _assert_within(sheet)


def test_the_outline_names_the_chapters(papers: dict[str, Paper]) -> None:
    named = [entry for entry in papers["example"].outline if entry]
    assert named[:4] == ["Flowsheet", "Verdicts", "Design basis", "Product gradings"]
    assert named[-2:] == ["Data sheets", "Appendix"]
