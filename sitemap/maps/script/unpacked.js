// @ts-check
// A scene as it came, short where thousands of heaps are alike; `packed` of sitemap/maps/editable.py says how.
/** @import { Feature, Packed, Scene, Thing } from "./types.d.ts" */

/** @param {Packed} sent @returns {Scene} */
export function unpacked(sent) {
  return { ...sent, features: sent.features.map(featureOf), limits: { ...sent.limits, things: sent.limits.things.map(thingOf) } };
}

/** @param {import("./types.d.ts").FeatureRow} row @returns {Feature} */
function featureOf([at, id, kind, name, part = [], label = "", verdict = "", sign = ""]) {
  const geometry = Array.isArray(at) ? { type: /** @type {const} */ ("Point"), coordinates: at } : at;
  return { id, part, kind, name, label: label === null ? "" : label || name, verdict, sign, geometry };
}

/** @param {import("./types.d.ts").ThingRow} row @returns {Thing} */
function thingOf([id, name, need_m, error_m, radius_m, edge]) {
  return { id, name, need_m, error_m, radius_m, edge };
}
