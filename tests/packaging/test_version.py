"""The version is that of the tag, in every form that the sources are passed on in.

The expected forms are those of PEP 440 and of setuptools-scm's documentation ("Default versioning
scheme"): the tag itself, or the next version with the number of commits since the tag.
"""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
import tarfile
from pathlib import Path

import pytest

from tests.repository import Repository

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[2]
NEEDED = ("pyproject.toml", "README.md", "LICENSE", ".gitattributes", ".git_archival.txt")


@pytest.fixture
def tagged(tmp_path: Path) -> Repository:
    """A repository with what a version is made from, and the tag v1.2.0 on its second commit."""
    folder = tmp_path / "repository"
    folder.mkdir()
    for name in NEEDED:
        shutil.copy(ROOT / name, folder / name)
    repository = Repository(folder)
    repository.commit({"a.txt": "first"})
    repository.commit({"a.txt": "second"})
    repository.git("tag", "--annotate", "--message=a release", "v1.2.0")
    return repository


def test_a_clone_at_a_tag_has_its_version(tagged: Repository) -> None:
    assert _version(tagged.root) == "1.2.0"


def test_a_commit_after_a_tag_is_a_version_of_its_own(tagged: Repository) -> None:
    commit = tagged.commit({"a.txt": "third"})
    version = _version(tagged.root)
    assert re.fullmatch(r"1\.2\.1\.dev1\+g[0-9a-f]{7,}", version)
    assert commit.startswith(version.partition("+g")[2])


def test_a_changed_clone_does_not_have_the_version_of_its_tag(tagged: Repository) -> None:
    (tagged.root / "a.txt").write_text("changed")
    assert re.fullmatch(r"1\.2\.1\.dev0\+g[0-9a-f]+\.d\d{8}", _version(tagged.root))


def test_a_shallow_clone_without_tags_is_of_the_first_development(
    tagged: Repository, tmp_path: Path
) -> None:
    shallow = tmp_path / "shallow"
    tagged.git("clone", "--quiet", "--depth=1", "--no-tags", f"file://{tagged.root}", str(shallow))
    assert re.fullmatch(r"0\.1\.dev1\+g[0-9a-f]+", _version(shallow))


def test_an_archive_made_by_git_has_the_version_of_its_tag(
    tagged: Repository, tmp_path: Path
) -> None:
    tagged.git("archive", "--prefix=archive/", f"--output={tmp_path / 'archive.tar'}", "v1.2.0")
    assert _version(_unpacked(tmp_path / "archive.tar")) == "1.2.0"


def test_a_source_distribution_has_the_version_that_it_was_made_with(
    tagged: Repository, tmp_path: Path
) -> None:
    vendored = "compiler/hoggin/report/drawing/vendor/elk_LICENSE.md"
    tagged.commit({vendored: "its licence", ".gitignore": "dist/\n"})
    tagged.git("tag", "v1.3.0")
    _hatchling(tagged.root, "build", "--target=sdist")
    (made,) = (tagged.root / "dist").glob("*.tar.gz")
    shutil.move(made, tmp_path / made.name)
    assert made.name == "hoggin-1.3.0.tar.gz"
    assert _version(_unpacked(tmp_path / made.name)) == "1.3.0"


def test_a_copy_without_git_can_still_be_built(tagged: Repository) -> None:
    shutil.rmtree(tagged.root / ".git")
    assert _version(tagged.root) == "0.0"


def _version(folder: Path) -> str:
    return _hatchling(folder, "version").strip()


def _hatchling(folder: Path, *arguments: str) -> str:
    command = [sys.executable, "-m", "hatchling", *arguments]
    done = subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return done.stdout


def _unpacked(archive: Path) -> Path:
    folder = archive.parent / "unpacked"
    with tarfile.open(archive) as opened:
        opened.extractall(folder, filter="data")
    return next(folder.iterdir())
