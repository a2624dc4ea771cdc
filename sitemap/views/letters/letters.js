// @ts-check
// Follows the hand in the text fields of the app. What is typed is put aside at once, handed over when the hand rests,
// and put back into its field where it did not arrive: after the page was loaded anew, left, or the server was gone.
import { notice } from "./notice.js";
import { ALIVE_MS, makeShelf } from "./shelf.js";
import { watchConnection } from "./gone.js";
/** @import { Letters } from "./shelf.js" */

/** @typedef {HTMLInputElement | HTMLTextAreaElement} Field */
/** @typedef {{site: string, heard: {[key: string]: [number, string]}, place: string, app: string, close: string,
 *   connection: string, running: string, choices: string[]}} Data choices: keys of those that take new words */

const REST_MS = 700, LOOK_MS = 400, SHORT = 60;
const CALM = 2, CALM_UNTOLD = 10;                // looks without a run, after one that said what it took, and after another
const FIELDS = 'input[type="text"][autocomplete="off"]:not([role]), textarea:not([role])';
const CHOICES = 'input[role="combobox"]';        // half a word there may begin another: it is said, never chosen
const CLASS = "st-key-", DRAFT = "draft-";

/** @param {string} key as the framework makes a class of it @param {boolean} area the key of a field of several lines
 * counts how often it was emptied, which is no part of its name */
function plainKey(key, area) {
  const plain = key.trim().replaceAll(/[^a-zA-Z0-9_-]/g, "-");
  return area ? plain.replace(/-\d+$/, "") : plain;
}

/** @param {unknown} target @returns {Field | null} */
function fieldOf(target) {
  const field = /** @type {Field | null} */ (target instanceof Element && target.matches(FIELDS) ? target : null);
  return field && keyOf(field) ? field : null;
}

/** Whether it has several lines. @param {Field} field */
function isArea(field) { return field.tagName === "TEXTAREA"; }

/** Whether only its page reads it, until a button keeps what is in it. @param {Field} field */
function isDraft(field) { return isArea(field) || keyOf(field).startsWith(DRAFT); }

/** @param {Field} field */
function labelOf(field) { return field.getAttribute("aria-label") ?? ""; }

/** @param {Field} field */
function keyOf(field) {
  const names = field.closest(`[class*="${CLASS}"]`)?.classList ?? [];
  const name = [...names].find((each) => each.startsWith(CLASS));
  return name ? plainKey(name.slice(CLASS.length), isArea(field)) : "";
}

/** @returns {Field[]} */
function allFields() { return [.../** @type {NodeListOf<Field>} */ (document.querySelectorAll(FIELDS))].filter(keyOf); }

/** @param {string} text */
function short(text) { return text.length > SHORT ? `${text.slice(0, SHORT)}…` : text; }

/** As a hand does it: Enter, in a field of several lines with Ctrl. @param {Field} field */
function handOver(field) {
  field.dispatchEvent(
    new KeyboardEvent("keydown", { key: "Enter", ctrlKey: isArea(field), bubbles: true, cancelable: true }),
  );
}

/** @param {Field} field @param {string} text */
function putBack(field, text) {
  const kind = isArea(field) ? HTMLTextAreaElement : HTMLInputElement;
  Object.getOwnPropertyDescriptor(kind.prototype, "value")?.set?.call(field, text);
  field.dispatchEvent(new Event("input", { bubbles: true }));
  setTimeout(() => handOver(field), 0);          // when the framework has read it
}

/** @param {Data} first */
function makeLetters(first) {
  const shelf = makeShelf(), app = /** @type {HTMLElement} */ (document.querySelector(first.app));
  const connection = watchConnection(app, first, allFields);
  /** @type {WeakMap<Field, string>} */
  const before = new WeakMap();
  /** Keys of what was typed or put back since this page was loaded. @type {Set<string>} */
  const here = new Set();
  /** Keys of what waited while the server was gone. The browser brings its fields to a new one, which takes them and sends
   * its own: the two cross. @type {Set<string>} */
  const waited = new Set();
  /** All that stood in a field while it was typed in, by its key: the server may have taken any of it.
   * @type {Map<string, Set<string>>} */
  const onTheWay = new Map();
  /** Mark of what was told last, by the key of its field. @type {Map<string, number>} */
  const marks = new Map();
  let data = first, rest = 0, rests = true, calm = 0, heard = false;
  // On a slow computer a run has ended before the page has read what it took: letters that arrived must not be put back.
  const running = new MutationObserver(() => { if (app.getAttribute(data.running) !== "notRunning") heard = false; });
  running.observe(app, { attributes: true, attributeFilter: [first.running] });

  /** @param {unknown} target @returns {HTMLInputElement | null} a choice that takes new words */
  function choiceOf(target) {
    const field = /** @type {HTMLInputElement | null} */ (target instanceof Element && target.matches(CHOICES) ? target : null);
    return field && data.choices.some((key) => plainKey(key, false) === keyOf(field)) ? field : null;
  }

  /** @param {HTMLInputElement} field a choice */
  function halfTyped(field) {
    const key = keyOf(field), known = shelf.get(data.site, key), was = known?.was ?? before.get(field) ?? "";
    if (field.value !== was && field.value !== "") {
      shelf.put({ site: data.site, key, label: labelOf(field), text: field.value, was, draft: true, choice: true,
        page: location.pathname });
    } else if (known) drop(known);
  }

  /** Says what was typed in a choice and not chosen. @param {Letters[]} entries */
  function unchosen(entries) {
    const fields = [.../** @type {NodeListOf<HTMLInputElement>} */ (document.querySelectorAll(CHOICES))].filter(choiceOf);
    const left = entries.filter((entry) => {
      const field = fields.find((each) => keyOf(each) === entry.key && labelOf(each) === entry.label);
      if (!field || field.value === entry.was) return true;
      if (field !== document.activeElement) drop(entry);           // this was chosen there, or another
      return false;
    });
    const said = left.map((entry) => `${entry.label}: “${short(entry.text)}”`).join(", ");
    notice("unchosen", said && `Typed and not chosen: ${said}. Choose it in its list, or type it there and press Enter.`, {
      "Let it go": () => left.forEach(drop),
    });
  }

  /** @param {Event} event */
  function typed(event) {
    const choice = choiceOf(event.target);
    if (choice && event.isTrusted) halfTyped(choice);
    const field = fieldOf(event.target);
    if (!field || !event.isTrusted) return;
    const key = keyOf(field), known = shelf.get(data.site, key), was = known?.was ?? before.get(field) ?? "";
    if (known && (field.value === was || (known.draft && field.value === ""))) drop(known);
    else {
      here.add(key);
      onTheWay.set(key, (onTheWay.get(key) ?? new Set()).add(field.value));
      shelf.put({ site: data.site, key, label: labelOf(field), text: field.value, was, draft: isDraft(field),
        page: location.pathname });
    }
    rests = false;
    clearTimeout(rest);
    rest = setTimeout(() => {
      rests = true;
      if (isArea(field) && field.isConnected) handOver(field);  // other fields hand over by themselves
    }, REST_MS);
  }

  /** @param {Letters} entry */
  function drop(entry) {
    shelf.drop(entry);
    for (const known of [here, waited, onTheWay]) known.delete(entry.key);
    notice(`changed.${entry.key}`, "");
  }

  /** What was typed and is not known to have arrived. @param {Letters} entry @param {Field} field */
  function mend(entry, field) {
    const called = labelOf(field), untouched = field.value === entry.was || (entry.draft && field.value === "")
      || onTheWay.get(entry.key)?.has(field.value);
    if (called === entry.label && field.value === entry.text) {
      if (!entry.draft && !here.has(entry.key)) drop(entry);     // it had arrived before the page was loaded anew
    } else if (called === entry.label && untouched) {   // another name may be another unit
      here.add(entry.key);
      putBack(field, entry.text);
    } else {
      const now = () => allFields().find((each) => keyOf(each) === entry.key);
      notice(`changed.${entry.key}`, `Typed before and not kept: ${entry.label} “${short(entry.text)}”. Changed since: `
        + `${called} “${short(field.value)}”.`, {
        "Put mine in": () => {
          const at = now();
          if (!at) return;
          here.add(entry.key);
          shelf.put({ ...entry, was: at.value });
          putBack(at, entry.text);
        },
        "Leave it as it is": () => drop(entry),
      });
    }
  }

  function look() {
    connection.look();
    if (!connection.connected()) for (const entry of shelf.of(data.site)) waited.add(entry.key);
    calm = rests && connection.connected() && app.getAttribute(data.running) === "notRunning" ? calm + 1 : 0;
    if (calm < (heard ? CALM : CALM_UNTOLD)) return;  // what a run took is told a moment after its end
    shelf.gather();
    const all = shelf.of(data.site), waiting = all.filter((entry) => !entry.choice);
    unchosen(all.filter((entry) => entry.choice));
    const fields = new Map(allFields().map((field) => [keyOf(field), field]));
    for (const entry of waiting) {
      const field = fields.get(entry.key);
      if (field) mend(entry, field);
    }
    const away = waiting.filter((entry) => !fields.has(entry.key) && (!entry.draft || entry.page === location.pathname));
    const said = away.map((entry) => `${entry.label}: “${short(entry.text)}”`).join(", ");
    notice("away", said && `Typed, and not yet in the site: ${said}. It is put back as soon as its field is in sight again.`, {
      "Let it go": () => away.forEach(drop),
    });
  }

  function leave() {
    for (const field of allFields()) if (shelf.get(data.site, keyOf(field))) handOver(field);
  }

  document.addEventListener("beforeinput", (event) => {
    const field = fieldOf(event.target) ?? choiceOf(event.target);
    if (field && !shelf.get(data.site, keyOf(field))) before.set(field, field.value);
  }, true);
  document.addEventListener("input", typed, true);
  globalThis.addEventListener("popstate", leave);
  globalThis.addEventListener("pagehide", () => { leave(); shelf.alive(true); });
  setInterval(look, LOOK_MS);
  setInterval(() => shelf.alive(), ALIVE_MS);

  return {
    /** @param {Data} now */
    told(now) {
      data = now;
      heard = true;
      for (const [key, [mark, text]] of Object.entries(data.heard)) {
        if (marks.get(key) === mark) continue;
        marks.set(key, mark);
        const plain = plainKey(key, false), counted = plainKey(key, true);
        const entry = shelf.get(data.site, plain) ?? (counted === plain ? undefined : shelf.get(data.site, counted));
        if (!entry || (entry.key !== plain && !entry.draft)) continue;
        if (entry.text === text) {
          const field = waited.has(entry.key) && allFields().find((each) => keyOf(each) === entry.key);
          if (!field || field.value === text) drop(entry);           // else it is put back
        } else if (!entry.draft) shelf.put({ ...entry, was: text });
      }
    },
  };
}

/** @param {{data: Data, parentElement: ShadowRoot}} component */
export default function ({ data, parentElement }) {
  const place = /** @type {HTMLElement | null} */ (parentElement.host.closest(data.place));
  if (place) place.style.display = "none";
  const shared = /** @type {any} */ (globalThis);
  shared.pitsteadLetters ??= makeLetters(data);
  shared.pitsteadLetters.told(data);
}
