// @ts-check
// The bar of buttons under the map, and the sheet that opens over it: what may be added, and what the signs mean.
// `hand` is what the buttons do; the bar itself knows nothing of the map.
/** @import { Draft, Feature, Hand, Scene, Setup, Shape, Tool } from "./types.d.ts" */
/** @import { Looks } from "./looks.js" */
import { button, element, linePicture } from "./looks.js";

const SHAPES = { Point: "One place", LineString: "A line", Polygon: "An outline" };

/** @param {Draft} draft @param {number} needed */
function hint({ tool, shape, places }, needed) {
  if (shape === "Point") return `${tool.label}: touch its place on the map`;
  if (places.length >= needed) return `${tool.label}: go on, or finish`;
  return `${tool.label}: touch ${shape === "Polygon" ? "each corner" : "along the line"}`;
}

export class Bar {
  /** @param {HTMLElement} box @param {Looks} looks @param {Setup} setup @param {Hand} hand */
  constructor(box, looks, setup, hand) {
    this.box = box;
    this.looks = looks;
    this.setup = setup;
    this.hand = hand;
    /** @type {"add" | "key" | null} */
    this.open = null;
    this.sheet = this.place("pit-panel", "region", "Choose what to add, or read what the signs mean");
    this.sheet.tabIndex = 0; // it scrolls, by keys too
    this.bar = this.place("pit-bar", "toolbar", "Work on the map");
  }

  /** @param {string} className @param {string} role @param {string} label */
  place(className, role, label) {
    const node = element("div", className);
    node.setAttribute("role", role);
    node.setAttribute("aria-label", label);
    L.DomEvent.disableClickPropagation(node);
    L.DomEvent.disableScrollPropagation(node);
    L.DomEvent.on(node, "click", L.DomEvent.stopPropagation); // a button that takes itself away is no longer inside
    this.box.append(node);
    return node;
  }

  get isOpen() {
    return this.open !== null;
  }

  close() {
    this.open = null;
    this.show();
  }

  /** @param {"add" | "key"} what */
  toggle(what) {
    this.open = this.open === what ? null : what;
    this.show();
  }

  show() {
    const draft = this.hand.draft(), scene = this.hand.scene(), chosen = this.hand.chosen();
    if (draft || chosen) this.open = null;
    this.bar.replaceChildren();
    this.sheet.replaceChildren();
    this.box.classList.toggle("pit-open", this.isOpen);
    this.bar.hidden = !scene || !(scene.tools.length || scene.features.length);
    if (!scene || this.bar.hidden) return;
    if (draft) this.forDraft(draft);
    else if (chosen) this.forChosen(chosen, scene);
    else this.forNothing(scene);
    if (this.open === "add") this.showTools(scene);
    if (this.open === "key") this.showKey(scene);
  }

  /** @param {string} words */
  says(words) {
    this.bar.append(element("span", "pit-says", words));
  }

  /** @param {string} words @param {() => void} action @param {string} [className] */
  add(words, action, className) {
    this.bar.append(button(words, action, className));
  }

  /** @param {Draft} draft */
  forDraft(draft) {
    const { hand } = this;
    if (!draft.shape) {
      this.says(draft.tool.label + " as");
      for (const shape of draft.tool.shapes) this.add(SHAPES[shape], () => this.again(draft.tool, shape), "pit-main");
    } else {
      this.says(hint(draft, hand.needed()));
      if (draft.path && draft.places.length >= hand.needed()) this.add("Finish", () => hand.finish(), "pit-main");
      if (draft.places.length) this.add("Take back", () => hand.takeBack());
    }
    this.add("Cancel", () => hand.end());
  }

  /** @param {Tool} tool @param {Shape} shape */
  again(tool, shape) {
    this.hand.end();
    this.hand.begin(tool, shape);
  }

  /** @param {Feature} chosen @param {Scene} scene */
  forChosen(chosen, scene) {
    const { hand } = this;
    this.says(chosen.name);
    if (hand.cornersToSpare()) this.add("Remove corner", () => hand.removeCorner());
    if (scene.tools.length) {
      this.add("Delete", () => hand.remove(), "pit-danger");
      this.add("+ Add", () => {
        hand.done();
        this.toggle("add");
      });
    }
    this.add("Done", () => hand.done(), "pit-main");
  }

  /** @param {Scene} scene */
  forNothing(scene) {
    const tools = scene.tools.length > 0, features = scene.features.length > 0;
    if (tools) this.add(this.open === "add" ? "Close" : "+ Add", () => this.toggle("add"), "pit-main");
    if (features) this.add(this.open === "key" ? "Close" : "Signs", () => this.toggle("key"));
    if (this.open === "add") this.says("Choose what to add");
    else if (this.open === "key") this.says("What the signs mean");
    else if (tools) this.says(features ? "Drag a symbol to move it, touch it to open it" : "Touch here first: what to draw");
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
      const only = tool.shapes.length === 1 ? tool.shapes[0] : null;
      const made = button("", () => this.hand.begin(tool, only), "pit-kind");
      made.append(this.looks.picture(tool.kind), element("span", "", tool.label));
      this.sheet.append(made);
    }
  }

  /** @param {Element} picture @param {string} words */
  row(picture, words) {
    const made = element("div", "pit-key");
    made.append(picture, element("span", "", words));
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
    this.heading("On the ground");
    for (const kind of new Set([...Object.keys(setup.kinds), ...kinds.keys()])) {
      const shape = kinds.get(kind);
      if (shape) this.row(looks.keyPicture(kind, shape), setup.kinds[kind] ?? "unknown kind");
    }
    const verdicts = Object.keys(setup.verdicts).filter((key) => scene.features.some(({ verdict }) => verdict === key));
    if (verdicts.length) this.heading("Verdict of a kiln");
    for (const key of verdicts) this.row(looks.picture("kiln_spot", key), setup.verdicts[key].words);
    const styles = new Map(scene.overlays.map(({ style, geometry }) => [style, geometry.type]));
    const worked = Object.keys(setup.overlays).filter((style) => styles.has(style) && setup.says[style]);
    if (worked.length) this.heading("Worked out");
    for (const style of worked) {
      this.row(linePicture(setup.overlays[style], styles.get(style) === "Polygon"), setup.says[style]);
    }
  }
}
