"""What results say they were made from. Hashes are checked against hashlib on the files' bytes."""

from __future__ import annotations

import hashlib
import re
from pathlib import Path

import pytest

from hoggin.balancing import balanced
from hoggin.check.checker import check_file
from hoggin.library_versions import library_digest, library_version, library_versions
from hoggin.provenance import provenance
from hoggin.schema.results import Results
from hoggin.world import World, library_names, library_path

EXAMPLE = Path(__file__).parents[1] / "examples" / "quarry.hog"


def test_the_newest_library_version_is_of_these_texts() -> None:
    digest = library_digest(_library_texts())
    assert library_versions()[-1][1] == digest, (
        "the standard library changed: add a line to stdlib/versions.txt with a new version and "
        + digest
    )


def test_library_versions_rise_and_their_hashes_differ() -> None:
    versions = [tuple(map(int, version.split("."))) for version, _ in library_versions()]
    assert versions == sorted(set(versions))
    assert len({digest for _, digest in library_versions()}) == len(versions)


def test_any_change_of_any_library_text_changes_the_digest() -> None:
    texts = _library_texts()
    first = library_digest(texts)
    for place, (name, text) in enumerate(texts):
        changed = [*texts[:place], (name, text + " "), *texts[place + 1 :]]
        assert library_digest(changed) != first


def test_sources_are_hashed_as_sha256_of_their_text() -> None:
    checked = check_file(EXAMPLE)
    record = provenance(checked.sources, None)
    by_name = {source.name: source.sha256 for source in record.sources}
    expected = hashlib.sha256(EXAMPLE.read_bytes()).hexdigest()  # ASCII with \n line ends
    assert by_name["examples/quarry.hog"] == expected
    assert {"std.cones", "std.screens"} <= by_name.keys()
    assert record.library_version == library_version()


def test_line_ends_and_order_of_reading_make_no_other_hash(tmp_path: Path) -> None:
    (tmp_path / "a.hog").write_bytes(EXAMPLE.read_bytes())
    unix = provenance(check_file(tmp_path / "a.hog").sources, None)
    (tmp_path / "a.hog").write_bytes(EXAMPLE.read_bytes().replace(b"\n", b"\r\n"))
    sources = check_file(tmp_path / "a.hog").sources
    assert provenance(sources, None) == unix
    assert provenance(dict(reversed(list(sources.items()))), None) == unix


@pytest.mark.slow
def test_results_carry_versions_edition_hash_and_the_plant_itself(tmp_path: Path) -> None:
    path = tmp_path / "plant.hog"
    path.write_text("edition 2026\n" + EXAMPLE.read_text())
    results = balanced(check_file(path))
    assert results is not None and results.provenance is not None and results.plant is not None
    assert results.provenance.edition == results.plant.edition == 2026
    assert re.fullmatch("[0-9a-f]{64}", results.provenance.content_sha256)
    again = Results.model_validate_json(results.model_dump_json())
    assert again.plant == results.plant
    record = next(c for c in again.plant.classes if c.path == "std.cones.high_speed")
    assert record.lines["breakage matrix.k3"].startswith("2.5 source")


def _library_texts() -> list[tuple[str, str]]:
    texts = []
    for name in library_names():
        texts.append((name, World(library_path(name)).open_library(name).text))
    return texts
