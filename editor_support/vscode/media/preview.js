// Shows what the language server says of the plant. A click on a thing of the drawing leads to its line.
const editor = acquireVsCodeApi();
const part = (id) => document.getElementById(id);
const nonce = document.currentScript.nonce;
const NOTHING = "No flowsheet yet: it is drawn when the plant has no errors.";

let found = null;
let sheet = 0;

window.addEventListener("message", ({ data }) => {
  if (data.kind === "show") show(data.found);
  if (data.kind === "mark") mark(data.line);
});
editor.postMessage({ kind: "ready" });

function show(given) {
  const isDrawn = given?.sheets !== undefined;
  say(isDrawn ? given.said : given?.said || NOTHING);
  if (!isDrawn) return; // the last drawing stays
  found = given;
  sheet = Math.min(sheet, found.sheets.length - 1);
  draw();
  part("tables").replaceChildren(...found.tables.map(table));
  part("notes").replaceChildren(...found.notes.map((note) => element("p", note)));
}

function say(text) {
  part("said").textContent = text;
  part("said").hidden = text === "";
}

function draw() {
  const names = found.sheets.map((one) => one.title);
  part("sheets").hidden = names.length < 2;
  part("sheets").replaceChildren(...names.map(choice));
  // The page's policy takes the drawing's own styles from this script alone.
  const [whole, rules] = found.sheets[sheet].svg.match(/<style>([^]*?)<\/style>/);
  const text = found.sheets[sheet].svg.replace(whole, "");
  const parsed = new DOMParser().parseFromString(text, "image/svg+xml");
  const drawing = document.importNode(parsed.documentElement, true);
  drawing.setAttribute("role", "group");
  drawing.setAttribute("aria-label", `Flowsheet of ${found.title}`);
  drawing.querySelector("title")?.remove();
  drawing.querySelector(":scope > rect.paper")?.remove();
  drawing.prepend(styled(rules));
  for (const group of drawing.querySelectorAll("[data-of]")) lead(group, found.lines[group.dataset.of]);
  part("drawing").replaceChildren(drawing);
}

function styled(text) {
  const style = document.createElement("style");
  style.nonce = nonce;
  style.textContent = text;
  return style;
}

function choice(name, place) {
  const button = element("button", name);
  button.setAttribute("aria-pressed", String(place === sheet));
  button.addEventListener("click", () => {
    sheet = place;
    draw();
    part("sheets").children[place].focus();
  });
  return button;
}

function lead(group, line) {
  if (line === undefined) return;
  group.dataset.line = line;
  group.setAttribute("role", "link");
  group.setAttribute("tabindex", "0");
  group.setAttribute("aria-label", `${group.dataset.of}, line ${line + 1}`);
  const go = () => editor.postMessage({ kind: "go", line });
  group.addEventListener("click", go);
  group.addEventListener("keydown", (pressed) => pressed.key === "Enter" && go());
}

function mark(line) {
  for (const group of document.querySelectorAll("[data-line]"))
    group.classList.toggle("marked", Number(group.dataset.line) === line);
}

function table({ title, headings, numeric, rows }) {
  const row = (cells, kind) =>
    element("tr", ...cells.map((text, place) => cell(kind, text, numeric[place])));
  return element(
    "figure",
    element("figcaption", title),
    element(
      "table",
      element("thead", row(headings, "th")),
      element("tbody", ...rows.map((cells) => row(cells, "td"))),
    ),
  );
}

function cell(kind, text, isNumeric) {
  const made = element(kind, text);
  made.classList.toggle("numeric", isNumeric);
  return made;
}

function element(name, ...inside) {
  const made = document.createElement(name);
  made.append(...inside);
  return made;
}
