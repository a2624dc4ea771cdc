"""What is measured on the screen: what a finger can hit, and what lies over what. Scripts for the page."""

# Inputs that can be touched and are smaller than 44 px, or written smaller than 16 px, which a phone would enlarge the
# page for; the room around a small sign that takes the touch counts with it.
TOO_SMALL = """() => {
  const touched = "button, a[href], input, select, textarea, summary, [role=button]";
  const field = "[data-testid=stTextInputRootElement], [data-testid=stNumberInputContainer], [role=group], label";
  const seen = e => e.checkVisibility({visibilityProperty: true}) && e.getBoundingClientRect().width > 1;
  const found = [];
  for (const e of document.querySelectorAll(`.stMain :is(${touched})`)) {
    const inert = e.closest("[data-testid=stFileUploaderDropzone], [role=grid], .ps-scroll, .ps-drawn, canvas, iframe");
    if (!seen(e) || inert || e.disabled) continue;
    const box = (e.matches("input") ? e.closest(field) ?? e : e).getBoundingClientRect();
    const around = getComputedStyle(e, "::after");
    const more = around.content === "none" || around.position !== "absolute" ? [0, 0]
      : [around.width, around.height].map(parseFloat);
    const wide = Math.max(box.width, more[0]), high = Math.max(box.height, more[1]);
    const called = (e.ariaLabel || e.innerText || e.type || e.tagName).slice(0, 40);
    if (high < 43.5 || wide < 43.5) found.push(`${called}: ${Math.round(wide)} × ${Math.round(high)}`);
    const typed = e.matches("textarea, input:not([type=checkbox], [type=radio], [type=file])");
    if (typed && parseFloat(getComputedStyle(e).fontSize) < 16) found.push(`${called}: type too small`);
  }
  return [...new Set(found)];
}"""

# Names on the map over a name, a sign of another thing, a button or a figure of the grid, or cut off by the edge.
COVERED = """() => {
  const box = document.querySelector("#map_div").getBoundingClientRect(), at = node => node.getBoundingClientRect();
  const meets = (a, b) => a.left + 1 < b.right && b.left + 1 < a.right && a.top + 1 < b.bottom && b.top + 1 < a.bottom;
  const shown = what => [...document.querySelectorAll(what)]
    .filter(node => getComputedStyle(node).visibility !== "hidden" && meets(at(node), box));
  const middle = node => {
    const {x, y, width} = at(node.querySelector("svg"));
    return new DOMRect(x + width / 2 - 11, y + width / 2 - 11, 22, 22);
  };
  const names = shown(".pit-label"), icons = shown(".pit-icon").filter(node => node.querySelector("svg"));
  const bars = shown(".leaflet-bar"), degrees = shown(".pit-degree span"), found = [];
  const told = (what, a, b) => found.push(`${a.textContent || a.dataset.feature} ${what} ${b.textContent || ""}`);
  for (const a of names) {
    for (const b of names) if (a !== b && meets(at(a), at(b))) told("over", a, b);
    for (const b of icons) if (!b.contains(a) && meets(at(a), middle(b))) told("over the sign of", a, b);
    for (const b of [...bars, ...degrees]) if (meets(at(a), at(b))) told("over", a, b);
    const {left, right, top, bottom} = at(a);
    if (left < box.left - 1 || right > box.right + 1 || top < box.top - 1 || bottom > box.bottom + 1) told("cut", a, a);
  }
  for (const a of degrees) {
    for (const b of icons) if (meets(at(a), middle(b))) told("under the sign of", a, b);
    for (const b of bars) if (meets(at(a), at(b))) told("under", a, b);
  }
  return found;
}"""

# Names nearer to the sign of another thing than to their own, where no line leads to them.
NEARER = """() => {
  const icons = [...document.querySelectorAll(".pit-icon")];
  const boxes = icons.map(icon => icon.querySelector("svg").getBoundingClientRect());
  const gap = (a, b) => Math.hypot(
    Math.max(0, a.left - b.right, b.left - a.right), Math.max(0, a.top - b.bottom, b.top - a.bottom));
  const middle = b => new DOMRect(b.x + b.width / 2 - 11, b.y + b.height / 2 - 11, 22, 22);
  return icons.flatMap((icon, n) => {
    const label = icon.querySelector(".pit-label");
    if (!label || getComputedStyle(label).visibility === "hidden" || label.classList.contains("pit-led")) return [];
    const own = gap(label.getBoundingClientRect(), middle(boxes[n]));
    return boxes.filter((box, m) => m !== n && gap(label.getBoundingClientRect(), middle(box)) <= own)
      .map(() => label.textContent);
  });
}"""

# Words that stand out less than 7 : 1 from what is behind them (WCAG 2.1, 1.4.6; relative luminance as defined there).
FAINT = """(about) => {
  const numbers = text => text.match(/[\\d.]+/g).map(Number);
  const lumen = ([r, g, b]) => [r, g, b].map(v => v / 255)
    .map(v => v <= 0.03928 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4)
    .reduce((sum, v, n) => sum + v * [0.2126, 0.7152, 0.0722][n], 0);
  const over = (top, under) => under.map((v, n) => v + (top[n] - v) * (top[3] ?? 1));
  const behind = node => !node ? [255, 255, 255]
    : over(numbers(getComputedStyle(node).backgroundColor), behind(node.parentElement));
  const found = [];
  for (const node of document.querySelectorAll(about)) {
    const words = [...node.childNodes].filter(each => each.nodeType === 3).map(each => each.data).join(" ").trim();
    if (!words || node.closest(":disabled") || !node.checkVisibility({visibilityProperty: true})) continue;
    const ground = behind(node), ink = over(numbers(getComputedStyle(node).color), ground);
    const [low, high] = [lumen(ground), lumen(ink)].sort((a, b) => a - b), ratio = (high + 0.05) / (low + 0.05);
    if (ratio < 7) found.push(`${words.slice(0, 40)}: ${ratio.toFixed(2)}`);
  }
  return [...new Set(found)];
}"""
