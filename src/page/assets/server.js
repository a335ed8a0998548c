// What goes to the server and comes from it.

async function answer(response) {
  if (response.ok) {
    const kind = response.headers.get("content-type") || "";
    return kind.includes("json") ? response.json() : response.text();
  }
  let told;
  try {
    told = await response.json();
  } catch {
    told = { message: `the server answered ${response.status}`, help: "see what it says where it was started" };
  }
  throw Object.assign(new Error(told.message), { help: told.help, changed: response.status === 409 });
}

export const read = async (what) => answer(await fetch(what));

// The spread's picture with its version: that of the text which it shows.
export async function readPicture() {
  const response = await fetch("spread.svg");
  return { version: Number(response.headers.get("etag")?.replaceAll('"', "")), svg: await answer(response) };
}

export const send = async (what, body = {}) =>
  answer(await fetch(what, {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: JSON.stringify(body),
  }));

// Calls at each bit of news, and when the server is gone or back.
export function listen(news, gone) {
  const events = new EventSource("events");
  events.onmessage = (event) => news(JSON.parse(event.data));
  events.onerror = () => gone(true);
  events.onopen = () => gone(false);
}
