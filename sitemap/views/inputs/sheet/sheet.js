// @ts-check
// The sheet: keys, paste, and the table the server sends, shown without touching the cell under the fingers.
/** @import { AwayButton, Cell, CellInput, Component, Edit, OnItsWay, SheetData } from "./types.d.ts" */
import { cellsOf } from "./paste.js";
import { POST, token } from "./post.js";
import { el, SheetRow, show } from "./row.js";

const SPARE = 8, FIRST = 12, MOST_PASTED = 500; // rows
const HINT = "Tab goes right, Enter to the next row, arrows up and down. Esc takes back what was just typed, once more "
  + "leaves the table. Ctrl+Delete takes a row away.";

/** @type {WeakMap<ShadowRoot, ReturnType<typeof openSheet>>} */
const SHEETS = new WeakMap();

/** @param {EventTarget | null} target @returns {CellInput | null} */
function cellOf(target) {
  return target instanceof HTMLInputElement && "row" in target ? /** @type {CellInput} */ (target) : null;
}

/** @param {Component<SheetData>} component */
export default function ({ data, parentElement }) {
  const sheet = SHEETS.get(parentElement) ?? openSheet(parentElement, data);
  SHEETS.set(parentElement, sheet);
  sheet.receive(data);
  return sheet.close;
}

/** @param {ShadowRoot} root @param {SheetData} first */
function openSheet(root, first) {
  const sheetName = first.name;
  const box = el("div", { class: "box" }), table = el("table"), head = el("thead"), body = el("tbody");
  const help = el("p", { class: "help", id: "help", tabindex: "-1" }, HINT), status = el("p", { role: "status" });
  const lists = el("div");
  table.append(head, body);
  box.append(table);
  root.append(box, help, status, lists);

  let edits = POST.of(sheetName);                // those the table, as the server last sent it, does not show yet
  let data = first, shape = "", before = "", home = 0, tabbed = false;
  /** @type {SheetRow[]} */
  let rows = [];
  /** @type {Edit | null} */
  let typing = null;
  /** @type {Set<string>} */
  const mine = new Set();
  const active = () => cellOf(root.activeElement);
  const keys = () => data.columns.map((column) => column.key);

  /** @param {Cell[]} cells @param {string[]} [gone] */
  function add(cells, gone) {
    const edit = POST.add(sheetName, data.units, cells, gone);
    edits.push(edit);
    count();
    return edit;
  }
  /** @param {Edit} edit */
  function drop(edit) {
    POST.drop(edit);
    edits = edits.filter((each) => each !== edit);
    count();
  }
  function count() { box.dataset.waiting = String(edits.length); }

  // row id → column key → text that is on its way; a row taken away answers for all its columns
  function overlay() {
    /** @type {Map<string, OnItsWay>} */
    const laid = new Map();
    for (const edit of edits) {
      for (const id of edit.gone) laid.set(id, { gone: true, cells: new Map() });
      for (const [id, key, text] of edit.cells) {
        const row = laid.get(id) ?? { gone: false, cells: new Map() };
        row.cells.set(key, text);
        laid.set(id, row);
      }
    }
    return laid;
  }

  // ---- what the server sends
  /** @param {SheetData} next */
  function receive(next) {
    data = next;
    edits = edits.filter((edit) => edit.n > (data.acks[edit.client] ?? 0));
    const now = JSON.stringify([data.columns.map(({ key, head }) => [key, head]), data.computed]);
    if (now !== shape) {
      shape = now;
      build();
    }
    offer();
    merge();
    paint();
    count();
  }

  function build() {                             // other columns, or other units over them
    const line = el("tr"), held = active();
    const kept = held && { row: held.row.id, key: keyOf(held), text: held.value };
    line.append(el("th", { scope: "col" }, "Row"));
    for (const { key, head: title, wide, sign } of data.columns) {
      const kind = key === "name" ? "name" : wide ? "wide" : sign ? "number" : "";
      line.append(el("th", { scope: "col", class: kind, "data-key": key }, title));
    }
    line.append(el("td", { class: "away" }));
    for (const { key, head: title } of data.computed) line.append(el("th", { scope: "col", class: "out " + key }, title));
    head.replaceChildren(line);
    rows = rows.map((row) => fresh(row.id));
    body.replaceChildren(...rows.map((row) => row.tr));
    if (!kept) return;
    const again = rows.find((row) => row.id === kept.row)?.inputs.get(kept.key);
    if (!again) return;
    again.value = kept.text;
    again.focus();
  }

  /** @param {CellInput} input */
  function keyOf(input) { return input.dataset.key ?? ""; }
  /** @param {string} id */
  function fresh(id) { return new SheetRow(id, data.columns, data.computed); }
  function blank() { return fresh(data.kind + "-" + token(8)); }

  function offer() {
    for (const { key, offered } of data.columns) {
      if (!offered?.length) continue;
      const id = "offered-" + key;
      let list = [...lists.querySelectorAll("datalist")].find((each) => each.id === id);
      if (!list) lists.append(list = el("datalist", { id }));
      if (JSON.stringify([...list.options].map((option) => option.value)) === JSON.stringify(offered)) continue;
      list.replaceChildren(...offered.map((value) => el("option", { value })));
    }
  }

  // rows stay where they are as long as the sheet is open; new ones come after the one they follow
  function merge() {
    const said = new Map(data.rows.map((row) => [row.id, row])), waiting = overlay(), held = active()?.row;
    rows = rows.filter((row) => {
      const stays = said.has(row.id) || row.listed === null || row === held || mine.has(row.id) || waiting.has(row.id);
      if (!stays) row.tr.remove();
      return stays;
    });
    const known = new Map(rows.map((row) => [row.id, row]));
    let at = -1;
    for (const line of data.rows) {
      let row = known.get(line.id);
      if (row) at = rows.indexOf(row);
      else {
        row = fresh(line.id);
        at += 1;
        body.insertBefore(row.tr, rows[at]?.tr ?? null);
        rows.splice(at, 0, row);
      }
      row.listed = line;
    }
    for (const row of rows) if (!said.has(row.id)) row.listed = null;
    for (const [id] of waiting) if (!rows.some((row) => row.id === id)) place(fresh(id));   // typed before the page closed
  }

  /** @param {SheetRow} row */
  function place(row) {
    const last = rows.findLastIndex((each) => each.used) + 1;
    body.insertBefore(row.tr, rows[last]?.tr ?? null);
    rows.splice(last, 0, row);
  }

  // numbers, blank rows at the end, and the tab stops: of the blank rows only the first one is in the way of the Tab key
  function tidy() {
    let spare = rows.length - 1 - rows.findLastIndex((row) => row.used);
    while (spare < SPARE || rows.length < FIRST) {
      const row = blank();
      rows.push(row);
      body.append(row.tr);
      spare += 1;
    }
    let number = data.total, reachable = true;
    for (const row of rows) {
      row.name(data.columns, row.listed ? row.listed.number : ++number, reachable);
      if (!row.used) reachable = false;
    }
  }

  function paint() {
    const waiting = overlay(), held = active();
    for (const row of rows) row.paint(data.columns, waiting, held);
    tidy();
    if (held) explain(held);
  }

  /** @param {CellInput} input */
  function explain(input) {
    const column = data.columns.find(({ key }) => key === input.dataset.key);
    if (!column) return;
    const note = input.title;
    help.replaceChildren(el("strong", {}, column.head + " "), note ? el("em", {}, "! " + note + " ") : "", column.help);
  }

  // ---- what a person does
  /** @param {CellInput} input */
  function typed(input) {
    /** @type {Cell} */
    const cell = [input.row.id, keyOf(input), input.value];
    mine.add(input.row.id);
    if (typing && !typing.sent) {
      if (input.value === before && typing.first) {
        drop(typing);
        typing = null;
      } else typing.cells = [cell];
    } else {
      const first = typing === null;
      typing = add([cell]);
      typing.first = first;                      // nothing of this cell was sent: taking it back leaves no trace
    }
    if (input.row.used !== input.row.tr.classList.contains("used")) tidy();
    status.textContent = "";
    if (typing) POST.typing(typing);
  }

  /** @param {number} at @param {string} key @param {number} [start] */
  function go(at, key, start) {
    const input = rows[at]?.inputs.get(key);
    if (!input) return;
    input.tabIndex = 0;
    input.focus();
    input.select();
    if (start !== undefined) home = start;
  }

  /** @param {KeyboardEvent} event */
  function onKey(event) {
    event.stopPropagation();                     // the app around has single-letter keys of its own
    const input = active();
    if (!input || event.isComposing) return;
    const row = rows.indexOf(input.row), key = keyOf(input);
    const plain = !(event.altKey || event.ctrlKey || event.metaKey);
    tabbed = event.key === "Tab";
    if (event.key === "Enter" && plain) {
      event.preventDefault();
      go(row + (event.shiftKey ? -1 : 1), keys()[home] ?? key, home);
    } else if ((event.key === "ArrowDown" || event.key === "ArrowUp") && plain && !event.shiftKey) {
      event.preventDefault();                    // with Alt the browser opens what is offered
      go(row + (event.key === "ArrowDown" ? 1 : -1), key);
    } else if (event.key === "Escape") {
      if (input.value === before) help.focus();
      else {
        input.value = before;
        typed(input);
        input.select();
      }
    } else if (event.key === "Delete" && (event.ctrlKey || event.metaKey)) {
      event.preventDefault();
      takeAway(input.row);
    }
  }

  /** @param {SheetRow} row */
  function takeAway(row) {
    mine.add(row.id);
    add([], [row.id]);
    typing = null;
    for (const input of row.inputs.values()) input.value = "";
    before = "";
    row.listed = null;
    paint();
    POST.step();
  }

  /** @param {ClipboardEvent} event */
  function onPaste(event) {
    const input = active(), text = event.clipboardData?.getData("text/plain") ?? "";
    if (!input || !/[\t\r\n]/.test(text)) return;
    event.preventDefault();
    const block = cellsOf(text), first = rows.indexOf(input.row), left = keys().indexOf(keyOf(input));
    if (block.length > MOST_PASTED) {
      status.textContent = `${block.length} rows are too many to paste here: at most ${MOST_PASTED} at a time. `
        + "Nothing was pasted. Phone and spreadsheet takes them all.";
      return;
    }
    /** @type {Cell[]} */
    const cells = [];
    const beyond = Math.max(...block.map((line) => line.length)) - (keys().length - left);
    block.forEach((line, down) => {
      if (first + down >= rows.length) {
        rows.push(blank());
        body.append(rows[rows.length - 1].tr);
      }
      const row = rows[first + down];
      mine.add(row.id);
      line.slice(0, keys().length - left).forEach((value, right) => {
        cells.push([row.id, keys()[left + right], value]);
        show(/** @type {CellInput} */ (row.inputs.get(keys()[left + right])), value);
      });
    });
    add(cells);
    typing = null;
    before = input.value;
    tidy();
    status.textContent = `${block.length} row${block.length > 1 ? "s" : ""} pasted.`
      + (beyond > 0 ? ` ${beyond} column${beyond > 1 ? "s" : ""} found no place at the right and were left out.` : "");
    POST.step();
  }

  /** @param {FocusEvent} event */
  function onFocus(event) {
    const input = cellOf(event.target);
    if (!input) return;
    before = input.value;
    typing = null;
    if (!tabbed) home = keys().indexOf(keyOf(input));
    tabbed = false;
    input.setAttribute("aria-describedby", "help");
    explain(input);
  }

  /** @param {FocusEvent} event */
  function onLeave(event) {
    const input = cellOf(event.target);
    if (!input) return;
    input.removeAttribute("aria-describedby");
    typing = null;
    if (body.contains(/** @type {Node | null} */ (event.relatedTarget))) POST.step();
    else {
      POST.now();
      help.textContent = HINT;
      tabbed = false;
    }
    input.row.paint(data.columns, overlay(), null);
  }

  body.addEventListener("input", (event) => typed(/** @type {CellInput} */ (event.target)));
  body.addEventListener("focusin", onFocus);
  body.addEventListener("focusout", onLeave);
  body.addEventListener("paste", onPaste);
  body.addEventListener("click", ({ target }) => {
    if (target instanceof HTMLButtonElement) takeAway(/** @type {AwayButton} */ (target).row);
  });
  for (const name of ["keydown", "keypress", "keyup"]) root.addEventListener(name, (event) => event.stopPropagation());
  body.addEventListener("keydown", onKey);

  // ---- leaving: a finger on anything outside goes before what it presses
  const outside = (/** @type {Event} */ event) => { if (!event.composedPath().includes(root)) POST.now(); };
  document.addEventListener("pointerdown", outside, true);

  function close() {
    if (root.host.isConnected) return;           // called between two runs too
    document.removeEventListener("pointerdown", outside, true);
    POST.now();
  }
  return { receive, close };
}
