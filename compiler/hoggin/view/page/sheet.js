// The drawing: selection and view, by pointer and by keyboard.

import { hand } from "./hand.js";
import { step } from "./walk.js";

const NEAREST = 40; // times nearer than the whole sheet
const FARTHEST = 1.25;
const STEP = 1.25;
const CLICK_PX = 4; // a press that moves less is a click
const READ_PX = 11; // height of text one comes near enough to read
const LEAST_PX = 9; // text lower than this is not read: one begins near enough to read
const MOST_PX = 14; // text of a small plant is not made larger than this
const TEXT = 2.5; // its height in the drawing's own units, mm
const EDGE = 3; // mm of sheet that are seen beside what is brought in
const SVG = "http://www.w3.org/2000/svg";

export class Sheet {
  /** holder: the element the drawing stands in. open: called with the key of what is picked.
   * turned: called with the place of the sheet that is shown, from 0. */
  constructor(holder, open, turned) {
    this.holder = holder;
    this.open = open;
    this.turned = turned;
    this.items = new Map();
    this.sheets = []; // an SVG each
    this.at = 0; // the place of the one that is shown
    this.here = ""; // key of the item that Tab reaches
    this.came = ""; // and of the one before it
    this.picked = "";
    this.fingers = new Map(); // what presses the drawing, by its number, and where
    this.pressed = {}; // what is under the first of them, and whether it has moved since
    holder.addEventListener("keydown", (event) => this.#key(event));
    holder.addEventListener("wheel", (event) => this.#wheel(event), { passive: false });
    holder.addEventListener("pointerdown", (event) => this.#press(event));
    addEventListener("pointermove", (event) => this.#move(event));
    addEventListener("pointerup", (event) => this.#lift(event));
    addEventListener("pointercancel", (event) => this.#lift(event));
    addEventListener("resize", () => this.fit());
    holder.addEventListener("focusin", (event) => this.#focused(event.target));
    holder.addEventListener("focusout", () => this.ring?.setAttribute("visibility", "hidden"));
  }

  /** Put a drawing in. What was looked at, picked and focused stays so where it still is. */
  show(sheets, items) {
    const seen = this.svg && this.#share();
    const focused = this.holder.contains(document.activeElement);
    this.items = new Map(items.map((item) => [item.key, item]));
    this.holder.innerHTML = sheets.map((sheet) => sheet.drawing).join("");
    this.sheets = [...this.holder.querySelectorAll("svg")];
    this.svg = undefined;
    if (!this.sheets.length) return;
    this.ring = document.createElementNS(SVG, "rect");
    this.ring.setAttribute("class", "ring");
    this.ring.setAttribute("visibility", "hidden");
    this.here = this.items.has(this.here) ? this.here : (items[0]?.key ?? "");
    this.turn(Math.min(this.at, this.sheets.length - 1));
    if (seen) this.#lookAt(seen);
    this.pick(this.items.has(this.picked) ? this.picked : "");
    if (focused) this.#button(this.here)?.focus({ preventScroll: true });
  }

  /** Show the sheet at a place, from 0: all of it, or as much as can be read. */
  turn(at) {
    this.at = at;
    this.svg = this.sheets[at];
    for (const sheet of this.sheets) sheet.toggleAttribute("hidden", sheet !== this.svg);
    this.svg.append(this.ring);
    const [x, y, width, height] = this.svg.dataset.box.split(" ").map(Number);
    this.full = { x, y, width, height };
    this.holder.parentElement.style.setProperty("--shape", `${width} / ${height}`);
    this.holder.parentElement.style.setProperty("--most", `${(height * MOST_PX) / TEXT}px`);
    this.#set({ ...this.full });
    this.#reach(this.#on(this.svg, this.here) ? this.here : this.#first());
    this.#legible();
    this.turned(at);
  }

  /** The drawing has another room: text keeps its size, unless all is seen and can be read. */
  fit() {
    if (!this.svg) return;
    const scale = this.#scale();
    const whole = this.look.width > 0.999 * this.full.width;
    if (!whole || TEXT * scale < LEAST_PX) this.#wide((this.look.width * scale) / this.pixels);
    this.#ontoSheet();
    this.pixels = this.#scale();
  }

  /** Mark what the details are of; "" for nothing. */
  pick(key) {
    this.picked = key;
    for (const group of this.holder.querySelectorAll("[data-key]")) {
      const is = group.dataset.key === key;
      group.classList.toggle("picked", is);
      if (group.getAttribute("role") === "button" && is) group.setAttribute("aria-current", "true");
      else group.removeAttribute("aria-current");
    }
  }

  /** Move the focus to an item; it is then brought in. */
  focus(key) {
    const button = this.#shown(key);
    if (!button) return;
    this.#reach(key);
    button.focus({ preventScroll: true });
  }

  /** Come near enough to read an item, and put it in the middle, or as near to it as the sheet's edge
   * lets one. */
  reveal(key) {
    const button = this.#shown(key);
    if (!button) return;
    this.#reach(key);
    this.#near(this.#boxOf(button));
  }

  whole() {
    if (this.svg) this.#set({ ...this.full });
  }

  /** Nearer for a factor over 1, about a point of the drawing or about its middle. */
  zoom(factor, at) {
    if (!this.svg) return;
    const { x, y, width, height } = this.look;
    const least = this.full.width / NEAREST;
    const most = this.full.width * FARTHEST;
    const wide = Math.min(most, Math.max(least, width / factor));
    const high = (wide * height) / width;
    const mid = at ?? { x: x + width / 2, y: y + height / 2 };
    this.#set({
      x: mid.x - ((mid.x - x) * wide) / width,
      y: mid.y - ((mid.y - y) * high) / height,
      width: wide,
      height: high,
    });
  }

  /** Begin near enough to read where the whole sheet is too small. */
  #legible() {
    if (TEXT * this.#scale() >= LEAST_PX) return;
    const button = this.#on(this.svg, this.here);
    this.#near(button ? this.#boxOf(button) : { ...this.full, width: 0, height: 0 });
  }

  #near(box) {
    const width = Math.min(this.look.width, this.#readable());
    this.#lookAt({
      x: (box.x + box.width / 2 - this.full.x) / this.full.width,
      y: (box.y + box.height / 2 - this.full.y) / this.full.height,
      width: width / this.full.width,
    });
    this.#ontoSheet();
  }

  /** Look at a piece of this width about the same middle. */
  #wide(width) {
    this.zoom(this.look.width / Math.min(width, this.full.width));
  }

  #on(svg, key) {
    return svg.querySelector(`.item[data-key="${CSS.escape(key)}"]`);
  }

  #first() {
    return this.svg.querySelector(".item")?.dataset.key ?? this.here;
  }

  /** The button of an item: on the sheet that is shown, or on the first that has it. */
  #button(key) {
    return this.#on(this.svg, key) ?? this.#on(this.holder, key);
  }

  /** The same, with its sheet turned to. */
  #shown(key) {
    const button = this.svg && this.#button(key);
    const at = button ? this.sheets.indexOf(button.ownerSVGElement) : this.at;
    if (at !== this.at) this.turn(at);
    return button;
  }

  /** Let Tab reach this item and no other. */
  #reach(key) {
    if (key !== this.here) [this.came, this.here] = [this.here, key];
    for (const button of this.holder.querySelectorAll(".item")) {
      button.setAttribute("tabindex", button.dataset.key === key ? "0" : "-1");
    }
  }

  #focused(target) {
    const button = target.closest(".item");
    if (!button) return;
    this.#reach(button.dataset.key);
    if (!button.matches(":focus-visible")) return;
    this.bringIn(button.dataset.key);
    const box = this.#boxOf(button);
    const gap = 1;
    this.ring.setAttribute("x", box.x - gap);
    this.ring.setAttribute("y", box.y - gap);
    this.ring.setAttribute("width", box.width + 2 * gap);
    this.ring.setAttribute("height", box.height + 2 * gap);
    this.ring.setAttribute("visibility", "visible");
  }

  /** Where an item lies, in the units of the drawing. */
  #boxOf(group) {
    const sides = [...group.querySelectorAll(".hit")].map((hit) => {
      const [x, y, width, height] = ["x", "y", "width", "height"].map((side) =>
        Number(hit.getAttribute(side)),
      );
      return { x, y, right: x + width, foot: y + height };
    });
    const x = Math.min(...sides.map((side) => side.x));
    const y = Math.min(...sides.map((side) => side.y));
    const width = Math.max(...sides.map((side) => side.right)) - x;
    const height = Math.max(...sides.map((side) => side.foot)) - y;
    return { x, y, width, height };
  }

  #middle(key) {
    const box = this.#boxOf(this.#button(key));
    return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
  }

  /** Move the drawing no more than is needed to have an item inside. */
  bringIn(key) {
    const button = this.svg && this.#on(this.svg, key);
    if (!button) return;
    const box = this.#boxOf(button);
    const seen = this.#seen();
    const edge = Math.min(EDGE, 0.04 * seen.width);
    let { x, y } = this.look;
    x += Math.min(0, box.x - edge - seen.x);
    x += Math.max(0, box.x + box.width + edge - (seen.x + seen.width));
    y += Math.min(0, box.y - edge - seen.y);
    y += Math.max(0, box.y + box.height + edge - (seen.y + seen.height));
    this.#set({ ...this.look, x, y });
  }

  /** What is seen: more than is looked at where the holder is of another shape. */
  #seen() {
    const frame = this.svg.getBoundingClientRect();
    const scale = this.#scale();
    const width = frame.width / scale;
    const height = frame.height / scale;
    return {
      x: this.look.x + (this.look.width - width) / 2,
      y: this.look.y + (this.look.height - height) / 2,
      width,
      height,
    };
  }

  /** Pixels to a unit of the drawing. */
  #scale() {
    const frame = this.svg.getBoundingClientRect();
    return Math.min(frame.width / this.look.width, frame.height / this.look.height) || 1;
  }

  /** How wide a piece may be looked at with text still to be read. */
  #readable() {
    return (this.look.width * this.#scale() * TEXT) / READ_PX;
  }

  /** The middle of what is looked at and its width, as shares of the whole. */
  #share() {
    return {
      x: (this.look.x + this.look.width / 2 - this.full.x) / this.full.width,
      y: (this.look.y + this.look.height / 2 - this.full.y) / this.full.height,
      width: this.look.width / this.full.width,
    };
  }

  #lookAt(share) {
    const width = share.width * this.full.width;
    const height = share.width * this.full.height;
    this.#set({
      x: this.full.x + share.x * this.full.width - width / 2,
      y: this.full.y + share.y * this.full.height - height / 2,
      width,
      height,
    });
  }

  /** Let what is seen lie on the sheet where it has room there; else the sheet is in its middle. */
  #ontoSheet() {
    const seen = this.#seen();
    const off = (from, size, start, length) =>
      size < length
        ? Math.min(start + length - size, Math.max(start, from)) - from
        : start + (length - size) / 2 - from;
    this.#set({
      ...this.look,
      x: this.look.x + off(seen.x, seen.width, this.full.x, this.full.width),
      y: this.look.y + off(seen.y, seen.height, this.full.y, this.full.height),
    });
  }

  /** Look at a piece, its middle never off the sheet. */
  #set(look) {
    const hold = (from, size, start, length) =>
      Math.min(start + length - size / 2, Math.max(start - size / 2, from));
    this.look = {
      ...look,
      x: hold(look.x, look.width, this.full.x, this.full.width),
      y: hold(look.y, look.height, this.full.y, this.full.height),
    };
    const { x, y, width, height } = this.look;
    this.svg.setAttribute("viewBox", `${x} ${y} ${width} ${height}`);
    this.pixels = this.#scale();
  }

  /** A point of the screen in the units of the drawing. */
  #point(x, y) {
    return new DOMPoint(x, y).matrixTransform(this.svg.getScreenCTM().inverse());
  }

  /** Nearer and farther; where the whole plant is seen already, the page scrolls on. */
  #wheel(event) {
    const whole = this.svg && this.look.width > 0.999 * this.full.width;
    if (!this.svg || (whole && event.deltaY > 0)) return;
    event.preventDefault();
    const quick = event.deltaMode === 1 ? 0.05 : event.ctrlKey ? 0.01 : 0.0015; // ctrl: two fingers
    this.zoom(Math.exp(-event.deltaY * quick), this.#point(event.clientX, event.clientY));
  }

  /** Drag to move the drawing, with two fingers to come nearer as well; a press that does not move
   * picks what is under it. */
  #press(event) {
    if (!this.svg || event.button !== 0) return;
    if (event.isPrimary) this.fingers.clear();
    this.fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
    const { key, sheet } = event.target.closest("[data-key]")?.dataset ?? {};
    this.pressed = { key, sheet, moved: this.fingers.size > 1 };
  }

  #move(event) {
    const was = this.fingers.get(event.pointerId);
    const is = { x: event.clientX, y: event.clientY };
    if (!was || !this.svg) return;
    if (!this.pressed.moved && Math.hypot(is.x - was.x, is.y - was.y) <= CLICK_PX) return;
    this.pressed.moved = true;
    this.svg.classList.add("held");
    const before = hand([...this.fingers.values()]);
    this.fingers.set(event.pointerId, is);
    const after = hand([...this.fingers.values()]);
    const { x, y } = this.look;
    const scale = this.#scale();
    this.#set({
      ...this.look,
      x: x - (after.x - before.x) / scale,
      y: y - (after.y - before.y) / scale,
    });
    if (before.spread && after.spread) {
      this.zoom(after.spread / before.spread, this.#point(after.x, after.y));
    }
  }

  #lift(event) {
    if (!this.fingers.delete(event.pointerId) || this.fingers.size || !this.svg) return;
    this.svg.classList.remove("held");
    const { key, sheet, moved } = this.pressed;
    if (moved || event.type !== "pointerup") return;
    if (sheet) this.#follow(Number(sheet) - 1, key);
    if (sheet || !this.items.has(key)) return;
    this.#reach(key);
    this.#button(key)?.focus({ preventScroll: true });
    this.open(key, false);
  }

  /** Go to another sheet, to where a stream goes on. */
  #follow(at, key) {
    this.turn(at);
    if (!this.#on(this.svg, key)) return;
    this.reveal(key);
    this.#button(key).focus({ preventScroll: true });
  }

  #key(event) {
    const button = event.target.closest?.(".item");
    if (!button || event.ctrlKey || event.metaKey || event.altKey) return;
    const key = button.dataset.key;
    const done = this.#keys(event, key);
    if (done) event.preventDefault();
  }

  #keys(event, key) {
    if (event.key.startsWith("Arrow")) {
      if (event.shiftKey) this.#push(event.key);
      else this.#walk(key, event.key);
      return true;
    }
    switch (event.key) {
      case "Enter":
      case " ":
        this.open(key, true);
        return true;
      case "+":
      case "=":
        this.zoom(STEP, this.#middle(key));
        return true;
      case "-":
        this.zoom(1 / STEP, this.#middle(key));
        return true;
      case "0":
        this.whole();
        return true;
      case "PageDown":
      case "PageUp":
        return this.#page(event.key === "PageDown" ? 1 : -1);
      default:
        return false;
    }
  }

  /** To the next or the previous sheet, if there are several. */
  #page(by) {
    const at = this.at + by;
    if (this.sheets.length < 2) return false;
    if (!this.sheets[at]) return true;
    this.turn(at);
    const first = this.#on(this.svg, this.here);
    if (first) first.focus({ preventScroll: true });
    return true;
  }

  /** Beside a stream one stays on the same machine's streams: where one came from stays known. */
  #walk(key, arrow) {
    const came = this.came;
    const next = step(this.items, key, arrow, came);
    if (next === key) return;
    this.focus(next);
    if (arrow === "ArrowLeft" || arrow === "ArrowRight") this.came = came;
  }

  #push(arrow) {
    const by = 0.15 * this.look.width;
    const dx = { ArrowLeft: -by, ArrowRight: by }[arrow] ?? 0;
    const dy = { ArrowUp: -by, ArrowDown: by }[arrow] ?? 0;
    this.#set({ ...this.look, x: this.look.x + dx, y: this.look.y + dy });
  }
}
