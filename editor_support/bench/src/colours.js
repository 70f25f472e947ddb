// The colours of words, as the language server knows what each word is.

import { LSPPlugin } from "@codemirror/lsp-client";
import { StateEffect } from "@codemirror/state";
import { Decoration, ViewPlugin } from "@codemirror/view";

const again = StateEffect.define();

/** pauseMs: without typing, before the server is asked again. */
export function colours(pauseMs) {
  return ViewPlugin.fromClass(
    class {
      decorations = Decoration.none;

      constructor(view) {
        this.ask(view);
      }

      update(update) {
        if (update.docChanged) {
          this.decorations = this.decorations.map(update.changes);
          clearTimeout(this.due);
          this.due = setTimeout(() => this.ask(update.view), pauseMs);
        }
      }

      async ask(view) {
        await null; // the client's own part of the editor is made first
        const plugin = LSPPlugin.get(view);
        if (!plugin) return;
        plugin.client.sync();
        const doc = view.state.doc;
        const textDocument = { uri: plugin.uri };
        const found = await plugin.client.request("textDocument/semanticTokens/full", { textDocument }).catch(() => null);
        if (!found || !doc.eq(view.state.doc)) return; // it was typed on: it is asked again after that
        const { tokenTypes } = plugin.client.serverCapabilities.semanticTokensProvider.legend;
        this.decorations = decorated(doc, found.data, tokenTypes);
        view.dispatch({ effects: again.of(null) });
      }

      destroy() {
        clearTimeout(this.due);
      }
    },
    { decorations: (plugin) => plugin.decorations },
  );
}

/** Tokens come in fives: lines and columns from the one before, length, type, modifiers. */
function decorated(doc, data, types) {
  const found = [];
  let line = 0;
  let column = 0;
  for (let at = 0; at < data.length; at += 5) {
    column = data[at] ? data[at + 1] : column + data[at + 1];
    line += data[at];
    const from = doc.line(line + 1).from + column;
    found.push(Decoration.mark({ class: `hog-${types[data[at + 3]]}` }).range(from, from + data[at + 2]));
  }
  return Decoration.set(found);
}
