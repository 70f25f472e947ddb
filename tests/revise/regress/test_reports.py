"""JUnit XML and SARIF: well-formed, complete, and each finding at its place.

The SARIF document was also checked against the published schema of OASIS (sarif-schema-2.1.0.json,
looked up once, not kept here); the fields below are those that the standard requires, sections
3.13, 3.14, 3.18, 3.19 and 3.27.
"""

from __future__ import annotations

import json
import re
import xml.etree.ElementTree as ElementTree
from pathlib import Path
from typing import Any
from urllib.parse import unquote

import pytest

from hoggin.commands.main import main

from .conftest import ACCEPT, PLANT, edit

pytestmark = pytest.mark.slow


@pytest.fixture
def reported(project: Path) -> Path:
    """A project with one of each: a drift, an unmet requirement, an error, a new plant, a plant
    that holds, a fault of a grid, and a stray record. The folder that holds the reports."""
    text = (project / "east.hog").read_text(encoding="utf-8")
    for name in ("drifts", "unmet", "wrong", "gone", "new"):
        (project / f"{name}.hog").write_text(text, encoding="utf-8")
    main(["regress", "plants", *ACCEPT])
    edit(project / "drifts.hog", "share: 30 %", "share: 32 %")
    edit(project / "unmet.hog", ">= 20 t/h", ">= 31 t/h")
    edit(project / "wrong.hog", "section part", "section  part")
    edit(project / "wrong.hog", "let flow = 100 t/h", "let flow = 100 kW")
    (project / "gone.hog").unlink()
    (project / "recorded" / "new.toml").unlink()
    (project / "regression.toml").write_text(
        '[[grid]]\nplant = "west.hog"\nvary."part.share" = ["99 %"]\n', encoding="utf-8"
    )
    hostile = PLANT.replace("%NAME%", "\x00\x1b]0;x\x07\ufffe<&>'")
    (project / 'h\x1b<&>"\n.hog').write_text(hostile, encoding="utf-8")
    folder = project.parent / "reports"
    code = main(["regress", "plants", "--junit", "reports/o.xml", "--sarif", "reports/o.sarif"])
    assert code == 1
    return folder


def _sarif(folder: Path) -> dict[str, Any]:
    document: dict[str, Any] = json.loads((folder / "o.sarif").read_text(encoding="utf-8"))
    return document


def test_sarif_has_what_the_standard_requires(reported: Path) -> None:
    document = _sarif(reported)
    assert document["version"] == "2.1.0"
    (run,) = document["runs"]
    driver = run["tool"]["driver"]
    assert driver["name"] == "hoggin"
    rules = [rule["id"] for rule in driver["rules"]]
    assert len(rules) == len(set(rules))
    for rule in driver["rules"]:
        assert rule["shortDescription"]["text"] and rule["fullDescription"]["text"]
        assert rule["help"]["text"]
    for result in run["results"]:
        assert rules[result["ruleIndex"]] == result["ruleId"]
        assert result["level"] in ("error", "warning")
        assert result["message"]["text"]
        (location,) = result["locations"]
        place = location["physicalLocation"]
        assert re.fullmatch(r"[\w./%~-]+", place["artifactLocation"]["uri"])  # RFC 3986
        region = place.get("region", {"startLine": 1, "startColumn": 1})
        assert region["startLine"] >= 1 and region["startColumn"] >= 1


def test_each_finding_is_at_its_place(reported: Path) -> None:
    """Lines counted in the texts by hand."""
    found = set()
    for result in _sarif(reported)["runs"][0]["results"]:
        place = result["locations"][0]["physicalLocation"]
        line = place.get("region", {}).get("startLine")
        found.add((result["ruleId"], unquote(place["artifactLocation"]["uri"]), line))
    assert ("regress/drift", "plants/drifts.hog", 11) in found  # `-> product a`
    assert ("regress/requirement", "plants/unmet.hog", 13) in found
    assert ("E0302", "plants/wrong.hog", 8) in found  # the feed's rate
    assert ("E0404", "plants/regression.toml", 3) in found
    assert ("regress/record", "plants/new.hog", 6) in found  # the plant's own line
    assert ("regress/record", "plants/recorded/gone.toml", None) in found
    files = {path for _, path, _ in found}
    assert "plants/east.hog" not in files
    root = reported.parent
    assert all((root / path).exists() for path in files)


def test_junit_counts_and_names_what_fails(reported: Path) -> None:
    root = ElementTree.parse(reported / "o.xml").getroot()
    assert root.tag == "testsuites"
    suites = {suite.get("name"): suite for suite in root}
    failing = {
        (suite.get("name"), test.get("name")): problem
        for suite in root
        for test in suite
        for problem in test
    }
    assert ("plants/drifts", "as recorded") in failing
    drift = failing["plants/drifts", "as recorded"]
    assert drift.tag == "failure"
    assert "product a: rate is 32 t/h, recorded 30 t/h, +6.67 % with 0.5 % allowed" in str(
        drift.text
    )
    assert ("plants/unmet", "require a.rate >= 31 t/h") in failing
    assert failing["plants/wrong", "checked and balanced"].tag == "error"
    assert failing["plants/wrong", "checked and balanced"].get("type") == "E0302"
    assert ("plants/new", "as recorded") in failing
    assert ("records without a plant or case", "plants/recorded/gone.toml") in failing
    assert not any(name == "plants/east" for name, _ in failing)
    assert "plants/east" in suites
    for element in (root, *suites.values()):
        for count, tag in (("tests", "testcase"), ("failures", "failure"), ("errors", "error")):
            assert int(element.get(count, "")) == len(list(element.iter(tag)))


def test_reports_hold_no_letter_that_can_not_be_seen(reported: Path) -> None:
    for name in ("o.xml", "o.sarif"):
        text = (reported / name).read_text(encoding="utf-8")
        assert all(letter.isprintable() or letter == "\n" for letter in text)
    strings = json.dumps(_sarif(reported)["runs"][0]["results"])
    assert "\\u001b" not in strings


def test_the_same_outcome_gives_the_same_bytes(reported: Path) -> None:
    before = {path.name: path.read_bytes() for path in reported.iterdir()}
    where = ["--junit", "reports/o.xml", "--sarif", "reports/o.sarif"]
    main(["regress", "plants", *where, "--jobs", "1", "--no-cache"])
    assert {path.name: path.read_bytes() for path in reported.iterdir()} == before


def test_without_faults_there_are_no_findings(project: Path) -> None:
    main(
        [
            "regress",
            "plants",
            "--accept",
            "--reason",
            "a test",
            "--sarif",
            "o.sarif",
            "--junit",
            "o.xml",
        ]
    )
    assert _sarif(project.parent)["runs"][0]["results"] == []
    assert ElementTree.parse(project.parent / "o.xml").getroot().get("failures") == "0"


def test_paths_are_told_from_the_repositorys_top_wherever_the_command_runs(
    project: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(project / "lib")
    main(["regress", "..", "--sarif", "o.sarif"])
    results = _sarif(project / "lib")["runs"][0]["results"]
    uris = {r["locations"][0]["physicalLocation"]["artifactLocation"]["uri"] for r in results}
    assert uris == {"plants/east.hog", "plants/west.hog"}


def test_a_report_that_can_not_be_written_exits_2(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["regress", "plants", "--junit", "plants"]) == 2
    assert "in the way" in capsys.readouterr().err
    assert (project / "east.hog").exists()
