// @ts-check
// What a hand does in the table: letters, keys, paste, and a row taken away, each an edit that goes on its way.
/** @import { Cell, CellInput, Edit } from "./types.d.ts" */
/** @import { SheetRow } from "./row.js" */
/** @import { SheetTable } from "./table.js" */
import { cellsOf } from "./paste.js";
import { POST } from "./post.js";
import { keyOf, show } from "./row.js";

const MOST_PASTED = 500; // rows

export class Hand {
  /** @param {SheetTable} table @param {HTMLElement} status says what became of a paste */
  constructor(table, status) {
    this.table = table;
    this.status = status;
    this.before = "";                            // the cell as it was found
    this.home = 0;                               // the column in which a row was begun
    this.tabbed = false;
    /** The edit of the cell in which somebody types. @type {Edit | null} */
    this.typing = null;
  }

  /** @param {Cell[]} cells @param {string[]} [gone] */
  add(cells, gone) { return this.table.onWay.add(this.table.data.units, cells, gone); }

  /** @param {CellInput} input */
  typed(input) {
    /** @type {Cell} */
    const cell = [input.row.id, keyOf(input), input.value];
    this.table.mine.add(input.row.id);
    if (this.typing && !this.typing.sent) {
      if (input.value === this.before && this.typing.first) {
        this.table.onWay.drop(this.typing);
        this.typing = null;
      } else this.typing.cells = [cell];
    } else {
      const first = this.typing === null;
      this.typing = this.add([cell]);
      this.typing.first = first;                 // nothing of this cell was sent: taking it back leaves no trace
    }
    if (input.row.used !== input.row.tr.classList.contains("used")) this.table.tidy();
    this.status.textContent = "";
    if (this.typing) POST.typing(this.typing);
  }

  /** @param {number} at @param {string} key @param {number} [start] */
  go(at, key, start) {
    const input = this.table.rows[at]?.inputs.get(key);
    if (!input) return;
    input.tabIndex = 0;
    input.focus();
    input.select();
    if (start !== undefined) this.home = start;
  }

  /** @param {KeyboardEvent} event */
  key(event) {
    event.stopPropagation();                     // the app around has single-letter keys of its own
    const input = this.table.active;
    if (!input || event.isComposing) return;
    const row = this.table.rows.indexOf(input.row), key = keyOf(input);
    const plain = !(event.altKey || event.ctrlKey || event.metaKey);
    this.tabbed = event.key === "Tab";
    if (event.key === "Enter" && plain) {
      event.preventDefault();
      this.go(row + (event.shiftKey ? -1 : 1), this.table.keys[this.home] ?? key, this.home);
    } else if ((event.key === "ArrowDown" || event.key === "ArrowUp") && plain && !event.shiftKey) {
      event.preventDefault();                    // with Alt the browser opens what is offered
      this.go(row + (event.key === "ArrowDown" ? 1 : -1), key);
    } else if (event.key === "Escape") this.takeBack(input);
    else if (event.key === "Delete" && (event.ctrlKey || event.metaKey)) {
      event.preventDefault();
      this.takeAway(input.row);
    }
  }

  /** @param {CellInput} input */
  takeBack(input) {
    if (input.value === this.before) this.table.help.focus();
    else {
      input.value = this.before;
      this.typed(input);
      input.select();
    }
  }

  /** @param {SheetRow} row */
  takeAway(row) {
    this.table.mine.add(row.id);
    this.add([], [row.id]);
    this.typing = null;
    for (const input of row.inputs.values()) input.value = "";
    this.before = "";
    row.listed = null;
    this.table.paint();
    POST.step();
  }

  /** @param {ClipboardEvent} event */
  paste(event) {
    const input = this.table.active, text = event.clipboardData?.getData("text/plain") ?? "";
    if (!input || !/[\t\r\n]/.test(text)) return;
    event.preventDefault();
    const block = cellsOf(text);
    if (block.length > MOST_PASTED) {
      this.status.textContent = `${block.length} rows are too many to paste here: at most ${MOST_PASTED} at a time. `
        + "Nothing was pasted. Phone and spreadsheet takes them all.";
      return;
    }
    const first = this.table.rows.indexOf(input.row), keys = this.table.keys.slice(this.table.keys.indexOf(keyOf(input)));
    /** @type {Cell[]} */
    const cells = [];
    block.forEach((line, down) => {
      const row = this.table.rows[first + down] ?? this.table.extend();
      this.table.mine.add(row.id);
      line.slice(0, keys.length).forEach((value, right) => {
        cells.push([row.id, keys[right], value]);
        show(/** @type {CellInput} */ (row.inputs.get(keys[right])), value);
      });
    });
    this.add(cells);
    this.typing = null;
    this.before = input.value;
    this.table.tidy();
    const beyond = Math.max(...block.map((line) => line.length)) - keys.length;
    this.status.textContent = `${block.length} row${block.length > 1 ? "s" : ""} pasted.`
      + (beyond > 0 ? ` ${beyond} column${beyond > 1 ? "s" : ""} found no place at the right and were left out.` : "");
    POST.step();
  }

  /** @param {CellInput} input */
  came(input) {
    this.before = input.value;
    this.typing = null;
    if (!this.tabbed) this.home = this.table.keys.indexOf(keyOf(input));
    this.tabbed = false;
  }

  /** @param {CellInput} input @param {boolean} stays in the table */
  left(input, stays) {
    this.typing = null;
    if (stays) POST.step();
    else {
      POST.now();
      this.tabbed = false;
    }
    input.row.paint(this.table.data.columns, this.table.onWay.byRow(), null);
  }
}
