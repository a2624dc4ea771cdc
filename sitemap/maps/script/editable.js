// @ts-check
// Draws the scene Python sends and reports what a person did to it, as numbered acts.
// Every text reaches the page through textContent: a name is never markup. The scene can change as often as it likes
// without the map loading anew; a scene older than the person's last act is passed over.
/** @import { Act, Entry, Hand, LEvent, LMap, Scene, Setup } from "./types.d.ts" */
import { Acts } from "./acts.js";
import { Bar } from "./bar.js";
import { Computed } from "./computed.js";
import { Corners } from "./corners.js";
import { Drafting } from "./drafting.js";
import { Drawn, geometryOf } from "./drawn.js";
import { Ground } from "./ground.js";
import { Labels } from "./labels.js";
import { Looks, placeOf } from "./looks.js";
import { Viewing } from "./viewing.js";

const PANES = { ground: 250, areas: 390, computed: 450 }; // areas under what is drawn, lines and labels over it
const AFTER_MS = 50; // a click follows the lift of a finger within this

/** @param {LMap} map */
function addPanes(map) {
  for (const [name, order] of Object.entries(PANES)) {
    map.createPane(name).style.zIndex = String(order);
    map.getPane(name).style.pointerEvents = "none";
  }
}

class Board {
  /** @type {Scene | null} */
  scene = null;
  /** @type {Scene | null} */
  waiting = null; // a scene that came while a hand was on the map
  holding = false; // a symbol or a corner is being moved
  pressed = false; // a finger or a button is down on the map
  onSymbol = false; // the last press began on a symbol or a corner
  tight = false; // the frame changed its size under a hand
  /** @type {string | null} */
  selected = null;
  /** @type {string | null} */
  asked = null;

  /** @param {LMap} map @param {Setup} setup */
  constructor(map, setup) {
    addPanes(map);
    const looks = new Looks(setup), changed = () => this.bar.show();
    const taken = (/** @type {string} */ id) => this.take(id);
    const letGo = (/** @type {Entry} */ entry) => this.letGo(entry);
    this.map = map;
    this.box = map.getContainer();
    this.acts = new Acts(setup.store);
    this.viewing = new Viewing(map, looks);
    this.ground = new Ground(map, () => this.showWhole());
    this.computed = new Computed(map, setup);
    this.labels = new Labels(map, looks);
    this.drawn = new Drawn(map, looks, {
      taken, letGo, canMove: () => this.canEdit, touched: (id, event) => this.touched(id, event),
    });
    this.corners = new Corners(map, { taken, letGo, changed });
    this.drafting = new Drafting(map, looks, {
      changed, near: (at, within_px) => this.drawn.near(at, within_px),
      added: (kind, geometry) => this.tell({ do: "added", kind, geometry }),
    });
    this.bar = new Bar(this.box, looks, setup, this.hand());
    this.listen();
    this.viewing.fill();
    this.bar.show();
  }

  showWhole() {
    if (this.scene) this.viewing.whole(this.scene, true);
  }

  /** @returns {Hand} */
  hand() {
    const { drafting, corners } = this;
    return {
      scene: () => this.scene,
      draft: () => drafting.draft,
      chosen: () => this.drawn.of(this.selected)[0]?.feature ?? null,
      needed: () => drafting.needed,
      begin: (tool, shape) => {
        this.select(null);
        drafting.begin(tool, shape);
      },
      end: () => drafting.end(),
      finish: () => drafting.finish(),
      takeBack: () => drafting.takeBack(),
      cornersToSpare: () => corners.toSpare,
      removeCorner: () => corners.remove(),
      remove: () => this.remove(),
      done: () => {
        this.select(null);
        this.tell({ do: "selected", id: null });
      },
    };
  }

  get canEdit() {
    return Boolean(this.scene?.tools.length);
  }

  /** @param {Act} act */
  tell(act) {
    this.acts.tell(act, this.selected);
  }

  // ---- what a hand does
  /** What was computed for it no longer holds. @param {string} id */
  take(id) {
    this.holding = true;
    this.select(id, true);
    this.computed.fade(id);
  }

  /** @param {Entry} entry */
  letGo(entry) {
    this.holding = false;
    entry.text = ""; // the next scene decides where it stands
    this.tell({ do: "moved", id: entry.feature.id, part: entry.feature.part, geometry: geometryOf(entry) });
    this.showHandles();
    this.arrange();
    this.catchUp();
  }

  /** @param {string} id @param {LEvent} event */
  touched(id, event) {
    L.DomEvent.stop(event);
    if (id === this.selected) return;
    this.select(id);
    this.tell({ do: "selected", id });
  }

  /** @param {string | null} id @param {boolean} [quietly] */
  select(id, quietly = false) {
    if (id === this.selected) return;
    this.selected = id;
    this.corners.chosen = null;
    this.drawn.dressAll(id);
    if (quietly) this.corners.clear();
    else {
      this.showHandles();
      this.arrange();
    }
    this.bar.show();
  }

  remove() {
    const id = this.selected;
    for (const entry of this.drawn.of(id)) this.drawn.drop(entry);
    this.select(null);
    this.tell({ do: "deleted", id });
  }

  /** @param {LEvent} event */
  clicked({ latlng }) {
    // The page also calls it a click on the map when something is dropped under another symbol.
    if (this.onSymbol) return;
    if (this.drafting.draft) this.drafting.add(latlng);
    else if (this.bar.isOpen) this.bar.close();
    else if (this.scene) {
      this.select(null);
      this.tell({ do: "clicked", at: placeOf(latlng) });
    }
  }

  escape() {
    if (this.drafting.draft) this.drafting.end();
    else this.bar.close();
  }

  // ---- showing
  showHandles() {
    const shown = this.selected !== null && !this.drafting.draft && this.canEdit;
    this.corners.show(shown ? this.drawn.of(this.selected) : []);
  }

  arrange() {
    this.labels.arrange(this.drawn.all, this.computed.chips, this.selected);
  }

  /** Nothing is drawn anew under a hand. @param {Scene} next */
  sync(next) {
    if (this.holding || this.pressed) {
      this.waiting = next;
      return;
    }
    this.waiting = null;
    if (this.acts.isAhead(next.seen)) return;
    const old = this.scene;
    this.scene = next;
    this.drafting.fresh.clearLayers();
    if (old?.place !== next.place) this.viewing.start(next);
    else if (next.lookAt && JSON.stringify(old.lookAt) !== JSON.stringify(next.lookAt)) this.viewing.look(next);
    this.ground.show(next, old);
    this.drawn.follow(next.features, !old || !old.tools.length !== !next.tools.length, this.selected);
    this.computed.show(next);
    this.followChoice(next.selected);
    this.corners.chosen = null;
    this.showHandles();
    if (!this.bar.isOpen) this.bar.show();
    this.ground.showGrid();
    this.arrange();
  }

  /** @param {string | null} asked */
  followChoice(asked) {
    if (asked !== this.asked) {
      this.asked = asked;
      if (!this.drafting.draft) this.select(asked);
    }
    if (this.selected !== null && !this.drawn.of(this.selected).length) this.select(null);
  }

  catchUp() {
    if (this.holding || this.pressed) return;
    if (this.tight) this.fill();
    if (this.waiting) this.sync(this.waiting);
  }

  fill() {
    this.tight = this.holding || this.pressed;
    if (!this.tight) this.viewing.fill();
  }

  moved() {
    if (!this.scene) return;
    this.ground.showGrid();
    this.viewing.remember(this.scene);
    if (this.holding) return; // the map also moves under a corner dragged to its edge
    this.showHandles();
    this.arrange();
  }

  listen() {
    const { map, box } = this;
    // Leaflet takes the focus at the first press: the page around must not scroll then, under the hand.
    box.focus = (options) => HTMLElement.prototype.focus.call(box, { ...options, preventScroll: true });
    map.on("click", (event) => this.clicked(event));
    map.on("mousemove", ({ latlng }) => this.drafting.preview(latlng));
    map.on("moveend", () => this.moved());
    map.on("resize", () => {
      if (this.scene) this.viewing.resized(this.scene);
    });
    document.addEventListener("keydown", ({ key }) => {
      if (key === "Escape") this.escape();
    });
    globalThis.addEventListener("resize", () => this.fill());
    this.listenToPresses();
  }

  // What is under a finger must not be drawn anew before the finger lifts, and its click has followed.
  listenToPresses() {
    let lifted = 0;
    this.box.addEventListener("pointerdown", ({ target }) => {
      clearTimeout(lifted);
      this.pressed = true;
      this.onSymbol = target instanceof Element && target.closest(".pit-icon, .pit-handle") !== null;
    }, true);
    for (const name of ["pointerup", "pointercancel"]) {
      document.addEventListener(name, () => {
        clearTimeout(lifted);
        lifted = setTimeout(() => {
          this.pressed = false;
          this.catchUp();
        }, AFTER_MS);
      }, true);
    }
  }
}

/** Start the map's script on a map. @param {LMap} map @param {Setup} setup */
export default function startMap(map, setup) {
  const board = new Board(map, setup);
  return {
    sync: (/** @type {Scene} */ scene) => board.sync(scene),
    drawn: { toGeoJSON: () => ({ features: board.acts.list }) }, // what the component asks for beside what is told
  };
}
