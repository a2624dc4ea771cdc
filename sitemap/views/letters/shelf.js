// @ts-check
// Letters typed in a field of the app, put aside with every one of them until the server says that it has them: a page
// may be loaded anew, left or die at any moment, and so may the server. One entry for each field of each site.

/**
 * @typedef {object} Letters
 * @property {string} site link of the site
 * @property {string} key class of the field's place on the page
 * @property {string} label what the field is called
 * @property {string} text what was typed
 * @property {string} was what the field held before
 * @property {boolean} draft whether only the page reads it, and a button keeps it
 * @property {boolean} [choice] whether it was typed in a choice, to be chosen
 * @property {string} page address of the page it was typed on
 * @property {string} tab browser page it was typed in
 * @property {number} at when that page was last known to live (ms)
 * @property {boolean} closed whether that page was closed
 */

export const ALIVE_MS = 20_000;  // so often a page says that it lives; a hidden one is slowed down to once a minute
const DEAD_MS = 90_000;
const SHELF = "pitstead.letters.", TAB = "pitstead.tab";

/** The name of this browser page, the same when it is loaded anew. */
function nameOfTab() {
  const made = crypto.getRandomValues(new Uint32Array(3)).join("-");
  try {
    const name = sessionStorage.getItem(TAB) ?? made;
    sessionStorage.setItem(TAB, name);
    return name;
  } catch {                                      // storage may be shut; then letters wait in this page only
    return made;
  }
}

export function makeShelf() {
  const tab = nameOfTab();
  /** @type {Map<string, Letters>} */
  const entries = new Map();

  /** @param {string} site @param {string} key */
  const nameOf = (site, key) => `${SHELF}${site}/${key}`;

  /** @param {string} name @param {Letters} entry */
  function write(name, entry) {
    try {
      localStorage.setItem(name, JSON.stringify(entry));
    } catch { /* as above */ }
  }

  return {
    /** @param {string} site @param {string} key */
    get: (site, key) => entries.get(nameOf(site, key)),
    /** @param {string} site */
    of: (site) => [...entries.values()].filter((entry) => entry.site === site),
    /** @param {Omit<Letters, "tab" | "at" | "closed">} typed */
    put(typed) {
      const name = nameOf(typed.site, typed.key), entry = { ...typed, tab, at: Date.now(), closed: false };
      entries.set(name, entry);
      write(name, entry);
    },
    /** @param {Letters} entry */
    drop(entry) {
      const name = nameOf(entry.site, entry.key);
      entries.delete(name);
      try {
        localStorage.removeItem(name);
      } catch { /* as above */ }
    },
    /** Take over what this page left before it was loaded anew, and what a page left that is gone. */
    gather() {
      try {
        for (const name of Object.keys(localStorage).filter((each) => each.startsWith(SHELF) && !entries.has(each))) {
          /** @type {Letters} */
          const entry = JSON.parse(localStorage.getItem(name) ?? "");
          if (entry.tab !== tab && !entry.closed && Date.now() - entry.at < DEAD_MS) continue;
          const mine = { ...entry, tab, at: Date.now(), closed: false };
          entries.set(name, mine);
          write(name, mine);
        }
      } catch { /* as above */ }
    },
    /** Say that this page lives, or that it is being closed. @param {boolean} [closed] */
    alive(closed = false) {
      for (const [name, entry] of entries) {
        Object.assign(entry, { at: Date.now(), closed });
        write(name, entry);
      }
    },
  };
}
