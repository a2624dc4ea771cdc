// @ts-check
// The distances that decide, drawn and numbered while a hand moves something: the one nearest to turning, and with it
// every other that is short. Red and with its words when short, so that it is read without colour too.
/** @import { LLatLng, LMap, Reading } from "./types.d.ts" */
import { element, latLng } from "./looks.js";
import { lengthText } from "./saying.js";

const MOST_READINGS = 3, MOST_WORDS = 2;
const LONG_PX = 120, BESIDE_PX = 44; // a number is about a thumb wide
const COLOURS = { short: "#a3123f", near: "#8a4300", far: "#2f4f3a" };
const WORDS = { short: "short", near: "to spare: measure on the ground", far: "to spare" };

/** @param {Reading} each @param {string} units */
export function readingText({ name, gap_m, need_m, spare_m, state }, units) {
  const spare = lengthText(Math.abs(spare_m), units);
  return `${name}: ${lengthText(gap_m, units)}, rule ${lengthText(need_m, units)}, ${spare} ${WORDS[state]}`;
}

export class Ruler {
  /** @param {LMap} map */
  constructor(map) {
    this.map = map;
    this.lines = L.layerGroup().addTo(map);
  }

  clear() {
    this.lines.clearLayers();
  }

  /** @param {Reading[]} readings nearest to turning first @param {string} units */
  show(readings, units) {
    this.clear();
    const drawn = readings.filter(({ state }, n) => n === 0 || state === "short").slice(0, MOST_READINGS);
    for (const each of drawn) this.draw(each, units);
  }

  /** @param {Reading} each @param {string} units */
  draw(each, units) {
    const colour = COLOURS[each.state], line = each.line.map(latLng);
    for (const [color, weight] of [["#fff", 7], [colour, 4]]) {
      L.polyline(line, { pane: "live", interactive: false, color, weight }).addTo(this.lines);
    }
    const chip = element("span", `pit-live-${each.state}`, lengthText(each.gap_m, units));
    if (each.state === "short") chip.append(element("b", "", `, ${lengthText(-each.spare_m, units)} short`));
    L.marker(this.beside(line[0], line[1]), {
      interactive: false, keyboard: false, pane: "live", icon: L.divIcon({ className: "pit-chip pit-live", iconSize: null, html: chip }),
    }).addTo(this.lines);
  }

  /** Where the number stands: on the middle of a long line, beside a short one, so that it hides neither end.
   * @param {LLatLng} from @param {LLatLng} to */
  beside(from, to) {
    const a = this.map.latLngToLayerPoint(from), b = this.map.latLngToLayerPoint(to), far = a.distanceTo(b);
    const middle = a.add(b).divideBy(2);
    if (far > LONG_PX) return this.map.layerPointToLatLng(middle);
    const across = far > 1 ? [(b.y - a.y) / far, (a.x - b.x) / far] : [0, -1], side = across[1] > 0 ? -1 : 1;
    return this.map.layerPointToLatLng(middle.add([across[0] * side * BESIDE_PX, across[1] * side * BESIDE_PX]));
  }

  /** The same in words, for the line under the map. @param {Reading[]} readings @param {string} units
   * @param {(id: string) => string} nameOf @returns {HTMLElement} */
  words(readings, units, nameOf) {
    const box = element("div", "pit-live-words");
    const several = new Set(readings.map(({ kiln }) => kiln)).size > 1;
    if (!readings.length) box.textContent = "Nothing with a distance by the rules is near. The checks follow when you let go.";
    for (const each of readings.slice(0, MOST_WORDS)) {
      const before = several ? `${nameOf(each.kiln)} – ` : "";
      box.append(element("p", `pit-${each.state}`, before + readingText(each, units)));
    }
    return box;
  }
}
