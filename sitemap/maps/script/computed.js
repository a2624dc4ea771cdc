// @ts-check
// What was computed, drawn over the ground and never touched: nearest lines, ways, areas, with a short label each.
/** @import { Chip, Geometry, LMap, LMarker, LPath, Look, Overlay, Setup } from "./types.d.ts" */
import { element, latLng, lineStyle, middleOfPath, pathOf } from "./looks.js";

const CHIP_LAYER = 10_000; // over every line, wherever on the map
const BINDING = ["too close", "measure"], NEAREST = "nearest"; // what binds is always said, and what turns first

export class Computed {
  /** @param {LMap} map @param {Setup} setup */
  constructor(map, setup) {
    this.map = map;
    this.setup = setup;
    this.layers = L.layerGroup().addTo(map);
    /** @type {Chip[]} */
    this.chips = [];
  }

  /** @param {Overlay[]} overlays */
  show(overlays) {
    this.layers.clearLayers();
    this.chips = [];
    for (const overlay of overlays) this.draw(overlay);
  }

  /** @param {Overlay} overlay */
  draw(overlay) {
    const look = this.setup.overlays[overlay.style] ?? this.setup.unknown;
    const layer = drawnOverlay(overlay.geometry, look);
    layer.about = overlay.about;
    this.layers.addLayer(layer);
    if (overlay.label) this.label(overlay, look, "getCenter" in layer ? middleOfPath(layer, overlay.geometry.type === "Polygon") : layer.getLatLng());
  }

  /** @param {Overlay} overlay @param {Look} look @param {import("./types.d.ts").LLatLng} at */
  label(overlay, look, at) {
    const chip = element("span", "", overlay.label);
    chip.style.borderColor = look.stroke;
    const holder = L.marker(at, {
      interactive: false, keyboard: false, pane: "computed", zIndexOffset: CHIP_LAYER,
      icon: L.divIcon({ className: "pit-chip pit-about", iconSize: null, html: chip }),
    });
    this.layers.addLayer(holder);
    const node = holder.getElement();
    node.dataset.about = overlay.about;
    const { about, style } = overlay, turnsFirst = style === NEAREST && !this.chips.some((each) => each.style === NEAREST);
    this.chips.push({ node, at, about, style, binding: turnsFirst || BINDING.includes(style) });
  }

  /** Lines that say what decides, while live ones do. */
  fadeBinding() {
    for (const { node, binding } of this.chips) if (binding) node.classList.add("pit-stale");
  }

  /** What belongs to a feature while that is being moved. @param {string} id */
  fade(id) {
    for (const node of /** @type {NodeListOf<HTMLElement>} */ (this.map.getContainer().querySelectorAll(".pit-about"))) {
      if (node.dataset.about === id) node.classList.add("pit-stale");
    }
    this.layers.eachLayer((layer) => {
      if (layer.about === id) layer.setStyle?.({ opacity: 0.2, fillOpacity: 0.05 });
    });
  }
}

/** @param {Geometry} geometry @param {Look} look @returns {LMarker | LPath} */
function drawnOverlay(geometry, look) {
  if (geometry.type === "Point") {
    const dot = { ...lineStyle(look), radius: 9, pane: "computed", interactive: false };
    return L.circleMarker(latLng(geometry.coordinates), dot);
  }
  const area = geometry.type === "Polygon";
  return pathOf(geometry, {
    ...lineStyle(look, area), pane: area ? "areas" : "computed", interactive: false, fillOpacity: look.hatch ? 1 : 0.22,
  });
}
