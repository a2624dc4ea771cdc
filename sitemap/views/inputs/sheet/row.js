// One row of the sheet: its cells are made once and only ever changed in place.
function pitsteadElement(tag, attributes = {}, text = "") {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
  element.textContent = text;
  return element;
}

function pitsteadShow(input, text) {            // a cell shows line ends as spaces; nothing is written that stands there
  const shown = text.replace(/\s*[\r\n]+\s*/g, " ");
  if (input.value !== shown) input.value = shown;
}

function pitsteadSet(element, name, value) {
  if (value === null) element.removeAttribute(name);
  else if (element.getAttribute(name) !== value) element.setAttribute(name, value);
}

class PitsteadRow {
  constructor(id, columns, computed) {
    this.id = id;
    this.listed = null;                         // what the server last said of it; null for a blank row
    this.number = 0;
    this.tr = pitsteadElement("tr");
    this.head = pitsteadElement("th", { scope: "row" });
    this.tr.append(this.head);
    this.inputs = new Map();
    this.outs = new Map();
    for (const column of columns) {
      const input = pitsteadElement("input", {
        type: "text", autocomplete: "off", autocapitalize: "off", spellcheck: "false", "data-key": column.key,
      });
      if (column.sign) input.inputMode = column.sign;
      if (column.offered?.length) input.setAttribute("list", "offered-" + column.key);
      const cell = pitsteadElement("td");
      if (column.key === "name") cell.className = "name";
      cell.append(input);
      this.tr.append(cell);
      this.inputs.set(column.key, input);
      input.row = this;
    }
    const last = pitsteadElement("td", { class: "away" });
    this.away = pitsteadElement("button", { type: "button", tabindex: "-1" }, "×");
    this.away.row = this;
    last.append(this.away);
    this.tr.append(last);
    for (const { key } of computed) {
      const cell = pitsteadElement("td", { class: "out " + key });
      this.tr.append(cell);
      this.outs.set(key, cell);
    }
  }

  get used() {
    return this.listed !== null || [...this.inputs.values()].some((input) => input.value !== "");
  }

  // values that are on their way go before what the server says; the cell under the fingers is left alone
  paint(columns, waiting, active) {
    const waits = waiting.get(this.id);
    const said = waits?.gone ? null : this.listed;
    for (const { key } of columns) {
      const input = this.inputs.get(key);
      if (input !== active) pitsteadShow(input, waits?.cells.get(key) ?? said?.cells[key] ?? "");
      const note = said?.notes[key] ?? "";
      pitsteadSet(input, "aria-invalid", note ? "true" : null);
      pitsteadSet(input, "title", note || null);
      input.parentElement.classList.toggle("noted", Boolean(note));
    }
    for (const [key, cell] of this.outs) {
      const text = said?.out[key] ?? "";
      if (cell.textContent !== text) cell.textContent = text;
    }
  }

  // number, labels and, in a row that is in use, what its blank cells are taken as
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
      const input = this.inputs.get(column.key);
      pitsteadSet(input, "aria-label", `Row ${number}, ${column.head}`);
      pitsteadSet(input, "placeholder", used && column.blank ? column.blank : null);
      input.tabIndex = used || reachable ? 0 : -1;
    }
  }
}
