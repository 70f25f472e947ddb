// The page of a file: its text in an editor, kept and read by the server, and the plant beside it.

import { askName, at, choose, downloaded, got, posted, Refusal, button } from "./asking.js";
import { editor } from "./editor.js";
import { Line } from "./line.js";
import { lost, refresh } from "./plant.js";

const LATER_MS = 2000;
const FORMS = [
  ["All documents and the report (ZIP)", "documents"],
  ["Flowsheet (PDF)", "pdf"],
  ["Flowsheet (SVG)", "svg"],
  ["Flowsheet (PNG)", "png"],
  ["Flowsheet (DXF)", "dxf"],
];

const file = await got("file.json");
let number = file.number; // of the text that the server has
let state = file; // what the server says of the text
let page = ""; // the name by which the server knows this page
let sending = Promise.resolve();
let unsent = false; // whether there is typed text that the server does not have
let leaving = false; // for another page of the bench

const line = new Line((messages) => posted("language", { page, messages }));
const text = editor({
  holder: at("text"),
  label: `Text of ${file.name}. Tab leaves it.`,
  uri: file.uri,
  text: file.text,
  transport: line.transport(),
  act: {
    typed() {
      unsent = true;
      showState();
    },
    changed: () => send(),
    faults: (count) => (at("faults").textContent = count ? `Errors and warnings: ${count}` : "Errors and warnings"),
    save,
    show: showOnFlowsheet,
    say,
    choose: (titles) => choose("Fix", titles),
    askName: (now) => askName("New name", now, (name) => name),
    follow,
    elsewhere: (uri, edits) =>
      posted("edit", { uri, edits })
        .then((told) => say(`Changed in ${told.name} too; open it to save it.`))
        .catch(failed),
  },
});
at("file-name").textContent = file.name;

/** Send the text to the server, one request after another, so that no older one comes last. */
function send() {
  sending = sending.then(sendNow).catch(failed);
  return sending;
}

async function sendNow() {
  if (!unsent) return;
  const sent = text.text();
  try {
    heard(await posted("text", { page, number, text: sent }));
  } catch (fault) {
    if (fault.status !== 409) throw fault;
    otherPage(fault.told);
    return;
  }
  unsent = text.text() !== sent;
  showState();
}

/** What the server says of the text. */
function heard(told) {
  state = told;
  number = told.number;
  showState();
}

function showState() {
  const unsaved = unsent || state.unsaved;
  at("saved").textContent = unsaved ? "not saved" : "saved";
  at("saved").className = unsaved ? "watch" : "quiet";
  at("save").disabled = !unsaved && !state.gone;
  if (state.elsewhere) changedElsewhere();
  else if (at("notice").dataset.of === "elsewhere") hideNotice();
}

async function save() {
  text.settle();
  await send();
  if (unsent) return; // another page was first, or there is no connection: that is on the page
  try {
    heard(await posted("save", {}));
    say(`Saved at ${new Date().toLocaleTimeString("en-GB")}.`);
  } catch (fault) {
    if (fault.status === 409) heard(fault.told);
    else failed(fault);
  }
}

// --- what was changed by others

function changedElsewhere() {
  const what = state.gone ? "was removed or renamed by another program" : "was changed by another program";
  notice("elsewhere", `${file.name} ${what}. Your text is not saved.`, [
    ["Compare", compare],
    ...(state.gone ? [] : [["Use the file's text", takeFile]]),
    ["Save under another name", saveAs],
  ]);
}

async function compare() {
  const told = await posted("compare", {});
  heard(told);
  text.compare(told.held);
  notice("compare", "Differences from the file are marked. What only the file has is struck out. Edit the text as you want it, then save.", [
    ["End the comparison", endCompare],
  ]);
  text.focus();
}

function endCompare() {
  text.compare(null);
  hideNotice();
  text.focus();
}

async function takeFile() {
  const told = await posted("take", {});
  text.replace(told.text);
  unsent = false;
  heard(told);
  text.focus();
}

function otherPage(told) {
  notice("page", "The text was changed on another page of the bench.", [
    ["Use that text", () => takeText(told)],
    ["Compare", () => (keep(told), text.compare(told.text))],
    ["Keep this text", () => keep(told)],
  ]);
}

function takeText(told) {
  text.replace(told.text);
  unsent = false;
  hideNotice();
  heard(told);
}

function keep(told) {
  hideNotice();
  heard(told);
  unsent = true;
  return send();
}

/** The server has another text than this page: it is shown, if nothing was typed here meanwhile. */
async function followText() {
  if (unsent || text.pending()) return; // the next sending finds out
  const told = await got("file.json");
  if (unsent || text.pending()) return;
  if (told.text !== text.text()) text.replace(told.text);
  heard(told);
}

function notice(of, sentence, ways) {
  if (at("notice").dataset.of === of && !at("notice").hidden) return;
  at("notice").dataset.of = of;
  at("notice-text").textContent = sentence;
  at("notice-ways").replaceChildren(...ways.map(([name, act]) => button(name, () => Promise.resolve(act()).catch(failed))));
  at("notice").hidden = false;
}

function hideNotice() {
  at("notice").hidden = true;
  at("notice").dataset.of = "";
}

// --- other files, and documents

function saveAs() {
  return askName("Name of the new file, as plant.hog", "", (name) => posted("save-as", { name, text: text.text() }))
    .then((made) => made && leave(`../${made.address}`))
    .catch(failed);
}

/** Show the details of what the line of the cursor names, and bring it into the drawing's view. */
function showOnFlowsheet() {
  const known = new Set([...at("find").options].map((option) => option.value));
  const key = text.wordsHere().find((word) => word && known.has(word));
  if (!key) {
    say("Nothing that this line names is on the flowsheet.");
    return;
  }
  at("find").value = key;
  at("find").dispatchEvent(new Event("change"));
}

/** The line that the details are of leads to that line of the text. */
function linkLines() {
  for (const caption of document.querySelectorAll("#details-body figcaption:not(:has(button))")) {
    const [, name, place] = caption.textContent.match(/^(.*):(\d+)$/) ?? [];
    if (!name || !(`/${file.name}`.endsWith(`/${name}`) || `/${name}`.endsWith(`/${file.name}`))) continue;
    const link = button(caption.textContent, () => text.goTo(Number(place)));
    link.className = "to-line";
    caption.replaceChildren(link);
  }
}

async function follow(place) {
  const name = `place.json?uri=${encodeURIComponent(place.uri)}`;
  const found = await got(name).catch(() => null);
  if (!found) say("It is declared outside this folder.");
  else if (found.address) leave(`${found.address}#${place.range.start.line + 1}`);
  else showLibrary(found, place.range.start.line);
}

function showLibrary(found, first) {
  at("library-name").textContent = found.name;
  const lines = found.text.split("\n");
  const mark = document.createElement("mark");
  mark.textContent = lines[first];
  const [before, after] = [lines.slice(0, first), lines.slice(first + 1)].map((some) => some.join("\n"));
  at("library-text").replaceChildren(`${before}\n`, mark, `\n${after}`);
  at("library").showModal();
  mark.scrollIntoView({ block: "center" });
  at("library-text").focus();
}

/** Go to another page of the bench; the server keeps the text. */
async function leave(address) {
  text.settle();
  await send();
  leaving = true;
  location.assign(address);
}

async function exportAs() {
  const chosen = await choose("Export to your downloads folder, from the saved file", FORMS.map(([name]) => name));
  if (chosen === null) return;
  if (unsent || state.unsaved || text.pending()) await save();
  if (unsent || state.unsaved) return;
  say("Making the documents. This takes some seconds.");
  const made = await downloaded(FORMS[chosen][1]);
  say(`Downloaded: ${made.name}`);
}

// --- messages

function say(sentence) {
  at("said").textContent = sentence;
}

function failed(fault) {
  if (fault instanceof Refusal) say(fault.message);
  else connectionLost();
}

function connectionLost() {
  lost();
  say("NO CONNECTION. The text stays on this page. It is sent when the bench answers again.");
  setTimeout(() => unsent && send(), LATER_MS);
}

for (const [id, act] of Object.entries({
  save,
  fix: text.offerFixes,
  faults: text.faults,
  explain: text.explain,
  follow: text.follow,
  show: showOnFlowsheet,
  rename: text.rename,
  "lay-out": text.layOut,
  "save-as": saveAs,
  export: exportAs,
})) {
  at(id).addEventListener("click", () => Promise.resolve(act()).catch(failed));
}
addEventListener("keydown", (event) => {
  if ((event.ctrlKey || event.metaKey) && event.key === "s" && !event.defaultPrevented) {
    event.preventDefault();
    save();
  }
});
addEventListener("beforeunload", (event) => {
  const kept = leaving && !unsent; // the server has it
  if ((unsent || state.unsaved) && !kept && navigator.userActivation.hasBeenActive) event.preventDefault();
});
at("all-files").addEventListener("click", (event) => {
  event.preventDefault();
  leave("../").catch(failed);
});
new MutationObserver(linkLines).observe(at("details-body"), { childList: true });
addEventListener("hashchange", goToLine);

function goToLine() {
  if (/^#\d+$/.test(location.hash)) text.goTo(Number(location.hash.slice(1)));
}

const events = new EventSource("events");
events.addEventListener("hello", (event) => {
  const again = page !== "";
  page = JSON.parse(event.data);
  line.open();
  if (!again) return;
  text.connect(line.transport());
  say("The connection is back.");
  if (unsent) send();
});
events.addEventListener("language", (event) => line.hear(event.data));
events.addEventListener("reading", () => refresh());
events.addEventListener("text", (event) => {
  const told = JSON.parse(event.data);
  if (told.number !== number) followText().catch(failed);
  else heard(told);
});
events.addEventListener("error", connectionLost);
goToLine();
