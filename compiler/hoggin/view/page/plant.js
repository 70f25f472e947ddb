// The plant on the page: asks the server for the state and shows it.

import { fill } from "./fill.js";
import { Sheet } from "./sheet.js";

const at = (id) => document.getElementById(id);
const STEP = 1.25;
const LATE_MS = 500; // for a drawing: from then on the page says that it shows the previous reading
const KINDS = { feed: "Feeds", machine: "Machines", product: "Products", stream: "Streams" };

let shown = -1; // number of the reading that flowsheet and tables are of
let open = ""; // key of what the details are of
let opener = null; // where the focus goes back to when they close
let asking = false;
let askAgain = false;

const sheet = new Sheet(
  at("drawing"),
  (key, follow) => {
    openDetails(key, follow).catch(lost);
  },
  (place) => {
    at("sheet").value = String(place);
  },
);

/** Ask for the state; a call while one runs makes it run once more. */
export async function refresh() {
  askAgain = true;
  if (asking) return;
  asking = true;
  try {
    while (askAgain) {
      askAgain = false;
      await showState(await (await asked("state.json")).json());
    }
  } catch {
    lost();
  } finally {
    asking = false;
  }
}

async function asked(name) {
  const answer = await fetch(name);
  if (!answer.ok && answer.status !== 404) throw new Error(`${answer.status}`);
  return answer;
}

async function showState(state) {
  at("title").textContent = state.title || "No plant yet";
  at("subtitle").textContent = state.subtitle;
  fill(at("verdicts"), state.verdicts);
  placeVerdicts(state.fault);
  at("statement").textContent = state.statement;
  at("age").hidden = !state.stale;
  for (const part of document.querySelectorAll(".of-plant")) part.hidden = state.good === 0;
  document.title = `${state.headline}: ${state.title || "Hoggin"}`;
  const said = `Read at ${new Date().toLocaleTimeString("en-GB")}: ${state.headline}. ${state.changed}`.trim();
  const late = setTimeout(() => tellLate(said), LATE_MS);
  try {
    if (state.good !== shown) await showPlant();
    at("changed").hidden = !document.querySelector("#drawing .changed");
  } finally {
    clearTimeout(late);
  }
  showAge(state.stale);
  at("status").textContent = said;
  at("status").className = state.fault ? "over" : "";
}

/** Errors are above the flowsheet, verdicts below it. Where the text is written beside it, they come
 * and go as one types, and nothing moves for them. */
function placeVerdicts(first) {
  if (at("desk")) return;
  const [verdicts, plant] = [at("verdicts").parentElement, at("plant")];
  const isFirst = verdicts.nextElementSibling === plant;
  if (isFirst === first) return;
  const focused = document.activeElement;
  if (first) plant.before(verdicts);
  else plant.after(verdicts);
  if (verdicts.contains(focused)) focused.focus({ preventScroll: true });
}

/** A large plant takes seconds to draw. */
function tellLate(said) {
  const older = shown > 0 ? " The flowsheet and the tables are OLDER until then." : "";
  at("status").textContent = `${said} The flowsheet is being drawn.${older}`;
  showAge(shown > 0);
}

function showAge(stale) {
  for (const part of ["plant", "tables"]) at(part).classList.toggle("stale", stale);
}

async function showPlant() {
  const plant = await (await asked("plant.json")).json();
  shown = plant.good;
  fill(at("tables"), plant.tables);
  at("to-cases").hidden = !at("cases-heading");
  fillSheets(plant.sheets);
  sheet.show(plant.sheets, plant.items);
  if (plant.unable) at("drawing").append(paragraph(plant.unable));
  fillFind(plant.items);
  if (open && !sheet.items.has(open)) closeDetails();
  else if (open) await fillDetails(open);
}

function paragraph(text) {
  const made = document.createElement("p");
  made.textContent = text;
  return made;
}

function fillSheets(sheets) {
  const of = (sheet, n) => new Option(`${n + 1} of ${sheets.length}: ${sheet.title}`, String(n));
  at("sheet").replaceChildren(...sheets.map(of));
  at("sheets").hidden = sheets.length < 2;
}

function fillFind(items) {
  const groups = Object.entries(KINDS).map(([kind, heading]) => {
    const group = document.createElement("optgroup");
    group.label = heading;
    group.append(
      ...items
        .filter((item) => item.kind === kind)
        .map((item) => new Option(item.shown, item.key)),
    );
    return group;
  });
  at("find").replaceChildren(
    new Option("choose", ""),
    ...groups.filter((group) => group.children.length),
  );
  at("find").value = items.some((item) => item.key === open) ? open : "";
}

/** follow: whether the focus goes into the details, as it does for who came by keyboard. */
async function openDetails(key, follow, from = null) {
  opener = from;
  open = key;
  if (!(await fillDetails(key))) return;
  at("details").scrollTop = 0;
  if (follow) at("details-heading")?.focus();
}

/** Fill the details; they close when the plant no longer has what they are of. */
async function fillDetails(key) {
  const answer = await asked(`details.html?key=${encodeURIComponent(key)}`);
  const text = answer.ok ? await answer.text() : "";
  if (open !== key) return false; // another was opened meanwhile
  if (!text) {
    closeDetails();
    return false;
  }
  fill(at("details-body"), text);
  at("details").hidden = false;
  sheet.pick(key);
  sheet.fit(); // the details take room from the drawing
  sheet.bringIn(key);
  at("find").value = key;
  return true;
}

function closeDetails() {
  const inside = at("details").contains(document.activeElement);
  const key = open;
  open = "";
  at("details").hidden = true;
  at("details-body").replaceChildren();
  at("find").value = "";
  sheet.pick("");
  sheet.fit();
  if (!inside) return;
  if (opener?.isConnected) opener.focus();
  else if (sheet.items.has(key)) sheet.focus(key);
  else at("flowsheet-heading").focus();
}

export function lost() {
  at("status").textContent =
    "NO CONNECTION: hoggin view has ended or is busy. The page shows the last state. " +
    "If you start it again, open the address that it prints.";
  at("status").className = "over";
}

at("nearer").addEventListener("click", () => sheet.zoom(STEP));
at("farther").addEventListener("click", () => sheet.zoom(1 / STEP));
at("whole").addEventListener("click", () => sheet.whole());
at("sheet").addEventListener("change", (event) => sheet.turn(Number(event.target.value)));
at("close").addEventListener("click", closeDetails);
at("find").addEventListener("change", (event) => {
  const key = event.target.value;
  if (!key) return;
  openDetails(key, false, event.target).then(() => sheet.reveal(key)).catch(lost);
});
document.addEventListener("click", (event) => {
  const button = event.target.closest?.("button.to");
  if (!button) return;
  const from = at("details").contains(button) ? opener : button;
  openDetails(button.dataset.key, true, from).then(() => sheet.reveal(button.dataset.key)).catch(lost);
});
document.addEventListener("keydown", (event) => {
  const meant = event.defaultPrevented || event.target.closest?.("dialog"); // for what has the focus
  if (event.key === "Escape" && open && !meant) closeDetails();
});
