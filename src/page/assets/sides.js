// What lies beside the spread: what to look at, sheets, files.

const part = (id) => document.getElementById(id);

// A text in which words between backticks are code.
export function words(text, into) {
  text.split("`").forEach((piece, number) => {
    if (number % 2) {
      const code = document.createElement("code");
      code.textContent = piece;
      into.append(code);
    } else {
      into.append(piece);
    }
  });
  return into;
}

const paragraph = (text, kind = "") => {
  const made = document.createElement("p");
  made.className = kind;
  return words(text, made);
};

export function notes(state, choose) {
  const all = [...state.warnings, ...state.advice];
  part("look-count").textContent = all.length ? `(${all.length})` : "(nothing)";
  part("notes").replaceChildren(...all.map((note) => {
    const item = document.createElement("li");
    item.append(paragraph(note.message));
    if (note.reason) item.append(paragraph(note.reason, "why"));
    if (note.change) item.append(paragraph(`Try: \`${note.change}\``));
    const where = note.line ? `line ${note.line}` : "";
    if (note.element) {
      const button = document.createElement("button");
      button.type = "button";
      button.textContent = `Show ${note.element}${where ? `, ${where}` : ""}`;
      button.addEventListener("click", () => choose(note.element));
      item.append(button);
    } else if (where) {
      item.append(paragraph(where, "why"));
    }
    return item;
  }));
}

const STAGES = {
  waiting: "(not nested yet)", nesting: "(nesting)", quick: "(a first nest; a better one is searched for)",
  done: "", failed: "(can't be cut)",
};

export function stage(news, mistake) {
  const now = mistake ? "(as before the mistake)" : news.nested === news.version ? STAGES[news.stage] : "(nesting)";
  part("sheet-stage").textContent = now;
  return now;
}

export function sheets(found, again, cut) {
  const told = found.told.map((line) => paragraph(line, found.stage === "failed" ? "fault" : "told"));
  part("sheets").replaceChildren(...told, ...found.sheets.map((sheet) => {
    const card = document.createElement("section");
    card.className = "sheet";
    const heading = document.createElement("h3");
    heading.textContent = sheet.id;
    card.append(heading, paragraph(`${sheet.paper}, ${sheet.told}`, "told"));
    // What can be done with it comes first: its picture may be higher than the room that there is.
    const row = document.createElement("div");
    row.className = "row";
    for (const [label, act] of [["Cut again", again], ["It is cut", cut]]) {
      const button = document.createElement("button");
      button.type = "button";
      button.textContent = label;
      button.setAttribute("aria-label", `${label}: ${sheet.id}`);
      button.addEventListener("click", () => act(sheet.id));
      row.append(button);
    }
    card.append(row);
    const read = new DOMParser().parseFromString(sheet.picture, "image/svg+xml").documentElement;
    if (read.nodeName === "svg") {
      read.setAttribute("role", "img");
      read.setAttribute("aria-label", `Sheet ${sheet.id}: ${sheet.pieces.join(", ")}`);
      for (const title of read.querySelectorAll("g > title")) {
        title.parentNode.dataset.piece = title.textContent.split(":")[0].trim();
      }
      read.addEventListener("pointerover", (event) => {
        const piece = event.target.closest("[data-piece]")?.dataset.piece;
        document.dispatchEvent(new CustomEvent("pointed", { detail: piece ? [piece] : [] }));
      });
      read.addEventListener("pointerleave", () => document.dispatchEvent(new CustomEvent("pointed", { detail: [] })));
      card.append(document.adoptNode(read));
    }
    return card;
  }));
}

// Lights a piece on every sheet from which it is cut.
export function light(parts) {
  for (const piece of part("sheets").querySelectorAll("[data-piece]")) {
    piece.classList.toggle("lit-piece", parts.includes(piece.dataset.piece));
  }
}

// A line that is the name of a built file: names of papers and pieces are in it, in their letters.
const FILE = /^[\p{L}\p{M}\p{N}_./ -]+\.(html|pdf|svg|png|json)$/u;

// The work that is shown, and the text that is built or was, where the page has seen the build begin.
let shownWork = null;
let building = null;
let builtOf = null;

// Shows what is built; whether a piece of work has ended since the last news.
export function work(done, text) {
  const { what, running } = done;
  const now = JSON.stringify([what, running, done.done]);
  const isFirst = shownWork === null;
  const isNew = Boolean(what) && now !== shownWork;
  shownWork = now;
  if (isNew) {
    if (what === "build") {
      if (running) building = isFirst ? null : text;
      else [builtOf, building] = [done.done.well ? building : null, null];
    }
    if (running) part("files").replaceChildren(paragraph(`Working: ${what} …`));
    else made(done);
  }
  part("files-age").hidden = running || [null, text].includes(builtOf) || text === null;
  return isNew && !running;
}

function made(done) {
  const files = part("files");
  part("made").open = true;
  const said = document.createElement("pre");
  said.textContent = done.done.lines.join("\n");
  said.tabIndex = 0;
  const links = document.createElement("ul");
  const names = done.done.lines.map((line) => line.trim()).filter((line) => FILE.test(line));
  const folder = done.done.lines.map((line) => /^Written to (.*):$/.exec(line)?.[1]).find(Boolean);
  const below = /redo-\d+$/.exec(folder || "")?.[0];
  for (const name of done.done.well ? names : []) {
    const item = document.createElement("li");
    const link = document.createElement("a");
    link.href = `files/${[below, ...name.split("/")].filter(Boolean).map(encodeURIComponent).join("/")}`;
    link.target = "_blank";
    link.rel = "noopener";
    link.textContent = name;
    item.append(link);
    links.append(item);
  }
  const heading = paragraph(done.done.well ? `Done: ${done.what}.` : `This did not work: ${done.what}.`, done.done.well ? "" : "fault");
  files.replaceChildren(heading, links, said);
}
