// What the tests ask the page, as functions of `probes`; the driver puts it into every document.

globalThis.probes = {
  look() {
    const box = document.querySelector("#drawing svg:not([hidden])").viewBox.baseVal;
    return [box.x, box.y, box.width, box.height];
  },

  middle(selector) {
    const element = document.querySelector(selector);
    element.scrollIntoView({ block: "nearest" });
    const box = element.getBoundingClientRect();
    return [box.x + box.width / 2, box.y + box.height / 2].map(Math.round);
  },

  /** A point of the screen in the units of the drawing. */
  under(x, y) {
    const into = document.querySelector("#drawing svg:not([hidden])").getScreenCTM().inverse();
    const point = new DOMPoint(x, y).matrixTransform(into);
    return [point.x, point.y];
  },

  /** The sheet that is shown: left, top, right and foot. */
  whole() {
    const box = document.querySelector("#drawing svg:not([hidden])").dataset.box;
    const [x, y, width, height] = box.split(" ").map(Number);
    return [x, y, x + width, y + height];
  },

  /** The height in pixels of the smallest words of the sheet that is shown. */
  smallest() {
    const svg = document.querySelector("#drawing svg:not([hidden])");
    const sizes = [...svg.querySelectorAll(".words")].map((one) => one.getAttribute("font-size"));
    return Math.min(...sizes.map(Number)) * svg.getScreenCTM().a;
  },

  /** What is seen of it: left, top, right and foot. */
  seen() {
    const box = document.querySelector("#drawing svg:not([hidden])").getBoundingClientRect();
    return [...this.under(box.left, box.top), ...this.under(box.right, box.bottom)];
  },

  /** Half way along the first piece of a stream. */
  halfWay(key) {
    document.getElementById("drawing").scrollIntoView();
    const piece = document.querySelector(`.piece[data-key="${key}"] path`);
    const half = piece.getPointAtLength(piece.getTotalLength() / 2);
    const point = half.matrixTransform(piece.getScreenCTM());
    return [point.x + 2, point.y];
  },

  edges(selector) {
    const box = document.querySelector(selector).getBoundingClientRect();
    return [box.left, box.top, box.right, box.bottom];
  },

  /** The items that arrows alone lead to from the first, by the page's own step function. */
  async reached() {
    const { step } = await import("./walk.js");
    const plant = await (await fetch("plant.json")).json();
    const items = new Map(plant.items.map((item) => [item.key, item]));
    const seen = new Map();
    const todo = [[plant.items[0].key, ""]];
    while (todo.length) {
      const [key, came] = todo.pop();
      const mark = JSON.stringify([key, came]);
      if (seen.has(mark)) continue;
      seen.set(mark, key);
      for (const arrow of ["ArrowDown", "ArrowUp", "ArrowRight", "ArrowLeft"]) {
        const next = step(items, key, arrow, came);
        const sideways = arrow === "ArrowLeft" || arrow === "ArrowRight";
        if (next !== key) todo.push([next, sideways ? came : key]);
      }
    }
    return [[...seen.values()], [...items.keys()]];
  },

  /** Every pair of a text's colour and the ground behind it, as computed. */
  colours(root = document.body) {
    const ground = (element) => {
      for (let at = element; at; at = at.parentElement ?? at.getRootNode().host) {
        const colour = getComputedStyle(at).backgroundColor;
        if (colour !== "rgba(0, 0, 0, 0)") return colour;
      }
      return "none";
    };
    const found = new Set();
    const walk = document.createTreeWalker(root, NodeFilter.SHOW_TEXT);
    while (walk.nextNode()) {
      const element = walk.currentNode.parentElement;
      const shown = element.getClientRects().length && !element.closest("noscript");
      if (!shown || !walk.currentNode.data.trim()) continue;
      const style = getComputedStyle(element);
      const box = element.closest(".item")?.querySelector(".hit");
      const fill = box ? getComputedStyle(box).fill : "rgba(0, 0, 0, 0)";
      found.add(
        JSON.stringify([
          element.closest("svg") ? style.fill : style.color,
          fill === "rgba(0, 0, 0, 0)" ? ground(element) : fill,
        ]),
      );
    }
    return [...found].map((pair) => JSON.parse(pair));
  },

  /** Something in the bench's editor, and the texts of all of a kind. */
  editor(selector) {
    return document.getElementById("text").shadowRoot.querySelector(selector);
  },

  words(selector) {
    return [...document.getElementById("text").shadowRoot.querySelectorAll(selector)].map((one) => one.textContent);
  },

  /** What another site gets of an address: read, loaded as this and that, listened to. It is put
   * into a frame as well. */
  async taken(url) {
    const load = (kind, name) =>
      new Promise((done) => {
        const element = document.createElement(kind);
        element.onload = () => done("taken");
        element.onerror = () => done("refused");
        element.src = url + name;
        document.body.append(element);
      });
    const read = fetch(`${url}state.json`).then(
      () => "taken",
      () => "refused",
    );
    const listened = new Promise((done) => {
      const events = new EventSource(`${url}events`);
      events.onmessage = () => done("taken");
      events.onerror = () => {
        events.close();
        done("refused");
      };
    });
    const frame = document.createElement("iframe");
    frame.src = url;
    document.body.append(frame);
    await new Promise((done) => setTimeout(done, 500));
    return Promise.all([read, load("script", "main.js"), load("img", "icon.svg"), listened]);
  },
};
