// The panel of the flowsheet in a stand-in for the editor: what it shows, when it is renewed, where a
// click leads, and what its page may load.
import assert from "node:assert/strict";
import test from "node:test";

import { build } from "esbuild";

const STAND_IN = {
  name: "stand-in",
  setup(build) {
    build.onResolve({ filter: /^vscode$/ }, () => ({ path: "vscode", namespace: "stand-in" }));
    build.onLoad({ filter: /.*/, namespace: "stand-in" }, () => ({
      contents: `
        export class Position { constructor(line, character) { Object.assign(this, { line, character }) } }
        export class Range { constructor(start, end) { Object.assign(this, { start, end }) } }
        export class Selection extends Range {}
        export const ViewColumn = { One: 1, Beside: -2 };
        export const TextEditorRevealType = { InCenterIfOutsideViewport: 2 };
        export const Uri = { joinPath: (base, ...parts) => address([base, ...parts].join("/")) };
        const address = (text) => ({ toString: () => text });
        export const window = globalThis.standIn.window;
      `,
    }));
  },
};

const PLANT = { toString: () => "file:///hill.hog" };

function editor() {
  const made = { posted: [], titles: [], shown: [], panels: 0, listening: {} };
  const nothing = { dispose() {} };
  const listen = (name) => (act) => {
    made.listening[name] = act;
    return nothing;
  };
  const document = { languageId: "hoggin", uri: PLANT };
  made.text = { document, selection: { active: { line: 7 } }, viewColumn: 1, revealRange() {} };
  made.window = {
    activeTextEditor: made.text,
    visibleTextEditors: [made.text],
    onDidChangeActiveTextEditor: listen("active"),
    onDidChangeTextEditorSelection: listen("selection"),
    showTextDocument: async (uri, options) => {
      made.shown.push([uri.toString(), options.selection.start.line]);
      return made.text;
    },
    createWebviewPanel: () => {
      made.panels += 1;
      made.panel = {
        set title(title) {
          made.titles.push(title);
        },
        reveal() {},
        onDidDispose: listen("dispose"),
        dispose() {
          made.listening.dispose();
        },
        webview: {
          cspSource: "https://own.example",
          asWebviewUri: (uri) => uri,
          onDidReceiveMessage: listen("message"),
          postMessage: async (message) => void made.posted.push(message),
        },
      };
      return made.panel;
    },
  };
  return made;
}

async function opened(answers) {
  const made = editor();
  globalThis.standIn = made;
  const { outputFiles } = await build({
    entryPoints: [new URL("../src/preview.ts", import.meta.url).pathname],
    bundle: true,
    write: false,
    format: "esm",
    platform: "node",
    plugins: [STAND_IN],
  });
  const code = `${outputFiles[0].text}\n//${Math.random()}`; // a module of its own for each test
  const { Preview } = await import(`data:text/javascript,${encodeURIComponent(code)}`);
  const asked = [];
  made.preview = new Preview({ extensionUri: "extension" }, async (uri) => {
    asked.push(uri);
    return answers.shift();
  });
  await made.preview.show();
  await made.listening.message({ kind: "ready" });
  return { made, asked };
}

test("the page loads files of the extension, and nothing from elsewhere", async () => {
  const { made } = await opened([null]);
  const html = made.panel.webview.html;
  assert.match(html, /default-src 'none'; style-src https:\/\/own\.example 'nonce-[0-9a-f]{32}'/);
  assert.deepEqual(html.match(/(?:src|href)="[^"]*"/g), [
    'href="extension/media/preview.css"',
    'src="extension/media/preview.js"',
  ]);
  assert.doesNotMatch(html, /unsafe|\son\w+=/);
});

test("it shows what the server says, and is renewed with new results of that plant", async () => {
  const first = { title: "Hill", said: "" };
  const { made, asked } = await opened([first, { title: "Hill", said: "changed" }]);
  assert.deepEqual(made.posted, [
    { kind: "show", found: first },
    { kind: "mark", line: 7 },
  ]);
  await made.preview.renew("file:///other.hog");
  assert.equal(asked.length, 1);
  await made.preview.renew("file:///hill.hog");
  assert.equal(made.posted.at(-2).found.said, "changed");
  assert.equal(made.titles.at(-1), "Flowsheet: Hill");
});

test("before the first balance, and without a server, it shows no plant", async () => {
  const { made } = await opened([undefined]);
  assert.deepEqual(made.posted[0], { kind: "show", found: null });
  assert.equal(made.titles.at(-1), "Flowsheet");
});

test("a click leads to a line of the text", async () => {
  const { made } = await opened([null]);
  await made.listening.message({ kind: "go", line: 12 });
  assert.deepEqual(made.shown, [["file:///hill.hog", 12]]);
  await made.listening.message({ kind: "go", line: "12; rm" });
  assert.equal(made.shown.length, 1);
});

test("one panel is opened, and another after it was closed", async () => {
  const { made } = await opened([null, null]);
  await made.preview.show();
  assert.equal(made.panels, 1);
  made.panel.dispose();
  await made.preview.show();
  assert.equal(made.panels, 2);
});
