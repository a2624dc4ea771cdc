// @ts-check
// While the server does not answer, the page says so, and its text fields can be typed in all the same.
import { notice } from "./notice.js";

const GONE = "Pitstead does not answer: it was stopped, or the connection is cut. Leave this page open. What is typed "
  + "waits in this browser and is kept as soon as Pitstead runs again; buttons and choices wait for that too.";

/**
 * Watch the connection. While it is cut the framework shuts every field and lays a dialog of its own over the page, which
 * speaks of things nobody here knows: the fields that are followed are opened again, the dialog is closed.
 *
 * @param {HTMLElement} app
 * @param {{connection: string, close: string}} names attribute in which the framework says how the connection stands, and
 * the button that closes its dialog
 * @param {() => Iterable<HTMLInputElement | HTMLTextAreaElement>} fields
 */
export function watchConnection(app, names, fields) {
  /** @type {HTMLElement | null} */
  let last = null;
  const connected = () => app.getAttribute(names.connection) === "CONNECTED";
  function look() {
    const gone = !connected();
    notice("gone", gone ? GONE : "");
    if (!gone) return;
    /** @type {HTMLElement | null} */ (document.querySelector(names.close))?.click();
    for (const field of fields()) if (field.disabled) field.disabled = false;
    const at = document.activeElement;
    if ((at === document.body || at?.closest('[role="dialog"]')) && last?.isConnected) last.focus();
  }
  // The cells of a sheet are known by their keys: the document hears nothing of a focus that stays within the sheet.
  /** @param {Event} event */
  function there(event) {
    const [at] = event.composedPath();
    if (at instanceof HTMLElement && at !== document.body && !at.closest('[role="dialog"]')) last = at;
  }
  for (const event of ["focusin", "keydown", "keyup"]) document.addEventListener(event, there, true);
  document.addEventListener("keydown", look, true);  // a letter typed while the dialog is being closed
  const watch = new MutationObserver(look);
  watch.observe(app, { attributes: true, attributeFilter: [names.connection] });
  watch.observe(document.body, { childList: true });
  look();
  return { connected, look };
}
