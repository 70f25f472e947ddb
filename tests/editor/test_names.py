"""What names stand for: finding, and renaming held against the checker."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from hoggin.check.checker import check
from hoggin.editor.finding import CannotRenameError, definition, renamable, renamed, uses
from hoggin.editor.reading import OpenWorld
from tests.editor.fuzzing import EXAMPLE
from tests.editor.plants import LIBRARY, PLANT, Files, messages


@pytest.fixture
def files(tmp_path: Path) -> Files:
    return Files(tmp_path)


def lines_of_uses(files: Files, offset: int, name: str = "plant") -> dict[str, list[int]]:
    """Lines, from 1, on which the name at an offset stands, by file."""
    found: dict[str, list[int]] = {}
    for one in uses(files.project, files.look(name), offset):
        found.setdefault(one.span.source.name, []).append(one.span.line)
    return found


def test_the_plants_of_these_tests_are_in_order(files: Files) -> None:
    assert messages(files.look()) == []
    assert messages(files.look("parts")) == []


def test_a_let_is_found_where_it_is_used_and_not_in_texts_or_comments(files: Files) -> None:
    # by hand, from the text
    assert lines_of_uses(files, files.at("let tonnes", inside=5)) == {"plant.hog": [3, 9, 19]}


def test_a_parameter_hides_a_let_of_its_name(files: Files) -> None:
    """The template's `gap` is its parameter, but the default of it is the `let`: the checker takes
    the let's 14 mm for it."""
    found = lines_of_uses(files, files.at("css gap", "parts", 5), "parts")
    assert found == {"parts.hog": [7, 11]}
    assert lines_of_uses(files, files.at("let gap", "parts", 5), "parts") == {"parts.hog": [4, 7]}
    plant = files.look().checked.plant
    assert plant is not None
    (css,) = [s.text for m in plant.machines for s in m.settings if s.name == "css"]
    assert css == "14 mm"


def test_the_words_of_a_choice_are_no_names(files: Files) -> None:
    """`chamber: fine` gives a word; `fine` is a `let` as well, on other lines."""
    assert lines_of_uses(files, files.at("let fine", inside=5)) == {"plant.hog": [4, 10, 22]}


def test_a_name_of_a_library_is_found_across_files(files: Files) -> None:
    found = lines_of_uses(files, files.at("basalt {", "parts"), "parts")
    assert found == {"parts.hog": [5], "plant.hog": [8]}
    assert lines_of_uses(files, files.at("crusher cone", "parts", 9), "parts") == {
        "parts.hog": [11, 14, 17],
        "plant.hog": [20],
    }


def test_an_outlet_and_a_product_of_one_name_are_told_apart(files: Files) -> None:
    outlet = lines_of_uses(files, files.at("out stone", inside=5))
    assert outlet == {"plant.hog": [13, 17]}
    product = lines_of_uses(files, files.at("product stone", inside=9))
    assert product == {"plant.hog": [17, 19, 21, 22]}


def test_definitions_lead_into_sections_and_the_library(files: Files) -> None:
    snapshot = files.look()
    (cone,) = definition(snapshot, files.at("third.cone", inside=7))
    assert (cone.source.name, cone.line) == ("parts.hog", 11)
    (series,) = definition(snapshot, files.at("sieves.en_set2", inside=8))
    assert series.source.name == "std.sieves"
    assert series.source.line_text(series.line).startswith("series en_set2")
    (file,) = definition(snapshot, files.at("std.sieves", inside=5))
    assert (file.source.name, file.start) == ("std.sieves", 0)


def without(value: object, names: tuple[str, ...]) -> str:
    """A plant's words with some of them blotted out. What is ordered by names has no order here,
    and columns are left out (lines stay, columns move)."""
    if isinstance(value, dict):
        parts = [f"{without(key, names)}: {without(part, names)}" for key, part in value.items()]
        return f"{{{', '.join(sorted(p for p in parts if not p.startswith('column')))}}}"
    if isinstance(value, list | tuple):
        return f"[{', '.join(sorted(without(part, names) for part in value))}]"
    text = str(value)
    for name in names:
        text = re.sub(rf"\b{re.escape(name)}\b", "NAME", text)
    return text


@pytest.mark.slow
@pytest.mark.parametrize(
    ("words", "inside", "name", "old"),
    [
        ("let tonnes", 5, "plant", "tonnes"),
        ("let fine", 5, "plant", "fine"),
        ("section third", 8, "plant", "third"),
        ("splitter halves", 9, "plant", "halves"),
        ("out stone", 5, "plant", "stone"),
        ("product sand", 8, "plant", "sand"),
        ("feed rock", 6, "plant", "rock"),
        ("as parts", 4, "plant", "parts"),
        ("use std.sieves", 9, "plant", "sieves"),
        ("let gap", 5, "parts", "gap"),
        ("template circuit", 10, "parts", "circuit"),
        ("crusher cone", 9, "parts", "cone"),
        ("screen sizing", 8, "parts", "sizing"),
        ("in  rock", 5, "parts", "rock"),
        ("out sand", 5, "parts", "sand"),
        ("circuit(head", 9, "parts", "head"),
        ("basalt {", 1, "parts", "basalt"),
        ("band coarse", 6, "parts", "coarse"),
    ],
)
def test_a_renamed_plant_is_the_same_plant(
    files: Files, words: str, inside: int, name: str, old: str
) -> None:
    before = files.look().checked.plant
    assert before is not None
    edits = renamed(files.project, files.look(name), files.at(words, name, inside), "fresh_name")
    assert edits
    files.apply(edits)
    assert messages(files.look()) == []
    assert messages(files.look("parts")) == []
    after = files.look().checked.plant
    assert after is not None
    assert without(before.model_dump(), (old, "fresh_name")) == without(
        after.model_dump(), (old, "fresh_name")
    )
    assert "fresh_name" in files.text(name)


@pytest.mark.slow
def test_renaming_back_gives_the_same_text(files: Files) -> None:
    texts = {name: files.text(name) for name in ("plant", "parts")}
    offset = files.at("crusher cone", "parts", 9)
    files.apply(renamed(files.project, files.look("parts"), offset, "roll"))
    assert files.text() != texts["plant"]
    files.apply(renamed(files.project, files.look("parts"), offset, "cone"))
    assert {name: files.text(name) for name in texts} == texts


@pytest.mark.parametrize(
    ("words", "inside", "new"),
    [
        ("let tonnes", 5, "fine"),  # taken
        ("let tonnes", 5, "3rd"),  # no name
        ("let tonnes", 5, "product"),  # a word of the language
        ("section third", 8, "rock"),  # taken by the feed
        ("section third", 8, "plant"),
        ("sieves.en_set2", 9, "other"),  # the standard library's
    ],
)
def test_a_name_that_would_mean_something_else_is_refused(
    files: Files, words: str, inside: int, new: str
) -> None:
    with pytest.raises(CannotRenameError):
        renamed(files.project, files.look(), files.at(words, inside=inside), new)


def test_a_name_in_a_line_that_cannot_be_read_is_not_lost(files: Files) -> None:
    files.put(files.text().replace("rate tonnes", "rate tonnes tonnes tonnes"))
    with pytest.raises(CannotRenameError, match="plant"):
        renamed(files.project, files.look(), files.at("let tonnes", inside=5), "fresh_name")


def test_nothing_is_renamed_in_a_comment_or_text(files: Files) -> None:
    with pytest.raises(CannotRenameError):
        renamable(files.look(), files.at("# gap parts", inside=3))
    with pytest.raises(CannotRenameError):
        renamable(files.look(), files.at("Hill, gap", inside=7))


@pytest.mark.slow
def test_the_options_of_a_choice_share_a_name(tmp_path: Path) -> None:
    text = EXAMPLE.read_text(encoding="utf-8")
    block = "  crusher primary: jaws.single_toggle(gape: 1100 mm, width: 1300 mm) { css 125 mm }\n"
    one = re.search(r"  crusher +primary: [^}]*}\n", text)
    assert one is not None
    other = block.replace("1300", "1400")
    choice = f"  choose jaw {{\n option a {{\n{block} }}\n option b {{\n{other} }}\n }}\n"
    files = Files(tmp_path, plant=text.replace(one.group(), choice))
    assert messages(files.look()) == []
    offset = files.text().index("primary ->")
    assert len(definition(files.look(), offset)) == 2
    files.apply(renamed(files.project, files.look(), offset, "first_jaw"))
    assert messages(files.look()) == []
    assert re.search(r"\bprimary\b", re.sub("#.*", "", files.text())) is None


def test_a_let_is_found_in_a_machine_whose_class_is_misspelt(tmp_path: Path) -> None:
    plant = PLANT.replace(
        "rock -> third", "crusher spare: parts.nothing(head: tonnes) { css fine }\n  rock -> third"
    )
    files = Files(tmp_path, plant=plant, parts=LIBRARY)
    assert lines_of_uses(files, files.at("let tonnes", inside=5)) == {"plant.hog": [3, 9, 14, 20]}
    assert lines_of_uses(files, files.at("let fine", inside=5)) == {"plant.hog": [4, 10, 14, 23]}
    assert not any("never used" in message for message in messages(files.look()))


def test_a_let_is_found_in_a_limit_of_a_result_that_is_misspelt(tmp_path: Path) -> None:
    plant = PLANT.replace("stone.rate >=", "stone.rat >=")
    files = Files(tmp_path, plant=plant, parts=LIBRARY)
    assert lines_of_uses(files, files.at("let tonnes", inside=5)) == {"plant.hog": [3, 9, 19]}


def test_a_default_that_no_section_needs_is_a_use_of_its_name(tmp_path: Path) -> None:
    template = "template belt(wide: mm = width) {\n  in a\n  out b\n  a -> b\n}\n"
    plant = PLANT.replace("plant ", f"let width = 800 mm\n{template}plant ", 1)
    plant = plant.replace(
        "rock -> third", "section way: belt(wide: 900 mm)\n  rock -> way -> third"
    )
    files = Files(tmp_path, plant=plant, parts=LIBRARY)
    assert messages(files.look()) == []
    assert lines_of_uses(files, files.at("let width", inside=5)) == {"plant.hog": [5, 6]}
    assert lines_of_uses(files, files.at("wide: 900", inside=1)) == {"plant.hog": [6, 20]}


def test_every_option_of_a_choice_is_a_use_of_the_names_in_it(tmp_path: Path) -> None:
    options = "".join(
        f"option {name} {{ feeder pan: feeders.pan(width: {value}) }}\n"
        for name, value in (("a", "1 m"), ("b", "width"))
    )
    plant = PLANT.replace("rock -> third", f"choose how {{\n{options}}}\n  rock -> pan -> third")
    plant = f"use std.feeders\nlet width = 1.2 m\n{plant}"
    files = Files(tmp_path, plant=plant, parts=LIBRARY)
    assert messages(files.look()) == []
    assert lines_of_uses(files, files.at("let width", inside=5)) == {"plant.hog": [2, 18]}


def test_nothing_is_renamed_where_a_fault_hides_what_a_name_means(tmp_path: Path) -> None:
    plant = PLANT.replace("rate tonnes", "rate tonnes\n    ratio tonnes")
    files = Files(tmp_path, plant=plant, parts=LIBRARY)
    assert "E0403 a feed has no `ratio`" in messages(files.look())
    with pytest.raises(CannotRenameError, match="first correct the errors"):
        renamed(files.project, files.look(), files.at("let tonnes", inside=5), "fresh_name")


def test_names_are_kept_for_those_who_ask(tmp_path: Path) -> None:
    files = Files(tmp_path)
    world = OpenWorld(tmp_path / "plant.hog", files.project.texts)
    silent = check(world, world.open_main())
    assert not silent.names.uses and not silent.names.entities
    told = check(world, world.open_main(), naming=True)
    assert told.diagnostics == silent.diagnostics
    assert {name.text for name in told.names.uses} >= {"tonnes", "third", "cone", "coarse"}


@pytest.mark.slow
def test_a_thing_is_renamed_where_a_section_states_its_tag(tmp_path: Path) -> None:
    template = "template belt() {\n  in a\n  out b\n  blend meeting\n  a -> meeting -> b\n}\n"
    plant = PLANT.replace("plant ", f"{template}plant ", 1).replace(
        "rock -> third", 'section way: belt() { meeting.tag "X" }\n  rock -> way -> third'
    )
    files = Files(tmp_path, plant=plant, parts=LIBRARY)
    before = messages(files.look())
    offset = files.text().index("meeting.tag")
    files.apply(renamed(files.project, files.look(), offset, "junction"))
    assert messages(files.look()) == before
    assert files.text().count("junction") == 3 and "meeting" not in files.text()
