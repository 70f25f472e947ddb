"""A client's session with the language server, and how its requests find their answers.

No request may fail: an error is written to the client's log, and the answer is empty.
"""

from __future__ import annotations

import traceback
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any, Generic, TypeVar

from lsprotocol import types
from pygls.lsp.server import LanguageServer

from hoggin import __version__
from hoggin.diagnostics.diagnostic import Diagnostic
from hoggin.editor.desk import Balance, Desk
from hoggin.editor.finding import CannotRenameError
from hoggin.editor.messages import Messages
from hoggin.editor.places import offset_of
from hoggin.editor.protocol import Protocol
from hoggin.editor.snapshot import Snapshot
from hoggin.errors import PluginError
from hoggin.world import UnreadableError

Params = TypeVar("Params")
BALANCED = "hoggin/balanced"
"""A notification of our own: a document's plant has new results."""


class Server(LanguageServer):
    """One client's server."""

    def __init__(self, balance: Balance) -> None:
        whole = types.TextDocumentSyncKind.Full  # no slice of a text can be put in a wrong place
        super().__init__(
            "hoggin", __version__, text_document_sync_kind=whole, protocol_cls=Messages
        )
        self.was_shut_down = False
        self.takes_previews = False  # whether the client asked to be informed of new results
        self.desk = Desk(balance, self._publish, self._refresh, self.log)

    def log(self, text: str) -> None:
        self.window_log_message(types.LogMessageParams(types.MessageType.Error, text))

    def say(self, text: str) -> None:
        self.window_show_message(types.ShowMessageParams(types.MessageType.Info, text))

    def report_server_error(self, error: Exception, source: Any) -> None:
        """What the protocol's own machinery meets, as a message that can't be read."""
        self.log(f"{source}: {error!r}")

    def protocol_of(self, snapshot: Snapshot) -> Protocol:
        return Protocol(self.encoding, lambda name: self.desk.uri_of(snapshot.path_of(name)))

    @property
    def encoding(self) -> Any:
        found = self.workspace.position_encoding
        return str(getattr(found, "value", found))

    def _publish(self, path: Path, faults: list[Diagnostic]) -> None:
        root = self._root_of(path, faults)
        protocol = Protocol(self.encoding, lambda name: self.desk.uri_of(root(name)))
        told = [protocol.diagnostic(fault) for fault in faults]
        params = types.PublishDiagnosticsParams(self.desk.uri_of(path), told)
        self.text_document_publish_diagnostics(params)

    def _root_of(self, path: Path, faults: list[Diagnostic]) -> Callable[[str], Path]:
        """Where files of the same project are, by the names they are shown by."""
        for opened in self.desk.project.texts:
            snapshot = self.desk.project.snapshot(opened)
            names = {fault.span.source.name for fault in faults}
            if any(snapshot.path_of(name) == path for name in names):
                return snapshot.path_of
        return lambda _: path

    def _refresh(self, path: Path) -> None:
        """Results are new: ask the client to ask again."""
        if self.takes_previews:
            self.protocol.notify(BALANCED, {"uri": self.desk.uri_of(path)})
        workspace = self.client_capabilities.workspace
        if workspace is None:
            return
        if workspace.inlay_hint and workspace.inlay_hint.refresh_support:
            self.workspace_inlay_hint_refresh(None)
        if workspace.code_lens and workspace.code_lens.refresh_support:
            self.workspace_code_lens_refresh(None)

    @property
    def opens_files(self) -> bool:
        window = self.client_capabilities.window
        return bool(window and window.show_document and window.show_document.support)

    @property
    def takes_snippets(self) -> bool:
        found = self.client_capabilities.text_document
        item = found.completion.completion_item if found and found.completion else None
        return bool(item and item.snippet_support)


@dataclass(frozen=True)
class Question(Generic[Params]):
    """What a client asks about a document."""

    made: Server
    params: Params
    snapshot: Snapshot

    @cached_property
    def protocol(self) -> Protocol:
        return self.made.protocol_of(self.snapshot)

    def offset(self, position: types.Position) -> int:
        place = (position.line, position.character)
        return offset_of(self.snapshot.source, place, self.made.encoding)


Give = Callable[[Server, Params], object]
ANSWERS: dict[str, tuple[Give[Any], object, Any]] = {}  # by method: what answers, empty, options


def safely(made: Server, method: str, give: Give[Any], empty: object, params: Any) -> object:
    try:
        return give(made, params)
    except (UnreadableError, CannotRenameError, PluginError):
        return empty
    except Exception:
        made.log(f"{method} failed\n{traceback.format_exc()}")
        return empty


def on(method: str) -> Callable[[Give[Params]], Give[Params]]:
    """Register what follows a notification."""

    def register(act: Give[Params]) -> Give[Params]:
        ANSWERS[method] = (act, None, None)
        return act

    return register


def asked_of_server(method: str, empty: object) -> Callable[[Give[Params]], None]:
    """Register what answers a question that is not about one document."""

    def register(give: Give[Params]) -> None:
        ANSWERS[method] = (give, empty, None)

    return register


def answers(
    method: str, empty: object, options: Any = None
) -> Callable[[Callable[[Question[Params]], object]], None]:
    """Register what answers a question about a document."""

    def register(answer: Callable[[Question[Params]], object]) -> None:
        def give(made: Server, params: Any) -> object:
            return answer(Question(made, params, made.desk.snapshot(params.text_document.uri)))

        ANSWERS[method] = (give, empty, options)

    return register
