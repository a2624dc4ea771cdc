// @ts-check
// How the Tab key goes through the fields of a page. The question mark before a field and the cross that empties a list
// of choices are stops on the way back only: on the way forward they would make two presses of each field, and take what
// is typed for the field itself. What is typed there all the same is meant for the next field. What a key opens over the
// page stands behind its last stop: the keys go on in it, and Esc brings them back.

const OPENS = 'button[aria-haspopup="dialog"]', OPENED = '[role="dialog"]';
const MOST_FRAMES = 120; // so long what was opened is waited for
const STOPS = 'a[href], button, input, textarea, summary, iframe, [tabindex="0"]';
const SURE = '[class*="st-key-sure-"] button[aria-expanded="false"]'; // how sure a number is: stands before the next number

/** Whether keys can come to it. @param {HTMLElement | null | undefined} each */
export function reached(each) {
  return Boolean(each?.isConnected && each.offsetParent && !/** @type {HTMLButtonElement} */ (each).disabled && each.tabIndex >= 0);
}

/** As the Tab key does it: what stands in a field is chosen, so that the next letter takes its place. @param {HTMLElement} field */
export function comeTo(field) {
  field.focus();
  if (field instanceof HTMLInputElement && field.type === "text") field.select();
}

/** @param {{help: string, clear: string}} passed the question marks, and what empties a list of choices */
export function makeStops({ help, clear }) {
  const passed = `${help}, ${clear}`;
  let forward = false;

  /** @param {HTMLElement} from */
  function after(from) {
    const all = [.../** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll(STOPS))];
    return all.slice(all.indexOf(from) + 1).find((each) => reached(each) && !each.matches(passed));
  }

  document.addEventListener("keydown", ({ key, shiftKey, ctrlKey, altKey, metaKey, target }) => {
    const plain = !(ctrlKey || altKey || metaKey);
    forward = key === "Tab" && plain && !shiftKey;
    if (!plain || key.length !== 1 || key === " " || !(target instanceof HTMLElement)) return;
    const figure = target.matches(SURE) && /^[\d.,]$/.test(key);
    const next = figure || target.matches(help) ? after(target) : null;
    if (next instanceof HTMLInputElement && next.type === "text" && !(figure && next.role)) comeTo(next);
  }, true);
  /** @param {HTMLElement} button @param {number} frames */
  function into(button, frames) {
    if (frames === 0 || document.activeElement !== button) return;
    const opened = button.getAttribute("aria-expanded") === "true" ? [...document.querySelectorAll(OPENED)].pop() : null;
    const all = [.../** @type {NodeListOf<HTMLElement>} */ (opened?.querySelectorAll(STOPS) ?? [])];
    const first = all.find((each) => reached(each) && !each.matches(passed));
    if (first) comeTo(first);
    else requestAnimationFrame(() => into(button, frames - 1));
  }

  document.addEventListener("click", ({ target, detail }) => {
    const button = target instanceof Element ? /** @type {HTMLElement | null} */ (target.closest(OPENS)) : null;
    if (button && detail === 0) into(button, MOST_FRAMES); // by a key
  });
  document.addEventListener("pointerdown", () => { forward = false; }, true);
  document.addEventListener("focusin", ({ target }) => {
    if (!forward || !(target instanceof HTMLElement) || !target.matches(passed)) return;
    const next = after(target);
    if (next) comeTo(next);
  });
}
