// @ts-check
// The features on the map: each with its symbol, and the path of a line or an area, that follow a hand.
/** @import { Entry, Feature, Geometry, LLatLng, LMap, LPath, Place } from "./types.d.ts" */
/** @import { Looks } from "./looks.js" */
import { latLng, lineStyle, middleOfPath, pathOf, placeOf } from "./looks.js";

// Leaflet adds the height of the window, in pixels, to these: a symbol of a higher step is never under a lower one.
const LAYER = { badge: 0, place: 20_000, kiln: 40_000, chosen: 60_000 };
export const HANDLE_LAYER = 80_000;

/** @typedef {object} Hooks
 * @property {(id: string) => boolean} canMove only what is chosen moves: no symbol is carried off by accident
 * @property {() => Entry[]} together what moves along with it
 * @property {(id: string, event: import("./types.d.ts").LEvent, inside: boolean) => void} touched
 * @property {(id: string) => void} taken
 * @property {() => void} dragged
 * @property {(entries: Entry[]) => void} letGo */

/** @param {Feature} feature */
export function keyOf({ id, part }) {
  return JSON.stringify([id, part]);
}

/** The rings of a polygon; a line is one. @param {Entry} entry @returns {LLatLng[][]} */
export function ringsOf({ feature, path }) {
  if (!path) return [];
  return feature.geometry.type === "Polygon" ? path.getLatLngs() : [path.getLatLngs()];
}

/** Where it stands now, every number kept as it is. @param {Entry} entry @returns {Geometry} */
export function geometryOf(entry) {
  const { type, coordinates } = entry.feature.geometry;
  if (type === "Point") {
    return { type, coordinates: [...placeOf(entry.mark.getLatLng()).slice(0, 2), ...coordinates.slice(2)] };
  }
  const rings = ringsOf(entry).map((ring) => ring.map(placeOf));
  if (type === "LineString") return { type, coordinates: rings[0] };
  return { type, coordinates: rings.map((ring) => [...ring, ring[0]]) };
}

export class Drawn {
  /** @param {LMap} map @param {Looks} looks @param {Hooks} hooks */
  constructor(map, looks, hooks) {
    this.map = map;
    this.looks = looks;
    this.hooks = hooks;
    /** @type {Map<string, Entry>} */
    this.entries = new Map();
  }

  get all() {
    return [...this.entries.values()];
  }

  /** @param {string | null} id */
  of(id) {
    return this.all.filter(({ feature }) => feature.id === id);
  }

  /** @param {Entry} entry */
  drop(entry) {
    this.map.removeLayer(entry.mark);
    if (entry.path) this.map.removeLayer(entry.path);
    this.entries.delete(keyOf(entry.feature));
  }

  /** What is wanted stands there; what stays as it was is not touched. @param {Feature[]} features @param {boolean} anew
   * @param {string[]} chosen @param {boolean} [known] the same features as before: only which of them is another */
  follow(features, anew, chosen, known = false) {
    const wanted = new Map(features.map((feature) => [keyOf(feature), feature]));
    for (const [key, entry] of this.entries) {
      const feature = wanted.get(key);
      if (anew || !feature || (!known && entry.text !== JSON.stringify(feature))) this.drop(entry);
    }
    for (const [key, feature] of wanted) if (!this.entries.has(key)) this.draw(feature, chosen);
  }

  /** @param {Feature} feature @param {string[]} chosen */
  draw(feature, chosen) {
    const { geometry, id, name } = feature, point = geometry.type === "Point";
    const style = lineStyle(this.looks.of(feature.kind), geometry.type === "Polygon");
    const path = point ? null : pathOf(geometry, style).addTo(this.map);
    const mark = L.marker(path ? middleOfPath(path, geometry.type === "Polygon") : latLng(geometry.coordinates), {
      icon: this.looks.icon(feature, !point), draggable: this.hooks.canMove(id), autoPan: true, title: name, alt: name,
    }).addTo(this.map);
    /** @type {Entry} */
    const entry = { feature, text: JSON.stringify(feature), mark, path };
    for (const layer of path ? [mark, path] : [mark]) {
      layer.on("click", (event) => this.hooks.touched(id, event, layer === path && geometry.type === "Polygon"));
      const node = layer.getElement();
      if (node) Object.assign(node.dataset, { feature: id, part: String(feature.part) });
    }
    mark.getElement().tabIndex = -1; // the keys of the map go from one to the next
    this.movable(entry);
    this.entries.set(keyOf(feature), entry);
    this.dress(entry, chosen);
  }

  /** Its path goes along with its symbol, and so does all that is chosen with it. @param {Entry} entry */
  movable(entry) {
    const { map } = this, { mark } = entry;
    /** @type {(latLng: LLatLng) => LLatLng} */
    let shifted = (corner) => corner;
    /** @type {{each: Entry, at: LLatLng, rings: LLatLng[][]}[]} */
    let moving = [];
    mark.on("dragstart", () => {
      this.hooks.taken(entry.feature.id);
      const all = new Set([entry, ...this.hooks.together()]);
      moving = [...all].map((each) => ({ each, at: each.mark.getLatLng(), rings: ringsOf(each).map((ring) => [...ring]) }));
      const start = map.project(mark.getLatLng());
      shifted = (corner) => {
        const by = map.project(mark.getLatLng()).subtract(start), at = map.unproject(map.project(corner).add(by));
        return L.latLng(at.lat, at.lng, corner.alt);
      };
    });
    mark.on("drag", () => {
      for (const { each, at, rings } of moving) {
        if (each !== entry) each.mark.setLatLng(shifted(at));
        const moved = rings.map((ring) => ring.map(shifted));
        each.path?.setLatLngs(each.feature.geometry.type === "Polygon" ? moved : moved[0]);
      }
      this.hooks.dragged();
    });
    mark.on("dragend", () => this.hooks.letGo(moving.map(({ each }) => each)));
  }

  /** @param {Entry} entry @param {string[]} chosen */
  dress({ feature, mark, path }, chosen) {
    const on = chosen.includes(feature.id), look = this.looks.of(feature.kind);
    mark.getElement()?.classList.toggle("pit-selected", on);
    if (this.hooks.canMove(feature.id)) mark.dragging?.enable();
    else mark.dragging?.disable();
    mark.setZIndexOffset(
      on ? LAYER.chosen : path ? LAYER.badge : feature.verdict ? LAYER.kiln : LAYER.place,
    );
    path?.setStyle({ weight: look.weight + (on ? 2 : 0) });
  }

  /** @param {string[]} chosen */
  dressAll(chosen) {
    for (const entry of this.all) this.dress(entry, chosen);
  }

  /** Where each part of a feature stands now, also under a hand. @param {string} id */
  placesOf(id) {
    return this.of(id).map(geometryOf);
  }

  /** The nearest place or corner on the map within so many pixels, for a line that starts or ends there.
   * @param {LLatLng} at @param {number} within_px @param {Entry} [but] @returns {LLatLng | null} */
  near(at, within_px, but) {
    const pointer = this.map.latLngToLayerPoint(at);
    /** @type {LLatLng | null} */
    let nearest = null, least = within_px;
    for (const entry of this.all) {
      if (entry === but) continue;
      for (const place of entry.path ? ringsOf(entry).flat() : [entry.mark.getLatLng()]) {
        const away = pointer.distanceTo(this.map.latLngToLayerPoint(place));
        if (away < least) [nearest, least] = [place, away];
      }
    }
    return nearest;
  }
}
