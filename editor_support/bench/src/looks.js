// The editor's look: the page's own colours, which follow light and dark.

import { EditorView } from "@codemirror/view";

const MONO = '"Liberation Mono", Consolas, Menlo, monospace';
const panel = { backgroundColor: "var(--tint)", color: "var(--ink)" };
const wave = (colour) => ({
  backgroundImage: "none", // the library's own is a picture that the page's policy keeps out
  textDecoration: `underline wavy ${colour} 1.5px`,
  textUnderlineOffset: "3px",
  textDecorationSkipInk: "none",
});

export const looks = EditorView.theme({
  "&": { height: "100%", color: "var(--ink)", backgroundColor: "var(--paper)", fontSize: "13px" },
  "&.cm-focused": { outline: "none" }, // the page draws a ring round all of it
  ".cm-scroller": { fontFamily: MONO, lineHeight: "1.5" },
  ".cm-content": { caretColor: "var(--ink)", padding: "4px 0" },
  ".cm-cursor": { borderLeftColor: "var(--ink)", borderLeftWidth: "2px" },
  "&.cm-focused > .cm-scroller > .cm-selectionLayer .cm-selectionBackground, .cm-selectionBackground": {
    background: "var(--picked)",
  },
  ".cm-activeLine": { backgroundColor: "transparent" }, // a ground would hide the selection
  ".cm-activeLineGutter": { backgroundColor: "var(--tint)", color: "var(--ink)" },
  ".cm-gutters": { backgroundColor: "var(--paper)", color: "var(--quiet)", borderRight: "1px solid var(--hair)" },
  ".cm-panels": panel,
  ".cm-panels-top": { borderBottom: "1px solid var(--edge)" },
  ".cm-panels-bottom": { borderTop: "1px solid var(--edge)" },
  ".cm-button, .cm-diagnosticAction, .cm-textfield, .cm-merge-revert button, .cm-chunkButtons button": {
    font: "inherit",
    color: "var(--ink)",
    background: "var(--paper)",
    border: "1px solid var(--edge)",
    borderRadius: "3px",
    padding: "2px 8px",
  },
  ".cm-tooltip": {
    backgroundColor: "var(--paper)",
    color: "var(--ink)",
    border: "1px solid var(--edge)",
    boxShadow: "0 2px 8px #0004",
    maxWidth: "36rem",
  },
  ".cm-tooltip.cm-tooltip-hover, .cm-tooltip.about": { maxHeight: "24rem", overflow: "auto", padding: "4px 8px" },
  ".cm-lsp-documentation pre, .about pre": { fontFamily: MONO, whiteSpace: "pre-wrap" },
  ".cm-tooltip-autocomplete > ul": { fontFamily: MONO, maxHeight: "16rem" },
  ".cm-tooltip-autocomplete > ul > li[aria-selected]": { background: "var(--picked)", color: "var(--ink)" },
  ".cm-completionDetail": { color: "var(--quiet)", fontStyle: "normal" },
  ".cm-completionMatchedText": { textDecoration: "underline" },
  ".cm-diagnostic": { borderLeft: "4px solid var(--edge)", whiteSpace: "pre-wrap" },
  ".cm-diagnostic-error": { borderLeftColor: "var(--fault)" },
  ".cm-diagnostic-warning": { borderLeftColor: "var(--warned)" },
  ".cm-panel.cm-panel-lint ul": { maxHeight: "9rem" },
  ".cm-panel.cm-panel-lint ul [aria-selected]": { backgroundColor: "var(--picked)" },
  ".cm-panel.cm-panel-lint button[name=close]": { color: "var(--ink)" },
  ".cm-lintRange-error": wave("var(--fault)"),
  ".cm-lintRange-warning": wave("var(--warned)"),
  ".cm-lintRange-active": { backgroundColor: "var(--picked)" },
  ".cm-lintPoint:after": { borderBottomColor: "var(--fault)" },
  ".cm-searchMatch": { backgroundColor: "transparent", outline: "1px solid var(--edge)" },
  ".cm-searchMatch-selected": { backgroundColor: "var(--picked)" },
  ".cm-changedLine, .cm-insertedLine": { backgroundColor: "var(--tint) !important" },
  ".cm-deletedChunk": { backgroundColor: "var(--tint)", borderLeft: "4px double var(--ink)" },
  ".cm-changedText, .cm-deletedText, .cm-deletedChunk .cm-deletedText": {
    background: "none !important",
    textDecoration: "underline 2px",
  },
  ".cm-deletedChunk .cm-deletedText": { textDecoration: "line-through" },
  ".cm-changeGutter .cm-gutterElement": { background: "none !important" },
  ".hog-keyword": { fontWeight: "bold" },
  ".hog-comment": { color: "var(--quiet)" },
  ".hog-number": { color: "var(--number)" },
  ".hog-string": { color: "var(--string)" },
  ".hog-class, .hog-type, .hog-namespace, .hog-function": { color: "var(--class)" },
});
