// @ts-check
// Lengths, areas and bearings as a person reads and writes them, in the units of the site.

export const FOOT_M = 0.3048, MILE_M = 5280 * FOOT_M; // exact
const ACRE_M2 = 4046.8564224; // exact
const WHOLE_FROM = 10; // below it one decimal
const UNIT_M = /** @type {Record<string, number>} */ ({
  m: 1, metre: 1, metres: 1, meter: 1, meters: 1, km: 1000, ft: FOOT_M, feet: FOOT_M, foot: FOOT_M, "'": FOOT_M, mi: MILE_M,
});

const NAME_LETTERS = 21, NAME_HEAD = 10, NAME_TAIL = 9; // as wide as a label may be (editable.css)

/** A long name without its middle: names that begin alike are told apart by their end. @param {string} name */
export function shortened(name) {
  const letters = [...name];
  if (letters.length <= NAME_LETTERS) return name;
  return `${letters.slice(0, NAME_HEAD).join("").trimEnd()}…${letters.slice(-NAME_TAIL).join("").trimStart()}`;
}

/** @param {number} value */
function rounded(value) {
  return Math.abs(value) < WHOLE_FROM - 0.05 ? String(Number(value.toFixed(1))) : value.toFixed(0);
}

/** @param {number} m @param {string} units "metric" or "us" */
export function lengthText(m, units) {
  if (units === "us") return m >= MILE_M ? `${(m / MILE_M).toFixed(2)} mi` : `${rounded(m / FOOT_M)} ft`;
  return m >= 2000 ? `${(m / 1000).toFixed(2)} km` : `${rounded(m)} m`;
}

/** @param {number} m2 @param {string} units */
export function areaText(m2, units) {
  if (units === "us") {
    return m2 < ACRE_M2 / 10 ? `${rounded(m2 / FOOT_M ** 2)} ft²` : `${(m2 / ACRE_M2).toFixed(2)} acres`;
  }
  return m2 < 1000 ? `${rounded(m2)} m²` : `${(m2 / 10_000).toFixed(2)} ha`;
}

/** @param {number} bearing_deg */
export function bearingText(bearing_deg) {
  return `${Math.round(bearing_deg) % 360}°`;
}

/** "120 35", "120° 35 m", "7,5° / 60 ft": bearing and distance; null for anything else, so that nothing is guessed.
 * @param {string} typed @param {string} units @returns {{bearing: number, m: number} | null} */
export function legTyped(typed, units) {
  const number = "(\\d+(?:[.,]\\d+)?)";
  const found = new RegExp(`^\\s*${number}\\s*°?\\s*(?:[/;]|,\\s|\\s)\\s*${number}\\s*([a-zA-Z']*)\\s*$`).exec(typed);
  if (!found) return null;
  const bearing = Number(found[1].replace(",", ".")), far = Number(found[2].replace(",", "."));
  const unit = found[3] ? UNIT_M[found[3].toLowerCase()] : units === "us" ? FOOT_M : 1;
  return bearing <= 360 && far > 0 && unit ? { bearing: bearing % 360, m: far * unit } : null;
}
