// @ts-check
// What a spreadsheet puts on the clipboard: cells parted by tabs, rows by line ends; a cell that holds a tab, a line end
// or a quote at its start stands in quotes, its own quotes doubled. A quote that is never closed is a letter like others.
/** @param {string} text */
export function cellsOf(text) {
  /** @type {string[][]} */
  const rows = [[]];
  let at = 0;
  while (at <= text.length) {
    const quoted = /"((?:[^"]|"")*)"(?=[\t\r\n]|$)/y;
    quoted.lastIndex = at;
    const found = quoted.exec(text);
    let cell;
    if (found) {
      cell = found[1].replaceAll('""', '"');
      at += found[0].length;
    } else {
      const end = text.slice(at).search(/[\t\r\n]/);
      cell = end < 0 ? text.slice(at) : text.slice(at, at + end);
      at += cell.length;
    }
    rows[rows.length - 1].push(cell);
    if (text[at] === "\t") at += 1;
    else if (at < text.length) {
      at += text.startsWith("\r\n", at) ? 2 : 1;
      if (at >= text.length) break;             // a line end after the last row
      rows.push([]);
    } else break;
  }
  return rows;
}
