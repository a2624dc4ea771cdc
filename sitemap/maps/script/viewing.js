// @ts-check
// Where the map looks: the work fills it at first; where somebody looked last is remembered for each site.
/** @import { Feature, LLatLng, LMap, Scene } from "./types.d.ts" */
/** @import { Looks } from "./looks.js" */
import { placeOf, placesOf } from "./looks.js";

const LEAST_HEIGHT_PX = 200; // the frame is given its height late
const BUTTONS_PX = 58; // they stand over the left edge of the map: nothing lies under them as it opens
const SIGN_PX = 44;

export class Viewing {
  /** @param {LMap} map @param {Looks} looks */
  constructor(map, looks) {
    this.map = map;
    this.looks = looks;
    /** @type {{at: LLatLng, zoom: number} | null} */
    this.fitted = null;
    this.frame = "";
    this.amid = false;
    map.getContainer().addEventListener("wheel", (event) => {
      if (this.amid && !event.ctrlKey && !event.metaKey) event.stopPropagation(); // the page moves, not the map
    }, { capture: true, passive: true });
  }

  /** @param {Scene} scene @returns {{at: [number, number], zoom: number, sent: string} | null} */
  remembered(scene) {
    try {
      return JSON.parse(sessionStorage.getItem("pitstead " + scene.place) ?? "null");
    } catch {
      return null;
    }
  }

  /** @param {Scene} scene */
  remember(scene) {
    const seen = { at: placeOf(this.map.getCenter()), zoom: this.map.getZoom(), sent: JSON.stringify(scene.lookAt) };
    try {
      sessionStorage.setItem("pitstead " + scene.place, JSON.stringify(seen));
    } catch { /* a browser that keeps nothing only forgets where one looked */ }
  }

  /** @param {Scene} scene */
  start(scene) {
    this.amid = scene.amid;
    const kept = this.remembered(scene);
    if (kept?.sent === JSON.stringify(scene.lookAt)) this.go(kept.at[0], kept.at[1], kept.zoom);
    else if (scene.lookAt) this.look(scene);
    else if (scene.zoom !== null || !this.whole(scene, false)) this.go(...scene.centre, scene.zoom ?? 3);
  }

  /** @param {number} lon @param {number} lat @param {number} zoom */
  go(lon, lat, zoom) {
    this.map.setView([lat, lon], zoom, { animate: false });
  }

  /** @param {Scene} scene */
  look({ lookAt }) {
    if (lookAt) this.go(...lookAt);
  }

  /** The frame is given its height late, and follows the window. What is seen stays where it is under the hand, unless
   * the work filled a map that now has another size. @param {Scene | null} scene @param {boolean} beside */
  fill(scene, beside) {
    if (globalThis.innerHeight < LEAST_HEIGHT_PX) return;
    document.body.classList.add("pit-filled");
    const { map, fitted } = this, frame = `${globalThis.innerWidth} ${globalThis.innerHeight} ${beside}`;
    const full = fitted && map.getZoom() === fitted.zoom && map.getCenter().distanceTo(fitted.at) < 1;
    map.invalidateSize({ animate: false, pan: frame !== this.frame }); // then its middle stays in the middle
    if (full && scene && frame !== this.frame) this.whole(scene, false);
    else if (full) fitted.at = map.getCenter();
    this.frame = frame;
  }

  /** The work fills the map; all there is, when asked for. @param {Scene} scene @param {boolean} everything */
  whole(scene, everything) {
    const all = L.latLngBounds([]), work = L.latLngBounds([]);
    for (const feature of scene.features) {
      const bounds = L.latLngBounds(placesOf(feature.geometry));
      all.extend(bounds);
      if (this.looks.of(feature.kind).work) work.extend(framed(feature, bounds));
    }
    if (!all.isValid()) return false;
    const size = this.map.getSize(), above = Math.min(40, size.y / 10);
    const beside = Math.min(BUTTONS_PX + (everything ? SIGN_PX / 2 : 0), size.x / 4);
    this.map.fitBounds(!everything && work.isValid() ? work.pad(0.12) : all, {
      animate: false, maxZoom: 19,
      paddingTopLeft: [beside, above], paddingBottomRight: [Math.min(40, beside), above],
    });
    this.fitted = everything ? null : { at: this.map.getCenter(), zoom: this.map.getZoom() };
    return true;
  }
}

/** A lake is wider than the work: its middle is enough. @param {Feature} feature
 * @param {import("./types.d.ts").LLatLngBounds} bounds */
function framed({ kind }, bounds) {
  return kind === "water_source" ? bounds.getCenter() : bounds;
}
