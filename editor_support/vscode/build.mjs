// One file of the extension and the libraries it uses, the licences of those libraries, and the README
// with its picture inside, because the editor shows none that is beside it.
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";

import { build } from "esbuild";

const { metafile } = await build({
  entryPoints: ["src/extension.ts"],
  outfile: "dist/extension.js",
  bundle: true,
  platform: "node",
  format: "cjs",
  target: "node20",
  external: ["vscode"], // which the editor gives
  minify: true,
  metafile: true,
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
mkdirSync("dist", { recursive: true });
writeFileSync("dist/LICENCES.txt", licences.join(`\n${"-".repeat(72)}\n\n`));

const readme = readFileSync("README.md", "utf8");
const embedded = (path) => `data:image/png;base64,${readFileSync(path).toString("base64")}`;
writeFileSync("dist/README.md", readme.replace(/media\/[a-z]+\.png/g, embedded));
