// @ts-check
// Which names are written, and on which side: none over another or over a symbol, and none so near another symbol that
// it could be taken for that one's; where that leaves no room, farther off at the end of a line that leads to it. What
// matters most is written first; close by, names may stand tighter. Badges of lines and areas stand where they hide no
// place.
/** @import { Chip, Entry, LBounds, LMap, LPoint, Rect } from "./types.d.ts" */
/** @import { Looks } from "./looks.js" */

import { element, middleOfPath } from "./looks.js";

const CLOSE_ZOOM = 19.5;
const LED_PX = [32, 48, 66], EIGHTHS = [0, 4, 1, 7, 3, 5, 2, 6]; // how far off a name may be led, and which way first
const STEP_PX = 6; // along a leading line, to see what it would cross
const NO_ORDER = 99; // of kinds whose names are not led
const SYMBOL_PX = 13, VERDICT_PX = 20, BADGE_PX = 11, LINE_PX = 18, CHIP_PX = 11;
const ASIDE_PX = 12; // a name stands this much nearer to its own symbol than to any other
/** @type {[number, number][]} */
const CHIP_ASIDE = [
  [0, 0], [0, -34], [0, 34], [-52, 0], [52, 0], [-46, -30], [46, -30], [-46, 30], [46, 30],
  [0, -56], [0, 56], [-80, 0], [80, 0], [-70, -50], [70, -50], [-70, 50], [70, 50], [0, -84], [0, 84],
];
const APART_PX = 30; // nearer than that one sign hides what stands in the other
const ALONG = [0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9]; // shares of a line at which its badge may stand

/** @param {LPoint} point @param {number} half @param {number} [high] @returns {Rect} */
function around(point, half, high = half) {
  return [point.x - half, point.y - high, point.x + half, point.y + high];
}

/** @param {Rect} a @param {Rect} b @param {number} [aside] */
function meets(a, b, aside = 0) {
  return a[0] - aside < b[2] && b[0] < a[2] + aside && a[1] - aside < b[3] && b[1] < a[3] + aside;
}

/** @param {Rect} rect @param {Rect[]} taken @param {number} [aside] */
function free(rect, taken, aside = 0) {
  return !taken.some((other) => meets(rect, other, aside));
}

/** @param {Rect} rect @param {LBounds} view */
function inside(rect, view) {
  return rect[0] >= view.min.x && rect[2] <= view.max.x && rect[1] >= view.min.y && rect[3] <= view.max.y;
}

/** The four places a name may have beside its symbol. @param {LPoint} at @param {number} wide @param {number} off */
function sidesOf(at, wide, off) {
  return /** @type {Record<string, Rect>} */ ({
    right: [at.x + off, at.y - LINE_PX / 2, at.x + off + wide, at.y + LINE_PX / 2],
    left: [at.x - off - wide, at.y - LINE_PX / 2, at.x - off, at.y + LINE_PX / 2],
    below: [at.x - wide / 2, at.y + off, at.x + wide / 2, at.y + off + LINE_PX],
    above: [at.x - wide / 2, at.y - off - LINE_PX, at.x + wide / 2, at.y - off],
  });
}

/** The point at a share of the way along a row of points. @param {LPoint[]} row @param {number} share */
export function pointAlong(row, share) {
  const lengths = [0];
  for (let n = 1; n < row.length; n++) lengths.push(lengths[n - 1] + row[n].distanceTo(row[n - 1]));
  const wanted = share * lengths[lengths.length - 1];
  let n = 1;
  while (n < row.length - 1 && lengths[n] < wanted) n++;
  const part = (wanted - lengths[n - 1]) / ((lengths[n] - lengths[n - 1]) || 1);
  return row[n] ? row[n - 1].add(row[n].subtract(row[n - 1]).multiplyBy(part)) : row[0];
}

/** A place for a name at the end of a leading line. @param {LPoint} at @param {number} far @param {number} eighth
 * @param {number} wide @returns {Led} */
function ledTo(at, far, eighth, wide) {
  const angle = eighth * Math.PI / 4, x = at.x + far * Math.cos(angle), y = at.y + far * Math.sin(angle);
  const left = [2, 6].includes(eighth) ? x - wide / 2 : Math.cos(angle) > 0 ? x : x - wide;
  const top = eighth % 4 === 0 ? y - LINE_PX / 2 : Math.sin(angle) > 0 ? y : y - LINE_PX;
  return { far, angle, rect: [left, top, left + wide, top + LINE_PX] };
}

/** @typedef {{far: number, angle: number, rect: Rect}} Led */

export class Labels {
  /** @param {LMap} map @param {Looks} looks */
  constructor(map, looks) {
    this.map = map;
    this.looks = looks;
    /** @type {Map<string, number>} */
    this.widths = new Map();
    /** @type {Rect[]} */
    this.taken = []; // names, chips and badges
    /** @type {{entry: Entry, rect: Rect}[]} */
    this.symbols = [];
  }

  /** @param {HTMLElement} node @param {string} text */
  widthOf(node, text) {
    if (!this.widths.get(text) && node.offsetWidth) this.widths.set(text, node.offsetWidth);
    return this.widths.get(text) || 60;
  }

  /** @param {Entry} entry */
  rectOf({ mark, feature }) {
    return around(this.map.latLngToLayerPoint(mark.getLatLng()), feature.verdict ? VERDICT_PX : SYMBOL_PX);
  }

  /** Symbols but for one entry's own. @param {Entry} [own] */
  others(own) {
    return this.symbols.filter(({ entry }) => entry !== own).map(({ rect }) => rect);
  }

  /** @param {Entry[]} entries @param {Chip[]} chips @param {string[]} selected @param {LPoint[]} gathered signs of many */
  arrange(entries, chips, selected, gathered) {
    const bounds = this.map.getPixelBounds(), origin = this.map.getPixelOrigin();
    const view = L.bounds(bounds.min.subtract(origin), bounds.max.subtract(origin));
    const shown = this.inOrder(entries, view, selected);
    for (const entry of entries) if (!shown.includes(entry)) this.hush(entry); // else its name still reaches in
    this.taken = [...this.buttons(), ...gathered.map((point) => around(point, VERDICT_PX))];
    this.symbols = shown.filter(({ path }) => !path).map((entry) => ({ entry, rect: this.rectOf(entry) }));
    for (const entry of shown) if (entry.path) this.symbols.push({ entry, rect: this.badge(entry, entry.path, view) });
    const own = chips.filter(({ about }) => about).sort((a, b) => Number(b.binding) - Number(a.binding));
    const chosen = shown.filter(({ feature }) => selected.includes(feature.id));
    for (const entry of chosen) this.name(entry, view, true);
    for (const chip of own) this.chip(chip);
    for (const entry of shown) if (!chosen.includes(entry)) this.name(entry, view, false);
    for (const chip of chips) if (!chip.about) this.chip(chip);
    this.hushDegrees();
  }

  /** @param {Entry} entry */
  hush({ mark }) {
    mark.getElement()?.querySelector(".pit-label")?.classList.add("pit-hushed");
  }

  /** Where something of the page lies, in pixels of the map's layers. @param {Element} node @returns {Rect} */
  lying(node) {
    const at = this.map.getContainer().getBoundingClientRect(), { left, top, right, bottom } = node.getBoundingClientRect();
    const by = this.map.getPixelBounds().min.subtract(this.map.getPixelOrigin());
    return [left - at.left + by.x, top - at.top + by.y, right - at.left + by.x, bottom - at.top + by.y];
  }

  /** What the buttons over the map hide. */
  buttons() {
    return [...this.map.getContainer().querySelectorAll(".leaflet-bar")].map((node) => this.lying(node));
  }

  /** A figure of the grid stands under no sign, no name and no button. */
  hushDegrees() {
    const others = this.others();
    for (const text of this.map.getContainer().querySelectorAll(".pit-degree span")) {
      const rect = this.lying(text);
      text.classList.toggle("pit-hushed", !free(rect, this.taken) || !free(rect, others));
    }
  }

  /** What is in sight or near it, the chosen first, then by kind. @param {Entry[]} entries @param {LBounds} view
   * @param {string[]} selected */
  inOrder(entries, view, selected) {
    const near = L.bounds(view.min.subtract([60, 60]), view.max.add([60, 60]));
    const rank = (/** @type {Entry} */ { feature }) =>
      selected.includes(feature.id) ? -1 : this.looks.of(feature.kind).written;
    return entries
      .filter(({ path, mark }) => path || near.contains(this.map.latLngToLayerPoint(mark.getLatLng())))
      .sort((a, b) => rank(a) - rank(b));
  }

  /** Places along a line, or in an area and then along its edge. @param {Entry} entry
   * @param {import("./types.d.ts").LPath} path */
  spotsOn({ feature }, path) {
    const rings = path.getLatLngs(), area = feature.geometry.type === "Polygon";
    const row = (area ? [...rings[0], rings[0][0]] : rings)
      .map((/** @type {import("./types.d.ts").LLatLng} */ place) => this.map.latLngToLayerPoint(place));
    return [this.map.latLngToLayerPoint(middleOfPath(path, area)), ...ALONG.map((share) => pointAlong(row, share))];
  }

  /** @param {Entry} entry @param {import("./types.d.ts").LPath} path @param {LBounds} view */
  badge(entry, path, view) {
    const spots = this.spotsOn(entry, path), symbols = [...this.taken, ...this.others()];
    const open = spots.filter((point) => free(around(point, BADGE_PX), symbols));
    const chosen = open.find((point) => inside(around(point, BADGE_PX), view)) ?? open[0] ?? spots[0];
    const area = entry.feature.geometry.type === "Polygon";
    entry.mark.setLatLng(chosen === spots[0] ? middleOfPath(path, area) : this.map.layerPointToLatLng(chosen));
    return around(chosen, BADGE_PX);
  }

  /** @param {Entry} entry @param {LBounds} view @param {boolean} always */
  name(entry, view, always) {
    const node = /** @type {HTMLElement | null} */ (entry.mark.getElement()?.querySelector(".pit-label"));
    if (!node) return;
    const at = this.map.latLngToLayerPoint(entry.mark.getLatLng()), wide = this.widthOf(node, node.textContent ?? "");
    const off = entry.feature.verdict ? 21 : entry.path ? 14 : 17;
    const sides = sidesOf(at, wide, off), others = this.others(entry);
    const own = [around(at, off - 1)];
    const open = (/** @type {number} */ aside) =>
      Object.keys(sides).find((side) =>
        inside(sides[side], view) && free(sides[side], this.taken) && free(sides[side], own)
        && free(sides[side], others, aside)
      );
    if (entry.feature.label === entry.feature.sign && !this.isCovered(entry)) { // its sign says it
      this.lead(entry, undefined, off);
      node.className = "pit-label pit-hushed";
      return;
    }
    const near = always || this.map.getZoom() >= CLOSE_ZOOM;
    const side = open(ASIDE_PX) ?? (near ? open(0) : undefined);
    const led = side || !(near || this.looks.of(entry.feature.kind).written < NO_ORDER)
      ? undefined : this.led(at, wide, off, others, view);
    this.lead(entry, led, off);
    if (led) {
      node.className = "pit-label pit-led";
      node.style.left = `${22 + led.rect[0] - at.x}px`;
      node.style.top = `${22 + led.rect[1] - at.y}px`;
      this.taken.push(led.rect);
      return;
    }
    node.style.left = node.style.top = "";
    node.className = `pit-label pit-${side ?? "right"}${side || always ? "" : " pit-hushed"}`;
    node.style.setProperty("--off", off + "px");
    if (side || always) this.taken.push(sides[side ?? "right"]);
  }

  /** Whether another sign with a verdict lies over its own, so that neither can be told. @param {Entry} own */
  isCovered(own) {
    const at = this.map.latLngToLayerPoint(own.mark.getLatLng());
    return this.symbols.some(({ entry }) =>
      entry !== own && entry.feature.verdict && at.distanceTo(this.map.latLngToLayerPoint(entry.mark.getLatLng())) < APART_PX
    );
  }

  /** The first place farther off where a name and the line to it cross nothing. @param {LPoint} at @param {number} wide
   * @param {number} off @param {Rect[]} others @param {LBounds} view */
  led(at, wide, off, others, view) {
    const taken = [...this.taken, ...others];
    for (const far of LED_PX) {
      for (const eighth of EIGHTHS) {
        const led = ledTo(at, far, eighth, wide);
        if (!inside(led.rect, view) || !free(led.rect, taken, 2)) continue;
        let clear = true;
        for (let along = off; along < far && clear; along += STEP_PX) {
          const x = at.x + along * Math.cos(led.angle), y = at.y + along * Math.sin(led.angle);
          clear = free([x - 1, y - 1, x + 1, y + 1], taken);
        }
        if (clear) return led;
      }
    }
  }

  /** The line from a symbol to its name. @param {Entry} entry @param {Led | undefined} led @param {number} off */
  lead({ mark }, led, off) {
    const holder = mark.getElement()?.querySelector(".pit-mark");
    holder?.querySelector(".pit-leader")?.remove();
    if (!holder || !led) return;
    const line = element("i", "pit-leader");
    line.style.width = `${led.far - off + 6}px`;
    line.style.transform = `rotate(${led.angle}rad) translateX(${off - 6}px)`;
    holder.prepend(line);
  }

  /** On its line, or beside it and led to it where a sign or a name stands there. @param {Chip} chip */
  chip({ node, at, binding }) {
    const inner = /** @type {HTMLElement} */ (node.querySelector("span")), middle = this.map.latLngToLayerPoint(at);
    const half = this.widthOf(inner, "chip " + inner.textContent) / 2, others = this.others();
    const rectAt = (/** @type {[number, number]} */ aside) => around(middle.add(aside), half, CHIP_PX);
    const place = (binding ? CHIP_ASIDE : CHIP_ASIDE.slice(0, 1))
      .find((aside) => free(rectAt(aside), this.taken) && free(rectAt(aside), others));
    const [left, top] = place ?? [0, 0];
    inner.style.left = `${left}px`;
    inner.style.top = `${top}px`;
    node.classList.toggle("pit-hushed", !place && !binding);
    if (place || binding) this.taken.push(rectAt([left, top]));
    node.querySelector(".pit-leader")?.remove();
    if (!left && !top) return;
    const line = element("i", "pit-leader");
    line.style.width = `${Math.hypot(left, top)}px`;
    line.style.transform = `rotate(${Math.atan2(top, left)}rad)`;
    node.prepend(line);
  }
}
