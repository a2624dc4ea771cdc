// @ts-check
// Under the map: what is said – a decision and what to do first, a live distance, a hint – and the buttons that fit.
// `hand` is what the buttons do; the bar itself knows nothing of the map.
/** @import { Draft, Feature, Hand, KilnVerdict, Scene, Setup, Shape, Tool } from "./types.d.ts" */
/** @import { Frame } from "./frame.js" */
/** @import { Side } from "./side.js" */
import { button, element } from "./looks.js";
import { areaOf, legOf, lengthOf } from "./geo.js";
import { areaText, bearingText, legTyped, lengthText } from "./saying.js";

const FEW_KILNS = 4; // so many stand by name under the map; more of them are counted, and listed on a touch
const SHAPES = { Point: "One place", LineString: "A line", Polygon: "An outline" };

/** @param {Draft} draft @param {number} needed */
function hint({ tool, shape, places, like }, needed) {
  const what = like ? `${tool.label} like ${like.name}` : tool.label;
  if (shape === "Point") return `${what}: touch its place on the map`;
  if (!tool.kind) return places.length ? "Measure: touch on, or Done" : "Measure: touch where it begins";
  if (places.length >= needed) return `${what}: go on, or finish`;
  return `${what}: touch ${shape === "Polygon" ? "each corner" : "along the line"}`;
}

/** Length, last leg and area of what is being drawn. @param {import("./types.d.ts").Place[]} places @param {boolean} area
 * @param {string} units */
export function drawnText(places, area, units) {
  if (places.length < 2) return "";
  const last = legOf(places[places.length - 2], places[places.length - 1]);
  const said = [`${lengthText(last.m, units)} at ${bearingText(last.bearing)}`];
  if (places.length > 2) said.push(`in all ${lengthText(lengthOf(places), units)}`);
  if (area && places.length > 2) said.push(`area ${areaText(areaOf(places), units)}`);
  return said.join(" · ");
}

export class Bar {
  /** @param {Frame} frame @param {Side} side @param {Setup} setup @param {Hand} hand */
  constructor(frame, side, setup, hand) {
    this.frame = frame;
    this.talk = frame.talk;
    this.bar = frame.bar;
    this.side = side;
    this.setup = setup;
    this.hand = hand;
    this.reading = element("p", "pit-reading");
    /** @type {import("./side.js").What | null} */
    this.opened = null; // what the sheet showed last
  }

  get isOpen() {
    return this.side.isOpen;
  }

  close() {
    const inside = this.frame.side.contains(document.activeElement);
    this.side.turn(null);
    this.show();
    if (inside) this.hand.toMap();
  }

  /** @param {import("./side.js").What} what */
  toggle(what) {
    this.side.turn(what);
    this.show();
  }

  /** By a key of the map: what can be added, with the focus in it. */
  openToAdd() {
    if (!this.hand.scene()?.tools.length) return;
    if (this.side.open !== "add") this.toggle("add");
    this.frame.side.focus();
  }

  show() {
    const draft = this.hand.draft(), scene = this.hand.scene(), chosen = this.hand.chosen(), held = this.held();
    if (draft) this.side.turn(null);
    this.bar.replaceChildren();
    this.talk.replaceChildren();
    const kiln = chosen.length === 1 ? scene?.kilns.find(({ id }) => id === chosen[0].id) ?? null : null;
    this.side.show(scene, kiln);
    if (!scene) return;
    if (draft) this.forDraft(draft);
    else if (chosen.length) this.forChosen(chosen, kiln, scene);
    else this.forNothing(scene);
    if (held) this.hold(held, this.side.isOpen && this.side.open !== this.opened);
    this.opened = this.side.open;
  }

  /** What has the focus, of all that is made anew; null where the focus is elsewhere. */
  held() {
    const node = document.activeElement;
    return node instanceof HTMLElement && this.frame.holds(node) ? { words: node.innerText, className: node.className } : null;
  }

  /** The focus stays on the same button; where it is gone, it goes to what was opened, or to the map.
   * @param {{words: string, className: string}} held @param {boolean} opened */
  hold({ words, className }, opened) {
    const all = this.frame.buttons(), same = all.find((node) => node.innerText === words && node.className === className);
    const next = opened ? this.frame.side : same ?? all.find((node) => node.classList.contains("pit-leg") && className.includes("pit-leg"));
    if (next) next.focus();
    else this.hand.toMap();
  }

  /** What is said while a hand moves something. @param {HTMLElement} words */
  live(words) {
    this.talk.replaceChildren(words);
  }

  /** @param {string} words */
  says(words) {
    this.talk.append(element("p", "pit-says", words));
  }

  /** @param {string} words @param {() => void} action @param {string} [className] */
  add(words, action, className) {
    this.bar.append(button(words, action, className));
  }

  /** @param {Draft} draft */
  forDraft(draft) {
    const { hand } = this, measuring = !draft.tool.kind;
    this.says(hint(draft, hand.needed()));
    this.talk.append(this.reading);
    this.readAhead([]);
    if (measuring) this.add("Done", () => hand.end(), "pit-main");
    else if (draft.path && draft.places.length >= hand.needed()) this.add("Finish", () => hand.finish(), "pit-main");
    if (draft.places.length) this.add("Take back", () => hand.takeBack());
    else {
      for (const shape of draft.tool.shapes) {
        if (shape !== draft.shape) this.add(SHAPES[shape], () => this.again(draft, shape));
      }
    }
    if (!measuring) this.add("Cancel", () => hand.end());  // before what is typed: a phone shows three buttons
    if (hand.from()) this.bar.append(this.legField());
  }

  /** Length and area as they would be with the place under the pointer. @param {import("./types.d.ts").Place[]} ahead */
  readAhead(ahead) {
    const draft = this.hand.draft(), units = this.hand.scene()?.units ?? "metric";
    if (!draft) return;
    const places = [...draft.places.map(({ lng, lat }) => [lng, lat]), ...ahead];
    this.reading.textContent = drawnText(places, draft.shape === "Polygon" || !draft.tool.kind, units);
  }

  /** Bearing and distance from the last place, written. */
  legField() {
    const field = /** @type {HTMLInputElement} */ (element("input", "pit-leg")), { hand } = this;
    const base = hand.from(), units = hand.scene()?.units ?? "metric";
    field.placeholder = units === "us" ? "120° 60 ft" : "120° 35 m";
    field.title = `Bearing from true north and distance from ${base?.name ?? ""}, then Enter`;
    field.setAttribute("aria-label", field.title);
    field.addEventListener("keydown", (event) => {
      if (event.key !== "Escape") event.stopPropagation();
      if (event.key !== "Enter") return;
      const leg = legTyped(field.value, units);
      field.classList.toggle("pit-wrong", !leg);
      if (leg) hand.leg(leg.bearing, leg.m);
      else this.reading.textContent = `Write bearing and distance from ${base?.name ?? "the last place"} like ${field.placeholder}`;
    });
    return field;
  }

  /** @param {Draft} draft @param {Shape} shape */
  again({ tool, like }, shape) {
    this.hand.end();
    this.hand.begin(tool, shape, like);
  }

  /** @param {Feature[]} chosen @param {KilnVerdict | null} kiln @param {Scene} scene */
  forChosen(chosen, kiln, scene) {
    const { hand } = this, names = chosen.map(({ name }) => name), edits = scene.tools.length > 0;
    if (kiln) this.verdict(kiln);
    else {
      this.says(chosen.length > 1 ? `${chosen.length} chosen: ${names.join(", ")}` : names[0]);
      if (edits) this.talk.append(element("p", "pit-reading", chosen.length > 1 ? "Drag one of them: all of them move." : "Drag it to move it."));
      if (scene.hint && chosen.length === 1) this.says(scene.hint);
    }
    this.add("Done", () => hand.done(), "pit-main");
    if (edits) this.add(this.side.open === "add" ? "Close" : "+ Add", () => this.toggle("add"));
    if (kiln) this.add(this.side.open === "checks" ? "Close" : "Checks", () => this.toggle("checks"));
    if (!edits) return;
    if (hand.cornersToSpare()) this.add("Remove corner", () => hand.removeCorner());
    if (chosen.length === 1) this.add("Another one", () => hand.another());
    this.undo(scene);
    this.add(hand.several() ? "Only one" : "Several", () => hand.turnSeveral());
    this.add("Delete", () => hand.remove(), "pit-danger");
  }

  /** @param {KilnVerdict} kiln */
  verdict(kiln) {
    const line = element("p", "pit-says pit-verdict");
    line.append(this.side.looks.sign(kiln.effect), element("strong", "", kiln.title));
    if (kiln.others.length) line.append(element("span", "pit-more", ` · ${kiln.others.length} more open`));
    this.talk.append(line);
    if (kiln.first) this.talk.append(element("p", "pit-first", kiln.first));
  }

  /** @param {Scene} scene */
  undo(scene) {
    if (this.hand.undoable()) this.add("Undo", () => this.hand.undo(scene.done));
  }

  /** @param {Scene} scene */
  forNothing(scene) {
    const { open } = this.side, tools = scene.tools.length > 0, features = scene.features.length > 0;
    if (tools) this.add(open === "add" ? "Close" : "+ Add", () => this.toggle("add"), "pit-main");
    if (open === "kilns") this.add("Close", () => this.close());
    if (features) this.add(open === "key" ? "Close" : "Signs", () => this.toggle("key"));
    if (tools) this.add("Measure", () => this.hand.measure());
    this.undo(scene);
    const adding = open === "add", done = !adding && this.hand.undoable(), hinted = !adding && scene.hint;
    if (adding) this.says("Choose what to add");
    else if (scene.kilns.length && !(done && hinted)) this.kilns(scene); // a phone has no room for all three
    if (done) this.says(scene.done);
    if (hinted) this.says(scene.hint);
    else if (!this.talk.childElementCount) this.says(features ? "Touch a thing to open it, then drag it to move it" : "Touch + Add first: what to draw");
  }

  /** Every kiln with its decision, which a touch opens; of many how many have it, which a touch lists. @param {Scene} scene */
  kilns({ kilns }) {
    const row = element("div", "pit-kilns"), { looks } = this.side;
    if (kilns.length <= FEW_KILNS) row.append(...kilns.map((kiln) => looks.decided(kiln, () => this.hand.choose(kiln.id))));
    else {
      for (const word of new Set(kilns.map((kiln) => kiln.word))) {
        const alike = kilns.filter((kiln) => kiln.word === word);
        row.append(looks.decided(alike[0], () => this.toggle("kilns"), `${alike.length} of ${kilns.length} ${word}`));
      }
    }
    this.talk.append(row);
  }
}
