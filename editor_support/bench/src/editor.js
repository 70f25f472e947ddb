// The editor of the bench: CodeMirror with the plant's language server behind it.
//
// It stands in a shadow tree. There its styles need no exception from the page's policy, which lets
// no script write a style sheet into the document.

import { closeCompletion, completionKeymap, completionStatus, selectedCompletion } from "@codemirror/autocomplete";
import { defaultKeymap, history, historyKeymap, indentLess, indentMore } from "@codemirror/commands";
import { bracketMatching, indentUnit } from "@codemirror/language";
import { closeLintPanel, diagnosticCount, lintKeymap, nextDiagnostic, openLintPanel } from "@codemirror/lint";
import { unifiedMergeView } from "@codemirror/merge";
import { highlightSelectionMatches, search, searchKeymap } from "@codemirror/search";
import { Compartment, EditorState, Prec, StateEffect, StateField, Transaction } from "@codemirror/state";
import {
  EditorView, drawSelection, highlightActiveLine, highlightActiveLineGutter, keymap, lineNumbers, showTooltip,
} from "@codemirror/view";

import { colours } from "./colours.js";
import { about, apply, connected, declaration, fixes, laidOut, renameable, renamed } from "./language.js";
import { looks } from "./looks.js";

const PAUSE_MS = 250;
const LANGUAGE = "hoggin";

/**
 * holder: the element that it fills. label: its name for a screen reader.
 * act: what the page does: `changed(text)` after a pause, `faults(count)`, `save()`,
 * `show()`, `choose(fixes)`, `askName(now)`, `follow(place)`, `elsewhere(uri, edits)`, `say(sentence)`.
 */
export function editor({ holder, label, uri, text, transport, act }) {
  const root = holder.attachShadow({ mode: "open" });
  const inner = document.createElement("div");
  inner.style.height = "100%";
  root.append(inner);

  const language = new Compartment();
  const comparison = new Compartment();
  let due = 0;

  const told = EditorView.updateListener.of((update) => {
    if (diagnosticCount(update.state) !== diagnosticCount(update.startState)) act.faults(diagnosticCount(update.state));
    if (!update.docChanged || update.transactions.some((one) => one.annotation(Transaction.remote))) return;
    act.typed();
    clearTimeout(due);
    due = setTimeout(settle, PAUSE_MS);
  });

  const view = new EditorView({
    root,
    parent: inner,
    state: EditorState.create({
      doc: text,
      extensions: [
        Prec.highest(keymap.of([{ key: "Enter", run: leaveWhole }])),
        keymap.of([
          { key: "Mod-s", run: done(act.save), preventDefault: true },
          { key: "Mod-.", run: done(offerFixes), preventDefault: true },
          { key: "F2", run: done(rename), preventDefault: true },
          { key: "Mod-Enter", run: done(follow), preventDefault: true },
          { key: "Mod-i", run: done(explain), preventDefault: true },
          { key: "Alt-Enter", run: done(act.show), preventDefault: true },
          { key: "Shift-Alt-f", run: done(layOut), preventDefault: true },
          { key: "Mod-]", run: indentMore },
          { key: "Mod-[", run: indentLess },
          { key: "Escape", run: hide },
          ...completionKeymap, ...lintKeymap, ...searchKeymap, ...historyKeymap, ...defaultKeymap,
        ]),
        lineNumbers(), highlightActiveLineGutter(), highlightActiveLine(), drawSelection(), history(),
        bracketMatching(), highlightSelectionMatches(), search({ top: true }), indentUnit.of("  "),
        EditorState.tabSize.of(2), EditorView.lineWrapping, EditorView.contentAttributes.of({ "aria-label": label }),
        looks, explanation, told, comparison.of([]), language.of([]),
      ],
    }),
  });
  connect(transport);

  function connect(over) {
    const client = connected(over, offerFixes);
    view.dispatch({ effects: language.reconfigure([]) }); // what held the last client goes first
    view.dispatch({ effects: language.reconfigure([client.plugin(uri, LANGUAGE), colours(PAUSE_MS)]) });
  }

  function settle() {
    clearTimeout(due);
    due = 0;
    act.changed(view.state.doc.toString());
  }

  async function offerFixes() {
    const found = await fixes(view);
    if (!found.length) {
      act.say("There is no correction for this place.");
      return;
    }
    const chosen = await act.choose(found.map((fix) => fix.title));
    view.focus();
    if (chosen !== null) put(found[chosen].edit);
  }

  function put(edit) {
    for (const [where, edits] of Object.entries(edit?.changes ?? {})) {
      if (where === uri) apply(view, edits);
      else act.elsewhere(where, edits);
    }
  }

  async function rename() {
    const now = await renameable(view);
    if (!now) {
      act.say("The word at the cursor can't be renamed.");
      return;
    }
    const name = await act.askName(now.placeholder);
    view.focus();
    if (name) put(await renamed(view, name));
  }

  async function layOut() {
    const edits = await laidOut(view);
    if (edits?.length) apply(view, edits);
    act.say(edits?.length ? "The text is formatted." : "The text is already formatted, or has errors.");
  }

  async function follow() {
    const place = await declaration(view);
    if (!place) act.say("The word at the cursor is not declared anywhere.");
    else if (place.uri === uri) goTo(place.range.start.line + 1);
    else act.follow(place);
  }

  async function explain() {
    const html = await about(view);
    if (!html) act.say("There is no explanation for the word at the cursor.");
    else view.dispatch({ effects: explained.of({ html, at: view.state.selection.main.head }) });
  }

  function hide(target) {
    if (completionStatus(target.state)) return closeCompletion(target);
    if (!target.state.field(explanation)) return closeLintPanel(target);
    target.dispatch({ effects: explained.of(null) });
    return true;
  }

  function goTo(number) {
    const line = view.state.doc.line(Math.min(Math.max(number, 1), view.state.doc.lines));
    view.dispatch({ selection: { anchor: line.from }, effects: EditorView.scrollIntoView(line.from, { y: "center" }) });
    view.focus();
  }

  return {
    connect,
    explain,
    follow,
    goTo,
    layOut,
    offerFixes,
    rename,
    settle,
    text: () => view.state.doc.toString(),
    pending: () => due !== 0,
    /** The word at the cursor, then all of its line. */
    wordsHere() {
      const { state } = view;
      const { head } = state.selection.main;
      const word = state.wordAt(head);
      return [word && state.sliceDoc(word.from, word.to), ...(state.doc.lineAt(head).text.match(/\w+/g) ?? [])];
    },
    focus: () => view.focus(),
    faults: () => (openLintPanel(view), undefined),
    nextFault: () => (nextDiagnostic(view), view.focus()),
    /** Show another text, which was not typed here. The cursor stays where it was. */
    replace(other) {
      const now = view.state.doc.toString();
      let from = 0;
      while (from < Math.min(now.length, other.length) && now[from] === other[from]) from += 1;
      let end = 0;
      while (end < Math.min(now.length, other.length) - from && now.at(-1 - end) === other.at(-1 - end)) end += 1;
      const changes = { from, to: now.length - end, insert: other.slice(from, other.length - end) };
      view.dispatch({ changes, annotations: Transaction.remote.of(true) });
    },
    /** Show beside each changed place what another text has there; null ends it. */
    compare(other) {
      const merging = other === null ? [] : unifiedMergeView({ original: other, mergeControls: way });
      view.dispatch({ effects: comparison.reconfigure(merging) });
    },
  };
}

/** A command of the editor that does something, whatever comes of it. */
function done(act) {
  return () => {
    act();
    return true;
  };
}

/** A word that is written whole is not completed: Enter begins a new line. */
function leaveWhole(view) {
  const offered = selectedCompletion(view.state)?.displayLabel;
  if (!offered || !view.state.sliceDoc(0, view.state.selection.main.head).endsWith(offered)) return false;
  closeCompletion(view);
  return false;
}

/** What can be done with a place where the text differs from the file. */
function way(kind, act) {
  const made = document.createElement("button");
  made.textContent = kind === "accept" ? "Keep this" : "Use the file's";
  made.addEventListener("click", act);
  return made;
}

const explained = StateEffect.define();
const explanation = StateField.define({
  create: () => null,
  update(shown, transaction) {
    for (const effect of transaction.effects) if (effect.is(explained)) return effect.value && tooltip(effect.value);
    return transaction.docChanged || transaction.selection ? null : shown;
  },
  provide: (field) => showTooltip.from(field),
});

function tooltip({ html, at }) {
  const create = () => {
    const dom = document.createElement("div");
    dom.className = "about";
    dom.setAttribute("role", "status");
    dom.innerHTML = html; // made safe in `language.js`
    return { dom };
  };
  return { pos: at, above: true, create };
}
