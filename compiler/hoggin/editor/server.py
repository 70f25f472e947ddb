"""The language server: receives the client's requests and sends the answers.

No request may fail: an error is written to the client's log, and the answer is empty.
"""

from __future__ import annotations

import traceback
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property, partial
from pathlib import Path
from typing import Any, Generic, TypeVar

from lsprotocol import types
from pygls.lsp.server import LanguageServer

from hoggin import __version__
from hoggin.diagnostics.diagnostic import Diagnostic
from hoggin.editor.colouring import coloured
from hoggin.editor.completion import completions
from hoggin.editor.cursor import cursor_at
from hoggin.editor.desk import Balance, Desk
from hoggin.editor.faults import faults_of
from hoggin.editor.finding import (
    CannotRenameError,
    definition,
    highlights,
    renamable,
    renamed,
    uses,
)
from hoggin.editor.fixes import tried
from hoggin.editor.formatting import formatting
from hoggin.editor.hints import hints, verdicts
from hoggin.editor.hover import hover
from hoggin.editor.messages import Messages
from hoggin.editor.outline import folds, outline
from hoggin.editor.places import offset_of
from hoggin.editor.protocol import LEGEND, Protocol
from hoggin.editor.snapshot import Snapshot
from hoggin.errors import PluginError
from hoggin.world import UnreadableError

_Params = TypeVar("_Params")
_WATCHED = types.Registration(
    "files",
    types.WORKSPACE_DID_CHANGE_WATCHED_FILES,
    types.DidChangeWatchedFilesRegistrationOptions([types.FileSystemWatcher("**/*.hog")]),
)
_TRIGGERS = [".", " ", ":", "("]


class Server(LanguageServer):
    """One client's server."""

    def __init__(self, balance: Balance) -> None:
        whole = types.TextDocumentSyncKind.Full  # no slice of a text can be put in a wrong place
        super().__init__(
            "hoggin", __version__, text_document_sync_kind=whole, protocol_cls=Messages
        )
        self.was_shut_down = False
        self.desk = Desk(balance, self._publish, self._refresh, self.log)

    def log(self, text: str) -> None:
        self.window_log_message(types.LogMessageParams(types.MessageType.Error, text))

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

    def _refresh(self) -> None:
        """Results are new: ask the client to ask again."""
        workspace = self.client_capabilities.workspace
        if workspace is None:
            return
        if workspace.inlay_hint and workspace.inlay_hint.refresh_support:
            self.workspace_inlay_hint_refresh(None)
        if workspace.code_lens and workspace.code_lens.refresh_support:
            self.workspace_code_lens_refresh(None)

    @property
    def takes_snippets(self) -> bool:
        found = self.client_capabilities.text_document
        item = found.completion.completion_item if found and found.completion else None
        return bool(item and item.snippet_support)


@dataclass(frozen=True)
class Question(Generic[_Params]):
    """What a client asks about a document."""

    made: Server
    params: _Params
    snapshot: Snapshot

    @cached_property
    def protocol(self) -> Protocol:
        return self.made.protocol_of(self.snapshot)

    def offset(self, position: types.Position) -> int:
        place = (position.line, position.character)
        return offset_of(self.snapshot.source, place, self.made.encoding)


_Give = Callable[[Server, _Params], object]
_ANSWERS: dict[str, tuple[_Give[Any], object, Any]] = {}  # by method: what answers, empty, options


def server(balance: Balance) -> Server:
    """A server that balances plants by the function it is given."""
    made = Server(balance)
    for method, (give, empty, options) in _ANSWERS.items():
        made.feature(method, options)(partial(_safely, made, method, give, empty))
    return made


def _safely(made: Server, method: str, give: _Give[Any], empty: object, params: Any) -> object:
    try:
        return give(made, params)
    except (UnreadableError, CannotRenameError, PluginError):
        return empty
    except Exception:
        made.log(f"{method} failed\n{traceback.format_exc()}")
        return empty


def _on(method: str) -> Callable[[_Give[_Params]], _Give[_Params]]:
    """Register what follows a notification."""

    def register(act: _Give[_Params]) -> _Give[_Params]:
        _ANSWERS[method] = (act, None, None)
        return act

    return register


def _answers(
    method: str, empty: object, options: Any = None
) -> Callable[[Callable[[Question[_Params]], object]], None]:
    """Register what answers a question about a document."""

    def register(answer: Callable[[Question[_Params]], object]) -> None:
        def give(made: Server, params: Any) -> object:
            return answer(Question(made, params, made.desk.snapshot(params.text_document.uri)))

        _ANSWERS[method] = (give, empty, options)

    return register


# --- documents


@_on(types.TEXT_DOCUMENT_DID_OPEN)
def _opened(made: Server, params: types.DidOpenTextDocumentParams) -> None:
    made.desk.put(params.text_document.uri, params.text_document.text)


@_on(types.TEXT_DOCUMENT_DID_CHANGE)
def _changed(made: Server, params: types.DidChangeTextDocumentParams) -> None:
    uri = params.text_document.uri
    made.desk.put(uri, made.workspace.get_text_document(uri).source)


@_on(types.TEXT_DOCUMENT_DID_CLOSE)
def _closed(made: Server, params: types.DidCloseTextDocumentParams) -> None:
    made.desk.drop(params.text_document.uri)


@_on(types.TEXT_DOCUMENT_DID_SAVE)
@_on(types.WORKSPACE_DID_CHANGE_WATCHED_FILES)
def _on_disk(made: Server, _: object) -> None:
    made.desk.changed_on_disk()


@_on(types.INITIALIZED)
def _ready(made: Server, _: types.InitializedParams) -> None:
    workspace = made.client_capabilities.workspace
    watched = workspace.did_change_watched_files if workspace else None
    if watched is not None and watched.dynamic_registration:
        made.client_register_capability(types.RegistrationParams([_WATCHED]))


@_on(types.SHUTDOWN)
def _shutdown(made: Server, _: object) -> None:
    made.was_shut_down = True
    made.desk.close()


# --- knowledge


@_answers(
    types.TEXT_DOCUMENT_COMPLETION, None, types.CompletionOptions(trigger_characters=_TRIGGERS)
)
def _complete(asked: Question[types.CompletionParams]) -> types.CompletionList:
    source, offset = asked.snapshot.source, asked.offset(asked.params.position)
    cursor = cursor_at(source, offset)
    start = cursor.start if cursor is not None else offset
    snippets = asked.made.takes_snippets
    found = completions(asked.snapshot, offset, asked.made.desk.project.reader)
    items = [
        asked.protocol.item(source, start, offset, item, place, snippets)
        for place, item in enumerate(found)
    ]
    return types.CompletionList(is_incomplete=False, items=items)


@_answers(types.TEXT_DOCUMENT_HOVER, None)
def _hovered(asked: Question[types.HoverParams]) -> types.Hover | None:
    found = hover(asked.snapshot, asked.offset(asked.params.position))
    if found is None:
        return None
    text = types.MarkupContent(types.MarkupKind.Markdown, _markdown(found.lines))
    return types.Hover(text, asked.protocol.range_of(found.span))


@_answers(
    types.TEXT_DOCUMENT_CODE_ACTION,
    [],
    types.CodeActionOptions(code_action_kinds=[types.CodeActionKind.QuickFix]),
)
def _actions(asked: Question[types.CodeActionParams]) -> list[types.CodeAction]:
    snapshot, protocol, sought = asked.snapshot, asked.protocol, asked.params.range
    start, end = asked.offset(sought.start), asked.offset(sought.end)
    return [
        types.CodeAction(
            fix.title,
            kind=types.CodeActionKind.QuickFix,
            diagnostics=[protocol.diagnostic(fault)],
            edit=protocol.workspace_edit({snapshot.name: snapshot.source}, fix.edits),
            is_preferred=fix.sure,
        )
        for fault in faults_of(snapshot)
        if fault.span.source.name == snapshot.name
        and fault.span.start <= end
        and start <= fault.span.end
        for fix in tried(asked.made.desk.project, snapshot, fault)
    ]


@_answers(types.TEXT_DOCUMENT_FORMATTING, [])
def _laid(asked: Question[types.DocumentFormattingParams]) -> list[types.TextEdit]:
    source = asked.snapshot.source
    return [asked.protocol.text_edit(source, edit) for edit in formatting(asked.snapshot)]


# --- names


@_answers(types.TEXT_DOCUMENT_DEFINITION, [])
def _defined(asked: Question[types.DefinitionParams]) -> list[types.Location]:
    spans = definition(asked.snapshot, asked.offset(asked.params.position))
    return [asked.protocol.location(span) for span in spans]


@_answers(types.TEXT_DOCUMENT_REFERENCES, [])
def _references(asked: Question[types.ReferenceParams]) -> list[types.Location]:
    found = uses(asked.made.desk.project, asked.snapshot, asked.offset(asked.params.position))
    declarations = asked.params.context.include_declaration
    return [asked.protocol.location(u.span) for u in found if declarations or not u.declares]


@_answers(types.TEXT_DOCUMENT_DOCUMENT_HIGHLIGHT, [])
def _highlighted(
    asked: Question[types.DocumentHighlightParams],
) -> list[types.DocumentHighlight]:
    found = highlights(asked.snapshot, asked.offset(asked.params.position))
    return [types.DocumentHighlight(asked.protocol.range_of(one.span)) for one in found]


@_answers(types.TEXT_DOCUMENT_PREPARE_RENAME, None)
def _prepared(asked: Question[types.PrepareRenameParams]) -> types.PrepareRenamePlaceholder:
    span = renamable(asked.snapshot, asked.offset(asked.params.position))
    return types.PrepareRenamePlaceholder(asked.protocol.range_of(span), span.text)


@_answers(types.TEXT_DOCUMENT_RENAME, None, types.RenameOptions(prepare_provider=True))
def _renaming(asked: Question[types.RenameParams]) -> types.WorkspaceEdit | None:
    project, offset = asked.made.desk.project, asked.offset(asked.params.position)
    try:
        edits = renamed(project, asked.snapshot, offset, asked.params.new_name)
    except CannotRenameError as fault:
        kind = types.MessageType.Warning
        asked.made.window_show_message(types.ShowMessageParams(kind, f"not renamed: {fault}"))
        return None
    files = project.names(asked.snapshot).files
    sources = {name: file.source for name, file in files.items()}
    return asked.protocol.workspace_edit(sources, edits)


# --- views of the whole document


@_answers(types.TEXT_DOCUMENT_DOCUMENT_SYMBOL, [])
def _symbols(asked: Question[types.DocumentSymbolParams]) -> list[types.DocumentSymbol]:
    return [asked.protocol.symbol(entry) for entry in outline(asked.snapshot.file)]


@_answers(types.TEXT_DOCUMENT_FOLDING_RANGE, [])
def _folded(asked: Question[types.FoldingRangeParams]) -> list[types.FoldingRange]:
    comment = types.FoldingRangeKind.Comment
    return [
        types.FoldingRange(f.first, f.last, kind=comment if f.is_comment else None)
        for f in folds(asked.snapshot)
    ]


@_answers(types.TEXT_DOCUMENT_SEMANTIC_TOKENS_FULL, None, LEGEND)
def _tokens(asked: Question[types.SemanticTokensParams]) -> types.SemanticTokens:
    return asked.protocol.tokens(asked.snapshot.source, coloured(asked.snapshot))


@_answers(types.TEXT_DOCUMENT_INLAY_HINT, [])
def _hinted(asked: Question[types.InlayHintParams]) -> list[types.InlayHint]:
    snapshot, seen = asked.snapshot, asked.params.range
    found = hints(snapshot, asked.offset(seen.start), asked.offset(seen.end) + 1)
    return [asked.protocol.hint(snapshot.source, one) for one in found]


@_answers(types.TEXT_DOCUMENT_CODE_LENS, [], types.CodeLensOptions())
def _lenses(asked: Question[types.CodeLensParams]) -> list[types.CodeLens]:
    return [asked.protocol.lens(verdict) for verdict in verdicts(asked.snapshot)]


def _markdown(lines: tuple[str, ...]) -> str:
    """Lines as Markdown: each a line of its own, those of code and lists as they are."""
    return "\n".join(
        f"{line}  " if line and not line.startswith(("    ", "-")) else line for line in lines
    )
