// Lengths in words, as a craft ruler shows them.

const PARTS = 32;

export function inches(length) {
  const marks = Math.round(Math.abs(length) * PARTS);
  const sign = length < 0 && marks > 0 ? "-" : "";
  const whole = Math.floor(marks / PARTS);
  let [top, bottom] = [marks % PARTS, PARTS];
  while (top && top % 2 === 0) [top, bottom] = [top / 2, bottom / 2];
  const about = Math.abs(Math.abs(length) * PARTS - marks) > 1e-4 ? "about " : "";
  if (!top) return `${about}${sign}${whole}`;
  return `${about}${sign}${whole ? `${whole} ` : ""}${top}/${bottom}`;
}

export const shown = (length, millimetres) =>
  millimetres ? `${+(length * 25.4).toFixed(1)} mm` : `${inches(length)} in`;

// The finest step of a move, and the coarse one.
export const step = (millimetres) => (millimetres ? 1 / 25.4 : 1 / 16);
export const coarse = (millimetres) => (millimetres ? 10 / 25.4 : 1 / 2);

// Pixels an inch on this screen, as a card told them. Cookies are of a name and not of a port, which is new at each start.
const KEPT = "pixels_an_inch";
const [FEWEST, MOST] = [20, 1000];
const FOR = 365 * 24 * 60 * 60;

export function keptInch() {
  const found = document.cookie.split(";").map((one) => one.trim().split("=")).find(([name]) => name === KEPT);
  const inch = Number(found?.[1] || NaN);
  return inch >= FEWEST && inch <= MOST ? inch : null;
}

export function keepInch(inch) {
  document.cookie = `${KEPT}=${inch}; path=/; max-age=${FOR}; SameSite=Strict`;
}

// What a turned piece's edge gives, on the finest mark that a spec is written in: 1/64 in or 0.1 mm.
export const fine = (length, millimetres) => {
  const marks = millimetres ? 254 : 64;
  return Math.round(length * marks) / marks;
};

export const onGrid = (length, millimetres) => {
  const grid = step(millimetres);
  return Math.round(length / grid) * grid;
};
