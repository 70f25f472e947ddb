// The licences of the npm packages that a bundle contains.
import { readFileSync, readdirSync } from "node:fs";

const PACKAGE = /.*node_modules\/(?:@[^/]+\/)?[^/]+/;

/** Name, version, licence and its text of each package, by the metafile of esbuild. */
export function licences({ inputs }) {
  const folders = new Set(Object.keys(inputs).flatMap((path) => path.match(PACKAGE) ?? []));
  const texts = [...folders].sort().map((folder) => {
    const { name, version, license } = JSON.parse(readFileSync(`${folder}/package.json`, "utf8"));
    const file = readdirSync(folder).find((entry) => /^licen[cs]e/i.test(entry));
    if (file === undefined) throw new Error(`${name} has no licence file`);
    const text = readFileSync(`${folder}/${file}`, "utf8").trim();
    return `${name} ${version} (${license})\n\n${text}\n`;
  });
  return texts.join(`\n${"-".repeat(72)}\n\n`);
}
