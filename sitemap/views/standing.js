// @ts-check
// Whoever works by keys keeps a place on the page: at what an Add has brought, and where what was pressed is gone once the
// page is drawn anew, at the nearest thing that is left. Without it the browser begins again at the head of the page.
// F on the map leads to the fields beside it, Esc in one of them back. Figures typed where a number says how sure it is
// are meant for the next number. What a button leads to comes into sight, also for a mouse or a finger.

const REACHED = "a[href], button, input, textarea, summary";
const SURE = '[class*="st-key-sure-"] button[aria-expanded="false"]'; // stands between two numbers for the Tab key

/** Whether keys can come to it. @param {HTMLElement | null | undefined} each */
function reached(each) {
  return Boolean(each?.isConnected && each.offsetParent && !/** @type {HTMLButtonElement} */ (each).disabled && each.tabIndex >= 0);
}

/** What stands there now where the framework made it anew: the same kind of thing under the same key. @param {HTMLElement} each */
function madeAnew(each) {
  const names = each.closest('[class*="st-key-"]')?.classList ?? [], key = [...names].find((name) => name.startsWith("st-key-"));
  return key ? /** @type {HTMLElement | null} */ (document.querySelector(`.${CSS.escape(key)} ${each.localName}`)) : null;
}

/**
 * Between the map and what stands beside it, a dozen stops of the Tab key apart.
 *
 * @param {string} frame the frame of the map
 * @param {string} column what holds it, and what stands beside it
 */
function betweenMapAndFields(frame, column) {
  const map = () => /** @type {HTMLIFrameElement | null} */ (document.querySelector(frame));
  globalThis.addEventListener("message", ({ data, source }) => {
    if (data !== "pitstead: fields" || !source || source !== map()?.contentWindow) return;
    const beside = map()?.closest(column)?.nextElementSibling;
    const all = [.../** @type {NodeListOf<HTMLElement>} */ (beside?.querySelectorAll(REACHED) ?? [])].filter(reached);
    const written = all.filter((each) => each.matches('input[type="text"]:not([role])'));
    (written[0] ?? all[0])?.focus();
  });
  document.addEventListener("keydown", ({ key, target, defaultPrevented }) => {
    const field = target instanceof HTMLElement && target.matches('input:not([aria-expanded="true"]), summary, button') ? target : null;
    if (key !== "Escape" || defaultPrevented || !field || map()?.closest(column)?.nextElementSibling !== field.closest(column)) return;
    map()?.contentDocument?.getElementById("map_div")?.focus();
  });
}

/** Length, Tab, width, Tab, height, as everywhere: no figure is lost on the button between two fields. */
function figuresGoOn() {
  document.addEventListener("keydown", ({ key, target, ctrlKey, altKey, metaKey }) => {
    if (!/^[\d.,]$/.test(key) || ctrlKey || altKey || metaKey || !(target instanceof HTMLElement) || !target.matches(SURE)) return;
    const all = [.../** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll(REACHED))].filter(reached);
    const next = all[all.indexOf(target) + 1];
    if (!(next instanceof HTMLInputElement) || next.type !== "text" || next.role) return;
    next.focus();
    next.select(); // as the Tab key does
  }, true);
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
      brought.focus();
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

/** @param {{app: string, running: string, main: string, frame: string, column: string,
 *   stand: {key: string, led: boolean, mark: number} | null}} data */
export function standing({ app, running, main, frame, column, stand }) {
  const shared = /** @type {any} */ (globalThis);
  if (!shared.pitsteadStanding) {
    shared.pitsteadStanding = makeStanding(app, running, main);
    betweenMapAndFields(frame, column);
    figuresGoOn();
  }
  if (!stand || shared.pitsteadStood === stand.mark) return;
  shared.pitsteadStood = stand.mark;
  shared.pitsteadStanding(`st-key-${stand.key.replaceAll(/[^a-zA-Z0-9_-]/g, "-")}`, stand.led);
}
