// @ts-check
// Corners of the selected line or polygon: moved, added between two others, taken away.
/** @import { Entry, LLatLng, LMap, LMarker } from "./types.d.ts" */
import { HANDLE_LAYER, ringsOf } from "./drawn.js";
import { element } from "./looks.js";

const ROOM_PX = 80; // between two corners, for the handle that adds one
const HANDLE_PX = 32;
const CORNER_SNAP_PX = 12; // a corner no farther from what stands there is meant for it

/** @typedef {object} Hooks
 * @property {(id: string) => void} taken
 * @property {() => void} dragged
 * @property {(entries: Entry[]) => void} letGo
 * @property {(at: LLatLng, within_px: number, but: Entry) => LLatLng | null} near
 * @property {() => void} changed */

/** @typedef {object} Corner
 * @property {Entry} entry
 * @property {number} ring
 * @property {number} number */

/** @param {Entry} entry */
function closed({ feature }) {
  return feature.geometry.type === "Polygon";
}

export class Corners {
  /** @param {LMap} map @param {Hooks} hooks */
  constructor(map, hooks) {
    this.map = map;
    this.hooks = hooks;
    this.handles = L.layerGroup().addTo(map);
    /** @type {Corner | null} */
    this.chosen = null;
    /** @type {Entry[]} */
    this.entries = [];
  }

  clear() {
    this.handles.clearLayers();
  }

  /** @param {Entry[]} entries */
  show(entries) {
    this.clear();
    this.entries = entries;
    for (const entry of entries) {
      ringsOf(entry).forEach((ring, number) => this.showRing({ entry, ring: number, number: 0 }, ring));
    }
  }

  /** @param {Corner} at @param {LLatLng[]} ring */
  showRing(at, ring) {
    const { map } = this, view = map.getBounds().pad(0.1);
    ring.forEach((latLng, number) => {
      if (view.contains(latLng)) this.handle({ ...at, number }, latLng, false);
      const next = ring[number + 1] ?? (closed(at.entry) ? ring[0] : null);
      if (!next) return;
      const a = map.latLngToLayerPoint(latLng), b = map.latLngToLayerPoint(next);
      const middle = map.layerPointToLatLng(a.add(b).divideBy(2));
      if (a.distanceTo(b) > ROOM_PX && view.contains(middle)) this.handle({ ...at, number: number + 1 }, middle, true);
    });
  }

  /** @param {Corner} corner @param {LLatLng} latLng @param {boolean} added */
  handle(corner, latLng, added) {
    const handle = this.dot(latLng, added ? "pit-between" : "pit-corner");
    if (!added && this.isChosen(corner)) handle.getElement().classList.add("pit-chosen");
    this.movable(handle, corner, added);
    handle.on("click", (event) => {
      L.DomEvent.stop(event);
      if (added) return;
      this.chosen = corner;
      this.show(this.entries);
      this.hooks.changed();
    });
  }

  /** @param {LLatLng} latLng @param {string} className */
  dot(latLng, className) {
    return L.marker(latLng, {
      draggable: true, autoPan: true, zIndexOffset: HANDLE_LAYER, keyboard: false,
      icon: L.divIcon({ className: "pit-handle " + className, iconSize: [HANDLE_PX, HANDLE_PX], html: element("i") }),
    }).addTo(this.handles);
  }

  /** @param {LMarker} handle @param {Corner} corner @param {boolean} added */
  movable(handle, { entry, ring, number }, added) {
    handle.on("dragstart", () => {
      this.hooks.taken(entry.feature.id);
      if (added) ringsOf(entry)[ring].splice(number, 0, handle.getLatLng());
    });
    handle.on("drag", () => {
      const corners = ringsOf(entry)[ring], hand = handle.getLatLng(), moved = this.hooks.near(hand, CORNER_SNAP_PX, entry) ?? hand;
      corners[number] = L.latLng(moved.lat, moved.lng, corners[number].alt);
      entry.path?.redraw();
      this.hooks.dragged();
    });
    handle.on("dragend", () => {
      this.chosen = null;
      this.hooks.letGo([entry]);
      this.hooks.changed();
    });
  }

  /** @param {Corner} corner */
  isChosen(corner) {
    const { chosen } = this;
    return chosen?.entry === corner.entry && chosen.ring === corner.ring && chosen.number === corner.number;
  }

  get toSpare() {
    if (!this.chosen) return false;
    const { entry, ring } = this.chosen;
    return ringsOf(entry)[ring].length > (closed(entry) ? 3 : 2);
  }

  remove() {
    if (!this.chosen) return;
    const { entry, ring, number } = this.chosen;
    ringsOf(entry)[ring].splice(number, 1);
    this.chosen = null;
    entry.path?.redraw();
    this.hooks.letGo([entry]);
    this.hooks.changed();
  }
}
