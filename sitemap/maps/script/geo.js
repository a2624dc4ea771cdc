// @ts-check
// Lengths, bearings, areas and nearest points on the ground, reckoned on a flat piece of WGS 84 around the places asked
// about: good to a part in ten thousand within a few kilometres (held against geodesics in tests/maps/test_geo_js.py).
/** @import { Geometry, Place } from "./types.d.ts" */

const AXIS_M = 6378137, FLATTENING = 1 / 298.257223563; // WGS 84
const ECCENTRICITY2 = FLATTENING * (2 - FLATTENING);
const RADIAN = Math.PI / 180;

/** @typedef {[number, number]} XY */

/** Metres a degree of longitude and of latitude. @param {number} latitude_deg @returns {XY} */
export function metresADegree(latitude_deg) {
  const sin = Math.sin(latitude_deg * RADIAN), w2 = 1 - ECCENTRICITY2 * sin * sin;
  const across = AXIS_M / Math.sqrt(w2), along = AXIS_M * (1 - ECCENTRICITY2) / (w2 * Math.sqrt(w2));
  return [across * Math.cos(latitude_deg * RADIAN) * RADIAN, along * RADIAN];
}

/** A place in metres east and north of another. @param {Place} place @param {Place} from @returns {XY} */
export function flat(place, from) {
  const [east, north] = metresADegree((place[1] + from[1]) / 2);
  return [(place[0] - from[0]) * east, (place[1] - from[1]) * north];
}

/** The leg between two places: its length [m], and its bearing [°] from true north. @param {Place} a @param {Place} b */
export function legOf(a, b) {
  const [x, y] = flat(b, a);
  return { m: Math.hypot(x, y), bearing: (Math.atan2(x, y) / RADIAN + 360) % 360 };
}

/** Where a leg of so many metres ends. @param {Place} from @param {number} bearing_deg @param {number} m @returns {XY} */
export function beyond(from, bearing_deg, m) {
  const x = m * Math.sin(bearing_deg * RADIAN), y = m * Math.cos(bearing_deg * RADIAN);
  const lat = from[1] + y / metresADegree(from[1])[1];
  return [from[0] + x / metresADegree((lat + from[1]) / 2)[0], lat];
}

/** Length of a row of places [m]. @param {Place[]} places */
export function lengthOf(places) {
  return places.slice(1).reduce((sum, place, n) => sum + legOf(places[n], place).m, 0);
}

/** Area within a ring of places [m²]; its last place need not be its first. @param {Place[]} ring */
export function areaOf(ring) {
  if (ring.length < 3) return 0;
  const middle = [ring[0][0], ring.reduce((sum, place) => sum + place[1], 0) / ring.length];
  const [east, north] = metresADegree(middle[1]);
  const at = ring.map((place) => [(place[0] - middle[0]) * east, (place[1] - middle[1]) * north]);
  const twice = at.reduce((sum, [x, y], n) => {
    const [x1, y1] = at[(n + 1) % at.length];
    return sum + x * y1 - x1 * y;
  }, 0);
  return Math.abs(twice) / 2;
}

/** The middle of a ring of places by its area; the mean of its places where it has none. Reckoned from its first place:
 * from the middle of the world, as the map library does it, a hut's middle is lost in rounding and lands metres away.
 * @param {Place[]} ring @returns {Place} */
export function middleOf(ring) {
  let area = 0, x = 0, y = 0;
  const at = ring.map((place) => [place[0] - ring[0][0], place[1] - ring[0][1]]);
  at.forEach(([ax, ay], n) => {
    const [bx, by] = at[(n + 1) % at.length], cross = ax * by - bx * ay;
    [area, x, y] = [area + cross * 3, x + (ax + bx) * cross, y + (ay + by) * cross];
  });
  const sum = (/** @type {0 | 1} */ axis) => at.reduce((all, place) => all + place[axis], 0) / at.length;
  return area ? [ring[0][0] + x / area, ring[0][1] + y / area] : [ring[0][0] + sum(0), ring[0][1] + sum(1)];
}

/** The nearest point of a piece between two points to the origin. @param {XY} a @param {XY} b @returns {XY} */
function nearestOnPiece([ax, ay], [bx, by]) {
  const dx = bx - ax, dy = by - ay, length2 = dx * dx + dy * dy;
  const share = length2 ? Math.min(1, Math.max(0, -(ax * dx + ay * dy) / length2)) : 0;
  return [ax + share * dx, ay + share * dy];
}

/** Whether the origin lies within a ring, by the parity of what a ray crosses. @param {XY[]} ring */
function holdsOrigin(ring) {
  return ring.reduce((inside, [x, y], n) => {
    const [x1, y1] = ring[(n + 1) % ring.length];
    return (y > 0) !== (y1 > 0) && x + (x1 - x) * -y / (y1 - y) > 0 ? !inside : inside;
  }, false);
}

/** How far a place is from a shape [m], 0 within it, and where the shape is nearest. Longitudes within 180° of each other.
 * @param {Geometry} geometry @param {Place} place @returns {{m: number, at: Place}} */
export function nearest({ type, coordinates }, place) {
  const rings = /** @type {Place[][]} */ (
    type === "Polygon" ? coordinates : type === "LineString" ? [coordinates] : [[coordinates]]
  );
  const flats = rings.map((ring) => ring.map((each) => flat(each, place)));
  if (type === "Polygon" && flats.reduce((inside, ring) => holdsOrigin(ring) !== inside, false)) return { m: 0, at: place };
  /** @type {{m: number, at: Place}} */
  let best = { m: Infinity, at: place };
  flats.forEach((ring) =>
    ring.forEach((point, n) => {
      const [x, y] = nearestOnPiece(point, ring[n + 1] ?? point), m = Math.hypot(x, y);
      if (m >= best.m) return;
      const [east, north] = metresADegree(place[1]);
      best = { m, at: [place[0] + x / east, place[1] + y / north] };
    })
  );
  return best;
}
