// What both pages of the bench use: requests to the server, and questions to who reads the page.

export const at = (id) => document.getElementById(id);

/** A refusal of the server, as it says it; `told` is all that it answers. */
export class Refusal extends Error {
  constructor(status, told) {
    super(told.fault ?? `The bench answers ${status}.`);
    this.status = status;
    this.told = told;
  }
}

export async function posted(name, content) {
  const headers = { "Content-Type": "application/json" };
  const answer = await fetch(name, { method: "POST", headers, body: JSON.stringify(content) });
  return understood(answer);
}

export async function got(name) {
  return understood(await fetch(name));
}

async function understood(answer) {
  const told = await answer.json().catch(() => ({}));
  if (!answer.ok) throw new Refusal(answer.status, told);
  return told;
}

/** Download what the server makes, under the name that it gives it. */
export async function downloaded(name) {
  const answer = await fetch(name);
  if (!answer.ok) return understood(answer);
  const given = answer.headers.get("Content-Disposition").split("''")[1];
  const link = document.createElement("a");
  link.href = URL.createObjectURL(await answer.blob());
  link.download = decodeURIComponent(given);
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60000);
  return { name: link.download };
}

export function button(text, act) {
  const made = document.createElement("button");
  made.type = "button";
  made.textContent = text;
  made.addEventListener("click", act);
  return made;
}

/** One of some ways by its place; null where none is chosen. */
export function choose(label, ways) {
  at("choose-label").textContent = label;
  const made = ways.map((way, place) => {
    const one = document.createElement("button");
    one.value = String(place + 1);
    one.textContent = way;
    return one;
  });
  at("choose-ways").replaceChildren(...made);
  return closed(at("choose")).then((value) => (value ? Number(value) - 1 : null));
}

/** A name that `use` takes: it is asked again, with what is wrong, until it does. Null for none. */
export async function askName(label, now, use) {
  at("ask-label").textContent = label;
  at("ask-input").value = now;
  at("ask-fault").textContent = "";
  for (;;) {
    const answer = closed(at("ask"));
    at("ask-input").select();
    if (!(await answer)) return null;
    try {
      return await use(at("ask-input").value.trim());
    } catch (fault) {
      if (!(fault instanceof Refusal)) throw fault;
      at("ask-fault").textContent = fault.message;
    }
  }
}

function closed(dialog) {
  dialog.returnValue = "";
  dialog.showModal();
  return new Promise((done) => dialog.addEventListener("close", () => done(dialog.returnValue), { once: true }));
}
