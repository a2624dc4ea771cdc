// @ts-check
// Hands the post to the server, on whatever page; nothing is to be seen of it.
/** @import { Acks, Component, Edit } from "./types.d.ts" */
import { POST } from "./post.js";

/** @param {Component<{acks: Acks, page: string, place: string}>} component */
export default function ({ data, parentElement, setStateValue }) {
  const place = /** @type {HTMLElement | null} */ (parentElement.host.closest(data.place));
  if (place) place.style.display = "none";
  POST.heard(data.acks, (edits) => setStateValue("edits", edits), data.page);
}
