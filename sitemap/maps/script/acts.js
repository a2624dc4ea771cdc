// @ts-check
// What a person did, as numbered acts, told to the server through the component that carries the map.
/** @import { Act } from "./types.d.ts" */

const MOST = 200;
const EDITS = ["moved", "added", "deleted"];

/** Only where it ended up matters. @param {Act} old @param {Act} act */
function outdated(old, act) {
  return act.do === "moved" && old.do === "moved" && old.id === act.id && String(old.part) === String(act.part);
}

export class Acts {
  /** @param {string} store name of the component's own memory in its window */
  constructor(store) {
    this.store = store;
    this.load = `${Date.now()}-${Math.random()}`;
    this.count = 0;
    /** @type {Act[]} */
    this.list = [];
    this.wasEdit = false; // the last thing done changed the site
  }

  /** What a hand did at once is told at once, and is one edit. @param {Act[]} acts @param {string | null} selected */
  tell(acts, selected) {
    for (const act of acts) {
      this.count += 1;
      const told = { ...act, load: this.load, n: this.count, selected };
      this.list = [...this.list.filter((old) => !outdated(old, act)), told].slice(-MOST);
      if (act.do !== "selected") this.wasEdit = EDITS.includes(act.do);
    }
    const page = /** @type {any} */ (globalThis), known = page[this.store];
    if (!known) return; // a page that stands alone has nobody to tell
    known.all_drawings = this.list; // sent at once; the component would wait 250 ms
    known.previous_data = { all_drawings: this.list };
    page.Streamlit.setComponentValue(known.previous_data);
  }

  /** Whether a scene was made before the last act: another will follow. @param {[string, number]} seen */
  isAhead([load, number]) {
    return this.count > (load === this.load ? number : 0);
  }
}
