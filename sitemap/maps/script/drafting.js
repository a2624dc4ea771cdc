// @ts-check
// Drawing something new: places touched one after the other. Everything that stands on the map is deaf meanwhile, so a
// touch on a symbol counts like any other; lines and outlines start, turn and end on places that are already there.
/** @import { Draft, Geometry, LLatLng, LMap, Shape, Tool } from "./types.d.ts" */
/** @import { Looks } from "./looks.js" */
import { beyond } from "./geo.js";
import { lineStyle, pathOf, placeOf } from "./looks.js";

const SAME_PX = 14; // two touches no farther apart are one place
const SNAP_PX = 14; // a touch no farther from what stands there is meant for it

/** @typedef {object} Hooks
 * @property {(kind: string, geometry: Geometry, like: string | null) => void} added
 * @property {() => void} changed
 * @property {(ahead: import("./types.d.ts").Place[]) => void} pointed
 * @property {(at: LLatLng, within_px: number) => LLatLng | null} near */

export class Drafting {
  /** @param {LMap} map @param {Looks} looks @param {Hooks} hooks */
  constructor(map, looks, hooks) {
    this.map = map;
    this.looks = looks;
    this.hooks = hooks;
    this.box = map.getContainer();
    this.fresh = L.layerGroup().addTo(map); // what was drawn, until the server has sent it back
    /** @type {Draft | null} */
    this.draft = null;
    /** @type {{at: LLatLng, name: string} | null} */
    this.origin = null; // what was chosen before: a first place can be written from it
  }

  get from() {
    const places = this.draft?.places ?? [];
    return places.length ? { at: places[places.length - 1], name: "the last place" } : this.origin;
  }

  get needed() {
    return this.draft?.shape === "Polygon" ? 3 : 2;
  }

  /** @param {Tool} tool @param {Shape} shape @param {{at: LLatLng, name: string} | null} origin
   * @param {import("./types.d.ts").Feature | null} like */
  begin(tool, shape, origin, like) {
    this.origin = origin;
    this.box.classList.add("pit-drawing");
    this.map.doubleClickZoom.disable();
    const path = shape === "Point" ? null : pathOf({ type: shape, coordinates: [] }, this.style(tool, shape));
    this.draft = { tool, shape, places: [], path: path?.addTo(this.map) ?? null, dots: L.layerGroup().addTo(this.map), like };
    this.hooks.changed();
  }

  /** @param {Tool} tool @param {Shape | Geometry["type"]} shape */
  style(tool, shape) {
    return { ...lineStyle(this.looks.of(tool.kind), shape === "Polygon"), interactive: false };
  }

  end() {
    if (!this.draft) return;
    if (this.draft.path) this.map.removeLayer(this.draft.path);
    this.map.removeLayer(this.draft.dots);
    this.draft = null;
    this.box.classList.remove("pit-drawing");
    this.map.doubleClickZoom.enable();
    this.hooks.changed();
  }

  /** @param {LLatLng} a @param {LLatLng} b */
  same(a, b) {
    return this.map.latLngToLayerPoint(a).distanceTo(this.map.latLngToLayerPoint(b)) < SAME_PX;
  }

  /** @param {LLatLng} touched */
  add(touched) {
    if (!this.draft) return;
    const { places, shape } = this.draft, last = places[places.length - 1];
    const again = last && this.same(last, touched);
    const round = shape === "Polygon" && places.length >= 3 && this.same(places[0], touched);
    if (shape === "Point") places.push(touched);
    else if (!again && !round) places.push(this.hooks.near(touched, SNAP_PX) ?? touched);
    if (!this.draft.tool.kind && (round || again)) return; // what is only measured ends by its button
    if (shape === "Point" || round || (again && places.length >= this.needed)) {
      this.finish();
    } else if (!again) {
      this.preview();
      this.hooks.changed();
    }
  }

  /** A place by bearing and distance from the last one: to the centimetre, wherever it is drawn.
   * @param {number} bearing_deg @param {number} m */
  leg(bearing_deg, m) {
    if (!this.draft || !this.from) return;
    const [lng, lat] = beyond(placeOf(this.from.at), bearing_deg, m);
    this.draft.places.push(L.latLng(lat, lng));
    if (this.draft.shape === "Point") this.finish();
    else {
      this.preview();
      this.hooks.changed();
    }
  }

  takeBack() {
    this.draft?.places.pop();
    this.preview();
    this.hooks.changed();
  }

  /** @param {LLatLng} [pointer] */
  preview(pointer) {
    if (!this.draft?.path) return;
    const { places, path, dots } = this.draft;
    const snapped = pointer && this.hooks.near(pointer, SNAP_PX), ahead = snapped ?? pointer;
    path.setLatLngs(ahead && places.length ? [...places, ahead] : places);
    this.hooks.pointed(ahead && places.length ? [placeOf(ahead)] : []);
    dots.clearLayers();
    const dot = { color: "#222", weight: 2, fillColor: "#fff", fillOpacity: 1, interactive: false };
    for (const place of places) L.circleMarker(place, { ...dot, radius: 6 }).addTo(dots);
    if (snapped) {
      L.circleMarker(snapped, { ...dot, radius: 16, weight: 3, fillOpacity: 0, className: "pit-snap" }).addTo(dots);
    }
  }

  finish() {
    if (!this.draft) return;
    const { tool, shape, like } = this.draft, places = this.draft.places.map(placeOf);
    const coordinates = shape === "Point" ? places[0] : shape === "LineString" ? places : [[...places, places[0]]];
    const geometry = { type: shape, coordinates };
    this.end();
    this.showFresh(tool, geometry);
    this.hooks.added(tool.kind, geometry, like?.id ?? null);
  }

  /** @param {Tool} tool @param {Geometry} geometry */
  showFresh(tool, geometry) {
    if (geometry.type !== "Point") {
      pathOf(geometry, this.style(tool, geometry.type)).addTo(this.fresh);
      return;
    }
    const [lng, lat] = geometry.coordinates;
    const icon = this.looks.icon(
      { id: "", part: [], kind: tool.kind, name: tool.label, label: "", sign: "", verdict: "", geometry },
    );
    L.marker([lat, lng], { icon, interactive: false }).addTo(this.fresh);
  }
}
