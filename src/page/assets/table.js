// The two pages on the table: the picture, a button for each piece, moving and pulling.
import { coarse, keptInch, shown, step } from "./measures.js";
import { renew } from "./renewed.js";
import { distances, hostOf, rest, reveals } from "./snapping.js";
import { grown, grownTo, pulledBy, unit } from "./pulling.js";

// How near a line is on the screen when a piece comes to rest on it, in pixels.
const NEAR = 7;
// How long arrow keys are waited for before their sum is saved, in milliseconds.
const PAUSE = 350;

const part = (id) => document.getElementById(id);

// What is as it should be is not set again: the browser would draw it anew.
const attribute = (node, name, value) => {
  if (node.getAttribute(name) !== value) node.setAttribute(name, value);
};

export class Table {
  constructor(asked, chosen) {
    this.asked = asked;
    this.onChosen = chosen;
    this.state = null;
    this.chosen = null;
    this.zoom = null;
    this.buttons = new Map();
    // What the arrow keys moved and is not asked for yet.
    this.pending = null;
    // What is dragged or pulled just now, and what was asked for and is not answered: boxes by their ids.
    this.held = null;
    this.laid = new Map();
    // Where pieces lie in the picture that is shown, and the version that it is of.
    this.pictured = new Map();
    this.pictureOf = 0;
    window.addEventListener("resize", () => this.scaled());
  }

  // Pixels an inch: as chosen, or so that all of it is seen.
  get inch() {
    if (this.zoom) return this.zoom;
    const room = part("table").getBoundingClientRect();
    const [width, height] = this.state.table;
    // On a narrow screen one page is seen at a time.
    if (window.matchMedia("(max-width: 860px)").matches) return Math.max(24, (room.width - 4) / (this.state.page[0] + 1));
    // Sheets keep some room below.
    const below = document.getElementById("sheets-of").open ? 260 : 90;
    const down = document.querySelector("main").getBoundingClientRect().height - below;
    return Math.max(12, Math.min((room.width - 4) / width, down / height));
  }

  show(state) {
    this.state = state;
    this.inPicture();
    const kept = document.activeElement?.dataset?.id;
    const pieces = part("pieces");
    const [seen, order] = [new Set(), []];
    for (const element of state.elements) {
      let button = this.buttons.get(element.id);
      if (!button) {
        button = document.createElement("button");
        button.type = "button";
        button.className = "on-page";
        button.dataset.id = element.id;
        this.listenTo(button);
        this.buttons.set(element.id, button);
      }
      seen.add(element.id);
      attribute(button, "aria-label", element.told);
      attribute(button, "title", element.id);
      attribute(button, "aria-pressed", String(element.id === this.chosen));
      order.push(button);
    }
    // The lowest first; what stands in its place stays there.
    order.forEach((button, number) => {
      if (pieces.children[number] !== button) pieces.insertBefore(button, pieces.children[number] ?? null);
    });
    for (const [id, button] of this.buttons) {
      if (!seen.has(id)) {
        button.remove();
        this.buttons.delete(id);
      }
    }
    if (this.held && !seen.has(this.held.id)) this.letGo();
    if (!seen.has(this.chosen)) this.choose(null);
    // What is under way goes on; it is saved against the version that it began with.
    if (!this.moving) this.scaled();
    if (kept) (this.buttons.get(kept) ?? part("table")).focus({ preventScroll: true });
  }

  // A picture comes before or after the state of its version.
  inPicture() {
    if (this.state?.picture !== this.pictureOf) return;
    this.pictured = new Map(this.state.elements.map((element) => [element.id, element.at]));
  }

  picture(svg, version) {
    // Styles within a picture are not obeyed here; the one that there is becomes a class.
    const plain = svg.replaceAll('style="mix-blend-mode:multiply"', 'class="multiplied"');
    const read = new DOMParser().parseFromString(plain, "image/svg+xml").documentElement;
    if (read.nodeName !== "svg") return;
    for (const title of read.querySelectorAll("g > title")) {
      title.parentNode.dataset.piece = title.textContent.split(":")[0];
      title.remove();
    }
    const shown = part("picture").firstElementChild;
    if (shown) renew(shown, read);
    else part("picture").replaceChildren(document.adoptNode(read));
    this.groups = new Map();
    for (const group of part("picture").querySelectorAll("[data-piece]")) {
      if (!this.groups.has(group.dataset.piece)) this.groups.set(group.dataset.piece, group);
    }
    this.pictureOf = version;
    this.inPicture();
    this.redraw();
  }

  scaled() {
    if (!this.state) return;
    const inch = this.inch;
    const [width, height] = this.state.table;
    Object.assign(part("spread").style, { width: `${width * inch}px`, height: `${height * inch}px` });
    for (const element of this.state.elements) this.place(element, element.at, element.size, inch);
    this.redraw(inch);
    part("scale").textContent = this.zoom ? `${Math.round((100 * this.zoom) / this.realInch)} %` : "fits";
    this.handle();
  }

  get realInch() {
    return keptInch() ?? 96;
  }

  place(element, at, size, inch = this.inch) {
    const button = this.buttons.get(element.id);
    if (!button) return;
    button.classList.toggle("group", element.kind === "cluster");
    const [x, y] = this.state.corners[element.page];
    Object.assign(button.style, {
      left: `${(x + at[0]) * inch}px`, top: `${(y + at[1]) * inch}px`,
      width: `${size[0] * inch}px`, height: `${size[1] * inch}px`,
    });
  }

  element(id) {
    return this.state?.elements.find((element) => element.id === id);
  }

  // An element as it is drawn: as it is, unless it is moved or pulled just now, or what was asked of it isn't answered.
  asDrawn(element) {
    const box = this.held?.id === element?.id ? this.held : this.laid.get(element?.id);
    return element && box ? { ...element, at: box.at, size: box.size } : element;
  }

  choose(id) {
    this.chosen = id;
    for (const [other, button] of this.buttons) button.setAttribute("aria-pressed", String(other === id));
    this.handle();
    this.onChosen(this.element(id));
  }

  // The corner by which the chosen piece is pulled.
  handle() {
    for (const old of part("lines").querySelectorAll(".pull, .whole")) old.remove();
    const element = this.asDrawn(this.element(this.chosen));
    if (element?.of) this.whole(this.element(element.of));
    if (!element || !(element.sizes[0] || element.sizes[1])) return;
    const [x, y] = this.state.corners[element.page];
    const handle = document.createElement("div");
    // Where the right or the bottom edge stays, the other is pulled.
    const atStart = element.stays.map((stays) => stays === 1);
    handle.className = atStart[0] === atStart[1] ? "pull" : "pull other";
    const put = ({ at, size }) => {
      const [left, top] = [0, 1].map((axis) => at[axis] + (atStart[axis] ? 0 : size[axis]));
      Object.assign(handle.style, { left: `${(x + left) * this.inch}px`, top: `${(y + top) * this.inch}px` });
    };
    put(element);
    handle.addEventListener("pointerdown", (event) => this.pull(event, element, put));
    part("lines").append(handle);
  }

  // The grip of a whole cluster, at its corner while one of its pieces is chosen. It is for pointers alone: by keys
  // the cluster itself comes before its pieces.
  whole(cluster) {
    if (!cluster) return;
    const [x, y] = this.state.corners[cluster.page];
    const grip = document.createElement("div");
    grip.className = "whole";
    grip.textContent = "whole";
    grip.title = cluster.id;
    Object.assign(grip.style, { left: `${(x + cluster.at[0]) * this.inch}px`, top: `${(y + cluster.at[1]) * this.inch}px` });
    grip.addEventListener("click", () => {
      this.choose(cluster.id);
      this.buttons.get(cluster.id)?.focus({ preventScroll: true });
    });
    part("lines").append(grip);
  }

  // The piece of a cluster that lies uppermost under the pointer.
  memberAt(cluster, event) {
    const under = document.elementsFromPoint(event.clientX, event.clientY).map((one) => one.dataset?.id);
    return under.find((id) => id && this.element(id)?.of === cluster.id);
  }

  // What it may come to rest by: a cluster's pieces go with it, and its box with them.
  others(element) {
    return this.state.elements.filter((other) => other.page === element.page && other.id !== element.id
      && other.of !== element.id && other.id !== element.of).map((other) => this.asDrawn(other));
  }

  // Those of them that lie beneath it, the lowest first.
  beneath(element, others) {
    const order = (one) => this.state.elements.findIndex(({ id }) => id === one.id);
    return others.filter((other) => order(other) < order(element));
  }

  // What is shown beneath the pages; what a screen reader says of a button anyway is not said a second time.
  tell(text, isSaidAnyway = false) {
    const shown = document.createElement("span");
    shown.textContent = text;
    if (isSaidAnyway) shown.setAttribute("aria-hidden", "true");
    part("measure").replaceChildren(shown);
  }

  measure(length) {
    return shown(length, this.state.millimetres);
  }

  // What is drawn of an element: its pieces by their ids, its photos by their names, of those that are shown once.
  groupsOf(element) {
    const shown = this.state.elements.filter((one) => !one.of).flatMap((one) => one.photos);
    const photos = element.photos.filter((name) => shown.indexOf(name) === shown.lastIndexOf(name));
    const names = [...element.parts, ...photos.map((name) => `photo ${name}`)];
    return names.map((name) => this.groups?.get(name)).filter(Boolean);
  }

  // Draws a piece where it was moved or pulled to; of a pulled one, the picture follows once it is saved.
  draw({ id, at, size }, inch = this.inch) {
    const element = this.element(id);
    if (!element) return;
    const less = (one, other) => [one[0] - other[0], one[1] - other[1]];
    const by = less(at, element.at);
    this.place(element, at, size, inch);
    for (const one of this.state.elements.filter((other) => other.of === id)) {
      this.place(one, [one.at[0] + by[0], one.at[1] + by[1]], one.size, inch);
    }
    if (size.some((side, axis) => side !== element.size[axis])) return;
    const [right, down] = less(at, this.pictured.get(id) ?? element.at);
    // The picture's unit is the inch.
    for (const group of this.groupsOf(element)) group.setAttribute("transform", `translate(${right} ${down})`);
  }

  // Draws again what is not as the state says.
  redraw(inch = this.inch) {
    for (const box of this.laid.values()) this.draw(box, inch);
    if (this.held) this.draw(this.held, inch);
  }

  letGo() {
    this.held = null;
    this.moving = false;
  }

  // Asks for what is drawn already, in a version that was shown: `wished` says what to ask of the element as it is when
  // its turn comes, for what was asked before may have moved it.
  save(element, box, version, wished) {
    this.laid.set(box.id, box);
    this.asked(() => wished(this.element(box.id) ?? element), version, () => {
      if (this.laid.get(box.id) === box) this.laid.delete(box.id);
    });
  }

  move(element, box, version) {
    this.save(element, box, version, (now) => {
      const by = [0, 1].map((axis) => (now.moves[axis] ? box.at[axis] - now.at[axis] : 0));
      return by.some((one) => Math.abs(one) > 1e-9) ? { move: { element: box.id, by } } : null;
    });
  }

  listenTo(button) {
    const id = button.dataset.id;
    button.addEventListener("click", (event) => {
      // A cluster that is chosen already leaves the choice to its piece there; a drag ends in a click, too.
      const member = this.pressedAgain && event.detail && this.memberAt(this.element(id), event);
      this.pressedAgain = false;
      this.choose(member || id);
      if (member) this.buttons.get(member)?.focus({ preventScroll: true });
    });
    button.addEventListener("pointerdown", (event) => this.drag(event, this.element(id), button));
    button.addEventListener("keydown", (event) => this.key(event, this.element(id)));
    button.addEventListener("blur", () => this.commit());
    button.addEventListener("pointerenter", () => this.hover(id));
    button.addEventListener("pointerleave", () => this.hover(null));
    button.addEventListener("focus", () => this.hover(id, true));
  }

  hover(id, isFocus = false) {
    const element = this.element(id);
    document.dispatchEvent(new CustomEvent("pointed", { detail: element?.parts || [] }));
    if (element && !this.moving) this.tell(element.told, isFocus);
  }

  light(parts) {
    for (const element of this.state?.elements || []) {
      const lit = element.parts.some((one) => parts.includes(one));
      this.buttons.get(element.id)?.classList.toggle("lit", lit);
    }
  }

  drag(event, element, button) {
    if (event.button !== 0 || !element) return;
    if (!(element.moves[0] || element.moves[1])) {
      this.tell(element.held.join("; "));
      return;
    }
    this.commit();
    this.pressedAgain = this.chosen === element.id && element.kind === "cluster";
    this.choose(element.id);
    const from = [event.clientX, event.clientY];
    const version = this.state.version;
    const start = this.asDrawn(element);
    const others = this.others(element);
    const beneath = this.beneath(element, others);
    const move = (event) => {
      const inch = this.inch;
      const wanted = [start.at[0] + (event.clientX - from[0]) / inch, start.at[1] + (event.clientY - from[1]) / inch];
      if (!this.moving && Math.hypot(event.clientX - from[0], event.clientY - from[1]) < 4) return;
      this.moving = true;
      this.pressedAgain = false;
      const near = event.altKey ? 0 : NEAR / inch;
      const { place, why } = rest(start, wanted, others, beneath, this.state.page, near, this.state.millimetres);
      this.held = { id: element.id, at: place, size: start.size };
      this.draw(this.held, inch);
      this.lines(start, place, why, others, beneath, inch);
    };
    const end = (event) => {
      button.removeEventListener("pointermove", move);
      button.removeEventListener("pointerup", end);
      button.removeEventListener("pointercancel", end);
      part("lines").replaceChildren();
      const box = this.held;
      this.letGo();
      const isMoved = box && [0, 1].some((axis) => Math.abs(box.at[axis] - start.at[axis]) > 1e-9);
      if (isMoved && event.type !== "pointercancel") this.move(element, box, version);
      else if (box) this.draw(start);
      this.scaled();
    };
    button.setPointerCapture(event.pointerId);
    button.addEventListener("pointermove", move);
    button.addEventListener("pointerup", end);
    button.addEventListener("pointercancel", end);
  }

  // Lines on which it comes to rest, and distances to what is next to it.
  lines(element, place, why, others, beneath, inch = this.inch) {
    const [x, y] = this.state.corners[element.page];
    const drawn = [];
    for (const { axis, line } of why.filter(({ line }) => line !== null)) {
      const guide = document.createElement("div");
      guide.className = axis ? "guide across" : "guide down";
      Object.assign(guide.style, axis
        ? { left: `${x * inch}px`, top: `${(y + line) * inch}px`, width: `${this.state.page[0] * inch}px` }
        : { left: `${(x + line) * inch}px`, top: `${y * inch}px`, height: `${this.state.page[1] * inch}px` });
      drawn.push(guide);
    }
    const host = hostOf(element, place, beneath);
    const found = [...distances(element, place, others, this.state.page, host), ...reveals(element, place, host)];
    for (const { axis, from, to, middle } of found) {
      const gap = document.createElement("div");
      gap.className = "gap";
      gap.textContent = this.measure(to - from);
      const along = (from + to) / 2;
      const [left, top] = axis ? [x + middle, y + along] : [x + along, y + middle];
      // Narrow gaps keep their words beside them.
      const width = this.state.table[0] * inch;
      const [low, high] = [48, width - 48];
      Object.assign(gap.style, { left: `${Math.min(high, Math.max(low, left * inch))}px`, top: `${top * inch}px` });
      drawn.push(gap);
    }
    part("lines").replaceChildren(...drawn);
    const told = [...new Set(why.map(({ told }) => told))].join(", ");
    this.tell(`${element.id}: ${this.measure(place[0])} from the left, ${this.measure(place[1])} from the top${told ? `; rests on ${told}` : ""}${this.on(host, found)}`);
  }

  // What it lies on, and how much of that shows on each side.
  on(host, found) {
    if (!host) return "";
    const sides = found.filter(({ side }) => side).map(({ side, from, to }) => `${this.measure(to - from)} ${side}`);
    return sides.length ? `; on ${host.id}: ${sides.join(", ")}` : "";
  }

  pull(event, element, put) {
    event.preventDefault();
    const handle = event.currentTarget;
    const from = [event.clientX, event.clientY];
    const version = this.state.version;
    this.commit();
    this.moving = true;
    this.held = { id: element.id, at: element.at, size: element.size };
    const move = (event) => {
      const wanted = [event.clientX - from[0], event.clientY - from[1]].map((length) => length / this.inch);
      const box = grown(element, pulledBy(element, wanted, this.state.millimetres));
      const { size } = box;
      this.held = { id: element.id, ...box };
      this.place(element, box.at, size);
      put(box);
      this.tell(`${element.id}: ${this.measure(size[0])} wide, ${this.measure(size[1])} high`);
    };
    const end = (event) => {
      handle.removeEventListener("pointermove", move);
      handle.removeEventListener("pointerup", end);
      handle.removeEventListener("pointercancel", end);
      const box = this.held;
      this.letGo();
      const isPulled = box?.size.some((side, axis) => Math.abs(side - element.size[axis]) > 1e-9);
      if (isPulled && event.type !== "pointercancel") {
        this.save(element, box, version, (now) => {
          const by = grownTo(now, box.size);
          return by.some((one) => Math.abs(one) > 1e-9) ? { pull: { element: box.id, by } } : null;
        });
      }
      this.scaled();
    };
    handle.setPointerCapture(event.pointerId);
    handle.addEventListener("pointermove", move);
    handle.addEventListener("pointerup", end);
    handle.addEventListener("pointercancel", end);
  }

  key(event, element) {
    if (!element) return;
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
    if (way) {
      event.preventDefault();
      if (event.ctrlKey || event.metaKey) return;
      if (event.altKey) {
        const by = way.map((one, axis) => (element.sizes[axis] ? one * step(this.state.millimetres) * unit(element, axis) : 0));
        if (by[0] || by[1]) this.asked({ pull: { element: element.id, by } }, this.state.version);
        return;
      }
      const size = event.shiftKey ? coarse(this.state.millimetres) : step(this.state.millimetres);
      const by = [0, 1].map((axis) => (element.moves[axis] ? way[axis] * size : 0));
      if (this.chosen !== element.id) this.choose(element.id);
      if (!(by[0] || by[1]) && element.held.length) {
        this.tell(element.held.join("; "));
        return;
      }
      // News and answers may come between two steps: both are asked of the version that the first of them began with.
      if (this.pending && this.pending.element.id !== element.id) this.commit();
      const version = this.pending?.version ?? this.state.version;
      clearTimeout(this.pending?.timer);
      const { at, size: sides } = this.asDrawn(element);
      const box = { id: element.id, at: [at[0] + by[0], at[1] + by[1]], size: sides };
      this.laid.set(box.id, box);
      this.pending = { element, box, version, timer: setTimeout(() => this.commit(), PAUSE) };
      this.draw(box);
      this.handle();
      this.tell(`${element.id}: ${this.measure(box.at[0])} from the left, ${this.measure(box.at[1])} from the top`);
    } else if (event.key === "Delete") {
      this.asked({ delete: { element: element.id } }, this.state.version);
    } else if (event.key === "PageUp" || event.key === "PageDown") {
      event.preventDefault();
      this.asked({ order: { element: element.id, up: event.key === "PageUp" } }, this.state.version);
    }
  }

  // Saves what the arrow keys moved.
  commit() {
    if (!this.pending) return;
    const { element, box, version, timer } = this.pending;
    clearTimeout(timer);
    this.pending = null;
    this.move(element, box, version);
  }

  back() {
    for (const group of this.groups?.values() || []) group.removeAttribute("transform");
    this.scaled();
  }
}
