/** The page of the preview. It loads two files of the extension, and nothing else from anywhere. */

import { randomBytes } from "node:crypto";

export function page(styles: string, script: string, source: string): string {
  const nonce = randomBytes(16).toString("hex");
  const policy = `default-src 'none'; style-src ${source} 'nonce-${nonce}'; script-src 'nonce-${nonce}'`;
  return `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<link rel="stylesheet" href="${styles}">
<title>Flowsheet</title>
</head>
<body>
<p id="said" role="status" hidden></p>
<nav id="sheets" aria-label="Sheets" hidden></nav>
<main id="drawing"></main>
<div id="tables"></div>
<footer id="notes"></footer>
<script nonce="${nonce}" src="${script}"></script>
</body>
</html>
`;
}
