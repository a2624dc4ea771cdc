// @ts-check
// Of thousands of heaps only what is in sight is drawn, and those that lie close together on the screen stand as one sign
// with their number; a touch of it looks closer. What is chosen stays a full sign, and so does every kind that is not
// gathered: kilns, water, places of people.
/** @import { Feature, Gathered, LLatLng, LMap, LPoint } from "./types.d.ts" */
/** @import { Looks } from "./looks.js" */
import { element, latLng, placesOf } from "./looks.js";

export const MANY = 200; // so few are drawn one by one, as ever
export const EASY = 60; // so many in sight are told apart
const CELL_PX = 72, MARGIN_PX = 100; // of screen for each sign · drawn beyond the edge, so that a pan shows no gap
const DEEPEST_ZOOM = 22;

/** Those that share a cell of the screen together, the others alone. @template T
 * @param {{at: {x: number, y: number}, it: T}[]} places pixels of the whole world @param {number} [cell_px] */
export function cellsOf(places, cell_px = CELL_PX) {
  /** @type {Map<string, {at: {x: number, y: number}, it: T}[]>} */
  const cells = new Map();
  for (const place of places) {
    const key = `${Math.floor(place.at.x / cell_px)} ${Math.floor(place.at.y / cell_px)}`, cell = cells.get(key);
    if (cell) cell.push(place);
    else cells.set(key, [place]);
  }
  return cells;
}

export class Crowd {
  /** @param {LMap} map @param {Looks} looks */
  constructor(map, looks) {
    this.map = map;
    this.looks = looks;
    /** @type {{feature: Feature, middle: LLatLng, at: LPoint}[]} */
    this.all = []; // what may be gathered, with its place on the whole world at zoom 0
    /** @type {Feature[]} */
    this.others = [];
    this.signs = L.layerGroup().addTo(map);
    /** @type {Map<string, Gathered>} */
    this.groups = new Map();
  }

  get isMany() {
    return this.all.length > 0;
  }

  /** @param {Feature[]} features */
  follow(features) {
    const gathers = features.filter(({ kind }) => this.looks.gathers(kind)), many = gathers.length > MANY;
    this.others = many ? features.filter(({ kind }) => !this.looks.gathers(kind)) : features;
    this.all = many ? gathers.map((feature) => {
      const middle = meanOf(placesOf(feature.geometry));
      return { feature, middle, at: this.map.project(middle, 0) };
    }) : [];
  }

  /** What is drawn one by one; what is gathered gets its sign here. @param {string[]} chosen @returns {Feature[]} */
  shown(chosen) {
    if (!this.isMany) {
      this.show(new Map());
      return this.others;
    }
    const picked = new Set(chosen), scale = 2 ** this.map.getZoom(), bounds = this.map.getPixelBounds();
    const alone = [...this.others], near = [];
    for (const { feature, middle, at } of this.all) {
      const x = at.x * scale, y = at.y * scale;
      if (picked.has(feature.id)) alone.push(feature);
      else if (
        x > bounds.min.x - MARGIN_PX && x < bounds.max.x + MARGIN_PX && y > bounds.min.y - MARGIN_PX
        && y < bounds.max.y + MARGIN_PX
      ) near.push({ at: { x, y }, it: { feature, middle } });
    }
    if (near.length <= EASY) {
      this.show(new Map());
      return [...alone, ...near.map(({ it }) => it.feature)];
    }
    /** @type {Map<string, {feature: Feature, middle: LLatLng}[]>} */
    const groups = new Map();
    for (const [key, places] of cellsOf(near)) {
      if (places.length === 1) alone.push(places[0].it.feature);
      else groups.set(`${this.map.getZoom()} ${key} ${places.length}`, places.map(({ it }) => it));
    }
    this.show(groups);
    return alone;
  }

  /** @param {Map<string, {feature: Feature, middle: LLatLng}[]>} wanted */
  show(wanted) {
    for (const [key, { mark }] of this.groups) {
      if (wanted.has(key)) continue;
      mark.remove();
      this.groups.delete(key);
    }
    for (const [key, members] of wanted) if (!this.groups.has(key)) this.groups.set(key, this.sign(members));
  }

  /** @param {{feature: Feature, middle: LLatLng}[]} members @returns {Gathered} */
  sign(members) {
    const look = this.looks.of(members[0].feature.kind), words = `${members.length} heaps close together: touch to look closer`;
    const node = element("div", members.length < 1_000 ? "pit-gathered" : "pit-gathered pit-thousands", String(members.length));
    node.style.color = node.style.borderColor = look.stroke;
    node.style.background = look.fill;
    const mark = L.marker(meanOf(members.map(({ middle }) => middle)), {
      icon: L.divIcon({ className: "pit-icon pit-crowd", iconSize: [44, 44], html: node }), title: words, alt: words,
    }).addTo(this.signs);
    mark.on("click", (event) => {
      L.DomEvent.stop(event);
      this.closer(members.map(({ middle }) => middle));
    });
    return { mark, count: members.length };
  }

  /** @param {LLatLng[]} places */
  closer(places) {
    const { map } = this, before = map.getZoom();
    map.fitBounds(L.latLngBounds(places), { animate: false, maxZoom: DEEPEST_ZOOM, padding: [60, 60] });
    if (map.getZoom() < before + 1) map.setView(map.getCenter(), Math.min(before + 1, DEEPEST_ZOOM), { animate: false });
  }

  /** Where the signs of those gathered stand, for names to keep off. @returns {LPoint[]} */
  get places() {
    return [...this.groups.values()].map(({ mark }) => this.map.latLngToLayerPoint(mark.getLatLng()));
  }
}

/** @param {LLatLng[]} places @returns {LLatLng} */
function meanOf(places) {
  const sum = (/** @type {"lat" | "lng"} */ axis) => places.reduce((all, place) => all + place[axis], 0) / places.length;
  return latLng([sum("lng"), sum("lat")]);
}
