// @ts-check
// What decides while a hand moves something: kilns against the things they keep clear of, edge to edge, by the distances
// the server sent. The server judges again after the drop, and only that counts.
/** @import { Geometry, KilnSize, Limits, Place, Reading, Thing } from "./types.d.ts" */
import { flat, nearest } from "./geo.js";

const TOUCHING_M = 1e-6;
const SHOWN_BEYOND_M = 30; // farther beyond its rule a thing does not matter to a drag
const DEGREE_M = 110_000; // of latitude: never more than it is

/** Where each feature is now, part by part. @typedef {(id: string) => Geometry[]} Where */

/** One kiln against one thing; null where either has no place. @param {KilnSize} kiln @param {Thing} thing
 * @param {Where} where @returns {Reading | null} */
export function reading(kiln, thing, where) {
  const [spot] = where(kiln.id);
  if (!spot || thing.id === kiln.id) return null;
  const middle = /** @type {Place} */ (spot.coordinates);
  const parts = where(thing.id).flatMap((part) => thing.edge ? edgesOf(part) : [part]);
  const [best] = parts.map((part) => nearest(part, middle)).sort((a, b) => a.m - b.m);
  if (!best) return null;
  const gap_m = Math.max(0, best.m - kiln.radius_m - thing.radius_m), spare_m = gap_m - thing.need_m;
  const short = spare_m < 0 || gap_m <= TOUCHING_M, near = spare_m < kiln.error_m + thing.error_m;
  return {
    kiln: kiln.id, thing: thing.id, name: thing.name, gap_m, need_m: thing.need_m, spare_m,
    state: short ? "short" : near ? "near" : "far", line: [edge(middle, best.at, kiln.radius_m), best.at],
  };
}

/** Whether a thing at a point matters to no drag, told without a root: of thousands of heaps nearly all are.
 * @param {KilnSize} kiln @param {Thing} thing @param {Where} where */
function isFarNorthOrSouth(kiln, thing, where) {
  const reach_m = kiln.radius_m + thing.radius_m + thing.need_m + kiln.error_m + thing.error_m + SHOWN_BEYOND_M;
  const [spot] = where(kiln.id);
  return spot && where(thing.id).every(({ type, coordinates }) =>
    type === "Point" && Math.abs(coordinates[1] - spot.coordinates[1]) * DEGREE_M > reach_m
  );
}

/** The outlines of an area, as lines. @param {Geometry} geometry @returns {Geometry[]} */
function edgesOf({ type, coordinates }) {
  if (type !== "Polygon") return [{ type, coordinates }];
  return coordinates.map((/** @type {Place[]} */ ring) => ({ type: "LineString", coordinates: ring }));
}

/** A place so many metres from another on the way to a third. @param {Place} from @param {Place} to @param {number} m */
function edge(from, to, m) {
  const length = Math.hypot(...flat(to, from)), share = length > m ? m / length : 1;
  return [from[0] + share * (to[0] - from[0]), from[1] + share * (to[1] - from[1])];
}

/** All that moving these features can decide, nearest to turning first. @param {Limits} limits @param {string[]} moved
 * @param {Where} where @returns {Reading[]} */
export function readings(limits, moved, where) {
  const kilns = new Set(limits.kilns.map(({ id }) => id));
  const counts = (/** @type {string} */ kiln, /** @type {string} */ thing) =>
    moved.includes(kiln) ? !moved.includes(thing) : moved.includes(thing) && !kilns.has(thing); // a pair of kilns once
  const found = limits.kilns.flatMap((kiln) =>
    limits.things
      .filter((thing) => counts(kiln.id, thing.id) && !isFarNorthOrSouth(kiln, thing, where))
      .map((thing) => reading(kiln, thing, where))
  );
  return found.filter((each) => each !== null)
    .filter(({ spare_m, state }) => state !== "far" || spare_m < SHOWN_BEYOND_M)
    .sort((a, b) => a.spare_m - b.spare_m);
}
