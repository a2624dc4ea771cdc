// @ts-check
// How things look and where they are: page elements, symbols, lines, coordinates with every number kept. Texts are set
// as text, never as markup.
/** @import { Feature, Geometry, KilnVerdict, LLatLng, LPath, Look, Place, Setup, Shape } from "./types.d.ts" */
import { middleOf } from "./geo.js";
import { shortened } from "./saying.js";

const MARK_PX = 44; // a thumb in a glove

/** @param {string} tag @param {string} [className] @param {string} [text] */
export function element(tag, className = "", text = "") {
  const made = document.createElement(tag);
  made.className = className;
  made.textContent = text;
  return made;
}

/** @param {string} text @param {() => void} action @param {string} [className] */
export function button(text, action, className = "") {
  const made = /** @type {HTMLButtonElement} */ (element("button", "pit-button " + className, text));
  made.type = "button";
  made.addEventListener("click", action);
  return made;
}

/** @param {string} tag @param {Record<string, string | number>} attributes @param {string} [text] */
export function svg(tag, attributes, text = "") {
  const made = document.createElementNS("http://www.w3.org/2000/svg", tag);
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, String(value));
  made.textContent = text;
  return made;
}

/** @param {Place} place @returns {LLatLng} */
export function latLng(place) {
  return L.latLng(place[1], place[0], place[2]);
}

/** Every place of a geometry, one after the other. @param {Geometry} geometry @returns {LLatLng[]} */
export function placesOf({ type, coordinates }) {
  if (type === "Point") return [latLng(coordinates)];
  return (type === "LineString" ? coordinates : coordinates.flat()).map(latLng);
}

/** @param {LLatLng} at @returns {Place} */
export function placeOf(at) {
  return at.alt === undefined ? [at.lng, at.lat] : [at.lng, at.lat, at.alt];
}

/** A line or an area as a path. @param {Geometry} geometry @param {object} style @returns {LPath} */
export function pathOf({ type, coordinates }, style) {
  if (type === "LineString") return L.polyline(coordinates.map(latLng), style);
  return L.polygon(coordinates.map((/** @type {Place[]} */ ring) => ring.map(latLng)), style);
}

/** Where the sign of a line or an area stands. @param {LPath} path @param {boolean} area @returns {LLatLng} */
export function middleOfPath(path, area) {
  return area ? latLng(middleOf(path.getLatLngs()[0].map(placeOf))) : path.getCenter();
}

/** @param {Look} look @param {boolean} [filled] */
export function lineStyle(look, filled = false) {
  return {
    color: look.stroke, weight: look.weight, dashArray: look.dash.join(" ") || null, opacity: 1,
    fill: filled && look.fill !== "none", fillColor: fillOf(look), fillOpacity: look.hatch ? 1 : 0.35,
  };
}

/** @param {Look} look */
function fillOf(look) {
  return look.hatch ? `url(#pit-${look.hatch}-${look.fill.slice(1)})` : look.fill;
}

/** The patterns areas are filled with, where the page finds them by name. @param {Setup} setup */
export function hatchings({ overlays, hatches }) {
  const drawn = svg("svg", { width: 0, height: 0, "aria-hidden": "true", style: "position:absolute" });
  for (const look of Object.values(overlays)) {
    if (!look.hatch) continue;
    const id = `pit-${look.hatch}-${look.fill.slice(1)}`, ends = hatches[look.hatch];
    const tile = svg("pattern", { id, width: 10, height: 10, patternUnits: "userSpaceOnUse" });
    tile.append(svg("rect", { width: 10, height: 10, fill: look.fill, "fill-opacity": 0.1 }));
    for (let n = 0; n < ends.length; n += 2) {
      const d = `M${ends[n].join(" ")}L${ends[n + 1].join(" ")}`;
      tile.append(svg("path", { d, stroke: look.fill, "stroke-width": 1.6, "stroke-linecap": "square" }));
    }
    drawn.append(tile);
  }
  return drawn;
}

/** A line or an area for the legend. @param {Look} look @param {boolean} area */
export function linePicture(look, area) {
  const picture = svg("svg", { viewBox: "0 0 44 28", width: 44, height: 28 });
  const stroke = {
    fill: area ? fillOf(look) : "none", "fill-opacity": look.hatch ? 1 : 0.3, stroke: look.stroke,
    "stroke-width": Math.min(look.weight, 4), "stroke-dasharray": look.dash.join(" "),
  };
  picture.append(
    area ? svg("rect", { x: 4, y: 4, width: 36, height: 20, ...stroke }) : svg("path", { d: "M2 14H42", ...stroke }),
  );
  return picture;
}

export class Looks {
  /** @param {Setup} setup */
  constructor(setup) {
    this.setup = setup;
  }

  /** @param {string} kind @returns {Look} */
  of(kind) {
    return Object.hasOwn(this.setup.symbols, kind) ? this.setup.symbols[kind] : this.setup.unknown;
  }

  /** Whether of many those close together stand as one sign. @param {string} kind */
  gathers(kind) {
    return this.setup.gathers.includes(kind);
  }

  /** The symbol of a kind; `sign` stands in it in place of the letter.
   * @param {string} kind @param {string} [verdict] @param {boolean} [small] @param {string} [sign] */
  picture(kind, verdict = "", small = false, sign = "") {
    const look = this.of(kind), mark = this.setup.verdicts[verdict], words = sign || look.letter;
    const picture = svg("svg", { viewBox: "-22 -22 44 44", width: MARK_PX, height: MARK_PX });
    const size = small ? 9.5 : mark ? 14 : 11.5;
    if (mark) picture.append(...verdictRing(mark));
    picture.append(svg("polygon", {
      points: this.setup.outlines[look.shape].map(([x, y]) => `${x * size},${-y * size}`).join(" "),
      fill: look.fill, stroke: look.stroke, "stroke-width": small ? 1.6 : 2.2, "stroke-linejoin": "round",
    }));
    picture.append(svg("text", {
      x: 0, y: look.shape === "triangle" ? 4 : 3.8, "text-anchor": "middle", "font-weight": 700, fill: look.stroke,
      "font-size": words.length === 1 ? 12 : words.length === 2 ? (mark ? 11.5 : 9) : 8.8,
    }, words));
    if (mark) picture.append(...verdictBadge(mark));
    return picture;
  }

  /** A line or an area with its badge, as it stands on the map. @param {string} kind @param {Shape} type */
  keyPicture(kind, type) {
    if (type === "Point") return this.picture(kind);
    const picture = this.picture(kind, "", true);
    const line = /** @type {Element} */ (linePicture(this.of(kind), type === "Polygon").firstElementChild);
    line.setAttribute("transform", "translate(-22 -14)");
    picture.prepend(line);
    return picture;
  }

  /** The sign of a verdict in its own frame. @param {string} effect */
  sign(effect) {
    const mark = this.setup.verdicts[effect], made = element("span", `pit-sign pit-sign-${mark.ring}`, mark.sign);
    made.style.color = mark.colour;
    return made;
  }

  /** A kiln with its decision, to be touched. @param {KilnVerdict} kiln @param {() => void} action @param {string} [words] */
  decided({ effect, name, word }, action, words = `${name}: ${word}`) {
    const made = button("", action, "pit-kiln");
    made.append(this.sign(effect), element("span", "", words));
    return made;
  }

  /** @param {Feature} feature @param {boolean} [small] */
  icon(feature, small = false) {
    const holder = element("div", "pit-mark");
    holder.append(this.picture(feature.kind, feature.verdict, small, feature.sign));
    if (feature.label) holder.append(element("span", "pit-label", shortened(feature.label)));
    return L.divIcon({ className: "pit-icon", iconSize: [MARK_PX, MARK_PX], html: holder });
  }
}

/** @param {import("./types.d.ts").VerdictLook} mark */
function verdictRing(mark) {
  const ring = { cx: 0, cy: 0, r: 17.5, fill: "none" };
  const drawn = [
    svg("circle", { ...ring, stroke: "#fff", "stroke-width": 6 }),
    svg("circle", {
      ...ring, stroke: mark.colour, "stroke-width": 4, ...(mark.ring === "half" ? { "stroke-dasharray": "8 5.7" } : null),
    }),
  ];
  if (mark.ring === "cross") {
    drawn.push(svg("path", { d: "M-20-20L20 20M20-20L-20 20", stroke: mark.colour, "stroke-width": 3.5 }));
  }
  return drawn;
}

/** @param {import("./types.d.ts").VerdictLook} mark */
function verdictBadge(mark) {
  return [
    svg("circle", { cx: 15, cy: -14, r: 7, fill: mark.colour, stroke: "#fff" }),
    svg("text", {
      x: 15, y: -10.4, "text-anchor": "middle", "font-size": 10, "font-weight": 700, fill: "#fff",
    }, mark.sign),
  ];
}
