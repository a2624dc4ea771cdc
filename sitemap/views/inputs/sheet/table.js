// @ts-check
// The table: the rows the server sent and those typed here, shown without touching the cell under the fingers.
/** @import { CellInput, SheetData } from "./types.d.ts" */
/** @import { OnTheWay } from "./onway.js" */
import { token } from "./post.js";
import { el, keyOf, SheetRow } from "./row.js";

const SPARE = 8, FIRST = 12; // rows

/** @param {EventTarget | null} target @returns {CellInput | null} */
export function cellOf(target) {
  return target instanceof HTMLInputElement && "row" in target ? /** @type {CellInput} */ (target) : null;
}

export class SheetTable {
  /** @param {ShadowRoot} root @param {SheetData} first @param {OnTheWay} onWay
   * @param {HTMLElement} help explains the cell under the fingers; who leaves the table goes there */
  constructor(root, first, onWay, help) {
    this.root = root;
    this.data = first;
    this.onWay = onWay;
    this.help = help;
    this.head = el("thead");
    this.body = el("tbody");
    this.lists = el("div");
    this.shape = "";                             // columns and units of the head as it stands
    /** @type {SheetRow[]} */
    this.rows = [];
    /** Ids of the rows somebody typed in here: they stay. @type {Set<string>} */
    this.mine = new Set();
  }

  get active() { return cellOf(this.root.activeElement); }
  get keys() { return this.data.columns.map((column) => column.key); }

  /** @param {SheetData} data */
  receive(data) {
    this.data = data;
    const shape = JSON.stringify([data.columns.map(({ key, head }) => [key, head]), data.computed]);
    if (shape !== this.shape) {
      this.shape = shape;
      this.build();
    }
    this.offer();
    this.merge();
    this.paint();
  }

  build() {                                      // other columns, or other units over them
    const line = el("tr"), held = this.active;
    const kept = held && { row: held.row.id, key: keyOf(held), text: held.value };
    line.append(el("th", { scope: "col" }, "Row"));
    for (const { key, head, wide, sign } of this.data.columns) {
      const kind = key === "name" ? "name" : wide ? "wide" : sign ? "number" : "";
      line.append(el("th", { scope: "col", class: kind, "data-key": key }, head));
    }
    line.append(el("td", { class: "away" }));
    for (const { key, head } of this.data.computed) line.append(el("th", { scope: "col", class: "out " + key }, head));
    this.head.replaceChildren(line);
    this.rows = this.rows.map((row) => this.fresh(row.id));
    this.body.replaceChildren(...this.rows.map((row) => row.tr));
    if (!kept) return;
    const again = this.rows.find((row) => row.id === kept.row)?.inputs.get(kept.key);
    if (!again) return;
    again.value = kept.text;
    again.focus();
  }

  /** @param {string} id */
  fresh(id) { return new SheetRow(id, this.data.columns, this.data.computed); }

  // a blank row at the end, to type on
  extend() {
    const row = this.fresh(this.data.kind + "-" + token(8));
    this.rows.push(row);
    this.body.append(row.tr);
    return row;
  }

  offer() {
    for (const { key, offered } of this.data.columns) {
      if (!offered?.length) continue;
      const id = "offered-" + key;
      let list = [...this.lists.querySelectorAll("datalist")].find((each) => each.id === id);
      if (!list) this.lists.append(list = el("datalist", { id }));
      if (JSON.stringify([...list.options].map((option) => option.value)) === JSON.stringify(offered)) continue;
      list.replaceChildren(...offered.map((value) => el("option", { value })));
    }
  }

  // rows stay where they are as long as the sheet is open; new ones come after the one they follow
  merge() {
    const said = new Map(this.data.rows.map((row) => [row.id, row])), held = this.active?.row;
    const waiting = this.onWay.byRow();
    this.rows = this.rows.filter((row) => {
      const stays = said.has(row.id) || row.listed === null || row === held || this.mine.has(row.id)
        || waiting.has(row.id);
      if (!stays) row.tr.remove();
      return stays;
    });
    const known = new Map(this.rows.map((row) => [row.id, row]));
    let at = -1;
    for (const line of this.data.rows) {
      let row = known.get(line.id);
      if (row) at = this.rows.indexOf(row);
      else this.put(row = this.fresh(line.id), at += 1);
      row.listed = line;
    }
    for (const row of this.rows) if (!said.has(row.id)) row.listed = null;
    for (const [id] of waiting) {                // typed before the page closed
      if (!this.rows.some((row) => row.id === id)) this.put(this.fresh(id), this.rows.findLastIndex(({ used }) => used) + 1);
    }
  }

  /** @param {SheetRow} row @param {number} at */
  put(row, at) {
    this.body.insertBefore(row.tr, this.rows[at]?.tr ?? null);
    this.rows.splice(at, 0, row);
  }

  paint() {
    const waiting = this.onWay.byRow(), held = this.active;
    for (const row of this.rows) row.paint(this.data.columns, waiting, held);
    this.tidy();
    this.explain();
  }

  explain() {
    const input = this.active, column = input && this.data.columns.find(({ key }) => key === keyOf(input));
    if (!column) return;
    const note = input.title ? el("em", {}, "! " + input.title + " ") : "";
    this.help.replaceChildren(el("strong", {}, column.head + " "), note, column.help);
  }

  // numbers, blank rows at the end, and the tab stops: of the blank rows only the first one is in the way of the Tab key
  tidy() {
    let spare = this.rows.length - 1 - this.rows.findLastIndex((row) => row.used);
    for (; spare < SPARE || this.rows.length < FIRST; spare += 1) this.extend();
    let number = this.data.total, reachable = true;
    for (const row of this.rows) {
      row.name(this.data.columns, row.listed ? row.listed.number : ++number, reachable);
      if (!row.used) reachable = false;
    }
  }
}
