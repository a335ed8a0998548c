// Forms of a chosen piece and of a new one, made from the schema of a spec.
import { words } from "./sides.js";

const part = (id) => document.getElementById(id);

let number = 0;

// A field with its label; `choices` are offered, other words may be written.
function field(label, value, choices, hint) {
  const row = document.createElement("div");
  row.className = "field";
  number += 1;
  const name = document.createElement("label");
  name.htmlFor = `field-${number}`;
  name.textContent = label;
  const input = document.createElement("input");
  input.id = `field-${number}`;
  // What differs from it is not saved yet.
  input.defaultValue = value;
  input.autocomplete = "off";
  input.spellcheck = false;
  if (hint) input.title = hint;
  row.append(name, input);
  if (choices?.length) {
    const list = document.createElement("datalist");
    list.id = `choices-${number}`;
    input.setAttribute("list", list.id);
    list.append(...choices.map((choice) => Object.assign(document.createElement("option"), { value: choice })));
    row.append(list);
  }
  return { row, input };
}

const button = (label, act, kind = "") => {
  const made = document.createElement("button");
  made.type = "button";
  made.className = kind;
  made.textContent = label;
  made.addEventListener("click", act);
  return made;
};

// Saves a field once she leaves it or presses Enter: also one that was renewed under her hands, of which the browser
// doesn't say that it was changed. `save` returns false if what is in it can't be saved.
function onSaving(input, save) {
  const go = () => {
    const kept = input.defaultValue;
    if (input.value === kept && !input.validity.badInput) return;
    input.defaultValue = input.value;
    if (save() === false) input.defaultValue = kept;
  };
  input.addEventListener("change", go);
  input.addEventListener("blur", go);
  input.addEventListener("keydown", (event) => {
    if (event.key === "Enter") go();
  });
}

// Fields and buttons by what they are called.
const called = (into) => [...into.querySelectorAll("input, select, button")].map((node) =>
  [node.labels?.[0]?.textContent || node.textContent, node]);

// What she has in hand in a form that is built anew: where she is, and what she has written and not saved.
function inHand(into) {
  const held = { written: new Map(), at: null };
  for (const [name, node] of called(into)) {
    if (node === document.activeElement) held.at = { name, marked: [node.selectionStart, node.selectionEnd] };
    if (node.nodeName !== "INPUT" || node.value === node.defaultValue) continue;
    // A number that isn't one is not kept, unless she is at it.
    if (node.type === "number" && !node.value && node !== document.activeElement) continue;
    held.written.set(name, node.value);
    // It is not left by her: nothing is saved by that.
    node.defaultValue = node.value;
  }
  return held;
}

function backInHand(into, { written, at }) {
  for (const [name, node] of called(into)) {
    if (written.has(name)) node.value = written.get(name);
    if (name !== at?.name) continue;
    node.focus({ preventScroll: true });
    if (typeof at.marked[0] === "number") node.setSelectionRange(...at.marked);
  }
}

// Whether she is in a form and has written something that is not saved.
export const isBegun = (into) => into.contains(document.activeElement)
  && [...into.querySelectorAll("input")].some((input) => input.value !== input.defaultValue || input.validity.badInput);

// Puts other nodes into a form; what was at fault stays at its end until something else is asked.
function renewed(into, nodes) {
  for (const old of [...into.children]) if (!old.matches(".fault")) old.remove();
  into.prepend(...nodes);
}

// What the schema says of each kind of element: its keys, which of them are needed, what they mean.
export function kinds(schema) {
  const follow = (node) => (node?.$ref ? schema.$defs[node.$ref.split("/").pop()] : node);
  const found = new Map();
  const page = follow(schema.properties.left?.anyOf?.find((one) => one.$ref) || schema.properties.left);
  const list = follow(page?.properties?.pieces);
  const items = follow(list?.items || list?.anyOf?.find((one) => one.items)?.items);
  for (const one of items?.oneOf || items?.anyOf || []) {
    for (const [kind, of] of Object.entries(follow(one).properties || {})) {
      const keys = follow(of);
      found.set(kind, {
        told: keys.description || of.description || "",
        needed: keys.required || [],
        keys: Object.fromEntries(Object.entries(keys.properties || {}).map(([key, about]) =>
          [key, { told: about.description || "", choices: follow(about).enum || [] }])),
      });
    }
  }
  return found;
}

function choicesOf(key, state, about) {
  if (key === "paper") return state.papers.map((paper) => paper.name);
  if (key === "photo") return state.all_photos;
  if (key === "id") return [];
  return about?.choices || [];
}

export function piece(element, state, known, ask) {
  const into = part("piece");
  // A number that is begun, such as a sign alone, can't be kept elsewhere.
  const isSame = into.dataset.of === element?.id;
  const at = into.contains(document.activeElement) ? document.activeElement : null;
  if (isSame && at?.validity?.badInput) return;
  // What she leaves by choosing another piece is saved.
  if (!isSame) at?.blur();
  const held = isSame ? inHand(into) : null;
  if (!element) {
    delete into.dataset.of;
    renewed(into, [Object.assign(document.createElement("p"), { textContent: "Choose a piece on the pages, or with Tab." })]);
    if (at) part("all").focus({ preventScroll: true });
    return;
  }
  const told = document.createElement("p");
  told.className = "told";
  told.textContent = `${element.told}${element.line ? `; line ${element.line}` : ""}`;
  const { id } = element;
  into.dataset.of = id;
  // The form shows a version, and asks of that one.
  const asked = (what) => ask(what, state.version);
  const row = document.createElement("div");
  row.className = "row";
  if (element.listed) {
    row.append(
      button("One up", () => asked({ order: { element: id, up: true } })),
      button("One down", () => asked({ order: { element: id, up: false } })),
      ...(state.pages.length > 1 && !element.across && !element.of
        ? [button("To the other page", () => asked({ "other-page": { element: id } }))] : []),
      button("Copy", () => asked({ copy: { element: id } })),
    );
  }
  if (element.kind !== "journaling") row.append(button("Take away", () => asked({ delete: { element: id } })));
  row.append(button("Cut again", () => ask({ again: element.parts })));
  const about = known.get(element.kind);
  // Its turn has a field of its own, whether it is written or not.
  const apart = new Set(["pieces", "text", ...(element.turns ? ["turn"] : [])]);
  const fields = element.written.filter(({ key }) => !apart.has(key)).map(({ key, text }) => {
    const { row: line, input } = field(key, text, choicesOf(key, state, about?.keys[key]), about?.keys[key]?.told);
    onSaving(input, () => {
      const value = input.value.trim();
      if (value !== text) asked({ key: { element: id, key, value: value || null } });
    });
    return line;
  });
  if (element.turns) {
    const { row: line, input } = field("turned by", String(element.turn), [], "Degrees clockwise");
    Object.assign(input, { type: "number", step: "any" });
    const wrong = Object.assign(document.createElement("p"), { id: `${input.id}-wrong`, hidden: true, className: "wrong",
      textContent: "Degrees are a number, such as -7.5: the turn stays as it was." });
    wrong.setAttribute("role", "alert");
    input.setAttribute("aria-describedby", wrong.id);
    onSaving(input, () => {
      const isNumber = Boolean(input.value) && input.validity.valid;
      wrong.hidden = isNumber;
      input.setAttribute("aria-invalid", String(!isNumber));
      if (!isNumber) return false;
      const degrees = Number(input.value);
      if (degrees !== element.turn) asked({ turn: { element: id, degrees } });
      return true;
    });
    line.append(wrong);
    fields.unshift(line);
  }
  const rest = Object.keys(about?.keys || {}).filter((key) => !apart.has(key) && !element.written.some((one) => one.key === key));
  const add = document.createElement("form");
  if (rest.length) {
    const { row: line, input } = field("Another key", "", rest);
    const { row: second, input: value } = field("Its value", "");
    const go = document.createElement("button");
    go.textContent = "Add the key";
    add.append(line, second, go);
    add.addEventListener("submit", (event) => {
      event.preventDefault();
      if (!input.value || !value.value) return;
      for (const one of [input, value]) one.defaultValue = one.value;
      asked({ key: { element: id, key: input.value.trim(), value: value.value.trim() } });
    });
  }
  renewed(into, [told, row, ...fields, add]);
  if (held) backInHand(into, held);
}

// The form of a new piece: the page, the kind, and the keys that it needs.
export function adding(state, known, ask) {
  const into = part("add");
  const select = (label, values, shown) => {
    const row = document.createElement("div");
    row.className = "field";
    number += 1;
    const name = Object.assign(document.createElement("label"), { htmlFor: `field-${number}`, textContent: label });
    const made = Object.assign(document.createElement("select"), { id: `field-${number}` });
    made.append(...values.map((value) => Object.assign(document.createElement("option"), { value, textContent: value })));
    if (shown && values.includes(shown)) made.value = shown;
    row.append(name, made);
    return { row, made };
  };
  const before = into.querySelectorAll("select");
  const page = select("Page", state.pages, before[0]?.value);
  const kind = select("Kind", [...known.keys(), "title"], before[1]?.value || "circle");
  const form = document.createElement("form");
  const fields = document.createElement("div");
  const needed = () => {
    const about = known.get(kind.made.value);
    const keys = kind.made.value === "title" ? ["words", "height", "paper"] : about.needed;
    const told = document.createElement("p");
    told.className = "told";
    words(about?.told || "A word group of the title.", told);
    fields.replaceChildren(told, ...keys.map((key) => {
      const first = { paper: state.papers[0]?.name, diameter: state.millimetres ? "50" : "2",
        size: state.millimetres ? "80 x 50" : "3 x 2", width: state.millimetres ? "20" : "3/4" }[key] || "";
      const { row, input } = field(key, first, choicesOf(key, state, about?.keys[key]), about?.keys[key]?.told);
      input.dataset.key = key;
      input.required = true;
      return row;
    }));
  };
  kind.made.addEventListener("change", needed);
  needed();
  form.append(page.row, kind.row, fields, Object.assign(document.createElement("button"), { textContent: "Add it" }));
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const keys = Object.fromEntries([...fields.querySelectorAll("input")].map((input) => [input.dataset.key, input.value.trim()]));
    if (kind.made.value === "title") ask({ "add-title": { title: keys } });
    else ask({ add: { page: page.made.value, kind: kind.made.value, keys } });
  });
  into.replaceChildren(form);
}
