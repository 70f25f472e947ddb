// The scopes that the grammar gives to texts, by the engine VS Code itself uses.
// Reads a JSON list of texts from standard input; writes, for each text, its lines, and for each
// line its tokens as [start, end, innermost scopes separated by blanks].
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { text } from "node:stream/consumers";

const require = createRequire(import.meta.url);
const { INITIAL, Registry, parseRawGrammar } = require("vscode-textmate");
const { OnigScanner, OnigString, loadWASM } = require("vscode-oniguruma");

const grammarPath = new URL("../syntaxes/hoggin.tmLanguage.json", import.meta.url).pathname;
const wasm = readFileSync(require.resolve("vscode-oniguruma/release/onig.wasm"));
await loadWASM(wasm.buffer.slice(wasm.byteOffset, wasm.byteOffset + wasm.byteLength));
const registry = new Registry({
  onigLib: Promise.resolve({
    createOnigScanner: (patterns) => new OnigScanner(patterns),
    createOnigString: (line) => new OnigString(line),
  }),
  loadGrammar: async () => parseRawGrammar(readFileSync(grammarPath, "utf8"), grammarPath),
});
const grammar = await registry.loadGrammar("source.hoggin");

function tokenised(source) {
  let state = INITIAL;
  return source.split("\n").map((line) => {
    const found = grammar.tokenizeLine(line, state);
    state = found.ruleStack;
    return found.tokens.map(({ startIndex, endIndex, scopes }) => [
      startIndex,
      Math.min(endIndex, line.length),
      scopes.slice(1).join(" "),
    ]);
  });
}

const texts = JSON.parse(await text(process.stdin));
process.stdout.write(JSON.stringify(texts.map(tokenised)));
