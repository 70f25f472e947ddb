// The connection to the language server, and what an editor asks it beside what the client does.

import { LSPClient, LSPPlugin, hoverTooltips, serverCompletion, signatureHelp } from "@codemirror/lsp-client";
import { setDiagnostics } from "@codemirror/lint";
import DOMPurify from "dompurify";

const SEVERITIES = ["", "error", "warning", "info", "hint"];
const PATIENCE_MS = 20000; // the first answer waits for the compiler to be loaded

/** offerFixes: called with the view, to offer what can be done at the cursor. */
export function connected(transport, offerFixes) {
  const client = new LSPClient({
    timeout: PATIENCE_MS,
    sanitizeHTML: (html) => DOMPurify.sanitize(html, { FORBID_ATTR: ["style"], FORBID_TAGS: ["img", "style"] }),
    extensions: [serverCompletion({ override: true }), hoverTooltips(), signatureHelp(), faults(offerFixes)],
  });
  return client.connect(transport);
}

/** The faults that the server finds, each with its code and its help, and a way to its fixes. */
function faults(offerFixes) {
  return {
    // A text that is filled in at stops would leave out the `use` line that it may need.
    clientCapabilities: { textDocument: { completion: { completionItem: { snippetSupport: false } } } },
    notificationHandlers: {
      "textDocument/publishDiagnostics": (client, params) => {
        const view = client.workspace.getFile(params.uri)?.getView();
        const plugin = view && LSPPlugin.get(view);
        if (!plugin) return true;
        const at = (place) => plugin.unsyncedChanges.mapPos(plugin.fromPosition(place, plugin.syncedDoc));
        const found = params.diagnostics.map((one) => ({
          from: at(one.range.start),
          to: at(one.range.end),
          severity: SEVERITIES[one.severity ?? 1],
          message: `${one.code}: ${one.message}`,
          renderMessage: () => told(one),
          actions: [{ name: "Fix", apply: (v, from) => (v.dispatch({ selection: { anchor: from } }), offerFixes(v)) }],
        }));
        view.dispatch(setDiagnostics(view.state, found));
        return true;
      },
    },
  };
}

function told(fault) {
  const [message, ...help] = fault.message.split("\n");
  const made = document.createElement("div");
  const code = document.createElement("strong");
  code.textContent = `${fault.severity === 2 ? "warning" : "error"} ${fault.code}`;
  made.append(code, ` ${message}`);
  if (help.length) {
    const line = document.createElement("div");
    line.textContent = `help: ${help.join(" ")}`;
    made.append(line);
  }
  return made;
}

async function asked(view, method, params) {
  const plugin = LSPPlugin.get(view);
  if (!plugin) return null;
  plugin.client.sync();
  return plugin.client.request(`textDocument/${method}`, { textDocument: { uri: plugin.uri }, ...params });
}

/** The fixes at the cursor or in the selection: each with its `title` and its `edit`. */
export async function fixes(view) {
  const plugin = LSPPlugin.get(view);
  const { from, to } = view.state.selection.main;
  const line = view.state.doc.lineAt(from);
  const ask = async (start, end) => {
    const range = { start: plugin.toPosition(start), end: plugin.toPosition(end) };
    const found = (await asked(view, "codeAction", { range, context: { diagnostics: [] } })) ?? [];
    return found.filter((action) => action.edit); // the page runs no commands
  };
  const here = await ask(from, to);
  return here.length ? here : ask(line.from, line.to); // the cursor need not be on the very word
}

/** Where the name at the cursor is declared: `uri` and `range`. */
export async function declaration(view) {
  const found = await asked(view, "definition", { position: cursor(view) });
  return Array.isArray(found) ? found[0] : found;
}

/** What is known of the place of the cursor, as HTML. */
export async function about(view) {
  const found = await asked(view, "hover", { position: cursor(view) });
  return found && LSPPlugin.get(view).docToHTML(found.contents);
}

export async function renameable(view) {
  return asked(view, "prepareRename", { position: cursor(view) });
}

export async function renamed(view, newName) {
  return asked(view, "rename", { position: cursor(view), newName });
}

export async function laidOut(view) {
  return asked(view, "formatting", { options: { tabSize: 2, insertSpaces: true } });
}

function cursor(view) {
  return LSPPlugin.get(view).toPosition(view.state.selection.main.head);
}

/** Put edits of the protocol into the text, as one step of its history. */
export function apply(view, edits) {
  const plugin = LSPPlugin.get(view);
  const changes = edits.map((edit) => ({
    from: plugin.fromPosition(edit.range.start),
    to: plugin.fromPosition(edit.range.end),
    insert: edit.newText,
  }));
  view.dispatch({ changes, userEvent: "input", scrollIntoView: true });
}
