// @ts-check
// A file that was asked for and is ready is saved without a second press; the button stays for who wants it again.

/** @param {{data: {mark: number, button: string, place: string}, parentElement: ShadowRoot}} component */
export default function ({ data, parentElement }) {
  const place = /** @type {HTMLElement | null} */ (parentElement.host.closest(data.place));
  if (place) place.style.display = "none";
  const shared = /** @type {any} */ (globalThis);
  if (shared.pitsteadSaved === data.mark) return;
  shared.pitsteadSaved = data.mark;
  /** @type {HTMLElement | null} */ (document.querySelector(data.button))?.click();
}
