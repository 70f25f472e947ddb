"""The formats: each is read back by a program of others, and compared with the drawing."""

from __future__ import annotations

import hashlib
import io
import math
import re
import subprocess
import sys
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import pypdf
import pytest
from ezdxf.document import Drawing as Document
from ezdxf.filemanagement import read
from PIL import Image

from hoggin.errors import HogginError
from hoggin.report.drawing.dxf import dxf
from hoggin.report.drawing.model import Drawing, Stroke, Use, Words
from hoggin.report.drawing.pdf import pdf
from hoggin.report.drawing.png import png
from hoggin.report.drawing.stream_table import all_streams
from hoggin.report.drawing.svg import svg
from hoggin.schema.results import Results

SVG = "{http://www.w3.org/2000/svg}"
POINTS_PER_MM = 72 / 25.4


@pytest.fixture(scope="module")
def pages(drawn: Drawing) -> list[pypdf.PageObject]:
    return list(pypdf.PdfReader(io.BytesIO(pdf(drawn))).pages)


@pytest.fixture(scope="module")
def document(drawn: Drawing) -> Document:
    return read(io.StringIO(dxf(drawn).decode()))


def words_of(drawn: Drawing, sheet: int) -> list[Words]:
    return [item for item in drawn.sheets[sheet].items if isinstance(item, Words)]


def plain(text: str) -> bool:
    """Whether a text is of letters that every reader of a PDF gives back in one order."""
    return text.isascii() and text.strip() != ""


# --- PDF


def test_pdf_has_a_page_for_each_sheet_at_its_size(
    drawn: Drawing, pages: list[pypdf.PageObject]
) -> None:
    sizes = [(float(page.mediabox.width), float(page.mediabox.height)) for page in pages]
    wanted = [(s.width * POINTS_PER_MM, s.height * POINTS_PER_MM) for s in drawn.sheets]
    assert sizes == [pytest.approx(size, abs=0.01) for size in wanted]


@pytest.mark.slow
def test_pdf_has_every_word_of_the_sheets_as_text(
    drawn: Drawing, pages: list[pypdf.PageObject]
) -> None:
    for n, page in enumerate(pages):
        text = re.sub(r"\s", "", page.extract_text())
        for words in words_of(drawn, n):
            if plain(words.text):
                assert re.sub(r"\s", "", words.text) in text


@pytest.mark.slow
def test_pdf_is_vector_and_holds_its_fonts(pages: list[pypdf.PageObject]) -> None:
    for page in pages:
        assert not page.images
        embedded, other = page._get_fonts()
        assert embedded
        assert not other


def test_pdf_has_no_date(drawn: Drawing) -> None:
    metadata = pypdf.PdfReader(io.BytesIO(pdf(drawn))).metadata
    assert metadata is None or "/CreationDate" not in metadata


# --- PNG


def test_png_has_the_size_of_the_sheet_in_its_dots(drawn: Drawing) -> None:
    pictures = [Image.open(io.BytesIO(one)) for one in png(drawn, dpi=50.8)]
    assert [p.size for p in pictures] == [(2 * s.width, 2 * s.height) for s in drawn.sheets]
    for picture in pictures:
        assert sum(picture.convert("L").histogram()[:60]) > 0  # something is drawn


# --- SVG


def test_svg_has_one_group_for_each_machine_and_each_stream(
    drawn: Drawing, results: Results
) -> None:
    trees = [ElementTree.fromstring(one) for one in svg(drawn)]
    keys = Counter(g.get("data-of") for g in trees[0].iter(f"{SVG}g") if g.get("data-of"))
    assert set(keys.values()) == {1}
    for machine in results.machines:
        assert f"machine {machine.tag}" in keys
    for stream in all_streams(results):
        assert f"stream {stream.number}" in keys


def test_svg_has_every_word_and_its_size_in_millimetres(drawn: Drawing) -> None:
    for n, one in enumerate(svg(drawn)):
        tree, sheet = ElementTree.fromstring(one), drawn.sheets[n]
        assert tree.get("width") == f"{sheet.width:g}mm"
        assert tree.get("viewBox") == f"0 0 {sheet.width:g} {sheet.height:g}"
        shown = Counter(text.text or "" for text in tree.iter(f"{SVG}text"))
        assert shown == Counter(words.text for words in words_of(drawn, n))


def test_svg_has_the_symbols_it_uses_and_its_colours_in_one_style(drawn: Drawing) -> None:
    for one in svg(drawn):
        tree = ElementTree.fromstring(one)
        ids = {group.get("id") for group in tree.iter(f"{SVG}g") if group.get("id")}
        used = {(use.get("href") or "").removeprefix("#") for use in tree.iter(f"{SVG}use")}
        assert used == ids
        [style] = tree.iter(f"{SVG}style")
        assert "prefers-color-scheme: dark" in (style.text or "")
        outside = one.decode().replace(style.text or "", "")
        assert not re.search(r"(fill|stroke|style)=|<script", outside)


# --- DXF


@pytest.mark.slow
def test_dxf_is_clean_under_an_independent_auditor(document: Document) -> None:
    auditor = document.audit()
    assert not auditor.errors
    assert not auditor.fixes


def test_dxf_is_in_millimetres_of_a_version_that_many_programs_read(document: Document) -> None:
    assert document.dxfversion == "AC1024"  # R2010
    assert document.header["$INSUNITS"] == 4  # millimetres


def test_dxf_has_a_block_for_each_symbol_inserted_as_often_as_it_is_drawn(
    drawn: Drawing, document: Document
) -> None:
    uses = [item for sheet in drawn.sheets for item in sheet.items if isinstance(item, Use)]
    inserted = Counter(one.dxf.name for one in document.modelspace().query("INSERT"))
    wanted = Counter(re.sub(r"[^A-Z0-9]+", "_", use.symbol.upper()) for use in uses)
    assert inserted == wanted
    assert all(len(list(document.blocks.get(name))) > 0 for name in inserted)


def test_dxf_has_layers_by_kind_and_real_text_on_them(drawn: Drawing, document: Document) -> None:
    wanted: Counter[tuple[str, str]] = Counter()
    for n in range(len(drawn.sheets)):
        wanted += Counter((words.text, words.layer.upper()) for words in words_of(drawn, n))
    texts = document.modelspace().query("TEXT")
    assert Counter((one.plain_text(), one.dxf.layer) for one in texts) == wanted  # type: ignore[attr-defined]
    assert all(document.layers.has_entry(layer) for _, layer in wanted)


def test_dxf_entities_have_the_key_of_what_they_belong_to(
    drawn: Drawing, document: Document
) -> None:
    keyed = [one for one in document.modelspace() if one.has_xdata("HOGGIN")]
    keys = {one.get_xdata("HOGGIN")[0].value for one in keyed}
    assert keys == {item.of for sheet in drawn.sheets for item in sheet.items if item.of}


def test_dxf_sheets_are_side_by_side(drawn: Drawing, document: Document) -> None:
    from ezdxf.bbox import extents

    box = extents(document.modelspace().query("LWPOLYLINE LINE ARC CIRCLE"))
    width = sum(sheet.width for sheet in drawn.sheets) + 30.0 * (len(drawn.sheets) - 1)
    assert 0 < box.extmin.x < 20
    assert 0 < box.extmin.y < 20
    assert width - 20 < box.extmax.x < width


# --- faults


@pytest.mark.parametrize(
    ("module", "write"), [("typst", pdf), ("typst", png), ("ezdxf.filemanagement", dxf)]
)
def test_a_missing_engine_is_reported_with_the_package_to_install(
    drawn: Drawing,
    module: str,
    write: Callable[[Drawing], object],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setitem(sys.modules, module, None)
    package = module.split(".")[0]
    with pytest.raises(HogginError, match=f"missing: install the Python package {package}"):
        write(drawn)


def test_what_the_engine_refuses_is_reported_in_a_sentence(drawn: Drawing) -> None:
    nowhere = Stroke(((math.nan, 0.0), (1.0, 1.0)), "machine")
    sheet = replace(drawn.sheets[0], items=(nowhere,))
    with pytest.raises(HogginError, match="the drawing can't be typeset: "):
        pdf(replace(drawn, sheets=(sheet,)))


# --- all of them


def everything(drawn: Drawing) -> str:
    parts = [pdf(drawn), dxf(drawn), *svg(drawn), *png(drawn, 40.0)]
    return hashlib.sha256(b"".join(parts)).hexdigest()


@pytest.mark.slow
def test_the_same_drawing_gives_the_same_bytes(drawn: Drawing) -> None:
    assert everything(drawn) == everything(drawn)


PROGRAM = """
from hoggin.report.drawing.sheet import drawing
from tests.report.drawing.sample import hand_set, plant
from tests.report.drawing.test_formats import everything
results = plant("sand")
print(everything(drawing(results, [hand_set(results)])))
"""


@pytest.mark.slow
def test_another_process_gives_the_same_bytes() -> None:
    def run(seed: str) -> str:
        root = Path(__file__).parents[3]
        path = f"{root}:{root / 'compiler'}"
        done = subprocess.run(
            [sys.executable, "-c", PROGRAM],
            env={"PYTHONPATH": path, "PYTHONHASHSEED": seed, "HOME": "/tmp"},
            cwd=root, capture_output=True, text=True, check=True,
        )  # fmt: skip
        return done.stdout

    assert run("1") == run("2")
