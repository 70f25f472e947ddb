// One file of the extension and the libraries it uses, its licence and theirs, and the README with its
// picture inside, because the editor shows none that is beside it.
import { copyFileSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";

import { build } from "esbuild";

import { licences } from "../licences.mjs";

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

copyFileSync("../../LICENSE", "LICENSE.txt"); // from where the packager takes it
mkdirSync("dist", { recursive: true });
writeFileSync("dist/LICENCES.txt", licences(metafile));

const readme = readFileSync("README.md", "utf8");
const embedded = (path) => `data:image/png;base64,${readFileSync(path).toString("base64")}`;
writeFileSync("dist/README.md", readme.replace(/media\/[a-z]+\.png/g, embedded));
