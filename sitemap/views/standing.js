// @ts-check
// Whoever works by keys keeps a place on the page: at what an Add has brought, and where what was pressed is gone once the
// page is drawn anew, at the nearest thing that is left. Without it the browser begins again at the head of the page.
// F on the map leads to the fields beside it. Esc leads a step out: from these fields to the map, from the map or any other
// page to the menu. What a button leads to comes into sight, also for a mouse or a finger.
import { comeTo, makeStops, reached } from "./stops.js";

const REACHED = "a[href], button, input, textarea, summary";

/** What stands there now where the framework made it anew: the same kind of thing under the same key. @param {HTMLElement} each */
function madeAnew(each) {
  const names = each.closest('[class*="st-key-"]')?.classList ?? [], key = [...names].find((name) => name.startsWith("st-key-"));
  return key ? /** @type {HTMLElement | null} */ (document.querySelector(`.${CSS.escape(key)} ${each.localName}`)) : null;
}

/**
 * Between the map, what stands beside it and the menu, a dozen stops of the Tab key apart.
 *
 * @param {string} frame the frame of the map
 * @param {string} column what holds it, and what stands beside it
 * @param {string} main
 * @param {string} here where the menu says which page this is
 */
function stepsOut(frame, column, main, here) {
  const map = () => /** @type {HTMLIFrameElement | null} */ (document.querySelector(frame));
  const beside = () => map()?.closest(column)?.nextElementSibling;
  const toMenu = () => {
    const link = /** @type {HTMLElement | null} */ (document.querySelector(here));
    if (reached(link)) link?.focus();
  };
  globalThis.addEventListener("message", ({ data, source }) => {
    if (!source || source !== map()?.contentWindow) return;
    if (data === "pitstead: menu") toMenu();
    if (data !== "pitstead: fields") return;
    const all = [.../** @type {NodeListOf<HTMLElement>} */ (beside()?.querySelectorAll(REACHED) ?? [])].filter(reached);
    const written = all.filter((each) => each.matches('input[type="text"]'));
    const first = written.find((each) => each.closest('[class*="st-key-form-"]')) ?? written.find((each) => !each.role) ?? all[0];
    if (first) comeTo(first);
  });
  let open = false; // a list that Esc closes: once it is heard here, it is closed already
  document.addEventListener("keydown", ({ target }) => {
    open = target instanceof HTMLElement && target.getAttribute("aria-expanded") === "true";
  }, true);
  document.addEventListener("keydown", ({ key, target, defaultPrevented }) => {
    if (key !== "Escape" || defaultPrevented || open || !(target instanceof HTMLElement)) return;
    const column = beside();
    if (column?.contains(target)) map()?.contentDocument?.getElementById("map_div")?.focus();
    else if (target === document.body || target.closest(main)) toMenu();
  });
}

/** @param {string} app @param {string} running attribute of the app that says whether a run goes on @param {string} main */
function makeStanding(app, running, main) {
  const root = /** @type {HTMLElement} */ (document.querySelector(app));
  /** What the keys could come to when one of them was pressed, in their order. @type {HTMLElement[]} */
  let order = [];
  let at = -1, keyed = false, led = false, shown = false, wanted = "";

  const grows = new ResizeObserver(() => look());

  function look() {
    if (root.getAttribute(running) === "running" || !(keyed || led)) return;
    const brought = wanted && /** @type {HTMLElement | null} */ (document.querySelector(`.${CSS.escape(wanted)} input`));
    if (brought && led) {
      const there = document.activeElement, { top, bottom } = brought.getBoundingClientRect();
      if (shown && there !== document.body && there !== brought) return;
      const shut = brought.closest("details:not([open])");
      if (shut) {
        shut.querySelector("summary")?.click();
        return;
      }
      if (!shown || top < 0 || bottom > innerHeight) brought.scrollIntoView({ block: "center" });
      if (there !== brought) brought.focus({ preventScroll: true });
      if (!shown) grows.observe(/** @type {Element} */ (document.querySelector(main)?.firstElementChild ?? brought));
      shown = true; // it may be drawn anew or pushed away before the page stands
      return;
    }
    if (brought) {
      wanted = "";
      comeTo(brought);
      return;
    }
    if (!keyed || at < 0 || document.activeElement !== document.body || reached(order[at])) return;
    const near = order.map((each, place) => ({ each, far: Math.abs(place - at) })).sort((one, other) => one.far - other.far);
    for (const { each } of near) {
      const there = reached(each) ? each : madeAnew(each);
      if (!there || !reached(there)) continue;
      const kept = at;
      there.focus();
      at = kept; // what was found may go as well before the page stands
      return;
    }
  }

  document.addEventListener("keydown", ({ key, target, isTrusted }) => {
    if (!isTrusted || (key !== "Enter" && key !== " ")) return;
    const page = document.querySelector(main);
    order = [.../** @type {NodeListOf<HTMLElement>} */ (page?.querySelectorAll(REACHED) ?? [])].filter(reached);
    at = order.indexOf(/** @type {HTMLElement} */ (target));
    keyed = true;
    wanted = "";
  }, true);
  const alone = () => {
    led = false;
    grows.disconnect();
  };
  document.addEventListener("keydown", ({ isTrusted }) => { if (isTrusted) alone(); }, true);
  document.addEventListener("wheel", alone, { capture: true, passive: true });
  document.addEventListener("pointerdown", () => { keyed = false; alone(); }, true);
  const elsewhere = () => { at = -1; };
  document.addEventListener("focusin", ({ target }) => {
    const pressed = order[at];
    if (pressed && (target === pressed || target === madeAnew(pressed))) order[at] = /** @type {HTMLElement} */ (target);
    else elsewhere();  // what was pressed may go out and in once more before it is gone
  }, true);
  globalThis.addEventListener("blur", elsewhere); // into the frame of the map
  const watch = new MutationObserver(look);
  watch.observe(root, { attributes: true, attributeFilter: [running], childList: true, subtree: true });
  /** @param {string} key @param {boolean} isLed */
  return (key, isLed) => {
    wanted = key;
    led = isLed;
    shown = false;
    look();
  };
}

/** @param {{app: string, running: string, main: string, frame: string, column: string, here: string,
 *   passed: {help: string, clear: string}, stand: {key: string, led: boolean, mark: number} | null}} data */
export function standing({ app, running, main, frame, column, here, passed, stand }) {
  const shared = /** @type {any} */ (globalThis);
  if (!shared.pitsteadStanding) {
    shared.pitsteadStanding = makeStanding(app, running, main);
    stepsOut(frame, column, main, here);
    makeStops(passed);
  }
  if (!stand || shared.pitsteadStood === stand.mark) return;
  shared.pitsteadStood = stand.mark;
  shared.pitsteadStanding(`st-key-${stand.key.replaceAll(/[^a-zA-Z0-9_-]/g, "-")}`, stand.led);
}
