// @ts-check
// On a phone the side menu lies over the page: once another site is open, it must not hide it.
const PHONE_PX = 640;

/** @param {{data: {site: string, place: string, sidebar: string, close: string}, parentElement: ShadowRoot}} component */
export default function ({ data, parentElement }) {
  const place = /** @type {HTMLElement | null} */ (parentElement.host.closest(data.place));
  if (place) place.style.display = "none";
  const shared = /** @type {any} */ (globalThis), before = shared.pitsteadSite;
  shared.pitsteadSite = data.site;
  if (before === undefined || before === data.site || globalThis.innerWidth > PHONE_PX) return;
  const open = document.querySelector(`${data.sidebar}[aria-expanded="true"], ${data.sidebar}[data-collapsed="false"]`);
  /** @type {HTMLElement | null | undefined} */ (open?.querySelector(data.close))?.click();
}
