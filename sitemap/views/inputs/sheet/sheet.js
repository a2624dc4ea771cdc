// @ts-check
// The sheet: its parts put together, who hears what, and what happens when it is left.
/** @import { AwayButton, CellInput, Component, SheetData } from "./types.d.ts" */
import { Hand } from "./hand.js";
import { OnTheWay } from "./onway.js";
import { POST } from "./post.js";
import { el } from "./row.js";
import { cellOf, SheetTable } from "./table.js";

const HINT = "Tab goes right, Enter to the next row, arrows up and down. Esc takes back what was just typed, once more "
  + "leaves the table. Ctrl+Delete takes a row away.";
const HINT_TOUCHED = "Touch a cell and type. Enter leads to the next row, × at its end takes a row away; move the table sideways "
  + "for the rest.";

/** @type {WeakMap<ShadowRoot, ReturnType<typeof openSheet>>} */
const SHEETS = new WeakMap();

/** @param {Component<SheetData>} component */
export default function ({ data, parentElement }) {
  const sheet = SHEETS.get(parentElement) ?? openSheet(parentElement, data);
  SHEETS.set(parentElement, sheet);
  sheet.receive(data);
  return sheet.close;
}

/** @param {ShadowRoot} root @param {SheetData} first */
function openSheet(root, first) {
  const box = el("div", { class: "box" }), frame = el("table");
  const hint = matchMedia("(pointer: coarse)").matches ? HINT_TOUCHED : HINT;
  const help = el("p", { class: "help", id: "help", tabindex: "-1" }, hint), status = el("p", { role: "status" });
  const onWay = new OnTheWay(first.name, box), table = new SheetTable(root, first, onWay, help);
  const hand = new Hand(table, status);
  frame.append(table.head, table.body);
  box.append(frame);
  root.append(box, help, status, table.lists);

  /** @param {SheetData} data */
  function receive(data) {
    onWay.heard(data.acks);
    table.receive(data);
  }

  /** @param {FocusEvent} event */
  function onFocus({ target }) {
    const input = cellOf(target);
    if (!input) return;
    hand.came(input);
    input.setAttribute("aria-describedby", "help");
    table.explain();
  }

  /** @param {FocusEvent} event */
  function onLeave({ target, relatedTarget }) {
    const input = cellOf(target);
    if (!input) return;
    const stays = table.body.contains(/** @type {Node | null} */ (relatedTarget));
    input.removeAttribute("aria-describedby");
    if (!stays) help.textContent = hint;
    hand.left(input, stays);
  }

  /** @param {Event} event */
  function onClick({ target }) {
    if (target instanceof HTMLButtonElement) hand.takeAway(/** @type {AwayButton} */ (target).row);
  }

  table.body.addEventListener("input", (event) => hand.typed(/** @type {CellInput} */ (event.target)));
  table.body.addEventListener("focusin", onFocus);
  table.body.addEventListener("focusout", onLeave);
  table.body.addEventListener("paste", (event) => hand.paste(event));
  table.body.addEventListener("click", onClick);
  table.body.addEventListener("keydown", (event) => hand.key(event));
  for (const name of ["keydown", "keypress", "keyup"]) root.addEventListener(name, (event) => event.stopPropagation());

  // a finger on anything outside goes before what it presses
  const outside = (/** @type {Event} */ event) => { if (!event.composedPath().includes(root)) POST.now(); };
  document.addEventListener("pointerdown", outside, true);

  function close() {
    if (root.host.isConnected) return;           // called between two runs too
    document.removeEventListener("pointerdown", outside, true);
    POST.now();
  }
  return { receive, close };
}
