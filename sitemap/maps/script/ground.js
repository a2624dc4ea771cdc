// @ts-check
// The ground under everything: graticule, north, scale, a picture where there is one.
/** @import { Backdrop, LControl, LLayer, LMap, Scene } from "./types.d.ts" */
import { element } from "./looks.js";

const STEPS_DEG = [1, 2, 5, 10, 30];
const GAP_PX = 150, MOST_LINES = 40;

/** The least round step of degrees that is not less than this. @param {number} least */
export function roundStep(least) {
  if (least >= 1) return STEPS_DEG.find((step) => step >= least) ?? 30;
  const power = 10 ** Math.ceil(Math.log10(least));
  return [0.2, 0.5, 1].map((share) => share * power).find((step) => step >= least * 0.999) ?? power;
}

/** Multiples of a step between two values. @param {number} from @param {number} to @param {number} step */
function multiples(from, to, step) {
  const first = Math.ceil(from / step), count = Math.ceil(to / step) - first;
  return Array.from({ length: Math.max(0, Math.min(count, MOST_LINES)) }, (_, number) => (first + number) * step);
}

export class Ground {
  /** @param {LMap} map @param {() => void} showWhole */
  constructor(map, showWhole) {
    this.map = map;
    this.grid = L.layerGroup().addTo(map);
    /** @type {LLayer | null} */
    this.picture = null;
    /** @type {LControl | null} */
    this.scale = null;
    control(map, wholeButton(showWhole));
    control(map, northArrow());
  }

  showGrid() {
    this.grid.clearLayers();
    const view = this.map.getBounds();
    const [west, east, south, north] = [view.getWest(), view.getEast(), view.getSouth(), view.getNorth()];
    const gap = roundStep((east - west) / this.map.getSize().x * GAP_PX);
    const decimals = Math.max(0, Math.ceil(-Math.log10(gap) - 1e-9));
    for (const value of multiples(west, east, gap)) {
      const lon = ((value + 180) % 360 + 360) % 360 - 180;
      this.line([south, value], [north, value]);
      this.degree([north, value], `${Math.abs(lon).toFixed(decimals)}° ${lon < 0 ? "W" : "E"}`, "pit-north-edge");
    }
    for (const value of multiples(south, north, gap)) {
      this.line([value, west], [value, east]);
      this.degree([value, east], `${Math.abs(value).toFixed(decimals)}° ${value < 0 ? "S" : "N"}`, "pit-east-edge");
    }
  }

  /** @param {[number, number]} a @param {[number, number]} b */
  line(a, b) {
    L.polyline([a, b], { pane: "ground", color: "#b9c0b2", weight: 1, interactive: false }).addTo(this.grid);
  }

  /** @param {[number, number]} at @param {string} text @param {string} className */
  degree(at, text, className) {
    const icon = L.divIcon({ className: "pit-degree " + className, iconSize: null, html: element("span", "", text) });
    L.marker(at, { interactive: false, keyboard: false, pane: "ground", icon }).addTo(this.grid);
  }

  /** @param {Scene} scene @param {Scene | null} old */
  show(scene, old) {
    if (!this.scale || old?.units !== scene.units) {
      this.scale?.remove();
      const us = scene.units === "us";
      this.scale = L.control.scale({ position: "topright", maxWidth: 110, metric: !us, imperial: us }).addTo(this.map);
    }
    if (!old || JSON.stringify(old.backdrop) !== JSON.stringify(scene.backdrop)) this.lay(scene.backdrop);
  }

  /** @param {Backdrop | null} backdrop */
  lay(backdrop) {
    this.picture?.remove();
    this.picture = null;
    if (!backdrop) return;
    const [west, south, east, north] = backdrop.bounds;
    this.picture = L.imageOverlay(backdrop.address, [[south, west], [north, east]], { pane: "ground" }).addTo(this.map);
  }
}

/** @param {LMap} map @param {HTMLElement} node */
function control(map, node) {
  const made = L.control({ position: "topleft" });
  made.onAdd = () => node;
  made.addTo(map);
}

/** @param {() => void} action */
function wholeButton(action) {
  const bar = element("div", "leaflet-bar"), link = /** @type {HTMLAnchorElement} */ (element("a", "pit-whole", "⤢"));
  link.href = "#";
  link.title = "Show the whole site";
  link.setAttribute("role", "button");
  link.setAttribute("aria-label", link.title);
  L.DomEvent.disableClickPropagation(bar);
  L.DomEvent.on(link, "click", (event) => {
    L.DomEvent.stop(event);
    action();
  });
  bar.append(link);
  return bar;
}

function northArrow() {
  const made = element("div", "pit-north", "N");
  made.prepend(element("span", "", "▲"));
  made.title = "North is up";
  return made;
}
