// A picture that changed a little: what is as before stays, so that the browser draws only the rest anew.

function attributes(old, next) {
  for (const { name, value } of next.attributes) {
    if (old.getAttribute(name) !== value) old.setAttribute(name, value);
  }
  for (const name of old.getAttributeNames()) {
    if (!next.hasAttribute(name)) old.removeAttribute(name);
  }
}

// Makes `old` the equal of `next`; it stays in its place, unless it is of another kind.
export function renew(old, next) {
  if (old.isEqualNode(next)) return;
  if (old.nodeName !== next.nodeName || old.nodeType !== Node.ELEMENT_NODE) {
    old.replaceWith(next);
    return;
  }
  attributes(old, next);
  const [before, after] = [[...old.childNodes], [...next.childNodes]];
  let [start, end, last] = [0, before.length, after.length];
  while (start < end && start < last && before[start].isEqualNode(after[start])) start += 1;
  while (end > start && last > start && before[end - 1].isEqualNode(after[last - 1])) [end, last] = [end - 1, last - 1];
  const [gone, come, follows] = [before.slice(start, end), after.slice(start, last), before[end] ?? null];
  gone.forEach((node, number) => (number < come.length ? renew(node, come[number]) : node.remove()));
  for (const node of come.slice(gone.length)) old.insertBefore(node, follows);
}
