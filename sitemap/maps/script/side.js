// @ts-check
// The sheet beside the map: what may be added; what the signs mean, each put in or out of sight; the distances of a kiln.
/** @import { Hand, KilnVerdict, Scene, Setup, Shape } from "./types.d.ts" */
/** @import { Frame } from "./frame.js" */
/** @import { Looks } from "./looks.js" */
/** @import { Layers } from "./layers.js" */
import { button, element, linePicture } from "./looks.js";

const ONE_WORD_MS = 1000; // letters that follow within it are of one word
const SHOWN_ROWS = 5; // the rest of a table is folded

/** @typedef {"add" | "key" | "kilns" | "checks"} What */

/** Arrows go through the sheet, letters to what begins with them: of thirty kinds the last is as near as the first.
 * @param {HTMLElement} sheet */
function byKeys(sheet) {
  let letters = "", last = 0;

  /** @param {HTMLButtonElement[]} all @param {number} here */
  function begunSo(all, here) {
    const again = letters === letters[0].repeat(letters.length); // the first letter once more: the next that begins so
    const from = Math.max(0, again ? here + 1 : here), sought = again ? letters[0] : letters;
    return [...all.slice(from), ...all.slice(0, from)]
      .find((each) => (each.querySelector("span") ?? each).textContent?.toLowerCase().startsWith(sought));
  }

  sheet.addEventListener("keydown", (event) => {
    const { key, ctrlKey, altKey, metaKey, timeStamp } = event, step = key === "ArrowDown" ? 1 : key === "ArrowUp" ? -1 : 0;
    const letter = key.length === 1 && key !== " ";
    if (ctrlKey || altKey || metaKey || !(letter || step)) return;
    event.preventDefault();
    const all = [...sheet.querySelectorAll("button")], here = all.findIndex((each) => each === document.activeElement);
    if (letter) {
      letters = (timeStamp - last < ONE_WORD_MS ? letters : "") + key.toLowerCase();
      last = timeStamp;
    }
    (letter ? begunSo(all, here) : all[here + step])?.focus();
  });
}

export class Side {
  /** @param {Frame} frame @param {Looks} looks @param {Setup} setup @param {Hand} hand @param {Layers} layers */
  constructor(frame, looks, setup, hand, layers) {
    this.frame = frame;
    this.sheet = frame.side;
    this.looks = looks;
    this.setup = setup;
    this.hand = hand;
    this.layers = layers;
    /** @type {What | null} */
    this.open = null;
    this.whole = false; // all rows of the table
    byKeys(this.sheet);
  }

  get isOpen() {
    return this.open !== null;
  }

  /** @param {What | null} what */
  turn(what) {
    this.open = this.open === what ? null : what;
    this.whole = false;
  }

  /** @param {Scene | null} scene @param {KilnVerdict | null} kiln */
  show(scene, kiln) {
    if (this.open === "checks" && !kiln) this.open = null;
    this.sheet.replaceChildren();
    this.frame.openSide(this.isOpen);
    if (!scene) return;
    if (this.open === "add") this.showTools(scene);
    if (this.open === "key") this.showKey(scene);
    if (this.open === "kilns") this.showKilns(scene);
    if (this.open === "checks" && kiln) this.showChecks(kiln);
  }

  /** @param {string} text */
  heading(text) {
    this.sheet.append(element("h2", "", text));
  }

  /** @param {Scene} scene */
  showTools(scene) {
    let group = "";
    for (const tool of scene.tools) {
      if (tool.group !== group) this.heading(group = tool.group);
      const made = button("", () => this.hand.begin(tool, tool.shapes[0]), "pit-kind");
      made.append(this.looks.picture(tool.kind), element("span", "", tool.label));
      this.sheet.append(made);
    }
  }

  /** A sign with what it means; a touch puts it out of sight, and back. @param {Element} picture @param {string} words
   * @param {string} [key] of its layer; without one it is always shown */
  row(picture, words, key) {
    const made = element(key ? "button" : "div", "pit-key");
    made.append(picture, element("span", "", words));
    if (key) {
      const off = this.layers.isOff(key);
      made.setAttribute("aria-pressed", String(!off));
      made.append(element("span", "pit-eye", off ? "hidden" : "shown"));
      made.addEventListener("click", () => this.layers.turn(key, words));
    }
    this.sheet.append(made);
  }

  /** @param {Scene} scene */
  showKey(scene) {
    const { looks, setup } = this;
    /** @type {Map<string, Shape>} */
    const kinds = new Map();
    for (const { kind, geometry } of scene.features) {
      if (!kinds.has(kind) || geometry.type !== "Point") kinds.set(kind, geometry.type);
    }
    const verdicts = Object.keys(setup.verdicts).filter((key) => scene.features.some(({ verdict }) => verdict === key));
    if (verdicts.length) this.heading("Verdict of a kiln");
    for (const key of verdicts) this.row(looks.picture("kiln_spot", key), setup.verdicts[key].words);
    const styles = new Map(scene.overlays.map(({ style, geometry }) => [style, geometry.type]));
    const worked = Object.keys(setup.overlays).filter((style) => styles.has(style) && setup.says[style]);
    if (worked.length) this.heading("Worked out: touch to hide or show");
    for (const style of worked) {
      this.row(linePicture(setup.overlays[style], styles.get(style) === "Polygon"), setup.says[style], `~${style}`);
    }
    this.heading("On the ground");
    for (const kind of new Set([...Object.keys(setup.kinds), ...kinds.keys()])) {
      const shape = kinds.get(kind);
      if (!shape) continue;
      const key = kind === "kiln_spot" ? undefined : kind; // a kiln with its verdict is never out of sight
      this.row(looks.keyPicture(kind, shape), setup.kinds[kind] ?? "unknown kind", key);
    }
    this.sheet.append(button("Print this view", () => globalThis.print(), "pit-wide"));
  }

  /** Every kiln with its decision; a touch opens it. @param {Scene} scene */
  showKilns({ kilns }) {
    this.heading("Every kiln");
    for (const kiln of kilns) this.sheet.append(this.looks.decided(kiln, () => this.hand.choose(kiln.id)));
  }

  /** @param {KilnVerdict} kiln */
  showChecks(kiln) {
    this.heading(kiln.title);
    if (kiln.first) this.sheet.append(element("p", "pit-first", kiln.first));
    const table = element("table", "pit-checks"), head = element("tr");
    for (const words of ["Thing", "Distance", "Rule", "To spare"]) {
      const cell = element("th", "", words);
      cell.setAttribute("scope", "col");
      head.append(cell);
    }
    table.append(head);
    const first = Math.max(SHOWN_ROWS, kiln.checks.filter(({ effect }) => effect !== "passes").length);
    for (const each of this.whole ? kiln.checks : kiln.checks.slice(0, first)) {
      const mark = this.setup.verdicts[each.effect], row = element("tr"), thing = element("th", "", each.thing);
      thing.setAttribute("scope", "row");
      const sign = element("span", "pit-sign", mark.sign);
      sign.style.color = mark.colour;
      thing.prepend(sign);
      row.append(thing, ...[each.distance, each.rule, each.spare].map((words) => element("td", "", words)));
      table.append(row);
    }
    this.sheet.append(table);
    const folded = kiln.checks.length - first;
    if (folded > 0 && !this.whole) {
      this.sheet.append(button(`${folded} more that pass`, () => {
        this.whole = true;
        this.hand.refresh();
      }, "pit-wide"));
    }
    for (const words of kiln.others) this.sheet.append(element("p", "pit-first", words));
    this.sheet.append(element("p", "pit-small", "Far enough by the rules entered is not a permission, and no distance is safe from embers."));
  }
}
