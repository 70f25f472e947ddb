// One file of the editor and the libraries it uses, and the licences of those libraries, into the
// package. `--check` writes nothing and fails where the package holds other bytes.
import { readFileSync, readdirSync, writeFileSync } from "node:fs";

import { build } from "esbuild";

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

const PACKAGE = /.*node_modules\/(?:@[^/]+\/)?[^/]+/;
const folders = new Set(Object.keys(metafile.inputs).flatMap((path) => path.match(PACKAGE) ?? []));
const licences = [...folders].sort().map((folder) => {
  const { name, version, license } = JSON.parse(readFileSync(`${folder}/package.json`, "utf8"));
  const file = readdirSync(folder).find((entry) => /^licen[cs]e/i.test(entry));
  if (file === undefined) throw new Error(`${name} has no licence file`);
  const text = readFileSync(`${folder}/${file}`, "utf8").trim();
  return `${name} ${version} (${license})\n\n${text}\n`;
});
const made = {
  "editor.js": outputFiles[0].text,
  "editor_LICENCES.txt": licences.join(`\n${"-".repeat(72)}\n\n`),
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
