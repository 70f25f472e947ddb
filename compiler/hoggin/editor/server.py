"""The language server: it takes the client's questions and hands over the answers.

No answer may fail: what goes wrong in one is written to the client's log, and the answer is empty.
"""

from __future__ import annotations

import traceback
from collections.abc import Callable
from functools import wraps
from pathlib import Path
from typing import Any, TypeVar

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
from hoggin.world import UnreadableError

_Answer = TypeVar("_Answer")
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
        return Protocol(self._encoding, lambda name: self.desk.uri_of(snapshot.path_of(name)))

    @property
    def _encoding(self) -> Any:
        return str(
            getattr(self.workspace.position_encoding, "value", self.workspace.position_encoding)
        )

    def offset(self, snapshot: Snapshot, position: types.Position) -> int:
        place = (position.line, position.character)
        return offset_of(snapshot.source, place, self._encoding)

    def _publish(self, path: Path, faults: list[Diagnostic]) -> None:
        root = self._root_of(path, faults)
        protocol = Protocol(self._encoding, lambda name: self.desk.uri_of(root(name)))
        told = [protocol.diagnostic(fault) for fault in faults]
        params = types.PublishDiagnosticsParams(self.desk.uri_of(path), told)
        self.text_document_publish_diagnostics(params)

    def _root_of(self, path: Path, faults: list[Diagnostic]) -> Callable[[str], Path]:
        """Where files of the same project stand, by the names they are shown by."""
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


def server(balance: Balance) -> Server:
    """A server that balances plants by the function it is given."""
    made = Server(balance)
    _add_documents(made)
    _add_knowledge(made)
    _add_finding(made)
    _add_views(made)
    return made


def _answers(
    made: Server, method: str, empty: Any, options: Any = None
) -> Callable[[Callable[[Any], _Answer]], None]:
    """Register what answers a request."""

    def register(answer: Callable[[Any], _Answer]) -> None:
        @wraps(answer)
        def safe(params: Any) -> Any:
            try:
                return answer(params)
            except (UnreadableError, CannotRenameError):
                return empty
            except Exception:
                made.log(f"{method} failed\n{traceback.format_exc()}")
                return empty

        made.feature(method, options)(safe)

    return register


def _add_documents(made: Server) -> None:
    desk = made.desk

    @_answers(made, types.TEXT_DOCUMENT_DID_OPEN, None)
    def opened(params: types.DidOpenTextDocumentParams) -> None:
        desk.put(params.text_document.uri, params.text_document.text)

    @_answers(made, types.TEXT_DOCUMENT_DID_CHANGE, None)
    def changed(params: types.DidChangeTextDocumentParams) -> None:
        uri = params.text_document.uri
        desk.put(uri, made.workspace.get_text_document(uri).source)

    @_answers(made, types.TEXT_DOCUMENT_DID_CLOSE, None)
    def closed(params: types.DidCloseTextDocumentParams) -> None:
        desk.drop(params.text_document.uri)

    @_answers(made, types.TEXT_DOCUMENT_DID_SAVE, None)
    def saved(_: types.DidSaveTextDocumentParams) -> None:
        desk.changed_on_disk()

    @_answers(made, types.WORKSPACE_DID_CHANGE_WATCHED_FILES, None)
    def on_disk(_: types.DidChangeWatchedFilesParams) -> None:
        desk.changed_on_disk()

    @_answers(made, types.INITIALIZED, None)
    def ready(_: types.InitializedParams) -> None:
        workspace = made.client_capabilities.workspace
        watched = workspace.did_change_watched_files if workspace else None
        if watched is not None and watched.dynamic_registration:
            made.client_register_capability(types.RegistrationParams([_WATCHED]))

    @_answers(made, types.SHUTDOWN, None)
    def shutdown(_: Any) -> None:
        made.was_shut_down = True
        desk.close()


def _add_knowledge(made: Server) -> None:
    desk = made.desk

    @_answers(
        made,
        types.TEXT_DOCUMENT_COMPLETION,
        None,
        types.CompletionOptions(trigger_characters=_TRIGGERS),
    )
    def complete(params: types.CompletionParams) -> types.CompletionList:
        snapshot = desk.snapshot(params.text_document.uri)
        offset = made.offset(snapshot, params.position)
        cursor = cursor_at(snapshot.source, offset)
        start = cursor.start if cursor is not None else offset
        protocol = made.protocol_of(snapshot)
        found = completions(snapshot, offset, desk.project.reader)
        items = [
            protocol.item(snapshot.source, start, offset, item, place, made.takes_snippets)
            for place, item in enumerate(found)
        ]
        return types.CompletionList(is_incomplete=False, items=items)

    @_answers(made, types.TEXT_DOCUMENT_HOVER, None)
    def hovered(params: types.HoverParams) -> types.Hover | None:
        snapshot = desk.snapshot(params.text_document.uri)
        offset = made.offset(snapshot, params.position)
        found = hover(snapshot, offset)
        if found is None:
            return None
        text = types.MarkupContent(types.MarkupKind.Markdown, _markdown(found.lines))
        return types.Hover(text, made.protocol_of(snapshot).range_of(found.span))

    @_answers(
        made,
        types.TEXT_DOCUMENT_CODE_ACTION,
        [],
        types.CodeActionOptions(code_action_kinds=[types.CodeActionKind.QuickFix]),
    )
    def actions(params: types.CodeActionParams) -> list[types.CodeAction]:
        snapshot = desk.snapshot(params.text_document.uri)
        start = made.offset(snapshot, params.range.start)
        end = made.offset(snapshot, params.range.end)
        return _fixes_within(made, snapshot, start, end)

    @_answers(made, types.TEXT_DOCUMENT_FORMATTING, [])
    def laid(params: types.DocumentFormattingParams) -> list[types.TextEdit]:
        snapshot = desk.snapshot(params.text_document.uri)
        protocol = made.protocol_of(snapshot)
        return [protocol.text_edit(snapshot.source, edit) for edit in formatting(snapshot)]


def _fixes_within(made: Server, snapshot: Snapshot, start: int, end: int) -> list[types.CodeAction]:
    protocol = made.protocol_of(snapshot)
    found: list[types.CodeAction] = []
    for fault in faults_of(snapshot):
        span = fault.span
        if span.source.name == snapshot.name and span.start <= end and start <= span.end:
            for fix in tried(made.desk.project, snapshot, fault):
                edit = protocol.workspace_edit({snapshot.name: snapshot.source}, fix.edits)
                kind = types.CodeActionKind.QuickFix
                told = [protocol.diagnostic(fault)]
                found.append(
                    types.CodeAction(
                        fix.title, kind=kind, diagnostics=told, edit=edit, is_preferred=fix.sure
                    )
                )
    return found


def _add_finding(made: Server) -> None:
    desk = made.desk

    @_answers(made, types.TEXT_DOCUMENT_DEFINITION, [])
    def defined(params: types.DefinitionParams) -> list[types.Location]:
        snapshot = desk.snapshot(params.text_document.uri)
        spans = definition(snapshot, made.offset(snapshot, params.position))
        return [made.protocol_of(snapshot).location(span) for span in spans]

    @_answers(made, types.TEXT_DOCUMENT_REFERENCES, [])
    def references(params: types.ReferenceParams) -> list[types.Location]:
        snapshot = desk.snapshot(params.text_document.uri)
        found = uses(desk.project, snapshot, made.offset(snapshot, params.position))
        with_declarations = params.context.include_declaration
        protocol = made.protocol_of(snapshot)
        return [protocol.location(u.span) for u in found if with_declarations or not u.declares]

    @_answers(made, types.TEXT_DOCUMENT_DOCUMENT_HIGHLIGHT, [])
    def highlighted(params: types.DocumentHighlightParams) -> list[types.DocumentHighlight]:
        snapshot = desk.snapshot(params.text_document.uri)
        found = highlights(snapshot, made.offset(snapshot, params.position))
        protocol = made.protocol_of(snapshot)
        return [types.DocumentHighlight(protocol.range_of(one.span)) for one in found]

    @_answers(made, types.TEXT_DOCUMENT_PREPARE_RENAME, None)
    def prepared(params: types.PrepareRenameParams) -> types.PrepareRenamePlaceholder | None:
        snapshot = desk.snapshot(params.text_document.uri)
        span = renamable(snapshot, made.offset(snapshot, params.position))
        return types.PrepareRenamePlaceholder(made.protocol_of(snapshot).range_of(span), span.text)

    @_answers(made, types.TEXT_DOCUMENT_RENAME, None, types.RenameOptions(prepare_provider=True))
    def renaming(params: types.RenameParams) -> types.WorkspaceEdit | None:
        snapshot = desk.snapshot(params.text_document.uri)
        offset = made.offset(snapshot, params.position)
        try:
            edits = renamed(desk.project, snapshot, offset, params.new_name)
        except CannotRenameError as fault:
            kind = types.MessageType.Warning
            made.window_show_message(types.ShowMessageParams(kind, f"not renamed: {fault}"))
            return None
        files = desk.project.names(snapshot).files
        sources = {name: file.source for name, file in files.items()}
        return made.protocol_of(snapshot).workspace_edit(sources, edits)


def _add_views(made: Server) -> None:
    desk = made.desk

    @_answers(made, types.TEXT_DOCUMENT_DOCUMENT_SYMBOL, [])
    def symbols(params: types.DocumentSymbolParams) -> list[types.DocumentSymbol]:
        snapshot = desk.snapshot(params.text_document.uri)
        protocol = made.protocol_of(snapshot)
        return [protocol.symbol(entry) for entry in outline(snapshot.file)]

    @_answers(made, types.TEXT_DOCUMENT_FOLDING_RANGE, [])
    def folded(params: types.FoldingRangeParams) -> list[types.FoldingRange]:
        comment = types.FoldingRangeKind.Comment
        return [
            types.FoldingRange(f.first, f.last, kind=comment if f.is_comment else None)
            for f in folds(desk.snapshot(params.text_document.uri))
        ]

    @_answers(made, types.TEXT_DOCUMENT_SEMANTIC_TOKENS_FULL, None, LEGEND)
    def tokens(params: types.SemanticTokensParams) -> types.SemanticTokens:
        snapshot = desk.snapshot(params.text_document.uri)
        return made.protocol_of(snapshot).tokens(snapshot.source, coloured(snapshot))

    @_answers(made, types.TEXT_DOCUMENT_INLAY_HINT, [])
    def hinted(params: types.InlayHintParams) -> list[types.InlayHint]:
        snapshot = desk.snapshot(params.text_document.uri)
        start = made.offset(snapshot, params.range.start)
        end = made.offset(snapshot, params.range.end) + 1
        protocol = made.protocol_of(snapshot)
        return [protocol.hint(snapshot.source, one) for one in hints(snapshot, start, end)]

    @_answers(made, types.TEXT_DOCUMENT_CODE_LENS, [], types.CodeLensOptions())
    def lenses(params: types.CodeLensParams) -> list[types.CodeLens]:
        snapshot = desk.snapshot(params.text_document.uri)
        protocol = made.protocol_of(snapshot)
        return [protocol.lens(verdict) for verdict in verdicts(snapshot)]


def _markdown(lines: tuple[str, ...]) -> str:
    """Lines as Markdown: each a line of its own, those of code and lists as they are."""
    return "\n".join(
        f"{line}  " if line and not line.startswith(("    ", "-")) else line for line in lines
    )
