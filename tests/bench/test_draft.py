"""One file's text: what is taken, what is saved, and what is never written over."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest

from hoggin.bench.draft import Draft, ElsewhereError, OtherTextError
from hoggin.world import UnreadableError
from hoggin.writing import ChangedError, replace


@pytest.fixture
def file(tmp_path: Path) -> Path:
    made = tmp_path / "a.hog"
    made.write_text("let a = 1 mm\n")
    return made


def test_a_text_is_unsaved_until_it_is_saved(file: Path) -> None:
    draft = Draft(file)
    assert not draft.now.unsaved
    draft.change(1, "let a = 2 mm\n")
    assert draft.now.unsaved and file.read_text() == "let a = 1 mm\n"
    draft.save()
    assert not draft.now.unsaved and file.read_text() == "let a = 2 mm\n"


def test_a_change_of_an_older_text_is_refused(file: Path) -> None:
    draft = Draft(file)
    draft.change(1, "one")
    with pytest.raises(OtherTextError):
        draft.change(1, "two")
    assert draft.now.text == "one"


def test_what_was_changed_elsewhere_is_not_written_over(file: Path) -> None:
    draft = Draft(file)
    draft.change(1, "mine")
    file.write_text("theirs")
    with pytest.raises(ElsewhereError):
        draft.save()
    assert file.read_text() == "theirs"
    assert draft.look() and draft.now.elsewhere and draft.now.text == "mine"


def test_a_change_within_the_save_itself_is_seen(
    file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Between the look at the file and its replacement, as another program may write it."""
    real = os.fsync

    def meanwhile(handle: int) -> None:
        file.write_text("theirs")
        real(handle)

    draft = Draft(file)
    draft.change(1, "mine")
    monkeypatch.setattr("hoggin.writing.os.fsync", meanwhile)
    with pytest.raises(ElsewhereError):
        draft.save()
    assert file.read_text() == "theirs"
    assert list(file.parent.iterdir()) == [file]  # no draft is left


def test_a_file_that_is_gone_is_not_made_again_unasked(file: Path) -> None:
    draft = Draft(file)
    draft.change(1, "mine")
    file.unlink()
    assert draft.look() and draft.now.gone
    with pytest.raises(ElsewhereError):
        draft.save()
    assert not file.exists()
    held, _ = draft.compared()
    assert held == ""
    draft.save()
    assert file.read_text() == "mine"


def test_who_has_compared_may_save(file: Path) -> None:
    draft = Draft(file)
    draft.change(1, "mine")
    file.write_text("theirs")
    held, _ = draft.compared()
    assert held == "theirs"
    draft.save()
    assert file.read_text() == "mine"


def test_what_can_not_be_compared_may_not_be_written_over(file: Path) -> None:
    draft = Draft(file)
    draft.change(1, "mine")
    file.write_bytes(b"\xff\xfe")
    with pytest.raises(UnreadableError):
        draft.compared()
    with pytest.raises(ElsewhereError):
        draft.save()
    assert file.read_bytes() == b"\xff\xfe"


def test_a_text_without_changes_follows_its_file(file: Path) -> None:
    draft = Draft(file)
    file.write_text("theirs\r\n")
    assert draft.look()
    assert draft.now.text == "theirs\n" and not draft.now.unsaved and draft.now.number == 2
    assert not draft.look()


def test_permissions_stay(file: Path) -> None:
    file.chmod(0o640)
    draft = Draft(file)
    draft.change(1, "mine")
    draft.save()
    assert stat.S_IMODE(file.stat().st_mode) == 0o640


def test_what_is_no_text_is_not_opened(file: Path) -> None:
    file.write_bytes(b"\xff\xfe")
    with pytest.raises(UnreadableError, match="not UTF-8"):
        Draft(file)


def test_a_file_is_replaced_only_over_what_it_has_to_hold(file: Path) -> None:
    with pytest.raises(ChangedError):
        replace(file, b"new", over=b"something else")
    replace(file, b"new", over=b"let a = 1 mm\n")
    assert file.read_bytes() == b"new"
