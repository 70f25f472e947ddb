"""The plant's table of revisions. Its faults stand in tests/fixtures/errors."""

from __future__ import annotations

from tests.check.reading import codes, plant_of, small_plant

_ROUTE = "rock -> product base\n"
_HISTORY = 'history {\n  "A": "first issue"\n  "B": "one, \\two; { three }"  # why\n}\n'


def _errors(text: str) -> list[str]:
    return [code for code in codes(text) if code.startswith("E")]


def test_revisions_are_listed_as_they_stand() -> None:
    plant = plant_of(small_plant(f'revision "B"\n{_HISTORY}{_ROUTE}'))
    assert [(r.mark, r.text) for r in plant.revisions] == [
        ("A", "first issue"),
        ("B", "one, \\two; { three }"),
    ]


def test_a_plant_without_a_history_has_no_revisions() -> None:
    assert plant_of(small_plant(f'revision "B"\n{_ROUTE}')).revisions == ()


def test_entries_may_stand_on_one_line() -> None:
    plant = plant_of(small_plant(f'revision "1"; history {{ "0": "a", "1": "b" }}\n{_ROUTE}'))
    assert [revision.mark for revision in plant.revisions] == ["0", "1"]


def test_a_mark_may_be_a_named_text() -> None:
    text = small_plant(f"revision mark; history {{ mark: words }}\n{_ROUTE}", above=_NAMED)
    assert [(r.mark, r.text) for r in plant_of(text).revisions] == [("P1", "first")]


_NAMED = 'let mark = "P1"\nlet words = "first"\n'


def test_the_plants_own_revision_must_be_listed() -> None:
    assert _errors(small_plant(f'revision "C"\n{_HISTORY}{_ROUTE}')) == ["E0402"]
    assert _errors(small_plant(f"{_HISTORY}{_ROUTE}")) == ["E0402"]


def test_an_empty_history_and_a_second_one_are_faults() -> None:
    assert _errors(small_plant(f'revision "A"; history {{ }}\n{_ROUTE}')) == ["E0403"]
    assert _errors(small_plant(f'revision "A"; history "A"\n{_ROUTE}')) == ["E0403"]
    assert "E0202" in _errors(small_plant(f'revision "B"\n{_HISTORY}{_HISTORY}{_ROUTE}'))


def test_text_is_no_size_in_any_other_list() -> None:
    text = small_plant(_ROUTE).replace("200 mm: 100 %", '"coarse": 100 %')
    assert _errors(text) == ["E0302"]
    assert "E0302" in _errors(small_plant(_ROUTE).replace("63 mm, 20 mm", '"big", 20 mm'))
