// @ts-check
// The ground under everything: graticule, scale, a picture where there is one; and the buttons that choose what is seen.
/** @import { Backdrop, LLayer, LMap, Scene } from "./types.d.ts" */
/** @import { Frame } from "./frame.js" */
import { element, svg } from "./looks.js";
import { Scale } from "./scale.js";

// Pictures of the buttons, as paths on a square of 20: signs of a font are missing on some computers.
const WHOLE = "M10 2v16M2 10h16M10 2l-3 3M10 2l3 3M10 18l-3-3M10 18l3-3M2 10l3-3M2 10l3 3M18 10l-3-3M18 10l-3 3";
const HERE = "M10 1v5M10 14v5M1 10h5M14 10h5M10 5a5 5 0 1 0 .01 0M10 9.5a.5 .5 0 1 0 .01 0";
const FULL = "M3 8V3h5M12 3h5v5M17 12v5h-5M8 17H3v-5";
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
  /** @param {LMap} map @param {Frame} frame @param {{whole: () => void, here: () => void}} hooks */
  constructor(map, frame, hooks) {
    this.map = map;
    this.frame = frame;
    this.grid = L.layerGroup().addTo(map);
    /** @type {LLayer | null} */
    this.picture = null;
    this.scale = new Scale(map, frame.scale); // under the map: over it, it would hide signs
    this.units = "metric";
    const made = element("div", "leaflet-bar");
    made.append(link(WHOLE, "Show the whole site", hooks.whole), link(HERE, "Where am I?", hooks.here));
    if (frame.canFill) made.append(link(FULL, "Full screen", () => frame.fillScreen()));
    control(map, made, "topleft");
    this.credit = element("div", "pit-credit");
    control(map, this.credit, "bottomleft");
  }

  showGrid() {
    this.scale.show(this.units);
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
    this.units = scene.units;
    if (!old || JSON.stringify(old.backdrop) !== JSON.stringify(scene.backdrop)) this.lay(scene.backdrop);
  }

  /** @param {Backdrop | null} backdrop */
  lay(backdrop) {
    this.picture?.remove();
    this.picture = null;
    this.credit.textContent = backdrop?.credit ?? "";
    if (!backdrop) return;
    const [west, south, east, north] = backdrop.bounds;
    this.picture = L.imageOverlay(backdrop.address, [[south, west], [north, east]], { pane: "ground" }).addTo(this.map);
  }
}

/** @param {LMap} map @param {HTMLElement} node @param {string} position */
function control(map, node, position) {
  const made = L.control({ position });
  made.onAdd = () => node;
  made.addTo(map);
}

/** @param {string} path @param {string} title @param {() => void} action */
function link(path, title, action) {
  const made = /** @type {HTMLAnchorElement} */ (element("a", "pit-link")), picture = svg("svg", { viewBox: "0 0 20 20" });
  picture.append(svg("path", { d: path, fill: "none", stroke: "currentColor", "stroke-width": 1.8 }));
  made.append(picture);
  made.href = "#";
  made.title = title;
  made.setAttribute("role", "button");
  made.setAttribute("aria-label", title);
  L.DomEvent.disableClickPropagation(made);
  L.DomEvent.on(made, "click", (event) => {
    L.DomEvent.stop(event);
    action();
  });
  return made;
}
