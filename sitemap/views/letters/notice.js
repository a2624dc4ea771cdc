// @ts-check
// A sentence of the browser's own at the foot of the page: it stands also while the server does not answer.

/**
 * @param {string} name one notice of a name at a time
 * @param {string} text empty takes the notice away
 * @param {{[label: string]: () => void}} [acts] buttons beside it, each closes it
 */
export function notice(name, text, acts = {}) {
  const id = `ps-notice-${name}`, before = document.getElementById(id);
  if (before?.dataset.text === text) return;
  before?.remove();
  if (!text) return;
  const box = document.createElement("div"), words = document.createElement("p");
  Object.assign(box, { id, className: "ps-notice", role: "alert" });
  box.dataset.text = text;
  words.textContent = text;
  box.append(words);
  for (const [label, act] of Object.entries(acts)) {
    const button = document.createElement("button");
    button.textContent = label;
    button.addEventListener("click", () => { box.remove(); act(); });
    box.append(button);
  }
  let place = document.getElementById("ps-notices");
  if (!place) {
    place = Object.assign(document.createElement("div"), { id: "ps-notices" });
    document.body.append(place);
  }
  place.append(box);
}
