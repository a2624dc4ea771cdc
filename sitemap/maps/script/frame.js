// @ts-check
// The furniture around the map, never over it: beside it a sheet to choose from or to read, below it a line about the
// ground, what is said, and the buttons. All of it stays in a full-screen map. Sizes stay as they are while a hand works.
/** @import { LMap, Scene } from "./types.d.ts" */
import { element } from "./looks.js";

/** @param {HTMLElement} where @param {string} className @param {string} role @param {string} label */
function part(where, className, role, label) {
  const node = element("div", className);
  node.setAttribute("role", role);
  node.setAttribute("aria-label", label);
  where.append(node);
  return node;
}

export class Frame {
  /** @param {LMap} map @param {(now: boolean) => void} resized the map has another size, as asked for by a button or not */
  constructor(map, resized) {
    const box = map.getContainer();
    this.map = map;
    this.root = /** @type {HTMLElement} */ (box.parentElement);
    this.root.classList.add("pit-frame");
    this.side = part(this.root, "pit-side", "region", "Choose what to add, or read what the signs mean");
    this.side.tabIndex = 0; // it scrolls, by keys too
    this.strip = part(this.root, "pit-strip", "note", "Scale and ground");
    this.scale = element("span", "pit-scale");
    this.ground = element("span", "pit-ground");
    this.strip.append(this.scale, this.ground);
    this.foot = element("div", "pit-foot");
    this.root.append(this.foot);
    this.talk = part(this.foot, "pit-talk", "status", "Verdict");
    this.talk.tabIndex = 0; // on a phone it scrolls
    this.bar = part(this.foot, "pit-bar", "toolbar", "Work on the map");
    this.resized = resized;
    new ResizeObserver(() => resized(false)).observe(box);
  }

  /** Whether it is made anew with every change. @param {HTMLElement} node */
  holds(node) {
    return ![this.side, this.talk].includes(node) && (this.side.contains(node) || this.bar.contains(node) || this.talk.contains(node));
  }

  /** All that can be pressed or written in. @returns {HTMLElement[]} */
  buttons() {
    return [...this.root.querySelectorAll(".pit-side button, .pit-talk button, .pit-bar button, .pit-leg")]
      .filter((node) => node instanceof HTMLElement);
  }

  /** @param {boolean} open */
  openSide(open) {
    if (this.root.classList.contains("pit-open") === open) return;
    this.root.classList.toggle("pit-open", open);
    this.resized(true);
  }

  /** @param {Scene | null} scene @param {string[]} hidden what was put out of sight */
  showGround(scene, hidden) {
    this.ground.textContent = [
      "N ▲", scene?.ground ?? "", hidden.length ? `Not shown: ${hidden.join(", ")}` : "",
    ].filter(Boolean).join(" · ");
    this.ground.classList.toggle("pit-warn", hidden.length > 0);
  }

  /** Where the browser can: a whole screen for the map, with all that stands around it. */
  get canFill() {
    return Boolean(document.fullscreenEnabled);
  }

  fillScreen() {
    if (document.fullscreenElement) document.exitFullscreen();
    else document.documentElement.requestFullscreen();
  }
}
