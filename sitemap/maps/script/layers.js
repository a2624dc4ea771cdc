// @ts-check
// What is put out of sight, remembered for each site in this tab; the line under the map says so as long as it is.
/** @import { Overlay, Scene } from "./types.d.ts" */

export class Layers {
  /** @param {() => void} changed */
  constructor(changed) {
    this.changed = changed;
    this.place = "";
    /** @type {Map<string, string>} */
    this.off = new Map(); // key of the layer → what a person reads
  }

  /** @param {Scene} scene */
  follow({ place }) {
    if (place === this.place) return;
    this.place = place;
    try {
      this.off = new Map(JSON.parse(sessionStorage.getItem("pitstead off " + place) ?? "[]"));
    } catch {
      this.off = new Map();
    }
  }

  /** @param {string} key */
  isOff(key) {
    return this.off.has(key);
  }

  get names() {
    return [...this.off.values()];
  }

  /** @param {string} key @param {string} name */
  turn(key, name) {
    if (!this.off.delete(key)) this.off.set(key, name);
    try {
      sessionStorage.setItem("pitstead off " + this.place, JSON.stringify([...this.off]));
    } catch { /* a browser that keeps nothing shows everything next time */ }
    this.changed();
  }

  /** What of a scene is shown. @param {Scene} scene */
  features({ features }) {
    return features.filter(({ kind }) => !this.off.has(kind));
  }

  /** @param {Scene} scene @returns {Overlay[]} */
  overlays({ overlays }) {
    return overlays.filter(({ style }) => !this.off.has("~" + style));
  }
}
