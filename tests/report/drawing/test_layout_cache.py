from __future__ import annotations

from pathlib import Path

import pytest

from hoggin.report.drawing import layout_cache


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    monkeypatch.setattr(layout_cache, "_memory", {})
    return tmp_path / "hoggin" / "layouts"


def _forget(monkeypatch: pytest.MonkeyPatch) -> None:
    """As another process would find it."""
    monkeypatch.setattr(layout_cache, "_memory", {})


def test_a_layout_is_kept_for_the_next_process(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    layout_cache.put("graph", "places")
    _forget(monkeypatch)
    assert layout_cache.get("graph") == "places"
    assert layout_cache.get("another graph") is None
    assert len(list(folder.iterdir())) == 1


@pytest.mark.parametrize("content", [b"", b"places", b"0123\nplaces", b"\xff\xfe"])
def test_a_damaged_entry_is_no_entry(
    folder: Path, monkeypatch: pytest.MonkeyPatch, content: bytes
) -> None:
    layout_cache.put("graph", "places")
    (entry,) = folder.iterdir()
    entry.write_bytes(content)
    _forget(monkeypatch)
    assert layout_cache.get("graph") is None


def test_a_folder_that_can_not_be_made_is_no_error(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("in the way")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "file"))
    _forget(monkeypatch)
    layout_cache.put("graph", "places")
    assert layout_cache.get("graph") == "places"  # from memory
    _forget(monkeypatch)
    assert layout_cache.get("graph") is None


def test_the_folder_does_not_grow_beyond_its_bound(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(layout_cache, "MOST_BYTES", 5_000)
    for number in range(120):
        layout_cache.put(f"graph {number}", "x" * 300)
    between_prunings = 50 * 365
    assert sum(entry.stat().st_size for entry in folder.iterdir()) <= 5_000 + between_prunings
    assert layout_cache.get("graph 119") is not None
