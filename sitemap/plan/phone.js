// @ts-check
// The phone page: ticks, readings and log lines typed at the landing, kept on the phone, sent back as a small file; and
// where one stands on the map. Nothing is fetched and nothing leaves the phone by itself.

/** @typedef {{id: string, kind: "tick", what: string, who: string, when: string, says: string}} Tick */
/** @typedef {{id: string, kind: "log", date: string, at: string, who: string, kiln: string, text: string,
 *   buckets: number | null, water: number | null, event?: string, more?: More}} Line */
/** @typedef {Record<string, string | number>} More */
/** @typedef {{id: string, kind: "bags", date: string, kiln: string, more: More}} Bags */
/** @typedef {{key: string, log: string, label: string, unit: string, end: number, below: boolean}} Limit */
/** @typedef {{plan: string, site: string, date: string, units: string, file: string, limits: Limit[],
 *   corners: number[][], words: Record<string, string>}} Data */

/** @type {Data} */
const data = JSON.parse(document.getElementById("data")?.textContent ?? "{}");
const words = data.words;
const place = `pitstead:${data.plan}`;

/** @param {string} id @returns {HTMLInputElement} */
const field = (id) => /** @type {HTMLInputElement} */ (document.getElementById(id));

/** @returns {string} */
const newId = () => Array.from(crypto.getRandomValues(new Uint8Array(8)), (b) => b.toString(16).padStart(2, "0")).join("");

/** @param {number} n @returns {string} */
const two = (n) => String(n).padStart(2, "0");

/** The day and the hour here, as a person writes them. @param {Date} now @returns {[string, string]} */
export const stamp = (now) => [
  `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`,
  `${two(now.getHours())}:${two(now.getMinutes())}`,
];

/** A number as people type it, null where nothing was typed, NaN where it is none. @param {string} typed */
export const number = (typed) => (typed.trim() === "" ? null : Number(typed.trim().replace(",", ".")));

/** @type {{who: string, entries: (Tick | Line | Bags)[]}} */
let state = { who: "", entries: [] };

const read = () => {
  try {
    const kept = localStorage.getItem(place);
    if (kept) state = JSON.parse(kept);
  } catch {
    say(words.not_kept, true);
  }
};

const keep = () => {
  try {
    localStorage.setItem(place, JSON.stringify(state));
  } catch {
    say(words.not_kept, true);
  }
  show();
};

/** @param {string} text @param {boolean} [bad] */
const say = (text, bad = false) => {
  const line = field("said");
  line.textContent = text;
  line.classList.toggle("bad", bad);
};

/** Whoever writes gives a name first. */
const named = () => {
  state.who = field("who").value.trim();
  if (state.who) return true;
  say(words.need_name, true);
  field("who").focus();
  return false;
};

const show = () => {
  for (const box of /** @type {NodeListOf<HTMLInputElement>} */ (document.querySelectorAll("[data-tick]"))) {
    const tick = state.entries.find((each) => each.kind === "tick" && each.what === box.dataset.tick);
    box.checked = tick !== undefined;
    const told = /** @type {HTMLElement} */ (box.parentElement?.querySelector(".by"));
    told.textContent = tick?.kind === "tick" ? `${tick.who}, ${tick.when}` : told.dataset.before ?? "";
  }
  const list = field("kept");
  list.replaceChildren();
  for (const each of state.entries) {
    const row = document.createElement("li");
    const text = document.createElement("span");
    text.textContent =
      each.kind === "tick"
        ? `✓ ${each.says} · ${each.who}, ${each.when}`
        : each.kind === "bags"
          ? [each.date, each.kiln, words.bags, ...told(each.more, "b_")].filter(Boolean).join(" · ")
          : [`${each.date} ${each.at}`, each.kiln, each.event ? words[`event_${each.event}`] : "", each.text, figures(each), ...told(each.more ?? {}, "f_"), each.who].filter(Boolean).join(" · ");
    const out = document.createElement("button");
    out.type = "button";
    out.textContent = words.remove;
    out.addEventListener("click", () => {
      state.entries = state.entries.filter((other) => other.id !== each.id);
      keep();
    });
    row.append(text, out);
    list.append(row);
  }
  field("none").hidden = state.entries.length > 0;
};

/** @param {Line} line */
const figures = (line) =>
  [
    line.buckets === null ? "" : `${words.buckets} ${line.buckets}`,
    line.water === null ? "" : `${words.water} ${line.water}`,
  ].filter(Boolean).join(" · ");

/** What was typed in folded fields, name by name. @param {More} more @param {string} prefix */
const told = (more, prefix) =>
  Object.entries(more).filter(([name]) => words[prefix + name]).map(([name, value]) => {
    const option = document.querySelector(`select[data-${prefix === "f_" ? "log" : "bag"}="${name}"] option[value="${CSS.escape(String(value))}"]`);
    return `${words[prefix + name]} ${option?.textContent ?? value}`;
  });

/** The filled fields of one sort; null where a number is none, and that is said. @param {string} sort @returns {More | null} */
const filled = (sort) => {
  /** @type {More} */
  const more = {};
  for (const each of /** @type {NodeListOf<HTMLInputElement>} */ (document.querySelectorAll(`[data-${sort}]`))) {
    const name = each.dataset[sort] ?? "", typed = each.value.trim();
    if (!typed) continue;
    const value = each.dataset.number === undefined ? typed : number(typed) ?? NaN;
    if (typeof value === "number" && !(value >= 0)) {
      say(`${each.parentElement?.firstChild?.textContent ?? ""}: ${words.number_wrong}`, true);
      each.focus();
      return null;
    }
    more[name] = value;
  }
  return more;
};

/** @param {string} sort */
const empty = (sort) => {
  for (const each of /** @type {NodeListOf<HTMLInputElement>} */ (document.querySelectorAll(`[data-${sort}]`))) each.value = "";
};

/** @param {Event} event */
const ticked = (event) => {
  const box = /** @type {HTMLInputElement} */ (event.currentTarget);
  const what = box.dataset.tick ?? "";
  if (!box.checked) {
    state.entries = state.entries.filter((each) => each.kind !== "tick" || each.what !== what);
  } else if (named()) {
    const says = box.parentElement?.querySelector(".says")?.textContent ?? what;
    state.entries.push({ id: newId(), kind: "tick", what, who: state.who, when: stamp(new Date()).join(" "), says });
  }
  keep();
};

/** @param {string} kiln @param {string} text @param {number | null} buckets @param {number | null} water
 *  @param {string} [at] @param {string} [event] @param {More} [more] */
const note = (kiln, text, buckets, water, at, event = "", more = {}) => {
  const [date, hour] = stamp(new Date());
  state.entries.push({
    id: newId(), kind: "log", date, at: at || hour, who: state.who, kiln, text, buckets, water, event, more,
  });
  keep();
};

const keepReading = () => {
  if (!named()) return;
  const values = [];
  /** @type {More} */
  const more = {};
  let beyond = false;
  for (const limit of data.limits) {
    const value = number(field(`read-${limit.key}`).value);
    if (value === null) continue;
    if (!Number.isFinite(value)) return say(`${limit.label}: ${words.number_wrong}`, true);
    more[limit.log] = value;
    values.push(`${limit.label} ${value} ${limit.unit}`);
    beyond = beyond || (limit.below ? value < limit.end : value > limit.end);
  }
  if (values.length === 0) return;
  const said = words.reading.replace("{values}", values.join(", "));
  note("", beyond ? `${said}. ${words.beyond}` : said, null, null, undefined, "", more);
  say(beyond ? words.beyond : "", beyond);
  for (const limit of data.limits) field(`read-${limit.key}`).value = "";
};

const keepLine = () => {
  if (!named()) return;
  const buckets = number(field("line-buckets").value);
  const water = number(field("line-water").value);
  if (Number.isNaN(buckets ?? 0) || Number.isNaN(water ?? 0)) return say(words.number_wrong, true);
  const text = field("line-text").value.trim(), event = field("line-event").value, kiln = field("line-kiln").value;
  const more = filled("log");
  if (more === null) return;
  const batch = Object.keys(more).length > 0;
  if (!text && !event && !batch && buckets === null && water === null) return;
  if ((event || batch) && !kiln) return say(words.need_kiln, true);
  note(kiln, text, buckets, water, field("line-time").value, event, more);
  empty("log");
  for (const id of ["line-text", "line-buckets", "line-water", "line-time", "line-event"]) field(id).value = "";
  say("");
};

const keepBags = () => {
  if (!named()) return;
  const more = filled("bag");
  if (more === null || Object.keys(more).length === 0) return;
  state.entries.push({ id: newId(), kind: "bags", date: stamp(new Date())[0], kiln: field("line-kiln").value, more });
  empty("bag");
  say("");
  keep();
};

/** The file the app takes in. */
export const returned = () => ({
  pitstead_from_the_landing: 1,
  plan: data.plan, site: data.site, date: data.date, units: data.units,
  ticks: state.entries.filter((each) => each.kind === "tick").map(({ id, what, who, when }) => /** @type {Tick} */ ({ id, what, who, when })),
  log: state.entries.filter((each) => each.kind === "log"),
  bags: state.entries.filter((each) => each.kind === "bags"),
});

const send = async () => {
  const text = JSON.stringify(returned(), null, 1);
  const file = new File([text], data.file, { type: "application/json" });
  if (navigator.canShare?.({ files: [file] })) {
    try {
      await navigator.share({ files: [file] });
      return;
    } catch {
      // shut by the person, or not allowed here: the file is laid down instead
    }
  }
  const link = document.createElement("a");
  link.href = URL.createObjectURL(file);
  link.download = data.file;
  link.click();
};

// ---- where one stands -------------------------------------------------------------------------------------------

/** Millimetres on the map from a position, by three corners of known longitude and latitude.
 * @param {number[][]} corners x, y, longitude, latitude of three of them @param {number} lon @param {number} lat
 * @returns {[number, number]} */
export const onMap = (corners, lon, lat) => {
  const [a, b, c] = corners;
  const east = (/** @type {number} */ value) => ((value - a[2] + 540) % 360) - 180;
  const [u1, v1, u2, v2] = [east(b[2]), b[3] - a[3], east(c[2]), c[3] - a[3]];
  const [u, v] = [east(lon), lat - a[3]];
  const all = u1 * v2 - u2 * v1;
  const [s, t] = [(u * v2 - u2 * v) / all, (u1 * v - u * v1) / all];
  return [a[0] + s * (b[0] - a[0]) + t * (c[0] - a[0]), a[1] + s * (b[1] - a[1]) + t * (c[1] - a[1])];
};

const METRES_A_DEGREE = 111_200; // of latitude, within half a percent everywhere
let watching = 0;

/** @param {GeolocationPosition} position */
const stand = (position) => {
  const { longitude, latitude, accuracy } = position.coords;
  const map = document.querySelector("svg.map.full");
  if (!map) return;
  const [x, y] = onMap(data.corners, longitude, latitude);
  const [west, north, , ] = data.corners[0];
  const inside = x >= west && x <= data.corners[1][0] && y >= north && y <= data.corners[2][1];
  field("where-said").textContent = inside
    ? words.where_error.replace("{metres}", String(Math.ceil(accuracy)))
    : words.where_far;
  const [upper, , lower] = data.corners;
  const metresAMm = (METRES_A_DEGREE * (upper[3] - lower[3])) / (lower[1] - upper[1]);
  const radius = accuracy / metresAMm;
  for (const [id, r, fill] of /** @type {[string, number, string][]} */ ([["me-error", radius, "none"], ["me", 1.6, "#d0006f"]])) {
    const circle = document.getElementById(id) ?? document.createElementNS("http://www.w3.org/2000/svg", "circle");
    const set = { id, cx: x, cy: y, r: inside ? r : 0, fill, stroke: "#d0006f", "stroke-width": 0.6 };
    for (const [name, value] of Object.entries(set)) circle.setAttribute(name, String(value));
    map.append(circle);
  }
  if (inside) document.getElementById("me")?.scrollIntoView({ block: "nearest", inline: "center" });
};

const locate = () => {
  const button = field("where");
  if (watching) {
    navigator.geolocation.clearWatch(watching);
    watching = 0;
    button.textContent = words.where;
    for (const id of ["me", "me-error"]) document.getElementById(id)?.remove();
    field("where-said").textContent = "";
    return;
  }
  const refused = () => {
    field("where-said").textContent = words.where_no;
  };
  if (!navigator.geolocation) return refused();
  button.textContent = words.where_stop;
  watching = navigator.geolocation.watchPosition(stand, refused, { enableHighAccuracy: true });
};

// ---- begin ------------------------------------------------------------------------------------------------------

read();
field("who").value = state.who;
field("who").addEventListener("change", () => {
  state.who = field("who").value.trim();
  keep();
});
for (const box of document.querySelectorAll("[data-tick]")) box.addEventListener("change", ticked);
field("keep-reading").addEventListener("click", keepReading);
field("keep-line").addEventListener("click", keepLine);
field("keep-bags").addEventListener("click", keepBags);
field("send").addEventListener("click", send);
document.getElementById("where")?.addEventListener("click", locate);
show();
