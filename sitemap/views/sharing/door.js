// @ts-check
// The browser carries the mark of who was let in; with it the page is opened anew.

/** @param {{data: {name: string, mark: string, seconds: number, place: string}, parentElement: ShadowRoot}} component */
export default function ({ data, parentElement }) {
  const place = /** @type {HTMLElement | null} */ (parentElement.host.closest(data.place));
  if (place) place.style.display = "none";
  document.cookie = `${data.name}=${data.mark}; path=/; SameSite=Strict; max-age=${data.seconds}`;
  location.reload();
}
