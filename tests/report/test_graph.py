"""`graph.dot`, read and drawn by Graphviz itself, as the package `graphviz-pure` builds it."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from hoggin.report.graph import dot
from hoggin.report.wording import clean
from hoggin.schema.results import Results

ENGINE = "graphviz-pure"


def laid_out(text: str) -> dict[str, Any]:
    """The engine's own account of a DOT text."""
    engine = shutil.which(ENGINE, path=str(Path(sys.executable).parent)) or shutil.which(ENGINE)
    assert engine is not None
    done = subprocess.run(
        [engine, "-Tjson"], input=text.encode(), capture_output=True, check=True, timeout=60
    )
    found: dict[str, Any] = json.loads(done.stdout)
    return found


@pytest.mark.parametrize("sample", ["quarry", "small", "hostile"])
def test_the_graph_has_a_node_for_each_thing_and_an_edge_for_each_stream(
    sample: str, request: pytest.FixtureRequest
) -> None:
    results: Results = request.getfixturevalue(sample)
    drawn = laid_out(dot(results))
    labels = {node["_gvid"]: node["label"] for node in drawn["objects"]}
    tags = [t.tag for group in (results.feeds, results.machines, results.products) for t in group]
    assert len(labels) == len(tags)
    first_lines = {_unescaped(label).split("\n")[0] for label in labels.values()}
    assert first_lines == {clean(tag) for tag in tags}
    edges = [
        (_first(labels[edge["tail"]]), _first(labels[edge["head"]]), edge["label"].split(":")[0])
        for edge in drawn["edges"]
    ]
    assert sorted(edges) == sorted(
        (clean(s.source), clean(s.target), s.number) for s in results.streams
    )
    assert all("pos" in one for one in (*drawn["objects"], *drawn["edges"]))


def _unescaped(label: str) -> str:
    return label.replace("\\n", "\n").replace("\\\\", "\\")


def _first(label: str) -> str:
    return _unescaped(label).split("\n")[0]


def test_returns_are_dashed(quarry: Results) -> None:
    drawn = laid_out(dot(quarry))
    dashed = {edge["label"].split(":")[0] for edge in drawn["edges"] if "dashed" in str(edge)}
    assert dashed == {s.number for s in quarry.streams if s.recirculating}
