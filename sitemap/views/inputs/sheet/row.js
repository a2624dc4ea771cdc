// @ts-check
// One row of the sheet: its cells are made once and only ever changed in place.
/** @import { AwayButton, CellInput, Column, Computed, Listed, OnItsWay } from "./types.d.ts" */

/** @template {keyof HTMLElementTagNameMap} Tag @param {Tag} tag @param {Record<string, string>} [attributes]
 * @param {string} [text] */
export function el(tag, attributes = {}, text = "") {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
  element.textContent = text;
  return element;
}

/** A cell shows line ends as spaces; nothing is written that stands there. @param {HTMLInputElement} input
 * @param {string} text */
export function show(input, text) {
  const shown = text.replace(/\s*[\r\n]+\s*/g, " ");
  if (input.value !== shown) input.value = shown;
}

/** @param {Element} element @param {string} name @param {string | null} value */
function set(element, name, value) {
  if (value === null) element.removeAttribute(name);
  else if (element.getAttribute(name) !== value) element.setAttribute(name, value);
}

/** The column of a cell. @param {CellInput} input */
export function keyOf(input) { return input.dataset.key ?? ""; }

export class SheetRow {
  /** @param {string} id @param {Column[]} columns @param {Computed[]} computed */
  constructor(id, columns, computed) {
    this.id = id;
    /** @type {Listed | null} */
    this.listed = null;                         // what the server last said of it; null for a blank row
    this.number = 0;
    this.tr = el("tr");
    this.head = el("th", { scope: "row" });
    this.tr.append(this.head);
    /** @type {Map<string, CellInput>} */
    this.inputs = new Map();
    /** @type {Map<string, HTMLElement>} */
    this.outs = new Map();
    for (const column of columns) {
      const input = this.owned("input", {
        type: "text", autocomplete: "off", autocapitalize: "off", spellcheck: "false", "data-key": column.key,
      });
      if (column.sign) input.inputMode = column.sign;
      if (column.offered?.length) input.setAttribute("list", "offered-" + column.key);
      const cell = el("td");
      if (column.key === "name") cell.className = "name";
      cell.append(input);
      this.tr.append(cell);
      this.inputs.set(column.key, input);
    }
    const last = el("td", { class: "away" });
    this.away = /** @type {AwayButton} */ (this.owned("button", { type: "button", tabindex: "-1" }, "×"));
    last.append(this.away);
    this.tr.append(last);
    for (const { key } of computed) {
      const cell = el("td", { class: "out " + key });
      this.tr.append(cell);
      this.outs.set(key, cell);
    }
  }

  /** An element that knows its row. @template {"input" | "button"} Tag @param {Tag} tag
   * @param {Record<string, string>} attributes @param {string} [text] */
  owned(tag, attributes, text = "") {
    return Object.assign(el(tag, attributes, text), { row: this });
  }

  get used() {
    return this.listed !== null || [...this.inputs.values()].some((input) => input.value !== "");
  }

  /** Values that are on their way go before what the server says; the cell under the fingers is left alone.
   * @param {Column[]} columns @param {Map<string, OnItsWay>} waiting @param {CellInput | null} active */
  paint(columns, waiting, active) {
    const waits = waiting.get(this.id);
    const said = waits?.gone ? null : this.listed;
    for (const { key } of columns) {
      const input = /** @type {CellInput} */ (this.inputs.get(key));
      if (input !== active) show(input, waits?.cells.get(key) ?? said?.cells[key] ?? "");
      const note = said?.notes[key] ?? "";
      set(input, "aria-invalid", note ? "true" : null);
      set(input, "title", note || null);
      input.parentElement?.classList.toggle("noted", Boolean(note));
    }
    for (const [key, cell] of this.outs) {
      const text = said?.out[key] ?? "";
      if (cell.textContent !== text) cell.textContent = text;
    }
  }

  /** Number, labels and, in a row that is in use, what its blank cells are taken as.
   * @param {Column[]} columns @param {number} number @param {boolean} reachable */
  name(columns, number, reachable) {
    const used = this.used;
    if (this.number !== number) {
      this.number = number;
      this.head.textContent = String(number);
      this.away.setAttribute("aria-label", `Take row ${number} away`);
    }
    this.tr.classList.toggle("used", used);
    this.away.hidden = !used;
    for (const column of columns) {
      const input = /** @type {CellInput} */ (this.inputs.get(column.key));
      set(input, "aria-label", `Row ${number}, ${column.head}`);
      set(input, "placeholder", used && column.blank ? column.blank : null);
      input.tabIndex = used || reachable ? 0 : -1;
    }
  }
}
