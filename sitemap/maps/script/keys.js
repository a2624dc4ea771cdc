// @ts-check
// The map without a mouse: a cross that the arrow keys move. Enter presses what is under it, as a finger would, M takes it
// up; so drawing, choosing, snapping and dragging are the same whatever they are done with, and stand in one place.
/** @import { LMap, LPoint } from "./types.d.ts" */
import { element, svg } from "./looks.js";

const KEY_PX = 8, HELD_KEY_PX = 32; // a key held down goes on in longer steps; with Shift one pixel at a time
const EDGE_PX = 48; // nearer to the edge the map moves under the cross
/** @type {Record<string, [number, number]>} */
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
const BUTTONS = ".leaflet-bar a, .pit-bar button, .pit-talk";
const CROSS = "M22 2v15M22 27v15M2 22h15M27 22h15M22 20v4M20 22h4";
const SAYS = "Arrows move the cross (Shift: finely), N next thing, Enter touches, M takes up what is chosen, + − zoom, "
  + "A adds, O adds one more like it, F to the fields beside the map, Esc back: from there to the map, from the map to the menu";
const DRAWS = "Arrows move the cross (Shift: finely), Enter sets a place, Enter again there finishes, "
  + "Backspace takes one back, Esc drops it all";
const CARRIES = "Arrows carry it (Shift: finely), Enter sets it down";

export class Keys {
  /** @param {LMap} map @param {{drawing: () => boolean, takeBack: () => void, escape: () => boolean, add: () => void,
   *   another: () => void}} hooks escape: whether something was ended by it */
  constructor(map, hooks) {
    this.map = map;
    this.hooks = hooks;
    this.box = map.getContainer();
    /** @type {LPoint | null} */
    this.at = null; // where the cross is, from the corner of the map
    /** @type {import("./types.d.ts").LLatLng | null} */
    this.ground = null; // what it lies on, or lay on when the keys went elsewhere: there they go on
    /** @type {Element | null} */
    this.carried = null;
    this.turn = -1; // which symbol the cross was put on last
    this.cross = element("div", "pit-cross");
    const drawn = svg("svg", { viewBox: "0 0 44 44", "aria-hidden": "true" });
    for (const name of ["pit-halo", "pit-ink"]) drawn.append(svg("path", { d: CROSS, class: name }));
    this.cross.append(drawn);
    this.words = element("p", "pit-keys");
    this.box.append(this.cross, this.words);
    this.box.setAttribute("role", "application");
    this.box.setAttribute("aria-label", `Map. ${SAYS}`);
    // Leaflet takes the focus at the first press: the page around must not scroll then, under the hand.
    this.box.focus = (options) => HTMLElement.prototype.focus.call(this.box, { ...options, preventScroll: true });
    this.box.addEventListener("keydown", (event) => this.pressed(event));
    document.addEventListener("keydown", (event) => {
      if (event.key === "Escape" && !hooks.escape()) this.stepOut();
      else this.fromButton(event);
      this.follow();
    });
    let byHand = false; // a browser takes what a first press brings for a focus by keys
    const touched = matchMedia("(hover: none) and (pointer: coarse)"); // a phone shows the cross from the first key on
    this.box.addEventListener("focusin", ({ target }) => {
      if (target === this.box) this.show(!byHand && !touched.matches && this.box.matches(":focus-visible"));
    });
    this.box.addEventListener("focusout", () => this.show(false));
    this.box.addEventListener("pointerdown", ({ isTrusted }) => {
      if (!isTrusted) return; // of these keys themselves
      byHand = true;
      this.show(false);
    }, true);
    for (const over of ["pointerup", "pointercancel", "blur"]) globalThis.addEventListener(over, () => { byHand = false; }, true);
    map.on("moveend", () => this.stay());
    map.on("resize", () => this.stay(true)); // another size of its frame moves the map, and may cut it off
  }

  /** From the buttons to the map, from the map to the menu. */
  stepOut() {
    if (document.activeElement === this.box) globalThis.parent.postMessage("pitstead: menu", "*");
    else this.box.focus();
  }

  /** The letters mean the same on the buttons around the map. @param {KeyboardEvent} event */
  fromButton(event) {
    const { target, key, ctrlKey, altKey, metaKey } = event, letter = "afno".includes(key.toLowerCase());
    if (!letter || ctrlKey || altKey || metaKey || !(target instanceof Element) || !target.closest(BUTTONS)) return;
    this.box.focus();
    this.act(event);
  }

  /** @param {boolean} on */
  show(on) {
    if (!on) this.setDown();
    if (on) this.at ??= this.begin();
    else this.at = null;
    this.follow();
  }

  /** @returns {LPoint} */
  begin() {
    return this.onGround() ?? this.map.getSize().divideBy(2);
  }

  /** Where that ground is now; null where it is out of sight or at the edge. */
  onGround() {
    const size = this.room, at = this.ground && this.map.latLngToContainerPoint(this.ground);
    return at && Math.min(at.x, at.y, size.x - at.x, size.y - at.y) >= EDGE_PX ? at : null;
  }

  /** As much of the map as the words about the keys leave. @returns {LPoint} */
  get room() {
    const size = this.map.getSize();
    size.y -= this.words.offsetHeight;
    return size;
  }

  /** The cross keeps its ground. @param {boolean} [inSight] and that ground is brought in sight */
  stay(inSight = false) {
    const at = inSight && this.ground ? this.map.latLngToContainerPoint(this.ground) : this.onGround();
    if (!this.at || !at || this.carried) return;
    this.at = at;
    if (inSight) this.move([0, 0], 1);
    this.follow();
  }

  /** Cross and words where they belong. */
  follow() {
    const { at } = this;
    this.box.classList.toggle("pit-keyed", at !== null);
    this.box.classList.toggle("pit-carrying", this.carried !== null);
    if (!at) return;
    this.ground = this.map.containerPointToLatLng(at);
    this.cross.style.transform = `translate(${at.x - 22}px, ${at.y - 22}px)`;
    this.words.textContent = this.carried ? CARRIES : this.hooks.drawing() ? DRAWS : SAYS;
  }

  /** @param {KeyboardEvent} event */
  pressed(event) {
    const button = event.target instanceof Element && event.target.closest(".leaflet-bar");
    if (button || event.ctrlKey || event.altKey || event.metaKey || !this.act(event)) return;
    event.preventDefault();
    event.stopPropagation(); // the map library would pan and zoom by itself
  }

  /** Whether the key means something here. @param {KeyboardEvent} event */
  act({ key, shiftKey, repeat }) {
    const arrow = ARROWS[key], zoom = "+=".includes(key) ? 1 : "-_".includes(key) ? -1 : 0;
    if (arrow || zoom || ["Enter", " ", ..."nNaAoOfF"].includes(key)) this.show(true);
    if (!this.at) return false;
    if (arrow) this.move(arrow, shiftKey ? 1 : repeat ? HELD_KEY_PX : KEY_PX);
    else if (zoom) this.map.setZoomAround(this.at, this.map.getZoom() + zoom, { animate: false });
    else if (this.carried && ["Enter", " ", "m", "M", "Escape"].includes(key)) this.setDown();
    else if (key === "n" || key === "N") this.next(key === "n" ? 1 : -1);
    else if (key === "Enter" || key === " ") this.touch(this.under);
    else if (key === "m" || key === "M") this.takeUp();
    else if (!this.hooks.drawing() && (key === "a" || key === "A")) this.hooks.add();
    else if (!this.hooks.drawing() && (key === "o" || key === "O")) this.hooks.another();
    else if (!this.hooks.drawing() && (key === "f" || key === "F")) globalThis.parent.postMessage("pitstead: fields", "*");
    else if (key === "Backspace" && this.hooks.drawing()) this.hooks.takeBack();
    else return false;
    this.follow();
    return true;
  }

  /** The cross on the next symbol: one stop of the Tab key for the whole map. @param {number} on */
  next(on) {
    const all = [...this.box.querySelectorAll(".pit-icon")], { left, top } = this.box.getBoundingClientRect();
    if (!all.length || !this.at || this.carried) return;
    this.turn = (this.turn + on + all.length) % all.length;
    const { x, y, width, height } = all[this.turn].getBoundingClientRect();
    this.move([x + width / 2 - left - this.at.x, y + height / 2 - top - this.at.y], 1);
  }

  /** @param {[number, number]} way @param {number} px */
  move([right, down], px) {
    if (!this.at) return;
    const size = this.room, { x, y } = this.at.add([right * px, down * px]);
    const inside = (/** @type {number} */ value, /** @type {number} */ most) => Math.max(EDGE_PX, Math.min(most - EDGE_PX, value));
    const held = this.at.add([inside(x, size.x) - this.at.x, inside(y, size.y) - this.at.y]);
    this.ground = null; // it moves over the ground, and the map under it
    if (!this.carried) this.map.panBy([x - held.x, y - held.y], { animate: false });
    this.at = held;
    this.tell(this.carried ? this.box : this.under, "pointermove", "mousemove");
  }

  get under() {
    const { left, top } = this.box.getBoundingClientRect();
    return (this.at && document.elementFromPoint(left + this.at.x, top + this.at.y)) ?? this.box;
  }

  /** What a mouse would say, at the cross. @param {EventTarget} node @param {string[]} names */
  tell(node, ...names) {
    const { left, top } = this.box.getBoundingClientRect(), { x, y } = this.at ?? { x: 0, y: 0 };
    // As a mouse says it: of two quick touches of a finger the map library makes one that enlarges the map.
    const said = { bubbles: true, cancelable: true, view: globalThis.window, clientX: left + x, clientY: top + y, detail: 1, pointerType: "mouse" };
    for (const name of names) {
      const Kind = name.startsWith("mouse") ? MouseEvent : PointerEvent;
      node.dispatchEvent(new Kind(name, { ...said, buttons: name.endsWith("up") || name === "click" ? 0 : 1 }));
    }
  }

  /** @param {Element} node */
  touch(node) {
    this.tell(node, "pointerdown", "mousedown", "pointerup", "mouseup", "click");
  }

  takeUp() {
    const node = this.under;
    if (!this.at || this.hooks.drawing() || !node.closest(".pit-selected, .pit-handle")) return;
    this.carried = node;
    this.tell(node, "pointerdown", "mousedown");
  }

  setDown() {
    const { carried } = this;
    this.carried = null;
    if (!carried) return;
    // Leaflet moves what is carried in the next frame: it must lie there before it is let go.
    requestAnimationFrame(() => this.tell(carried, "pointerup", "mouseup"));
  }
}
