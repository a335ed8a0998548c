// The dry-fit: shows the file as it is, and asks for what is done on the page.
import { adding, isBegun, kinds, piece } from "./forms.js";
import { keepInch } from "./measures.js";
import { listen, read, readPicture, send } from "./server.js";
import * as sides from "./sides.js";
import { Table } from "./table.js";

const part = (id) => document.getElementById(id);

// The card's width in inches: 85.6 mm (ISO/IEC 7810, ID-1).
const CARD = 85.6 / 25.4;

let state = null;
let known = new Map();
let shownPicture = 0;
let shownSheets = "";
let shownAdvice = 0;
let waiting = Promise.resolve();

function tell(message, help = "") {
  part("stage").textContent = help ? `${message}: ${help}` : message;
}

// Shows a fault where it is seen: what was asked, and why it was not done.
function fault(error) {
  const box = part("piece").querySelector(".fault") || part("piece").appendChild(document.createElement("div"));
  box.className = "fault";
  box.setAttribute("role", "alert");
  box.textContent = `${error.message}\n${error.help || ""}`.trim();
  tell(error.message.split("\n")[0], error.changed ? error.help : "");
}

// One after the other, so that each is asked of the version that the one before made.
function inTurn(work) {
  waiting = waiting.then(work).catch(async (error) => {
    // The server may be gone: what was at fault is told all the same. What was changed elsewhere is shown in the form, too:
    // what is asked by it from now on is asked of that.
    await refresh(0, error.changed).catch(() => {});
    table.back();
    fault(error);
  });
  return waiting;
}

// Asks for a change of a version that was shown. Where it depends on what was asked before, `asked` says what is asked
// once it is its turn, or null if nothing is; `answered` is called before that is shown, or with why it was refused.
function ask(asked, version, answered) {
  // What the arrow keys moved comes first.
  table.commit();
  if (asked.again) return inTurn(() => send("again", { pieces: asked.again }));
  return step("change", () => {
    const wish = typeof asked === "function" ? asked() : asked;
    return wish && { version: current(version ?? state.version), asked: wish };
  }, answered);
}

// Takes the last step back, or makes it again.
function stepBack(what) {
  table.commit();
  const { version } = state;
  step(what, () => (state[what] ? { version: current(version) } : null));
}

// Versions that the page's own steps made of others: what is asked while one is under way is asked of what it makes. So it
// is where the same text was laid out anew, with what the stock holds now.
const own = new Map();
let pressing = 0;
// News that came meanwhile.
let skipped = null;

const textOf = ({ undo, redo, name, elements, story: told }) => JSON.stringify([undo, redo, name, elements, told]);

function current(version) {
  let now = version;
  while (own.has(now)) now = own.get(now);
  return now;
}

function step(what, body, answered = () => {}) {
  return inTurn(async () => {
    pressing += 1;
    try {
      const sent = body();
      const next = sent && (await send(what, sent));
      answered();
      if (!next) {
        table.back();
        return;
      }
      if (next.version === sent.version + 1) own.set(sent.version, next.version);
      part("piece").querySelector(".fault")?.remove();
      show(next, true);
      if (next.picture === shownPicture) table.back();
      await picture();
    } catch (error) {
      answered(error);
      throw error;
    } finally {
      pressing -= 1;
      if (!pressing && skipped) {
        hear(skipped);
        skipped = null;
      }
    }
  });
}

const table = new Table(ask, (element) => {
  part("all").value = element?.id ?? "";
  piece(element, state, known, ask);
});

// A picture that was asked for earlier may be of the version before: then the news that follow bring the next one.
async function picture(asked = null) {
  if (shownPicture === state.picture) return;
  const { version, svg } = await (asked ?? readPicture());
  if (version <= shownPicture) return;
  shownPicture = version;
  table.picture(svg, version);
  document.dispatchEvent(new CustomEvent("drawn", { detail: shownPicture }));
}

// Whether a part shows something else than it did: what is as before is not built again.
const built = new Map();
function isNew(what, value) {
  const text = JSON.stringify(value);
  if (built.get(what) === text) return false;
  built.set(what, text);
  return true;
}

// What she has begun to write is left alone with the version that it is of, unless `renewed` says that it is to be of the
// one that comes: the page itself has just made that, or has told her of it.
function show(next, renewed = false) {
  if (state && next.version > state.version && textOf(next) === textOf(state)) own.set(state.version, next.version);
  state = next;
  document.title = `${state.name || "Dry-fit"}: dry-fit`;
  part("name").textContent = state.name || "Dry-fit";
  part("undo").disabled = !state.undo;
  part("redo").disabled = !state.redo;
  part("mistake").hidden = !state.mistake;
  part("mistake").textContent = state.mistake || "";
  table.show(state);
  const notes = [state.warnings, state.advice];
  const names = state.elements.map((element) => element.id);
  if (isNew("notes", notes)) {
    sides.notes(state, (id) => {
      table.choose(id);
      table.buttons.get(id)?.focus();
    });
  }
  if (isNew("meant", [notes, names])) meant();
  if (isNew("names", names)) every(names);
  if (renewed || !isBegun(part("piece"))) piece(table.element(table.chosen), state, known, ask);
  if (!part("add").contains(document.activeElement) && isNew("adding", [state.pages, state.papers, state.all_photos, state.millimetres, known.size])) {
    adding(state, known, ask);
  }
  story();
  part("story-of").hidden = state.story === null;
  part("stock-of").hidden = !state.has_stock;
}

// The story as it is in the file, unless she has written on in it, and the version in which it was shown.
let shownStory = null;
let storyVersion = 0;
function story() {
  const field = part("story");
  const now = state.story || "";
  if (shownStory === null || field.value === shownStory || field.value.trim() === now.trim()) {
    field.value = now;
    shownStory = field.value;
    storyVersion = state.version;
  }
}

// Marks the pieces that something is said of.
function meant() {
  const named = new Set([...state.warnings, ...state.advice].map((note) => note.element));
  for (const [id, button] of table.buttons) button.classList.toggle("meant", named.has(id));
}

// All pieces by their names, for those who would rather choose from a list.
function every(names) {
  const list = part("all");
  list.replaceChildren(new Option("choose …", ""), ...names.map((name) => new Option(name, name)));
  list.value = table.chosen ?? "";
}

// State and picture are asked for at once; `pictured` is the version of which there is a picture now.
async function refresh(pictured = 0, renewed = false) {
  const asked = pictured > shownPicture ? readPicture() : null;
  asked?.catch(() => {});
  const next = await read("state");
  // An answer to what was asked meanwhile may have come before.
  if (next.version >= (state?.version ?? 0)) show(next, renewed);
  await picture(asked);
}

async function news(now) {
  const isOld = !state || now.version > state.version || now.picture > shownPicture || now.advised > shownAdvice;
  if (isOld && pressing) skipped = now;
  if (isOld && !pressing) {
    await refresh(now.picture);
    shownAdvice = now.advised;
  }
  const stage = sides.stage(now, state?.mistake);
  const sheets = `${now.nested} ${now.stage}`;
  if (sheets !== shownSheets) {
    shownSheets = sheets;
    sides.sheets(await read("sheets"), (id) => inTurn(() => send("again", { sheets: [id] })),
      (id) => inTurn(() => send("cut", { sheets: [id] })));
  }
  // What is cut has left the stock.
  if (sides.work(now.work, state?.version === now.version ? textOf(state) : null) && part("stock-of").open) part("stock").src = "stock";
  part("build").disabled = now.work.running;
  tell(now.work.running ? `Working: ${now.work.what}${now.work.stage ? `, ${now.work.stage}` : ""}` : stage ? `Sheets: ${stage.slice(1, -1)}` : "Saved and nested");
}

// News are taken one after the other, too.
let reading = Promise.resolve();
function hear(now) {
  reading = reading.then(() => news(now)).catch((error) => tell(error.message, error.help));
}
listen(hear, (gone) => {
  document.body.classList.toggle("gone", gone);
  if (gone) tell("The server has ended", "what was saved is safe; start `cutleaf dry-fit` again and open its new address");
});

part("all").addEventListener("change", () => {
  table.choose(part("all").value || null);
  table.buttons.get(table.chosen)?.scrollIntoView({ block: "nearest", inline: "nearest" });
});

document.addEventListener("pointed", ({ detail }) => {
  table.light(detail);
  sides.light(detail);
});

for (const what of ["undo", "redo"]) part(what).addEventListener("click", () => stepBack(what));
part("build").addEventListener("click", () => {
  table.commit();
  inTurn(() => send("build"));
});
part("cut-all").addEventListener("click", () => inTurn(() => send("cut", {})));
part("story-form").addEventListener("submit", (event) => {
  event.preventDefault();
  let isRefused = false;
  const asked = ask({ story: { text: part("story").value } }, storyVersion, (error) => {
    isRefused = Boolean(error?.changed);
  });
  // She was told, and hers is still there: the next time it is saved.
  asked.then(() => {
    if (isRefused) storyVersion = state.version;
  });
});
part("sheets-of").addEventListener("toggle", () => table.scaled());
part("stock-of").addEventListener("toggle", () => {
  const frame = part("stock");
  frame.hidden = !part("stock-of").open;
  if (part("stock-of").open) frame.src = "stock";
});

const zoomed = (zoom) => {
  table.zoom = zoom;
  part("real").setAttribute("aria-pressed", String(zoom === table.realInch));
  table.scaled();
};
part("larger").addEventListener("click", () => zoomed(Math.min(table.inch * 1.25, 600)));
part("smaller").addEventListener("click", () => zoomed(Math.max(table.inch / 1.25, 12)));
part("fit").addEventListener("click", () => zoomed(null));
part("real").addEventListener("click", () => zoomed(table.realInch));
part("table").addEventListener("wheel", (event) => {
  if (!event.ctrlKey) return;
  event.preventDefault();
  zoomed(Math.min(600, Math.max(12, table.inch * (event.deltaY < 0 ? 1.1 : 1 / 1.1))));
}, { passive: false });

const cardWidth = () => {
  part("card-box").style.width = `${part("card-width").value}px`;
};
part("ruler").addEventListener("click", () => {
  part("card-width").value = String(Math.round(table.realInch * CARD));
  cardWidth();
  part("card").showModal();
});
part("card-width").addEventListener("input", cardWidth);
part("card").addEventListener("close", () => {
  if (part("card").returnValue !== "yes") return;
  keepInch(Number(part("card-width").value) / CARD);
  zoomed(table.realInch);
});

document.addEventListener("keydown", (event) => {
  const typing = event.target.closest("input, textarea, select");
  if (typing || !(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== "z") return;
  event.preventDefault();
  stepBack(event.shiftKey ? "redo" : "undo");
});

// The schema says what a piece can have; the page is of use before it is there.
inTurn(async () => {
  known = kinds(await read("schema"));
  if (state) show(state);
});
