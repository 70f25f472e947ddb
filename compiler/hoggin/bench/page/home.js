// The page of the folder: its files, a form for a new plant, and examples.

import { at, button, got, posted } from "./asking.js";

const FILE = { name: "name", asks: "Name of the file", hint: "as `plant.hog`", choices: [] };

const told = await got("folder.json");
at("folder").textContent = told.folder;
at("files").replaceChildren(...told.files.map(listed));
at("no-files").hidden = told.files.length > 0;
at("questions").replaceWith(...[...told.questions, FILE].map(asked));
const groups = new Set(told.examples.map((one) => one.group));
at("examples").replaceChildren(...[...groups].flatMap(grouped));

function listed(file) {
  const item = document.createElement("li");
  const link = document.createElement("a");
  link.href = file.address;
  link.textContent = file.name;
  item.append(link);
  if (file.unsaved) item.append(" (not saved)");
  return item;
}

/** A question with room for its answer and for what is wrong with it. */
function asked(question) {
  const label = document.createElement("label");
  const field = document.createElement(question.choices.length ? "select" : "input");
  field.append(...question.choices.map((choice) => new Option(choice)));
  field.name = question.name;
  if (question.name === FILE.name) field.value = "plant.hog";
  const fault = document.createElement("span");
  fault.id = `fault-${question.name}`;
  fault.className = "fault";
  field.setAttribute("aria-describedby", fault.id);
  const hint = question.choices.length ? "" : `, ${question.hint.replaceAll("`", "")}`;
  label.append(`${question.asks}${hint}`, field, fault);
  return label;
}

/** The examples of a group under its name. */
function grouped(group) {
  const heading = document.createElement("h3");
  heading.textContent = group[0].toUpperCase() + group.slice(1);
  const list = document.createElement("dl");
  list.append(...told.examples.filter((one) => one.group === group).flatMap(offered));
  return [heading, list];
}

function offered(example) {
  const title = document.createElement("dt");
  const open = button("Open a copy", () => act(() => posted("copy", { name: example.name })));
  open.setAttribute("aria-label", `Open a copy of ${example.name}: ${example.title}`);
  title.append(`${example.name} `, open);
  const about = document.createElement("dd");
  about.textContent = example.title;
  return [title, about];
}

at("new").addEventListener("submit", (event) => {
  event.preventDefault();
  const answers = Object.fromEntries(new FormData(at("new")));
  at("said").textContent = "Balancing several candidates. This takes some seconds.";
  act(() => posted("begin", answers));
});

/** Do something that makes a file, and go to its page. */
async function act(make) {
  for (const fault of document.querySelectorAll(".fault")) fault.textContent = "";
  for (const field of at("new").elements) field.removeAttribute("aria-invalid");
  try {
    location.assign((await make()).address);
  } catch (refusal) {
    refuse(refusal);
  }
}

function refuse(refusal) {
  const faults = Object.entries(refusal.told?.faults ?? {});
  for (const [name, fault] of faults) {
    at(`fault-${name}`).textContent = fault;
    at("new").elements[name].setAttribute("aria-invalid", "true");
  }
  at("said").textContent = faults.length ? "Some answers can't be used." : refusal.message;
  if (faults.length) at("new").elements[faults[0][0]].focus();
  else at("said").scrollIntoView({ block: "nearest" });
}
