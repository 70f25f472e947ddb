// The drawing: selection and view, by pointer and by keyboard.

import { hand } from "./hand.js";
import { step } from "./walk.js";

const NEAREST = 40; // times nearer than the whole plant
const FARTHEST = 1.25;
const STEP = 1.25;
const CLICK_PX = 4; // a press that moves less is a click
const READ_PX = 11; // height of text one comes near enough to read
const DOT_PX = 4; // text lower than this tells nothing: one begins near enough to read
const TEXT = 9; // its height in the drawing's own units
const SVG = "http://www.w3.org/2000/svg";

export class Sheet {
  /** holder: the element the drawing stands in. open: called with the key of what is picked. */
  constructor(holder, open) {
    this.holder = holder;
    this.open = open;
    this.items = new Map();
    this.here = ""; // key of the item that Tab reaches
    this.came = ""; // and of the one before it
    this.picked = "";
    this.fingers = new Map(); // what presses the drawing, by its number, and where
    this.pressed = {}; // the key of what is under the first of them, and whether it has moved since
    holder.addEventListener("keydown", (event) => this.#key(event));
    holder.addEventListener("wheel", (event) => this.#wheel(event), { passive: false });
    holder.addEventListener("pointerdown", (event) => this.#press(event));
    addEventListener("pointermove", (event) => this.#move(event));
    addEventListener("pointerup", (event) => this.#lift(event));
    addEventListener("pointercancel", (event) => this.#lift(event));
    holder.addEventListener("focusin", (event) => this.#focused(event.target));
    holder.addEventListener("focusout", () => this.ring?.setAttribute("visibility", "hidden"));
  }

  /** Put a drawing in. What was looked at, picked and focused stays so where it still is. */
  show(drawing, items) {
    const seen = this.svg && this.#share();
    const focused = this.holder.contains(document.activeElement);
    this.items = new Map(items.map((item) => [item.key, item]));
    this.holder.innerHTML = drawing;
    this.svg = this.holder.querySelector("svg");
    if (!this.svg) return;
    const box = this.svg.viewBox.baseVal;
    this.full = { x: box.x, y: box.y, width: box.width, height: box.height };
    this.look = { ...this.full };
    if (seen) this.#lookAt(seen);
    this.#prepare();
    this.here = this.items.has(this.here) ? this.here : (items[0]?.key ?? "");
    if (!seen && TEXT * this.#scale() < DOT_PX) this.reveal(this.here);
    this.#reach(this.here);
    this.pick(this.items.has(this.picked) ? this.picked : "");
    if (focused) this.#button(this.here)?.focus({ preventScroll: true });
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
    const button = this.#button(key);
    if (!button) return;
    this.#reach(key);
    button.focus({ preventScroll: true });
  }

  /** Come near enough to read an item, and put it in the middle, or as near to it as the sheet's edge
   * lets one. */
  reveal(key) {
    const button = this.#button(key);
    if (!button) return;
    this.#reach(key);
    const box = this.#boxOf(button);
    const width = Math.min(this.look.width, this.#readable());
    this.#lookAt({
      x: (box.x + box.width / 2 - this.full.x) / this.full.width,
      y: (box.y + box.height / 2 - this.full.y) / this.full.height,
      width: width / this.full.width,
    });
    this.#ontoSheet();
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

  #prepare() {
    const boxes = [...this.svg.querySelectorAll(".item.stream")].map((one) => [one, one.getBBox()]);
    for (const [button, box] of boxes) {
      const hit = document.createElementNS(SVG, "rect");
      hit.setAttribute("class", "hit");
      for (const side of ["x", "y", "width", "height"]) hit.setAttribute(side, box[side]);
      button.prepend(hit);
    }
    this.ring = document.createElementNS(SVG, "rect");
    this.ring.setAttribute("class", "ring");
    this.ring.setAttribute("visibility", "hidden");
    this.svg.append(this.ring);
  }

  #button(key) {
    return this.holder.querySelector(`.item[data-key="${CSS.escape(key)}"]`);
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
    const gap = 3;
    this.ring.setAttribute("x", box.x - gap);
    this.ring.setAttribute("y", box.y - gap);
    this.ring.setAttribute("width", box.width + 2 * gap);
    this.ring.setAttribute("height", box.height + 2 * gap);
    this.ring.setAttribute("visibility", "visible");
  }

  /** Where an item lies, in the units of the whole drawing. */
  #boxOf(group) {
    const box = group.getBBox();
    const into = this.svg.getScreenCTM().inverse().multiply(group.getScreenCTM());
    const from = new DOMPoint(box.x, box.y).matrixTransform(into);
    return { x: from.x, y: from.y, width: box.width * into.a, height: box.height * into.d };
  }

  #middle(key) {
    const box = this.#boxOf(this.#button(key));
    return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
  }

  /** Move the drawing no more than is needed to have an item inside. */
  bringIn(key) {
    const button = this.#button(key);
    if (!button) return;
    const box = this.#boxOf(button);
    const seen = this.#seen();
    const edge = 0.04 * seen.width;
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
    const key = event.target.closest("[data-key]")?.dataset.key;
    this.pressed = { key, moved: this.fingers.size > 1 };
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
    const { key, moved } = this.pressed;
    if (moved || event.type !== "pointerup" || !this.items.has(key)) return;
    this.#reach(key);
    this.#button(key)?.focus({ preventScroll: true });
    this.open(key, false);
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
      default:
        return false;
    }
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
