// @ts-check
// On a phone the side menu lies over the page: once another site is open, it must not hide it. And one press of the
// browser's Back is one page back.
import { standing } from "./standing.js";

const PHONE_PX = 640;
const MOST_TRIES = 3;

/** The framework tells the browser of a page first without its site and then with it, as if these were two. */
function onePageOneEntry() {
  const shared = /** @type {any} */ (globalThis), push = history.pushState;
  if (shared.pitsteadHistory) return;
  shared.pitsteadHistory = true;
  history.pushState = (state, title, url) => {
    const to = new URL(url ?? location.href, location.href), named = new URLSearchParams(location.search).has("site");
    const same = to.pathname === location.pathname && !named;
    (same ? history.replaceState : push).call(history, state, title, url);
  };
}

/**
 * A press on another page that comes in together with a field just left is forgotten by the framework: the field brings
 * the old page back. The press is remembered here, and made again while the server still shows the old page: more than
 * once where a field was handed over meanwhile. A step back or forward in the browser counts as a press on the page it
 * leads to.
 *
 * @param {{links: string, page: string, sidebar: string, close: string}} data
 */
function pressedAgain(data) {
  const { links, page } = data, shared = /** @type {any} */ (globalThis);
  if (!shared.pitsteadPresses) {
    shared.pitsteadPresses = true;
    document.addEventListener("click", (event) => {
      const at = /** @type {Element | null} */ (event.target);
      shared.pitsteadWanted = at?.closest?.(links) ?? null;
      if (event.isTrusted) {
        shared.pitsteadByKey = event.detail === 0; // not by mouse or finger
        shared.pitsteadTries = 0;
      }
      shared.pitsteadKeyed = Boolean(shared.pitsteadWanted) && shared.pitsteadByKey;
    }, true);
    globalThis.addEventListener("popstate", () => {
      shared.pitsteadWanted = linkTo(links, pageOf(location.pathname));
      shared.pitsteadTries = 0;
    });
  }
  const pressed = /** @type {HTMLAnchorElement | null} */ (shared.pitsteadWanted);
  const wanted = pressed && linkTo(links, pageOf(pressed.pathname)); // the menu may have been drawn anew
  if (!wanted || pageOf(wanted.pathname) === page || shared.pitsteadTries >= MOST_TRIES) {
    shared.pitsteadWanted = null;
  } else {
    shared.pitsteadTries += 1;
    pressedFor(wanted, data);
  }
}

/** @param {{sidebar: string}} data @returns {HTMLElement | null} */
function openMenu({ sidebar }) {
  return document.querySelector(`${sidebar}[aria-expanded="true"], ${sidebar}[data-collapsed="false"]`);
}

/** @param {{sidebar: string, close: string}} data */
function shutMenu(data) {
  const away = /** @type {HTMLElement | null | undefined} */ (openMenu(data)?.querySelector(data.close));
  away?.click();
}

/**
 * A link of the menu, pressed for whoever went there before.
 *
 * @param {HTMLAnchorElement} link
 * @param {{sidebar: string, close: string}} data
 */
function pressedFor(link, data) {
  const shut = openMenu(data) === null;
  link.click();
  if (shut) requestAnimationFrame(() => shutMenu(data)); // on a phone the framework turns the menu over at each press in it
}

/** @param {string} pathname */
const pageOf = (pathname) => pathname.split("/").pop() || "map";

/**
 * Whoever was led to another page by a button stays there until they do something: what the old page still had to say,
 * its map above all, comes in later and brings it back.
 *
 * @param {{links: string, page: string, sidebar: string, close: string, led: {page: string, mark: number} | null}} data
 */
function staysWhereLed(data) {
  const { links, page, led } = data, shared = /** @type {any} */ (globalThis);
  if (!shared.pitsteadLed) {
    shared.pitsteadLed = { page: "", mark: 0, tries: 0 };
    const free = (/** @type {Event} */ { isTrusted }) => { if (isTrusted) shared.pitsteadLed.page = ""; };
    document.addEventListener("pointerdown", free, true);
    document.addEventListener("keydown", free, true);
    globalThis.addEventListener("popstate", free);
  }
  const held = shared.pitsteadLed;
  if (led && led.mark !== held.mark) Object.assign(held, led, { tries: 0 });
  if (!held.page || held.page === page || held.tries >= MOST_TRIES) return;
  held.tries += 1;
  const link = linkTo(links, held.page);
  if (link) pressedFor(link, data);
}

/** @param {string} links @param {string} page */
function linkTo(links, page) {
  const known = /** @type {NodeListOf<HTMLAnchorElement>} */ (document.querySelectorAll(links));
  return [...known].find((link) => pageOf(link.pathname) === page) ?? null;
}

/**
 * Whoever went to a page by a key stands at its head, and need not go through the rest of the menu once more.
 *
 * @param {string} title
 * @param {number} frames so long it is waited for
 */
function headFocused(title, frames = 600) {
  const shared = /** @type {any} */ (globalThis), head = /** @type {HTMLElement | null} */ (document.querySelector(".ps-head h3"));
  if (!shared.pitsteadKeyed || frames === 0) return;
  if (head?.textContent !== title) requestAnimationFrame(() => headFocused(title, frames - 1));
  else {
    shared.pitsteadKeyed = false;
    head.tabIndex = -1;
    head.focus({ preventScroll: true });
  }
}

/**
 * A page is read from its head: what comes in above keeps the browser where the page before was scrolled to, and what has
 * to be typed first is out of sight. Keys that led here, by a link or a button, stand there too.
 *
 * @param {string} main
 * @param {string} page
 * @param {string} title
 */
function fromItsHead(main, page, title) {
  const shared = /** @type {any} */ (globalThis), before = shared.pitsteadPage;
  shared.pitsteadPage = page;
  if (before !== undefined && before !== page) {
    document.querySelector(main)?.scrollTo(0, 0);
    if (shared.pitsteadByKey) shared.pitsteadKeyed = true;
  }
  headFocused(title);
}

/** The framework puts heads between the entries of a list, which a screen reader then cannot count. @param {string} list */
function headsAmongLinks(list) {
  for (const each of document.querySelectorAll(`${list}, ${list} li`)) {
    each.setAttribute("role", each.tagName === "LI" ? "presentation" : "group");
  }
}

/**
 * @param {{data: {site: string, place: string, sidebar: string, close: string, list: string, links: string, page: string, title: string,
 *   app: string, running: string, main: string, frame: string, column: string, here: string, passed: {help: string, clear: string},
 *   stand: {key: string, led: boolean, mark: number} | null, led: {page: string, mark: number} | null},
 *   parentElement: ShadowRoot}} component
 */
export default function ({ data, parentElement }) {
  const place = /** @type {HTMLElement | null} */ (parentElement.host.closest(data.place));
  const shared = /** @type {any} */ (globalThis);
  if (place) place.style.display = "none";
  headsAmongLinks(data.list);
  onePageOneEntry();
  pressedAgain(data);
  staysWhereLed(data);
  fromItsHead(data.main, data.page, data.title);
  standing(data);
  const before = shared.pitsteadSite;
  shared.pitsteadSite = data.site;
  if (before !== undefined && before !== data.site && globalThis.innerWidth <= PHONE_PX) shutMenu(data);
}
