"""Answers in the protocol's own types. Positions are in the units agreed with the client."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from lsprotocol import types

from hoggin.diagnostics.diagnostic import Diagnostic
from hoggin.diagnostics.source import Source, Span
from hoggin.editor.asking import Item
from hoggin.editor.colouring import MODIFIERS, TYPES, Coloured
from hoggin.editor.edits import Edit
from hoggin.editor.hints import STALE, Hint, Verdict
from hoggin.editor.outline import Entry
from hoggin.editor.places import Encoding, position_of, units
from hoggin.editor.signatures import Part, Signature

OPEN_FLOWSHEET, SHOW_DETAILS = "hoggin.flowsheet", "hoggin.details"
LEGEND = types.SemanticTokensLegend(token_types=list(TYPES), token_modifiers=list(MODIFIERS))
_SYMBOLS = {
    "plant": types.SymbolKind.Module,
    "library": types.SymbolKind.Namespace,
    "let": types.SymbolKind.Variable,
    "class": types.SymbolKind.Class,
    "template": types.SymbolKind.Class,
    "series": types.SymbolKind.Array,
    "material": types.SymbolKind.Struct,
    "band": types.SymbolKind.Struct,
    "grading": types.SymbolKind.Struct,
    "setting": types.SymbolKind.Property,
    "parameter": types.SymbolKind.Property,
    "model": types.SymbolKind.Function,
    "deck": types.SymbolKind.Property,
    "port": types.SymbolKind.Interface,
    "requirement": types.SymbolKind.Boolean,
    "choose": types.SymbolKind.Enum,
    "option": types.SymbolKind.EnumMember,
    "case": types.SymbolKind.Event,
}
_ITEMS = {
    "keyword": types.CompletionItemKind.Keyword,
    "namespace": types.CompletionItemKind.Module,
    "class": types.CompletionItemKind.Class,
    "type": types.CompletionItemKind.Unit,
    "variable": types.CompletionItemKind.Variable,
    "parameter": types.CompletionItemKind.Variable,
    "property": types.CompletionItemKind.Property,
    "enumMember": types.CompletionItemKind.EnumMember,
    "operator": types.CompletionItemKind.Operator,
    "number": types.CompletionItemKind.Value,
    "function": types.CompletionItemKind.Function,
}


def symbol_kind(kind: str) -> types.SymbolKind:
    return _SYMBOLS.get(kind, types.SymbolKind.Object)


@dataclass(frozen=True)
class Protocol:
    """uri_of: the client's address of a file, by the name it is shown by."""

    encoding: Encoding
    uri_of: Callable[[str], str]

    def position(self, source: Source, offset: int) -> types.Position:
        line, column = position_of(source, offset, self.encoding)
        return types.Position(line, column)

    def range(self, source: Source, start: int, end: int) -> types.Range:
        return types.Range(self.position(source, start), self.position(source, end))

    def range_of(self, span: Span) -> types.Range:
        return self.range(span.source, span.start, span.end)

    def location(self, span: Span) -> types.Location:
        return types.Location(self.uri_of(span.source.name), self.range_of(span))

    def diagnostic(self, found: Diagnostic) -> types.Diagnostic:
        error, warning = types.DiagnosticSeverity.Error, types.DiagnosticSeverity.Warning
        message = f"{found.message}\n{found.help}" if found.help else found.message
        return types.Diagnostic(
            self.range_of(found.span),
            message,
            severity=error if found.is_error else warning,
            code=found.code,
            source="hoggin",
            tags=[types.DiagnosticTag.Unnecessary] if found.code == "W0101" else None,
            related_information=[
                types.DiagnosticRelatedInformation(self.location(note.span), note.text)
                for note in found.notes
            ]
            or None,
        )

    def text_edit(self, source: Source, edit: Edit) -> types.TextEdit:
        return types.TextEdit(self.range(source, edit.start, edit.end), edit.text)

    def workspace_edit(
        self, sources: Mapping[str, Source], edits: Iterable[Edit]
    ) -> types.WorkspaceEdit:
        changes: dict[str, list[types.TextEdit]] = {}
        for edit in edits:
            if edit.file in sources:
                uri = self.uri_of(edit.file)
                changes.setdefault(uri, []).append(self.text_edit(sources[edit.file], edit))
        return types.WorkspaceEdit(changes=changes)

    def item(
        self, source: Source, start: int, offset: int, item: Item, place: int, snippets: bool
    ) -> types.CompletionItem:
        text, form = item.text, types.InsertTextFormat.PlainText
        if snippets and item.hole and item.hole in text:
            before, _, after = text.rpartition(item.hole)
            text = f"{_escaped(before)}${{1:{_escaped(item.hole)}}}{_escaped(after)}"
            form = types.InsertTextFormat.Snippet
        return types.CompletionItem(
            label=item.label,
            kind=_ITEMS.get(item.kind, types.CompletionItemKind.Text),
            detail=item.detail or None,
            sort_text=f"{place:04}",
            filter_text=item.label,
            insert_text_format=form,
            text_edit=types.TextEdit(self.range(source, start, offset), text),
            additional_text_edits=[self.text_edit(source, edit) for edit in item.edits] or None,
        )

    def symbol(self, entry: Entry) -> types.DocumentSymbol:
        return types.DocumentSymbol(
            name=entry.title,
            detail=entry.detail,
            kind=symbol_kind(entry.kind),
            range=self.range_of(entry.span),
            selection_range=self.range_of(entry.name),
            children=[self.symbol(inner) for inner in entry.inner],
        )

    def hint(self, source: Source, hint: Hint) -> types.InlayHint:
        place = self.position(source, hint.offset)
        return types.InlayHint(place, hint.text, tooltip=hint.tip, padding_left=True)

    def lens(self, verdict: Verdict, command: str) -> types.CodeLens:
        """A click carries out a command of the server, which a client may do in its own way."""
        text = f"{verdict.text} {STALE}" if verdict.is_stale else verdict.text
        place = self.range_of(verdict.span)
        uri = self.uri_of(verdict.span.source.name)
        given = (
            [uri] if command == OPEN_FLOWSHEET else [uri, place.start.line, place.start.character]
        )
        return types.CodeLens(place, types.Command(text, command, arguments=given))

    def signature(self, found: Signature) -> types.SignatureInformation:
        return types.SignatureInformation(
            found.label,
            documentation=found.about or None,
            parameters=[
                types.ParameterInformation(_units_of(found.label, part, self.encoding), part.about)
                for part in found.parts
            ],
        )

    def tokens(self, source: Source, found: Iterable[Coloured]) -> types.SemanticTokens:
        """Each token by its distance from the one before, as the protocol has it."""
        data: list[int] = []
        line = column = 0
        for one in found:
            place = self.position(source, one.start)
            same = place.line == line
            data += [
                place.line - line,
                place.character - column if same else place.character,
                units(source.text[one.start : one.end], self.encoding),
                TYPES.index(one.type),
                sum(1 << MODIFIERS.index(modifier) for modifier in one.modifiers),
            ]
            line, column = place.line, place.character
        return types.SemanticTokens(data=data)


def _units_of(label: str, part: Part, encoding: Encoding) -> tuple[int, int]:
    """Where a part of a signature's label is."""
    return units(label[: part.start], encoding), units(label[: part.end], encoding)


def _escaped(text: str) -> str:
    return re.sub(r"[\\$}]", r"\\\g<0>", text)
