"""A plant's cases in an editor: what is proposed, told, found and renamed."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoggin.editor.completion import completions
from hoggin.editor.edits import applied
from hoggin.editor.finding import definition, highlights, renamed
from hoggin.editor.hover import hover
from hoggin.editor.outline import outline
from hoggin.editor.project import Project
from hoggin.editor.reading import Reader
from hoggin.editor.snapshot import Snapshot, look
from tests.check.reading import small_plant

BODY = """\
  screen sizing: screens.inclined(width: 1.8 m, length: 4.8 m) { deck top gap square }
  choose kept {
    option pile { stockpile store { live 100 t } }
    option silo { bin store { live 200 t } }
  }
  rock            -> sizing
  sizing.top.over -> store -> product coarse
  sizing.under    -> product fine
  case wet { rock.rate 120 t/h; gap 22 mm; sizing.top 25 mm; hours 500 h }
  case peak: wet { kept silo }
  require fine.rate >= 10 t/h in wet, peak
  require fine.rate >= 5 t/h
  """
TEXT = small_plant(BODY, "let gap = 20 mm\n")


def _looked(text: str) -> Snapshot:
    path = Path("/nowhere/plant.hog")
    return look(path, {path: text}, Reader())


def _proposed(typed: str) -> list[str]:
    """What is proposed where the last `|` of a text stands in the plant's last line."""
    text = small_plant(BODY + typed, "let gap = 20 mm\n")
    at = text.index("|")
    found = completions(_looked(text.replace("|", "")), at)
    return [item.text for item in found]


@pytest.mark.slow
def test_a_case_is_proposed_what_the_file_states_with_its_value() -> None:
    found = _proposed("case c { | }")
    assert {"hours 600 h", "gap 20 mm", "rock.rate 200 t/h", "kept silo"} <= set(found)
    assert "sizing.top gap" in found
    assert "rate 200 t/h" in _proposed("case c { rock.| }")


@pytest.mark.slow
def test_cases_are_proposed_where_they_are_named() -> None:
    assert _proposed("case c: | { }") == ["wet", "peak"]
    assert {"wet", "peak"} <= set(_proposed("require fine.rate >= 6 t/h in |"))
    assert {"wet", "peak"} <= set(_proposed("require fine.rate >= 6 t/h in wet, |"))
    assert "in" in _proposed("require fine.rate >= 6 t/h |")
    assert "case" in _proposed("|")


@pytest.mark.parametrize(
    ("at", "told"),
    [
        ("wet { rock", ("case wet", "- rock.rate 120 t/h", "in wet, peak")),
        ("peak\n  require", ("case peak: wet", "- gap 22 mm", "- kept silo")),
        ("gap 22", ("let **gap** = 20 mm",)),
        ("hours 500", ("hours per year for which the plant is manned to run in this case",)),
    ],
)
def test_hover_tells_what_a_case_states(at: str, told: tuple[str, ...]) -> None:
    found = hover(_looked(TEXT), TEXT.index(at) + 1)
    assert found is not None
    lines = "\n".join(found.lines)
    assert all(part in lines for part in told), lines


@pytest.mark.slow
def test_names_in_a_case_lead_to_what_they_name_and_are_renamed_with_it() -> None:
    snapshot = _looked(TEXT)
    for use, declared in (
        ("sizing.top 25", "screen sizing"),
        ("gap 22", "let gap"),
        ("wet { kept", "case wet"),
        ("peak\n  require", "case peak"),
    ):
        (span,) = definition(snapshot, TEXT.index(use) + 1)
        assert TEXT[: span.start].endswith(declared.split()[0] + " "), use
    assert len(highlights(snapshot, TEXT.index("wet {") + 1)) == 3
    project = Project(snapshot.reader, dict(snapshot.texts))
    for old, at in (("sizing", "sizing: "), ("wet", "wet { rock")):
        edits = renamed(project, snapshot, TEXT.index(at) + 1, "other")
        text = applied(TEXT, list(edits))
        assert old not in text.replace("sizing sieves", "")
        assert not _looked(text).checked.has_errors


def test_the_outline_has_the_cases() -> None:
    (plant,) = [one for one in outline(_looked(TEXT).file) if one.kind == "plant"]
    cases = [(one.title, one.detail) for one in plant.inner if one.kind == "case"]
    assert cases == [("wet", "case"), ("peak", "case from wet")]
