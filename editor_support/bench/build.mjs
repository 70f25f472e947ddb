// One file of the editor and the libraries it uses, and the licences of those libraries, into the
// package. `--check` writes nothing and fails where the package holds other bytes.
import { readFileSync, writeFileSync } from "node:fs";

import { build } from "esbuild";

import { licences } from "../licences.mjs";

const FOLDER = "../../compiler/hoggin/bench/page";

const { metafile, outputFiles } = await build({
  entryPoints: ["src/editor.js"],
  outfile: "editor.js",
  bundle: true,
  format: "esm",
  target: "es2022",
  minify: true,
  legalComments: "none", // they are in the file of licences
  charset: "ascii",
  metafile: true,
  write: false,
  logLevel: "warning",
});

const made = {
  "editor.js": outputFiles[0].text,
  "editor_LICENCES.txt": licences(metafile),
};
let other = 0;
for (const [name, text] of Object.entries(made)) {
  const path = `${FOLDER}/${name}`;
  if (!process.argv.includes("--check")) writeFileSync(path, text);
  else if (readFileSync(path, "utf8") !== text) {
    console.error(`${path} is not what is built from its source: npm run build`);
    other = 1;
  }
}
process.exit(other);
