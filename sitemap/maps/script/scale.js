// @ts-check
// The scale bar: a round length in equal parts, filled and empty in turn, that can be measured by, on paper too.
/** @import { LMap } from "./types.d.ts" */
import { legOf } from "./geo.js";
import { FOOT_M, MILE_M } from "./saying.js";
import { element, svg } from "./looks.js";

const ROUND = /** @type {const} */ ([[5, 5], [2, 4], [1, 5]]); // leading figure of the whole, and in how many parts
const LONGEST_PX = 168, BAR_ASIDE_PX = 10, BAR_TOP_PX = 14, BAR_HIGH_PX = 5; // room for half a figure on the left, for figures above

/** The longest round length that fits into the room, in a unit a tape or an odometer shows.
 * @param {number} perPx metres a pixel @param {string} units @param {number} [room] pixels */
export function scaleOf(perPx, units, room = LONGEST_PX) {
  const most = perPx * room, us = units === "us";
  const [name, unit] = us ? (most < MILE_M ? ["ft", FOOT_M] : ["mi", MILE_M]) : most < 1000 ? ["m", 1] : ["km", 1000];
  const power = 10 ** Math.floor(Math.log10(most / unit) + 1e-9);
  const [lead, parts] = ROUND.find(([first]) => first * power * unit <= most * (1 + 1e-9)) ?? ROUND[2];
  const whole = lead * power;
  return { whole, part: Number((whole / parts).toPrecision(2)), parts, name, m: whole * unit, px: (whole * unit) / perPx };
}

export class Scale {
  /** @param {LMap} map @param {HTMLElement} where */
  constructor(map, where) {
    this.map = map;
    this.where = where;
  }

  /** @param {string} units "metric" or "us" */
  show(units) {
    const { x, y } = this.map.getSize(), across = Math.min(100, x);
    const [from, to] = [0, across].map((right) => this.map.containerPointToLatLng([right, y / 2]));
    const far = legOf([from.lng, from.lat], [to.lng, to.lat]).m;
    if (!(far > 0)) return;
    const { whole, part, parts, name, m, px } = scaleOf(far / across, units), step = px / parts;
    const wide = px + 2 * BAR_ASIDE_PX + 34; // and for figure and unit on the right
    const drawn = svg("svg", { width: wide, height: 26, viewBox: `0 0 ${wide} 26`, "aria-hidden": "true" });
    for (let n = 0; n < parts; n += 1) {
      const fill = n % 2 ? "#fff" : "#1d1d1d";
      drawn.append(svg("rect", { x: BAR_ASIDE_PX + n * step, y: BAR_TOP_PX, width: step, height: BAR_HIGH_PX, fill, stroke: "#1d1d1d" }));
    }
    for (const [at, said] of /** @type {[number, string][]} */ ([[0, "0"], [step, String(part)], [px, `${whole} ${name}`]])) {
      drawn.append(svg("path", { d: `M${BAR_ASIDE_PX + at} ${BAR_TOP_PX - 2}v${BAR_HIGH_PX + 4}`, stroke: "#1d1d1d" }));
      const end = at === px, x = BAR_ASIDE_PX + at - (end ? 8 : 0);
      drawn.append(svg("text", { x, y: 11, "font-size": 12, "text-anchor": end ? "start" : "middle", fill: "#1d1d1d" }, said));
    }
    this.where.replaceChildren(element("span", "pit-unseen", `Scale: the bar is ${whole} ${name} long`), drawn);
    Object.assign(this.where.dataset, { m, px });
  }
}
