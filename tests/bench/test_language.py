"""A page's conversation with its language server: answers, refusals, and files of other pages."""

from __future__ import annotations

import json
import queue
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from hoggin.balancing import rated
from hoggin.bench.language import Conversation, Languages, RefusedError


class Client:
    """Plays the page's side."""

    def __init__(self, languages: Languages, folder: Path) -> None:
        self.heard: queue.Queue[str] = queue.Queue()
        inside = folder.as_uri()
        self.talk: Conversation = languages.conversation(
            self.heard.put, lambda uri: uri.startswith(inside)
        )

    def send(self, method: str, params: object, number: int | None = None) -> None:
        told: dict[str, Any] = {"jsonrpc": "2.0", "method": method, "params": params}
        self.talk.hear([json.dumps(told if number is None else {**told, "id": number})])

    def begin(self) -> None:
        self.send("initialize", {"processId": None, "rootUri": None, "capabilities": {}}, 1)
        self.until(lambda told: told.get("id") == 1)
        self.send("initialized", {})

    def open(self, path: Path, text: str) -> None:
        document = {"uri": path.as_uri(), "languageId": "hoggin", "version": 0, "text": text}
        self.send("textDocument/didOpen", {"textDocument": document})

    def until(self, fits: Any) -> Any:
        while True:
            told = json.loads(self.heard.get(timeout=30))
            if fits(told):
                return told

    def faults(self, path: Path) -> list[str]:
        told = self.until(
            lambda told: (
                told.get("method") == "textDocument/publishDiagnostics"
                and told["params"]["uri"] == path.as_uri()
            )
        )
        return [one["code"] for one in told["params"]["diagnostics"]]


@pytest.fixture(scope="module")
def languages() -> Iterator[Languages]:
    made = Languages(rated)
    yield made
    made.close()


@pytest.fixture
def client(languages: Languages, folder: Path) -> Iterator[Client]:
    made = Client(languages, folder)
    yield made
    made.talk.end()


def test_a_page_is_told_the_faults_of_its_text(client: Client, plant: Path) -> None:
    client.begin()
    client.open(plant, plant.read_text().replace("css 13 mm", "csss 13 mm"))
    assert client.faults(plant) == ["E0403"]


def test_the_unsaved_text_of_another_page_is_read_even_before_the_server_is_set_up(
    client: Client, folder: Path, plant: Path
) -> None:
    library = folder / "ours.hog"
    client.talk.put(library, "let narrow = 13 mm\n")
    client.begin()
    text = 'use "ours.hog" as ours\n' + plant.read_text().replace("13 mm }", "ours.narrow }")
    client.open(plant, text)
    assert client.faults(plant) == []


@pytest.mark.slow
def test_two_pages_have_their_own_texts(
    client: Client, languages: Languages, folder: Path, plant: Path
) -> None:
    other = Client(languages, folder)
    for one, word in ((client, "csss"), (other, "css")):
        one.begin()
        one.open(plant, plant.read_text().replace("css 13 mm", f"{word} 13 mm"))
    assert client.faults(plant) == ["E0403"]
    assert other.faults(plant) == []
    other.talk.end()


@pytest.mark.parametrize(
    "message",
    [
        "nonsense", "[]", "null", '"text"', "[" * 100_000, '{"method": 1}',
        '{"method": "exit"}', '{"method": "shutdown", "id": 1}',
        '{"method": "workspace/executeCommand", "id": 1, "params": {}}',
        '{"method": "textDocument/hover", "id": 1, "params": {}}',
        '{"method": "textDocument/hover", "params": {"textDocument": {"uri": 1}}}',
        '{"method": "textDocument/didOpen", "params": {"textDocument": {"uri": "file:///etc/a.hog"}}}',
    ],
)  # fmt: skip
def test_a_message_that_no_page_sends_is_refused_with_all_that_came_with_it(
    client: Client, plant: Path, message: str
) -> None:
    client.begin()
    opened = {"uri": plant.as_uri(), "languageId": "hoggin", "version": 0, "text": "x"}
    first = {"jsonrpc": "2.0", "method": "textDocument/didOpen", "params": {"textDocument": opened}}
    with pytest.raises(RefusedError):
        client.talk.hear([json.dumps(first), message])
    client.open(plant, plant.read_text())
    assert client.faults(plant) == []


def test_a_message_that_can_not_be_answered_ends_no_conversation(
    client: Client, plant: Path
) -> None:
    client.begin()
    client.send("textDocument/nonsense", {"textDocument": {"uri": plant.as_uri()}}, 7)
    client.talk.hear([json.dumps({"jsonrpc": "1.0", "id": 9})])
    client.open(plant, plant.read_text())
    assert client.faults(plant) == []
