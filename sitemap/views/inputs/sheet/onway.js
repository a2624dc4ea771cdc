// @ts-check
// What a sheet typed that its table, as the server last sent it, does not show yet.
/** @import { Acks, Cell, Edit, OnItsWay } from "./types.d.ts" */
import { POST } from "./post.js";

export class OnTheWay {
  /** @param {string} sheet name of the sheet @param {HTMLElement} box says how many wait */
  constructor(sheet, box) {
    this.sheet = sheet;
    this.box = box;
    this.edits = POST.of(sheet);
  }

  /** @param {string} units @param {Cell[]} cells @param {string[]} [gone] @returns {Edit} */
  add(units, cells, gone) {
    const edit = POST.add(this.sheet, units, cells, gone);
    this.edits.push(edit);
    this.count();
    return edit;
  }

  /** @param {Edit} edit */
  drop(edit) {
    POST.drop(edit);
    this.edits = this.edits.filter((each) => each !== edit);
    this.count();
  }

  /** What the server kept leaves. @param {Acks} acks */
  heard(acks) {
    this.edits = this.edits.filter((edit) => edit.n > (acks[edit.client] ?? 0));
    this.count();
  }

  count() { this.box.dataset.waiting = String(this.edits.length); }

  // row id → column key → text; a row taken away answers for all its columns
  byRow() {
    /** @type {Map<string, OnItsWay>} */
    const laid = new Map();
    for (const edit of this.edits) {
      for (const id of edit.gone) laid.set(id, { gone: true, cells: new Map() });
      for (const [id, key, text] of edit.cells) {
        const row = laid.get(id) ?? { gone: false, cells: new Map() };
        row.cells.set(key, text);
        laid.set(id, row);
      }
    }
    return laid;
  }
}
