// @ts-check
// A site begins with one field: it comes into sight and takes the keys, once for each site. The page that stood there
// before may have been scrolled to its end, on a phone away from that field.

/** @param {{data: {site: string, field: string, place: string}, parentElement: ShadowRoot}} component */
export default function ({ data, parentElement }) {
  const place = /** @type {HTMLElement | null} */ (parentElement.host.closest(data.place));
  if (place) place.style.display = "none";
  const shared = /** @type {any} */ (globalThis);
  /** @type {HTMLElement | null} */
  const field = document.querySelector(data.field);
  if (!field || shared.pitsteadBegun === data.site) return;
  shared.pitsteadBegun = data.site;
  field.focus({ preventScroll: true });
  field.scrollIntoView({ block: "center" });
}
