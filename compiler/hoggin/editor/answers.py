"""What answers each question that a client asks about a document."""

from __future__ import annotations

from lsprotocol import types

from hoggin.editor.colouring import coloured
from hoggin.editor.completion import completions
from hoggin.editor.cursor import cursor_at
from hoggin.editor.faults import faults_of
from hoggin.editor.finding import (
    CannotRenameError,
    definition,
    highlights,
    renamable,
    renamed,
    uses,
)
from hoggin.editor.fix_all import all_fixed
from hoggin.editor.fixes import tried
from hoggin.editor.formatting import formatting
from hoggin.editor.hints import hints, summary, verdicts
from hoggin.editor.hover import hover
from hoggin.editor.links import links
from hoggin.editor.outline import folds, outline
from hoggin.editor.protocol import (
    LEGEND,
    OPEN_FLOWSHEET,
    SHOW_DETAILS,
    Protocol,
    symbol_kind,
)
from hoggin.editor.session import Question, Server, answers, asked_of_server
from hoggin.editor.signatures import signatures
from hoggin.editor.symbols import symbols

_QUICK_FIX, _FIX_ALL = types.CodeActionKind.QuickFix, "source.fixAll.hoggin"
_TRIGGERS = [".", " ", ":", "("]

# --- knowledge


@answers(
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


@answers(types.TEXT_DOCUMENT_HOVER, None)
def _hovered(asked: Question[types.HoverParams]) -> types.Hover | None:
    found = hover(asked.snapshot, asked.offset(asked.params.position))
    if found is None:
        return None
    text = types.MarkupContent(types.MarkupKind.Markdown, _markdown(found.lines))
    return types.Hover(text, asked.protocol.range_of(found.span))


@answers(
    types.TEXT_DOCUMENT_SIGNATURE_HELP,
    None,
    types.SignatureHelpOptions(trigger_characters=["(", ","], retrigger_characters=[":"]),
)
def _signed(asked: Question[types.SignatureHelpParams]) -> types.SignatureHelp | None:
    offset, project = asked.offset(asked.params.position), asked.made.desk.project
    found = signatures(asked.snapshot, offset, project.reader)
    if found is None:
        return None
    given = [asked.protocol.signature(one) for one in found.signatures]
    return types.SignatureHelp(given, found.signature, found.part)


@answers(
    types.TEXT_DOCUMENT_CODE_ACTION,
    [],
    types.CodeActionOptions(code_action_kinds=[_QUICK_FIX, _FIX_ALL]),
)
def _actions(asked: Question[types.CodeActionParams]) -> list[types.CodeAction]:
    wanted = asked.params.context.only or [_QUICK_FIX]
    fixed = _fixing(asked) if any(_holds(kind, _QUICK_FIX) for kind in wanted) else []
    if any(_holds(kind, _FIX_ALL) for kind in wanted):
        return [*fixed, *_fixing_all(asked, _FIX_ALL, least=1)]
    return [*fixed, *(_fixing_all(asked, _QUICK_FIX, least=2) if fixed else [])]


def _holds(kind: str, other: str) -> bool:
    """Whether a kind of action is another one, or has it among its own."""
    return other == kind or other.startswith(f"{kind}.")


def _fixing_all(
    asked: Question[types.CodeActionParams], kind: str, least: int
) -> list[types.CodeAction]:
    """Every fix of the document that needs no choice, if there are as many."""
    found = all_fixed(asked.made.desk.project, asked.snapshot)
    if found.count < least:
        return []
    title = f"fix all {found.count} in this file" if found.count > 1 else "fix the one in this file"
    sources = {asked.snapshot.name: asked.snapshot.source}
    edit = asked.protocol.workspace_edit(sources, found.edits)
    return [types.CodeAction(title, kind=kind, edit=edit)]


def _fixing(asked: Question[types.CodeActionParams]) -> list[types.CodeAction]:
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


@answers(types.TEXT_DOCUMENT_FORMATTING, [])
def _laid(asked: Question[types.DocumentFormattingParams]) -> list[types.TextEdit]:
    source = asked.snapshot.source
    return [asked.protocol.text_edit(source, edit) for edit in formatting(asked.snapshot)]


# --- names


@answers(types.TEXT_DOCUMENT_DEFINITION, [])
def _defined(asked: Question[types.DefinitionParams]) -> list[types.Location]:
    spans = definition(asked.snapshot, asked.offset(asked.params.position))
    return [asked.protocol.location(span) for span in spans]


@answers(types.TEXT_DOCUMENT_REFERENCES, [])
def _references(asked: Question[types.ReferenceParams]) -> list[types.Location]:
    found = uses(asked.made.desk.project, asked.snapshot, asked.offset(asked.params.position))
    declarations = asked.params.context.include_declaration
    return [asked.protocol.location(u.span) for u in found if declarations or not u.declares]


@answers(types.TEXT_DOCUMENT_DOCUMENT_HIGHLIGHT, [])
def _highlighted(
    asked: Question[types.DocumentHighlightParams],
) -> list[types.DocumentHighlight]:
    found = highlights(asked.snapshot, asked.offset(asked.params.position))
    return [types.DocumentHighlight(asked.protocol.range_of(one.span)) for one in found]


@answers(types.TEXT_DOCUMENT_PREPARE_RENAME, None)
def _prepared(asked: Question[types.PrepareRenameParams]) -> types.PrepareRenamePlaceholder:
    span = renamable(asked.snapshot, asked.offset(asked.params.position))
    return types.PrepareRenamePlaceholder(asked.protocol.range_of(span), span.text)


@answers(types.TEXT_DOCUMENT_RENAME, None, types.RenameOptions(prepare_provider=True))
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


@asked_of_server(types.WORKSPACE_SYMBOL, [])
def _found(made: Server, params: types.WorkspaceSymbolParams) -> list[types.WorkspaceSymbol]:
    desk = made.desk
    folders = [desk.path_of(uri) for uri in made.workspace.folders]
    protocol = Protocol(made.encoding, lambda name: name)
    return [
        types.WorkspaceSymbol(
            types.Location(desk.uri_of(found.path), protocol.range_of(found.entry.name)),
            found.entry.title,
            symbol_kind(found.entry.kind),
            container_name=found.container,
        )
        for found in symbols(desk.project, folders, params.query)
    ]


# --- views of the whole document


@answers(types.TEXT_DOCUMENT_DOCUMENT_SYMBOL, [])
def _symbols(asked: Question[types.DocumentSymbolParams]) -> list[types.DocumentSymbol]:
    return [asked.protocol.symbol(entry) for entry in outline(asked.snapshot.file)]


@answers(types.TEXT_DOCUMENT_FOLDING_RANGE, [])
def _folded(asked: Question[types.FoldingRangeParams]) -> list[types.FoldingRange]:
    comment = types.FoldingRangeKind.Comment
    return [
        types.FoldingRange(f.first, f.last, kind=comment if f.is_comment else None)
        for f in folds(asked.snapshot)
    ]


@answers(types.TEXT_DOCUMENT_SEMANTIC_TOKENS_FULL, None, LEGEND)
def _tokens(asked: Question[types.SemanticTokensParams]) -> types.SemanticTokens:
    return asked.protocol.tokens(asked.snapshot.source, coloured(asked.snapshot))


@answers(types.TEXT_DOCUMENT_INLAY_HINT, [])
def _hinted(asked: Question[types.InlayHintParams]) -> list[types.InlayHint]:
    snapshot, seen = asked.snapshot, asked.params.range
    found = hints(snapshot, asked.offset(seen.start), asked.offset(seen.end) + 1)
    return [asked.protocol.hint(snapshot.source, one) for one in found]


@answers(types.TEXT_DOCUMENT_CODE_LENS, [], types.CodeLensOptions())
def _lenses(asked: Question[types.CodeLensParams]) -> list[types.CodeLens]:
    whole = summary(asked.snapshot)
    first = [] if whole is None else [asked.protocol.lens(whole, OPEN_FLOWSHEET)]
    each = verdicts(asked.snapshot)
    return [*first, *(asked.protocol.lens(verdict, SHOW_DETAILS) for verdict in each)]


@answers(types.TEXT_DOCUMENT_DOCUMENT_LINK, [], types.DocumentLinkOptions())
def _linked(asked: Question[types.DocumentLinkParams]) -> list[types.DocumentLink]:
    uri_of = asked.made.desk.uri_of
    return [
        types.DocumentLink(asked.protocol.range_of(span), uri_of(path), tooltip=tip)
        for span, path, tip in links(asked.snapshot)
    ]


def _markdown(lines: tuple[str, ...]) -> str:
    """Lines as Markdown: each a line of its own, those of code and lists as they are."""
    return "\n".join(
        f"{line}  " if line and not line.startswith(("    ", "-")) else line for line in lines
    )
