"""The server as a client meets it: one real process, spoken to over its standard streams."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from lsprotocol import types

from hoggin.balancing import rated
from hoggin.diagnostics.source import Source
from hoggin.editor.server import server
from hoggin.syntax.layout import laid_out
from tests.editor.client import Client
from tests.editor.fuzzing import EXAMPLE

CAPABILITIES: dict[str, Any] = {
    "workspace": {
        "inlayHint": {"refreshSupport": True},
        "codeLens": {"refreshSupport": True},
        "didChangeWatchedFiles": {"dynamicRegistration": True},
    },
    "textDocument": {"completion": {"completionItem": {"snippetSupport": True}}},
}


@pytest.fixture(scope="module")
def example(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("plant").resolve()
    shutil.copy(EXAMPLE, folder)
    return folder / EXAMPLE.name


@pytest.fixture(scope="module")
def client(example: Path) -> Iterator[Client]:
    with Client(example.parent, **CAPABILITIES) as started:
        started.open(example)
        assert started.wait_for("textDocument/publishDiagnostics")["diagnostics"] == []
        started.wait_for("workspace/codeLens/refresh")  # the plant is balanced
        yield started
    assert started.exit_code == 0, started.errors
    assert "Traceback" not in started.errors


def at(path: Path, words: str, inside: int = 0) -> dict[str, Any]:
    """The place of some words in a document; the example is ASCII, so a column is an index."""
    text = path.read_text(encoding="utf-8")
    offset = text.index(words) + inside
    line = text.count("\n", 0, offset)
    column = offset - (text.rfind("\n", 0, offset) + 1)
    return {
        "textDocument": {"uri": path.as_uri()},
        "position": {"line": line, "character": column},
    }


def document(path: Path) -> dict[str, Any]:
    return {"uri": path.as_uri()}


def test_it_offers_what_it_does(client: Client) -> None:
    offered = client.initialized["capabilities"]
    wanted = "completion hover definition references documentHighlight rename documentSymbol "
    wanted += "semanticTokens foldingRange inlayHint codeLens codeAction documentFormatting"
    for name in wanted.split():
        assert offered[f"{name}Provider"], name
    assert offered["positionEncoding"] == "utf-16"
    assert client.initialized["serverInfo"]["name"] == "hoggin"


def test_it_asks_to_be_told_of_files_that_change(client: Client) -> None:
    (asked,) = client.wait_for("client/registerCapability")["registrations"]
    assert asked["registerOptions"]["watchers"][0]["globPattern"] == "**/*.hog"


def test_completion(client: Client, example: Path) -> None:
    found = client.ask("textDocument/completion", **at(example, "chamber coarse", 8))
    labels = [item["label"] for item in found["items"]]
    assert {"coarse", "medium", "fine"} <= set(labels)


def test_hover(client: Client, example: Path) -> None:
    found = client.ask("textDocument/hover", **at(example, "css     40", 1))
    text = found["contents"]["value"]
    assert "40 mm = 1.575 in" in text  # 40 / 25.4 by hand
    assert "load" in text


def test_definition_in_the_library(client: Client, example: Path) -> None:
    (found,) = client.ask("textDocument/definition", **at(example, "supported_shaft", 3))
    assert found["uri"].endswith("/stdlib/cones.hog")
    library = Path(found["uri"].removeprefix("file://")).read_text(encoding="utf-8")
    line = library.split("\n")[found["range"]["start"]["line"]]
    assert line.startswith("class crusher supported_shaft:")


def test_references(client: Client, example: Path) -> None:
    place = at(example, "secondary:", 1)
    found = client.ask("textDocument/references", **place, context={"includeDeclaration": True})
    # by hand: its declaration, `-> secondary ->`, `secondary.load`; not the duty of that name
    assert len(found) == 3
    without = client.ask("textDocument/references", **place, context={"includeDeclaration": False})
    assert len(without) == 2
    assert len(client.ask("textDocument/documentHighlight", **place)) == 3


def test_rename(client: Client, example: Path) -> None:
    place = at(example, "secondary:", 1)
    assert client.ask("textDocument/prepareRename", **place)["placeholder"] == "secondary"
    found = client.ask("textDocument/rename", **place, newName="second_stage")
    assert [len(edits) for edits in found["changes"].values()] == [3]
    assert client.ask("textDocument/rename", **place, newName="chips") is None
    assert "chips" in client.wait_for("window/showMessage")["message"]


def test_outline_folds_and_tokens(client: Client, example: Path) -> None:
    params = {"textDocument": document(example)}
    outline = client.ask("textDocument/documentSymbol", **params)
    plant = next(one for one in outline if one["detail"] == "plant")
    assert "secondary" in [one["name"] for one in plant["children"]]
    folds = client.ask("textDocument/foldingRange", **params)
    assert any(fold["endLine"] - fold["startLine"] > 50 for fold in folds)
    data = client.ask("textDocument/semanticTokens/full", **params)["data"]
    assert len(data) % 5 == 0
    legend = client.initialized["capabilities"]["semanticTokensProvider"]["legend"]
    assert max(data[3::5]) < len(legend["tokenTypes"])


def test_hints_and_lenses_of_the_balance(client: Client, example: Path) -> None:
    whole = {"start": {"line": 0, "character": 0}, "end": {"line": 999, "character": 0}}
    hints = client.ask("textDocument/inlayHint", textDocument=document(example), range=whole)
    labels = [hint["label"] for hint in hints]
    # the feed's own rate, before any machine
    assert "450 t/h, P80 438 mm -> 450 t/h, P80 438 mm" in labels
    assert any(label.startswith("load ") for label in labels)
    lenses = client.ask("textDocument/codeLens", textDocument=document(example))
    whole, *each = lenses
    assert len(each) == example.read_text(encoding="utf-8").count("\n  require ")
    assert all(lens["command"]["title"].startswith(("met: ", "not met: ")) for lens in each)
    assert whole["command"]["title"] == (
        f"{len(each)} of {len(each)} requirements met; show the flowsheet"
    )


def test_a_click_on_a_lens_does_something(client: Client, example: Path) -> None:
    whole, first, *_ = client.ask("textDocument/codeLens", textDocument=document(example))
    offered = client.initialized["capabilities"]["executeCommandProvider"]["commands"]
    for lens in (whole, first):
        command = lens["command"]
        assert command["command"] in offered
        client.ask(
            "workspace/executeCommand",
            command=command["command"],
            arguments=command["arguments"],
        )
    file = Path(
        client.wait_for("window/showMessage")["message"].removeprefix("the flowsheet is in ")
    )
    assert file.read_text(encoding="utf-8").startswith("<svg")
    file.unlink()
    assert "margin" in client.wait_for("window/showMessage")["message"]


def test_the_flowsheet_is_given_with_the_lines_of_what_is_drawn(
    client: Client, example: Path
) -> None:
    found = client.ask("hoggin/flowsheet", textDocument=document(example))
    text = example.read_text(encoding="utf-8").split("\n")
    assert "crusher primary:" in text[found["lines"]["machine primary"]]
    assert "shot_rock     -> hopper_feeder" in text[found["lines"]["stream 1"]]
    (sheet,) = found["sheets"]
    drawn = {
        group.get("data-of")
        for group in ElementTree.fromstring(sheet["svg"]).iter()
        if group.get("data-of")
    }
    assert drawn >= found["lines"].keys()
    titles = [table["title"] for table in found["tables"]]
    assert titles == ["Requirements", "Products", "Streams"]
    assert any("prediction" in note for note in found["notes"])


@pytest.mark.slow
def test_a_client_that_shows_previews_is_told_of_new_results(tmp_path: Path) -> None:
    path = Path(shutil.copy(EXAMPLE, tmp_path.resolve()))
    with Client(tmp_path.resolve(), options={"previews": True}) as client:
        client.open(path)
        assert client.wait_for("hoggin/balanced") == {"uri": path.as_uri()}


def test_signature_help_shows_the_parameter_that_is_written(client: Client, example: Path) -> None:
    found = client.ask("textDocument/signatureHelp", **at(example, "width: 1300", len("width: ")))
    (signature,) = found["signatures"]
    start, end = signature["parameters"][found["activeParameter"]]["label"]
    assert signature["label"][start:end].startswith("width: ")


def test_links_lead_to_the_libraries_that_are_used(client: Client, example: Path) -> None:
    found = client.ask("textDocument/documentLink", textDocument=document(example))
    assert [link["target"].rpartition("/")[2] for link in found][:2] == ["feeders.hog", "jaws.hog"]


def test_things_are_found_by_name_in_every_file_of_the_project(
    client: Client, example: Path
) -> None:
    found = client.ask("workspace/symbol", query="tertiary")
    names = [(one["name"], one["containerName"]) for one in found]
    inside = f"{example.name}, Skarrow Hill quarry, 450 t/h"
    assert names == [
        ("tertiary", inside),
        ("tertiary_bin", inside),
        ("tertiary_setting", example.name),
    ]


def test_every_fix_that_needs_no_choice_is_one_action(client: Client, example: Path) -> None:
    text = example.read_text(encoding="utf-8")
    wrong = text.replace("css 125 mm", "css = 125 mm").replace("sand.share <=", "sand.share =<")
    client.change(example, wrong, 5)
    (action,) = client.ask(
        "textDocument/codeAction",
        textDocument=document(example),
        range={"start": {"line": 0, "character": 0}, "end": {"line": 0, "character": 0}},
        context={"diagnostics": [], "only": ["source.fixAll"]},
    )
    assert action["title"] == "fix all 2 in this file"
    (edits,) = action["edit"]["changes"].values()
    lines = wrong.split("\n")
    (edit,) = edits
    first, last = edit["range"]["start"]["line"], edit["range"]["end"]["line"]
    lines[first:last] = edit["newText"].removesuffix("\n").split("\n")
    assert "\n".join(lines) == text
    client.change(example, text, 6)


def test_diagnostics_fixes_and_formatting(client: Client, example: Path) -> None:
    text = example.read_text(encoding="utf-8")
    client.notes.clear()
    client.change(example, text.replace("meets astm.c33_8", "meets astm.c33_9a"))
    faults: list[dict[str, Any]] = []
    while not any(fault["severity"] == 1 for fault in faults):  # first may come an older text's
        faults = client.wait_for("textDocument/publishDiagnostics")["diagnostics"]
    (fault,) = faults
    assert fault["code"] == "E0201"
    actions = client.ask(
        "textDocument/codeAction",
        textDocument=document(example),
        range=fault["range"],
        context={"diagnostics": [fault]},
    )
    assert any("c33_9`" in action["title"] for action in actions)
    client.change(example, text.replace("  revision", "      revision"))
    edits = client.ask(
        "textDocument/formatting",
        textDocument=document(example),
        options={"tabSize": 8, "insertSpaces": False},
    )
    laid = laid_out(Source(example.name, text))
    assert isinstance(laid, str)
    (edit,) = edits
    lines = text.splitlines(keepends=True)
    first, last = (edit["range"][end]["line"] for end in ("start", "end"))
    assert "".join([*lines[:first], edit["newText"], *lines[last:]]) == laid
    client.change(example, text)


def test_columns_count_utf16_units(client: Client, example: Path) -> None:
    """A face beyond the basic plane is two units of UTF-16, one code point (Unicode, ch. 3.9)."""
    other = example.with_name("faces.hog")
    line = 'plant "\U0001f600" { sieves nothing }  # \U0001f600'
    other.write_text(f"use std.sieves\n{line}\n", encoding="utf-8")
    client.notes.clear()
    client.open(other)
    while (told := client.wait_for("textDocument/publishDiagnostics"))["uri"] != other.as_uri():
        pass
    starts = {fault["range"]["start"]["character"] for fault in told["diagnostics"]}
    assert len(line[: line.index("nothing")].encode("utf-16-le")) // 2 in starts
    client.tell("textDocument/didClose", textDocument=document(other))


def test_an_unsaved_document_is_checked(client: Client) -> None:
    uri = "untitled:Untitled-1"
    client.notes.clear()
    opened = {"uri": uri, "languageId": "hoggin", "version": 1, "text": "let a = b\n"}
    client.tell("textDocument/didOpen", textDocument=opened)
    while (told := client.wait_for("textDocument/publishDiagnostics"))["uri"] != uri:
        pass
    assert [fault["code"] for fault in told["diagnostics"]] == ["E0201"]
    client.tell("textDocument/didClose", textDocument={"uri": uri})


def test_questions_about_nothing_get_empty_answers(client: Client, example: Path) -> None:
    missing = {"uri": (example.parent / "missing.hog").as_uri()}
    far = {"line": 10**6, "character": 10**6}
    assert client.ask("textDocument/hover", textDocument=missing, position=far) is None
    assert client.ask("textDocument/definition", textDocument=missing, position=far) == []
    assert client.ask("textDocument/hover", textDocument=document(example), position=far) is None


@pytest.mark.slow
def test_a_request_that_can_not_be_read_is_answered_and_what_follows_too(tmp_path: Path) -> None:
    """JSON-RPC 2.0, error codes: -32601 no such method, -32602 invalid parameters."""
    with Client(tmp_path.resolve()) as client:
        assert client.refused("no/such/method") == -32601
        assert client.refused("textDocument/hover", nothing=1) == -32602
        here = {"line": -3, "character": 0}
        refused = client.refused("textDocument/hover", textDocument={"uri": "a:b"}, position=here)
        assert refused == -32602
        client.tell("$/cancelRequest", id=12345)
    assert client.exit_code == 0
    assert client.errors == ""


@pytest.mark.slow
def test_a_client_that_goes_without_a_word_leaves_no_server_behind(tmp_path: Path) -> None:
    """LSP 3.17, exit: 1 where no shutdown was asked for."""
    with Client(tmp_path.resolve()) as client:
        client.hang_up()
        assert client.exit_code == 1


@pytest.mark.parametrize("name", ["a plant.hog", "100%25.hog", "käse#1.hog"])
def test_an_address_is_the_file_it_names(tmp_path: Path, name: str) -> None:
    """`Path.as_uri` writes addresses as RFC 8089 has them."""
    path = tmp_path.resolve() / name
    assert server(rated).desk.path_of(path.as_uri()) == path


@pytest.mark.slow
def test_an_answer_that_fails_is_logged_and_empty(monkeypatch: pytest.MonkeyPatch) -> None:
    made = server(rated)
    logged: list[str] = []
    monkeypatch.setattr(made, "log", logged.append)

    def broken(_: str) -> None:
        raise ZeroDivisionError("for the test")

    monkeypatch.setattr(made.desk, "snapshot", broken)
    place = types.HoverParams(types.TextDocumentIdentifier("file:///a.hog"), types.Position(0, 0))
    assert made.protocol.fm.features[types.TEXT_DOCUMENT_HOVER](place) is None
    assert "for the test" in logged[0]
