// Where a moved piece comes to rest: edges, middles, thirds, gaps like those of its neighbours.
import { fine, onGrid, step } from "./measures.js";

// Lines along one axis that an edge or a middle may lie on: [place, what it is].
function lines(axis, moved, others, page) {
  const length = page[axis];
  const found = [[0, "page edge"], [length, "page edge"], [length / 2, "middle of the page"],
    [length / 3, "third"], [(2 * length) / 3, "third"]];
  for (const other of others) {
    const [start, size] = [other.at[axis], other.size[axis]];
    found.push([start, other.id], [start + size, other.id], [start + size / 2, `middle of ${other.id}`]);
  }
  return found;
}

// Those that a piece meets if it goes on along an axis.
function beside(axis, here, others) {
  const across = 1 - axis;
  return others.filter((other) =>
    other.at[across] < here.at[across] + here.size[across] && here.at[across] < other.at[across] + other.size[across]);
}

// Places of the moved piece's start where the gap to a neighbour is one that neighbours have already, or where it
// lies midway between two of them.
function gaps(axis, moved, others) {
  const sorted = beside(axis, moved, others).sort((one, other) => one.at[axis] - other.at[axis]);
  const end = (one) => one.at[axis] + one.size[axis];
  const size = moved.size[axis];
  const found = [];
  const known = new Set();
  for (let i = 0; i + 1 < sorted.length; i += 1) {
    const gap = sorted[i + 1].at[axis] - end(sorted[i]);
    if (gap > 0.02 && gap < 4) known.add(gap);
    const room = gap - size;
    if (room > 0) found.push([end(sorted[i]) + room / 2, "equal gaps"]);
  }
  for (const one of sorted) {
    for (const gap of known) {
      found.push([end(one) + gap, "a gap like the others"], [one.at[axis] - gap - size, "a gap like the others"]);
    }
  }
  return found;
}

const inside = (inner, outer, off = 1e-6) => [0, 1].every((axis) =>
  inner.at[axis] >= outer.at[axis] - off && inner.at[axis] + inner.size[axis] <= outer.at[axis] + outer.size[axis] + off);

// The piece that lies directly beneath one that is moved to `at`: the uppermost that holds all of it.
export function hostOf(moved, at, beneath) {
  const here = { ...moved, at };
  const holds = beneath.filter((other) => other.kind !== "border" && other.kind !== "journaling"
    && !other.written.some(({ key }) => key === "repeat")
    && inside(here, other) && (other.size[0] > here.size[0] + 1e-6 || other.size[1] > here.size[1] + 1e-6));
  return holds[holds.length - 1] || null;
}

// How much of what lies beneath shows along an axis: before and behind.
const shows = (one, host, axis) => [one.at[axis] - host.at[axis],
  host.at[axis] + host.size[axis] - one.at[axis] - one.size[axis]];

// Reveals on what lies beneath that are there already: of others on it, and of the piece itself the other way.
function known(axis, here, host, others, settled) {
  const across = 1 - axis;
  const on = others.filter((other) => other.id !== host.id && inside(other, host)
    && other.size[0] * other.size[1] < host.size[0] * host.size[1]);
  const found = on.flatMap((other) => [...shows(other, host, 0), ...shows(other, host, 1)].map((reveal) => [reveal, "a reveal like the others"]));
  if (settled) found.push(...shows(here, host, across).map((reveal) => [reveal, "a reveal like its own"]));
  return found.filter(([reveal]) => reveal > 0.02 && reveal < 4);
}

// Comes to rest near `at`: the place, and the lines that say why. `beneath` are those of the others that lie lower.
export function rest(moved, at, others, beneath, page, near, millimetres) {
  const place = [...at];
  const why = [];
  const here = { ...moved, at };
  const host = hostOf(moved, at, beneath);
  for (const axis of [0, 1]) {
    if (!moved.moves[axis]) {
      place[axis] = moved.at[axis];
      continue;
    }
    const size = moved.size[axis];
    let best = null;
    const offer = (start, line, told) => {
      const off = Math.abs(start - at[axis]);
      if (off <= near && (!best || off < best.off - 1e-9)) best = { off, start, line, told };
    };
    for (const [line, told] of lines(axis, moved, others, page)) {
      offer(line, line, told);
      offer(line - size, line, told);
      offer(line - size / 2, line, told);
    }
    for (const [start, told] of gaps(axis, here, others)) offer(start, null, told);
    if (host) {
      // The other way it lies where it came to rest, or has not been moved yet.
      const settled = axis === 1 || Math.abs(at[1] - moved.at[1]) < step(millimetres) / 2;
      const there = { ...moved, at: axis === 1 ? [place[0], at[1]] : [at[0], moved.at[1]] };
      for (const [reveal, told] of known(axis, there, host, others, settled)) {
        offer(host.at[axis] + reveal, null, told);
        offer(host.at[axis] + host.size[axis] - reveal - size, null, told);
      }
    }
    if (best) {
      place[axis] = fine(best.start, millimetres);
      why.push({ axis, ...best });
    } else {
      place[axis] = moved.at[axis] + onGrid(at[axis] - moved.at[axis], millimetres);
    }
  }
  return { place, why };
}

// What shows of the piece that lies directly beneath, on each side.
export function reveals(moved, place, host) {
  if (!host) return [];
  const here = { ...moved, at: place };
  return [0, 1].flatMap((axis) => {
    const middle = place[1 - axis] + moved.size[1 - axis] / 2;
    const [before, behind] = shows(here, host, axis);
    const end = place[axis] + moved.size[axis];
    return [
      { axis, middle, from: host.at[axis], to: host.at[axis] + before, side: ["left", "above"][axis] },
      { axis, middle, from: end, to: end + behind, side: ["right", "below"][axis] },
    ].filter(({ from, to }) => to - from > 0.01);
  });
}

// Distances from a piece to what lies next to it on each side, or to the page's edges; on another piece, to what
// lies nearer than that one's edges.
export function distances(moved, place, others, page, host) {
  const found = [];
  for (const axis of [0, 1]) {
    const across = 1 - axis;
    const [start, end] = [place[axis], place[axis] + moved.size[axis]];
    const met = beside(axis, { ...moved, at: place }, others);
    const before = met.map((other) => other.at[axis] + other.size[axis]).filter((edge) => edge <= start + 1e-6);
    const after = met.map((other) => other.at[axis]).filter((edge) => edge >= end - 1e-6);
    const ends = host ? [host.at[axis], host.at[axis] + host.size[axis]] : [0, page[axis]];
    const low = Math.max(ends[0], ...before);
    const high = Math.min(ends[1], ...after);
    const middle = place[across] + moved.size[across] / 2;
    const nearer = (edge, end) => !host || Math.abs(edge - end) > 1e-6;
    if (start - low > 0.01 && nearer(low, ends[0])) found.push({ axis, from: low, to: start, middle });
    if (high - end > 0.01 && nearer(high, ends[1])) found.push({ axis, from: end, to: high, middle });
  }
  return found;
}
