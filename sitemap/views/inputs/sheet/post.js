// @ts-check
// Edits wait here until the server says that it kept them: numbered, and sent whole each time, because a run of the page
// may be cut off or two may become one. One post for the whole browser page, carried by a component of the app's own
// frame: so it goes out also when the page with the sheet is left at once. A message names the page it comes from; one
// that overtakes the way to another page would call that off, so it goes before, or waits. What a closing browser page
// could not send is put aside, and sent when the app is opened again.
/** @import { Acks, Cell, Edit, Send, Shelf } from "./types.d.ts" */

/** @param {number} length */
export function token(length) {
  const numbers = crypto.getRandomValues(new Uint32Array(length));
  return Array.from(numbers, (number) => (number % 36).toString(36)).join("");
}

/** @typedef {ReturnType<typeof makePost>} Post */

function makePost() {
  const PAUSE_MS = 700, STEP_MS = 150, LONGEST_MS = 1000, AGAIN_MS = 2500, WAY_MS = 8000, ALIVE_MS = 1000, GONE_MS = 5000;
  const SHELF = "pitstead.typed.";
  const client = token(12);
  /** @type {Edit[]} */
  let waiting = [];
  /** @type {Send | null} */
  let send = null;
  /** @type {number | null} */
  let since = null;
  let count = 0, timer = 0, rest = 0, again = 0, look = 0, patience = AGAIN_MS;
  let page = "", handing = false, leavingUntil = 0;

  // Each open browser page has a shelf of its own, written with every letter: a page may be closed or die at any moment.
  // What stands on the shelf of one that is gone is sent by the next that looks; sent by two, it is kept once. One that
  // lives says so as long as something waits: two of them would else take over from each other, in turn, all that waits.
  function putAside(closed = false) {            // storage may be shut; then there is no shelf
    try {
      if (waiting.length) localStorage.setItem(SHELF + client, JSON.stringify({ closed, at: Date.now(), waiting }));
      else localStorage.removeItem(SHELF + client);
    } catch { /* as above */ }
  }
  function takeAside() {
    clearTimeout(look);
    try {
      const others = Object.keys(localStorage).filter((key) => key.startsWith(SHELF) && key !== SHELF + client);
      for (const key of others) {
        /** @type {Shelf} */
        const shelf = JSON.parse(localStorage.getItem(key) ?? "");
        if (!shelf.closed && Date.now() - shelf.at < GONE_MS) {
          clearTimeout(look);
          look = setTimeout(takeAside, GONE_MS);
          continue;
        }
        // A page slowed down in the background may live all the same: what is its own, or here already, is not taken twice.
        const known = new Set(waiting.map(({ client, n }) => `${client} ${n}`));
        const fresh = shelf.waiting.filter((edit) => edit.client !== client && !known.has(`${edit.client} ${edit.n}`));
        waiting = [...fresh.map((edit) => ({ ...edit, sent: false, open: false })), ...waiting];
        putAside();
        localStorage.removeItem(key);
      }
    } catch { /* as above */ }
    if (waiting.some((edit) => !edit.sent && !edit.open)) step();
  }
  function step() {                              // never postponed past LONGEST_MS, however fast the hand
    since ??= performance.now();
    clearTimeout(timer);
    timer = setTimeout(now, Math.max(0, Math.min(STEP_MS, since + LONGEST_MS - performance.now())));
  }
  // all that is ready: a cell in which somebody types on is only when the hand rests, so that undo takes it back whole
  function now() {
    clearTimeout(timer);
    since = null;
    const ready = waiting.filter((edit) => !edit.open);
    if (!send || !ready.length) return;
    if (performance.now() < leavingUntil) {
      timer = setTimeout(now, STEP_MS);
      return;
    }
    handing = true;                              // the app sends in a moment, not at once
    for (const edit of ready) edit.sent = true;
    send(ready.map(({ sent: _sent, open: _open, ...edit }) => edit));
    setTimeout(() => { handing = false; }, 0);
    wait();
  }
  function wait() {
    clearTimeout(again);
    again = setTimeout(() => { patience *= 2; now(); }, patience);
  }
  function unsent() {
    for (const edit of waiting) edit.open = false;
    if (waiting.some((edit) => !edit.sent)) now();
  }
  /** @param {MouseEvent} event */
  function leave(event) {
    const { target } = event;
    const link = /** @type {HTMLAnchorElement | null} */ (target instanceof Element ? target.closest("a[href]") : null);
    if (!link || link.target || event.button || event.ctrlKey || event.metaKey || event.shiftKey) return;
    unsent();
    if (handing) {
      event.preventDefault();
      event.stopImmediatePropagation();
      setTimeout(() => link.click(), 0);
    } else leavingUntil = performance.now() + WAY_MS;
  }

  globalThis.addEventListener("storage", (event) => { if (event.newValue && event.key?.startsWith(SHELF)) takeAside(); });
  document.addEventListener("click", leave, true);
  document.addEventListener("visibilitychange", unsent);
  globalThis.addEventListener("pagehide", () => { unsent(); putAside(true); });
  setInterval(() => { if (waiting.length) putAside(); }, ALIVE_MS);
  takeAside();
  return {
    /** One thing a person did; `gone` are row ids. @param {string} sheet @param {string} units @param {Cell[]} cells
     * @param {string[]} [gone] @returns {Edit} */
    add(sheet, units, cells, gone = []) {
      const edit = { client, n: ++count, sheet, units, cells, gone, sent: false, open: false };
      waiting.push(edit);
      putAside();
      return edit;
    },
    /** @param {Edit} edit */
    drop(edit) { waiting = waiting.filter((each) => each !== edit); putAside(); },
    /** @param {string} sheet */
    of(sheet) { return waiting.filter((edit) => edit.sheet === sheet); },
    /** What the server kept leaves; the rest goes out again in time. @param {Acks} acks @param {Send} sendNow
     * @param {string} here */
    heard(acks, sendNow, here) {
      send = sendNow;
      if (here !== page) leavingUntil = 0;
      page = here;
      const left = waiting.filter((edit) => edit.n > (acks[edit.client] ?? 0));
      patience = AGAIN_MS;                       // it answers, however long it was gone
      waiting = left;
      putAside();
      if (left.some((edit) => edit.sent)) wait();
      else clearTimeout(again);
      if (left.some((edit) => !edit.sent)) step();
    },
    /** Letters come into this edit; a rest of the hand ends it. @param {Edit} edit */
    typing(edit) {
      edit.open = true;
      putAside();
      clearTimeout(rest);
      rest = setTimeout(unsent, PAUSE_MS);
    },
    step() {
      for (const edit of waiting) edit.open = false;
      step();
    },
    now: unsent,
  };
}

// Two components of one page share it, and each brings this text along: only the window is common to both.
const shared = /** @type {any} */ (globalThis);
/** @type {Post} */
export const POST = (shared.pitsteadPost ??= makePost());
