// How the language server is started, whatever stands in the setting.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";

import { transformSync } from "esbuild";

const source = readFileSync(new URL("../src/server.ts", import.meta.url), "utf8");
const { code } = transformSync(source, { loader: "ts", format: "esm" });
const { notStarted, serverStart } = await import(
  `data:text/javascript,${encodeURIComponent(code)}`
);

test("the command on the search path is taken when nothing is set", () => {
  for (const setting of [undefined, "", "  "]) {
    assert.deepEqual(serverStart(setting, "/home/me"), {
      command: "hoggin",
      args: ["language-server"],
    });
  }
});

test("a path is taken as it is, blanks at its ends left out", () => {
  assert.equal(serverStart(" /opt/my tools/hoggin ", "/home/me").command, "/opt/my tools/hoggin");
});

test("a path from the home folder is made whole", () => {
  assert.equal(serverStart("~/.venv/bin/hoggin", "/home/me").command, "/home/me/.venv/bin/hoggin");
  assert.equal(serverStart("~me/hoggin", "/home/me").command, "~me/hoggin");
});

test("without the command, the message says which was tried, why, and what to set", () => {
  const told = notStarted(serverStart("/no/hoggin", "/home/me"), new Error("spawn ENOENT"));
  assert.match(told, /\/no\/hoggin language-server/);
  assert.match(told, /spawn ENOENT/);
  assert.match(told, /hoggin\.command/);
});
