// Two pages of one browser with a sheet each, on a clock of their own: what they put aside, and what they send.

/** @param {string} post address of the module */
export async function outage(post) {
  let now = 1_000_000, number = 0;
  const timers = new Map(), shelves = {};
  const later = (action, ms, every) => (timers.set(number += 1, { action, at: now + ms, every }), number);
  const hidden = { enumerable: false };
  Object.defineProperties(shelves, {
    getItem: { ...hidden, value: (key) => shelves[key] ?? null },
    removeItem: { ...hidden, value: (key) => { delete shelves[key]; } },
    setItem: { ...hidden, value: (key, value) => {
      shelves[key] = value;
      later(() => globalThis.dispatchEvent(Object.assign(new Event("storage"), { key, newValue: value })), 1);
    } },
  });
  const stand = (names) => { for (const [name, value] of Object.entries(names)) Object.defineProperty(globalThis, name, { value, configurable: true, writable: true }); };
  stand({
    localStorage: shelves, document: new EventTarget(), performance: { now: () => now },
    setTimeout: (action, ms = 0) => later(action, ms), setInterval: (action, ms) => later(action, ms, ms),
    clearTimeout: (timer) => timers.delete(timer),
  });
  Date.now = () => now;

  function pass(ms) {
    const end = now + ms;
    for (;;) {
      const [due] = [...timers].filter(([, { at }]) => at <= end).sort(([, one], [, other]) => one.at - other.at);
      if (!due) break;
      const [name, { action, at, every }] = due;
      now = at;
      if (every) timers.set(name, { action, at: at + every, every });
      else timers.delete(name);
      action();
    }
    now = end;
  }

  const messages = [], pages = [];
  for (const name of ["one", "other"]) {
    delete globalThis.pitsteadPost;
    pages.push((await import(`${post}?${name}`)).POST);
  }
  const [one, other] = pages, sent = (message) => messages.push(message);
  const type = (page, row, text) => { page.typing(page.add("LINK/pile", "metric", [[row, "name", text]])); pass(800); };
  type(one, "pile-a", "A1"); // nobody answers
  type(other, "pile-b", "B1");
  pass(20_000);
  type(one, "pile-c", "A2");
  pass(20_000);
  const aside = Object.values(shelves).map((text) => JSON.parse(text).waiting.length);
  const kept = {};
  for (const page of [one, other, one, other]) { // it answers again, with what it has kept until then
    page.heard({ ...kept }, sent, "survey");
    pass(5000);
    for (const { client, n } of messages.flat()) kept[client] = Math.max(kept[client] ?? 0, n);
  }
  return { aside, messages, left: Object.keys(shelves).length };
}
