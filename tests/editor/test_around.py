"""Signature help, links and symbols of a project, asked directly."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoggin.editor.links import links
from hoggin.editor.signatures import signatures
from hoggin.editor.symbols import symbols
from tests.editor.plants import Files


@pytest.fixture
def files(tmp_path: Path) -> Files:
    return Files(tmp_path)


def _signed(files: Files, line: str) -> tuple[str, str] | None:
    """The signature at the `@` of a line of the plant, and its part that is being written."""
    text = files.text().replace("  rock -> third\n", f"  {line}\n  rock -> third\n")
    offset = text.index("@")
    snapshot = files.put(text.replace("@", ""))
    found = signatures(snapshot, offset, files.project.reader)
    if found is None:
        return None
    signature = found.signatures[found.signature]
    part = signature.parts[found.part] if found.part is not None else None
    return signature.label, signature.label[part.start : part.end] if part is not None else ""


@pytest.mark.parametrize(
    ("line", "part"),
    [
        ("section s: parts.circuit(@)", "head: 900 mm to 2000 mm"),
        ("section s: parts.circuit(head: 1000 mm, @)", "gap: mm = 14 mm"),
        ("section s: parts.circuit(gap: 12 mm, @)", "head: 900 mm to 2000 mm"),
        ("section s: parts.circuit(gap: 12 mm, cha@)", "chamber: medium | fine = medium"),
        ("section s: parts.circuit(chamber: @)", "chamber: medium | fine = medium"),
        ("section s: parts.circuit(chamber: fine, gap: max(3 mm, 4 mm)@)", "gap: mm = 14 mm"),
    ],
)
def test_the_parameters_of_a_template_and_the_one_that_is_written(
    files: Files, line: str, part: str
) -> None:
    found = _signed(files, line)
    assert found is not None
    label, written = found
    assert label.startswith("circuit(head: ")
    assert written.startswith(part.partition(" =")[0])


@pytest.mark.parametrize(
    ("line", "label", "part"),
    [
        ("let a = free(@)", "free(low to high, start)", "low to high"),
        ("let a = free(1 mm to 2 mm, @)", "free(low to high, start)", "start"),
        ("let a = normal(450 t/h, @)", "normal(mean, deviation)", "deviation"),
        ("let a = any(1, 2, 3, 4, @)", "any(one, another, ...)", "..."),
        ("require stone.passing(@)", "passing(size)", "size"),
    ],
)
def test_the_values_of_an_open_number_and_of_a_result(
    files: Files, line: str, label: str, part: str
) -> None:
    assert _signed(files, line) == (label, part)


@pytest.mark.parametrize(
    "line", ["let a = (@1 mm)", "require (@", "bin heap { live 5 t }@", "# f(@"]
)
def test_other_brackets_have_no_signature(files: Files, line: str) -> None:
    assert _signed(files, line) is None


def test_a_link_leads_to_each_used_file_and_to_a_file_that_a_text_names(files: Files) -> None:
    (files.folder / "survey.csv").write_text("size,passing\n", encoding="utf-8")
    text = files.text().replace(
        "    rock parts.basalt\n", '    rock parts.basalt\n    note "survey.csv"\n'
    )
    found = {span.text: path.name for span, path, _ in links(files.put(text))}
    assert found == {
        "std.sieves": "sieves.hog",
        '"parts.hog"': "parts.hog",
        "survey.csv": "survey.csv",
    }


@pytest.mark.parametrize("name", ["../other.csv", "/etc/hostname.", "no.csv", "a\\0.csv", "." * 5])
def test_a_text_leads_to_no_file_outside_of_the_project(files: Files, name: str) -> None:
    text = files.text().replace(
        "    rock parts.basalt\n", f'    rock parts.basalt\n    note "{name}"\n'
    )
    assert len(list(links(files.put(text)))) == 2


def test_symbols_are_found_in_files_that_are_not_open(files: Files) -> None:
    files.put(files.text())
    found = symbols(files.project, (), "circ")
    assert [(one.path.name, one.entry.title) for one in found] == [("parts.hog", "circuit")]


def test_symbols_are_found_in_a_folder_of_which_nothing_is_open(files: Files) -> None:
    names = {one.entry.title for one in symbols(files.project, [files.folder], "")}
    assert {"Hill, gap of parts", "third", "tonnes", "circuit", "cone", "basalt"} <= names


def test_a_query_matches_letters_in_their_order(files: Files) -> None:
    titles = [one.entry.title for one in symbols(files.project, [files.folder], "SZG")]
    assert titles == ["sizing"]
