// The built extension in a stand-in for the editor: what it starts, and what it says when it can't.
import assert from "node:assert/strict";
import { chmodSync, mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import Module, { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import test from "node:test";

const bundle = new URL("../dist/extension.js", import.meta.url).pathname;

/** Whatever is asked of it: a class, a function, a folder of names; only what is given is real. */
function standIn(given = {}) {
  const any = class {};
  return new Proxy(any, {
    get: (target, name) => {
      if (name in given) return given[name];
      if (name === "then" || typeof name === "symbol") return undefined;
      if (name === "prototype") return target.prototype;
      target[name] ??= standIn();
      return target[name];
    },
    apply: () => standIn(),
  });
}

function editor(command) {
  const told = [];
  const registered = {};
  const nothing = { dispose() {} };
  const event = () => nothing;
  const channel = new Proxy({}, { get: () => () => undefined });
  const listening = new Proxy(
    { textDocuments: [], notebookDocuments: [], workspaceFolders: undefined },
    { get: (real, name) => (name in real ? real[name] : name.startsWith("on") ? event : () => nothing) },
  );
  listening.getConfiguration = () => ({ get: (name) => (name === "command" ? command : undefined) });
  const vscode = standIn({
    version: "1.91.0",
    EventEmitter: class {
      event = event;
      fire() {}
      dispose() {}
    },
    workspace: listening,
    commands: {
      registerCommand: (name, run) => {
        registered[name] = run;
        return nothing;
      },
    },
    window: {
      createOutputChannel: () => channel,
      showInformationMessage: async (message) => void told.push(message),
      showWarningMessage: async (message) => void told.push(message),
      showErrorMessage: async (message) => void told.push(message),
      tabGroups: { onDidChangeTabs: event, all: [] },
      onDidChangeActiveTextEditor: event,
      onDidChangeTextEditorSelection: event,
      visibleTextEditors: [],
    },
    env: { appName: "stand-in", language: "en" },
  });
  return { vscode, told, registered };
}

function loaded(vscode) {
  const load = Module._load;
  Module._load = (name, ...rest) => (name === "vscode" ? vscode : load(name, ...rest));
  try {
    delete createRequire(bundle).cache[bundle];
    return createRequire(bundle)(bundle);
  } finally {
    Module._load = load;
  }
}

test("a command that is not there is reported once, and nothing is thrown", async () => {
  const { vscode, told, registered } = editor("/no/such/hoggin");
  const { activate, deactivate } = loaded(vscode);
  await activate({ subscriptions: [] });
  assert.ok("hoggin.restart" in registered);
  assert.equal(told.length, 1, told.join("\n"));
  assert.match(told[0], /\/no\/such\/hoggin language-server/);
  await deactivate();
});

test("a command that starts and ends at once is reported once", async () => {
  const folder = mkdtempSync(join(tmpdir(), "hoggin-"));
  const command = join(folder, "hoggin");
  writeFileSync(command, "#!/bin/sh\necho no such option >&2\nexit 2\n");
  chmodSync(command, 0o755);
  const { vscode, told } = editor(command);
  const { activate, deactivate } = loaded(vscode);
  await activate({ subscriptions: [] });
  assert.equal(told.length, 1, told.join("\n"));
  assert.match(told[0], /language-server` did not start.*Install Hoggin/);
  await deactivate();
});

test("the command that is set is run as the language server", async () => {
  const folder = mkdtempSync(join(tmpdir(), "hoggin-"));
  const command = join(folder, "hoggin");
  writeFileSync(command, '#!/bin/sh\necho "$@" > "$0.args"\nread -r first\necho "$first" > "$0.first"\n');
  chmodSync(command, 0o755);
  const { vscode } = editor(command);
  const { activate, deactivate } = loaded(vscode);
  await activate({ subscriptions: [] });
  assert.equal(readFileSync(`${command}.args`, "utf8").trim(), "language-server");
  assert.match(readFileSync(`${command}.first`, "utf8"), /^Content-Length: [0-9]+/);
  await deactivate();
});
