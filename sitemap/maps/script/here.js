// @ts-check
// Where the person with this browser stands, with the circle of its error; followed until it is turned off.
/** @import { LMap } from "./types.d.ts" */
import { lengthText } from "./saying.js";

const REFUSED = "This browser gives no position here. A phone gives one only over https or on the computer itself: "
  + "type a coordinate, or bring the phone's waypoints.";

export class Here {
  /** @param {LMap} map @param {(words: string) => void} says */
  constructor(map, says) {
    this.map = map;
    this.says = says;
    this.drawn = L.layerGroup().addTo(map);
    /** @type {number | null} */
    this.watching = null;
    this.first = false;
  }

  /** @param {string} units */
  turn(units) {
    if (this.watching !== null) {
      navigator.geolocation.clearWatch(this.watching);
      this.watching = null;
      this.drawn.clearLayers();
      this.says("");
      return;
    }
    if (!globalThis.isSecureContext || !navigator.geolocation) {
      this.says(REFUSED);
      return;
    }
    this.first = true;
    this.says("Looking for your position …");
    this.watching = navigator.geolocation.watchPosition(
      ({ coords }) => this.show(L.latLng(coords.latitude, coords.longitude), coords.accuracy, units),
      () => {
        if (this.watching !== null) navigator.geolocation.clearWatch(this.watching);
        this.watching = null;
        this.says(REFUSED);
      },
      { enableHighAccuracy: true },
    );
  }

  /** @param {import("./types.d.ts").LLatLng} at @param {number} error_m @param {string} units */
  show(at, error_m, units) {
    this.drawn.clearLayers();
    const look = { interactive: false, pane: "live", color: "#005a87", weight: 2, fillColor: "#005a87" };
    L.circle(at, { ...look, radius: error_m, fillOpacity: 0.12, dashArray: "4 4" }).addTo(this.drawn);
    L.circleMarker(at, { ...look, radius: 7, fillOpacity: 1, color: "#fff" }).addTo(this.drawn);
    this.says(`You are in the circle: ± ${lengthText(error_m, units)}`);
    if (this.first) this.map.setView(at, Math.max(this.map.getZoom(), 17), { animate: false });
    this.first = false;
  }
}
