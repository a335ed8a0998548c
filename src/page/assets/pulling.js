// How the box of a piece grows while it is pulled: what its place is measured from stays where it is.
import { onGrid, step } from "./measures.js";

// Steps that a side grows by at once: a reveal lies on both sides of a mat, and what keeps its middle grows to both.
export const unit = (element, axis) => Math.max(element.shares, element.stays[axis] === 0.5 ? 2 : 1);

// What its measures grow by where its pulled corner goes by so many inches.
export function pulledBy(element, wanted, millimetres) {
  const by = [0, 1].map((axis) => {
    if (!element.sizes[axis]) return 0;
    const stays = element.stays[axis];
    // The edge that is pulled has this share of what is added.
    const share = (stays === 1 ? -1 : 1 - stays) * element.grows[axis];
    const steps = unit(element, axis);
    const added = onGrid(wanted[axis] / share / steps, millimetres) * steps;
    return Math.max(step(millimetres) - element.size[axis], added);
  });
  return element.one_size && element.sizes[0] ? [by[0], by[0]] : by;
}

// What its measures grow by until its box is of a size.
export function grownTo(element, size) {
  const by = [0, 1].map((axis) => (element.sizes[axis] ? (size[axis] - element.size[axis]) / element.grows[axis] : 0));
  return element.one_size && element.sizes[0] ? [by[0], by[0]] : by;
}

// The box that it has then.
export function grown(element, by) {
  const measured = (axis) => (element.one_size ? by[element.sizes[0] ? 0 : 1] : by[axis]) * element.grows[axis];
  const added = [measured(0), measured(1)];
  return {
    at: [0, 1].map((axis) => element.at[axis] - added[axis] * element.stays[axis]),
    size: [0, 1].map((axis) => element.size[axis] + added[axis]),
  };
}
