// @ts-check
// Draws the scene Python sends and reports what a person did to it, as numbered acts.
// Every text reaches the page through textContent: a name is never markup. The scene can change as often as it likes
// without the map loading anew; a scene older than the person's last act is passed over.
/** @import { Act, Entry, Feature, Hand, LEvent, LMap, Scene, Setup, Shape, Tool } from "./types.d.ts" */
import { Acts } from "./acts.js";
import { Bar } from "./bar.js";
import { MEASURE, toBegin } from "./begins.js";
import { Computed } from "./computed.js";
import { Corners } from "./corners.js";
import { Crowd } from "./crowd.js";
import { Drafting } from "./drafting.js";
import { Drawn, geometryOf } from "./drawn.js";
import { Frame } from "./frame.js";
import { Ground } from "./ground.js";
import { Here } from "./here.js";
import { Keys } from "./keys.js";
import { Labels } from "./labels.js";
import { Layers } from "./layers.js";
import { readings } from "./live.js";
import { hatchings, Looks, placeOf } from "./looks.js";
import { Presses } from "./presses.js";
import { Ruler } from "./ruler.js";
import { Side } from "./side.js";
import { unpacked } from "./unpacked.js";
import { Viewing } from "./viewing.js";

const PANES = { ground: 250, areas: 390, computed: 450, live: 640 }; // areas under what is drawn, live lines over all

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
  tight = false; // the frame changed its size under a hand
  several = false; // a touch adds to what is chosen
  /** @type {string[]} */
  chosen = [];
  /** @type {Map<string, Feature[]>} */
  standing = new Map(); // where everything stood when a hand began to move something
  /** @type {string | null} */
  asked = null;

  /** @param {LMap} map @param {Setup} setup */
  constructor(map, setup) {
    addPanes(map);
    const looks = new Looks(setup), changed = () => (this.bar.show(), this.keys.follow()), dragged = () => this.dragged();
    const drawing = () => this.drafting.draft !== null, takeBack = () => this.drafting.takeBack();
    const taken = (/** @type {string} */ id) => this.take(id);
    const letGo = (/** @type {Entry[]} */ entries) => this.letGo(entries);
    this.map = map;
    this.acts = new Acts(setup.store);
    this.viewing = new Viewing(map, looks);
    this.frame = new Frame(map, (now) => this.fill(now));
    this.frame.root.append(hatchings(setup));
    this.here = new Here(map, (words) => this.sayHere(words));
    this.ground = new Ground(map, this.frame, {
      whole: () => this.scene && this.viewing.whole(this.scene, true), here: () => this.here.turn(this.scene?.units ?? "metric"),
    });
    this.computed = new Computed(map, setup);
    this.labels = new Labels(map, looks);
    this.crowd = new Crowd(map, looks);
    this.ruler = new Ruler(map);
    this.layers = new Layers(() => this.showLayers());
    this.drawn = new Drawn(map, looks, {
      taken, dragged, letGo, canMove: (id) => this.canEdit && this.chosen.includes(id),
      together: () => this.chosen.length > 1 ? this.entriesChosen() : [],
      touched: (id, event, inside) => this.touched(id, event, inside),
    });
    this.corners = new Corners(map, {
      taken, dragged, letGo, changed, near: (at, within_px, but) => this.drawn.near(at, within_px, but),
    });
    this.drafting = new Drafting(map, looks, {
      changed, near: (at, within_px) => this.drawn.near(at, within_px),
      pointed: (ahead) => this.bar.readAhead(ahead),
      added: (kind, geometry, like) => this.tell({ do: "added", kind, geometry, like }),
    });
    const hand = this.hand();
    this.bar = new Bar(this.frame, new Side(this.frame, looks, setup, hand, this.layers), setup, hand);
    this.presses = new Presses(this.frame.root, () => this.catchUp());
    this.keys = new Keys(map, { drawing, takeBack, escape: () => this.escape(), add: () => this.bar.openToAdd(), another: hand.another });
    this.listen();
    this.fill();
    this.bar.show();
  }

  /** @param {string} words */
  sayHere(words) {
    this.position = words;
    this.showGround();
  }

  showGround() {
    const scene = this.scene && this.position ? { ...this.scene, ground: this.position } : this.scene;
    this.frame.showGround(scene, this.layers.names);
  }

  /** @returns {Hand} */
  hand() {
    const { drafting, corners } = this;
    return {
      scene: () => this.scene,
      draft: () => drafting.draft,
      chosen: () => this.chosen.flatMap((id) => this.features().find((each) => each.id === id) ?? []),
      choose: (id) => this.choose(id),
      several: () => this.several,
      turnSeveral: () => this.turnSeveral(),
      another: () => this.another(),
      measure: () => this.begin(MEASURE, "LineString"),
      undo: (what) => this.tell({ do: "undo", what }),
      undoable: () => Boolean(this.scene?.done) && this.acts.wasEdit && !this.acts.isAhead(this.scene?.seen ?? ["", 0]),
      needed: () => drafting.needed,
      begin: (tool, shape, like) => this.begin(tool, shape, like),
      end: () => drafting.end(),
      finish: () => drafting.finish(),
      takeBack: () => drafting.takeBack(),
      toMap: () => this.map.getContainer().focus(),
      from: () => drafting.from,
      leg: (bearing_deg, m) => drafting.leg(bearing_deg, m),
      cornersToSpare: () => corners.toSpare,
      removeCorner: () => corners.remove(),
      remove: () => this.remove(),
      refresh: () => this.bar.show(),
      done: () => {
        this.select([]);
        this.tell({ do: "selected", id: null });
      },
    };
  }

  features() {
    return this.scene?.features ?? [];
  }

  /** @returns {Entry[]} */
  entriesChosen() {
    return this.chosen.flatMap((id) => this.drawn.of(id));
  }

  get canEdit() {
    return Boolean(this.scene?.tools.length);
  }

  /** The one feature that is chosen. */
  get selected() {
    return this.chosen.length === 1 ? this.chosen[0] : null;
  }

  /** @param {Act[]} acts */
  tell(...acts) {
    this.acts.tell(acts, this.selected);
  }

  // ---- what a hand does
  /** @param {Tool} tool @param {Shape} shape @param {Feature | null} [like] */
  begin(tool, shape, like = null) {
    const [last] = this.entriesChosen(), origin = last ? { at: last.mark.getLatLng(), name: last.feature.name } : null;
    this.select([]);
    this.map.getContainer().scrollIntoView({ block: "nearest" }); // on a phone the buttons may be all that is in sight
    this.drafting.begin(tool, shape, origin, like);
  }

  /** One more like the one that is chosen, drawn the same way. */
  another() {
    const feature = this.features().find(({ id }) => id === this.selected);
    const tool = this.scene?.tools.find(({ kind }) => kind === feature?.kind);
    if (tool && feature) this.begin(tool, tool.shapes.find((shape) => shape === feature.geometry.type) ?? tool.shapes[0], feature);
  }

  /** What was computed for it no longer holds. @param {string} id */
  take(id) {
    this.holding = true;
    this.select(this.chosen.includes(id) ? this.chosen : [id], true);
    for (const each of this.chosen) this.computed.fade(each);
    this.computed.fadeBinding();
    this.standing.clear();
    for (const each of this.features()) { // what is out of sight still counts
      this.standing.set(each.id, [...(this.standing.get(each.id) ?? []), each]);
    }
    this.dragged();
  }

  /** The distances that decide, as they are now. */
  dragged() {
    if (!this.scene) return;
    const { limits, units } = this.scene;
    const moving = new Map(this.chosen.map((id) => [id, this.drawn.placesOf(id)]));
    const where = (/** @type {string} */ id) => moving.get(id) ?? (this.standing.get(id) ?? []).map(({ geometry }) => geometry);
    const found = readings(limits, this.chosen, where);
    this.ruler.show(found, units);
    this.bar.live(this.ruler.words(found, units, (id) => this.features().find((each) => each.id === id)?.name ?? ""));
  }

  /** @param {Entry[]} entries */
  letGo(entries) {
    this.holding = false;
    for (const entry of entries) entry.text = ""; // the next scene decides where it stands
    this.tell(...entries.map((entry) => /** @type {Act} */ ({
      do: "moved", id: entry.feature.id, part: entry.feature.part, geometry: geometryOf(entry),
    })));
    this.showHandles();
    this.arrange();
    this.catchUp();
  }

  /** @param {string} id @param {LEvent} event @param {boolean} inside */
  touched(id, event, inside) {
    L.DomEvent.stop(event);
    if (inside && !this.canEdit) return this.clicked(event); // where nothing is drawn, an area is ground one stands on
    const more = this.several || /** @type {MouseEvent} */ (event.originalEvent)?.shiftKey;
    if (more && this.canEdit) this.add(id);
    else this.choose(id);
  }

  /** @param {string} id */
  choose(id) {
    if (id === this.selected) return;
    this.select([id]);
    this.tell({ do: "selected", id });
  }

  /** Add to what is chosen, or take out of it. @param {string} id */
  add(id) {
    this.several = true;
    this.select(this.chosen.includes(id) ? this.chosen.filter((each) => each !== id) : [...this.chosen, id]);
    this.bar.show();
  }

  turnSeveral() {
    this.several = !this.several;
    if (!this.several && this.chosen.length > 1) this.select(this.chosen.slice(0, 1));
    this.bar.show();
  }

  /** @param {string[]} ids @param {boolean} [quietly] */
  select(ids, quietly = false) {
    if (String(ids) === String(this.chosen)) return;
    this.chosen = ids;
    if (!ids.length) this.several = false;
    else if (this.bar.side.open === "add" || this.bar.side.open === "kilns") this.bar.side.turn(null);
    this.corners.chosen = null;
    this.gather();
    this.drawn.dressAll(ids);
    if (quietly) this.corners.clear();
    else {
      this.showHandles();
      this.arrange();
    }
    this.bar.show();
  }

  remove() {
    const ids = this.chosen;
    for (const entry of this.entriesChosen()) this.drawn.drop(entry);
    this.select([]);
    this.tell(...ids.map((id) => /** @type {Act} */ ({ do: "deleted", id })));
  }

  /** @param {LEvent} event */
  clicked({ latlng }) {
    // The page also calls it a click on the map when something is dropped under another symbol.
    if (this.presses.onSymbol || this.presses.carried) return;
    if (this.drafting.draft) this.drafting.add(latlng);
    else if (this.bar.isOpen) this.bar.close();
    else if (this.scene && this.chosen.length > 1) this.select([]);
    else if (this.scene) {
      this.select([]);
      this.tell({ do: "clicked", at: placeOf(latlng) });
    }
  }

  escape() { // whether it ended something
    if (this.drafting.draft) this.drafting.end();
    else if (this.bar.isOpen) this.bar.close();
    else if (this.chosen.length) this.bar.hand.done();
    else return false;
    return true;
  }

  // ---- showing
  showHandles() {
    const shown = this.selected !== null && !this.drafting.draft && this.canEdit;
    this.corners.show(shown ? this.drawn.of(this.selected) : []);
  }

  showLayers() {
    if (!this.scene) return;
    this.crowd.follow(this.layers.features(this.scene));
    this.drawn.follow(this.crowd.shown(this.chosen), false, this.chosen);
    this.computed.show(this.layers.overlays(this.scene));
    this.showGround();
    this.bar.show();
    this.arrange();
  }

  arrange() {
    this.labels.arrange(this.drawn.all, this.computed.chips, this.chosen, this.crowd.places);
  }

  /** Of many heaps other ones are in sight, or chosen; what stands there stays as it is. */
  gather() {
    if (this.crowd.isMany) this.drawn.follow(this.crowd.shown(this.chosen), false, this.chosen, true);
  }

  /** Nothing is drawn anew under a hand. @param {Scene} next */
  sync(next) {
    if (this.holding || this.presses.down) {
      this.waiting = next;
      return;
    }
    this.waiting = null;
    if (this.acts.isAhead(next.seen)) return;
    const old = this.scene;
    this.scene = next;
    this.layers.follow(next);
    this.drafting.fresh.clearLayers();
    if (old?.place !== next.place) this.viewing.start(next);
    else if (next.lookAt && JSON.stringify(old.lookAt) !== JSON.stringify(next.lookAt)) this.viewing.look(next);
    this.ground.show(next, old);
    this.crowd.follow(this.layers.features(next));
    this.drawn.follow(this.crowd.shown(this.chosen), !old || !old.tools.length !== !next.tools.length, this.chosen);
    this.computed.show(this.layers.overlays(next));
    this.ruler.clear();
    this.map.getContainer().classList.toggle("pit-placing", next.placing);
    this.followChoice(next.selected);
    this.corners.chosen = null;
    this.showHandles();
    this.showGround();
    const tool = toBegin(next);
    if (tool) this.begin(tool, tool.shapes[0]);
    if (!this.drafting.draft) this.bar.show(); // a field that is being written in stays
    this.ground.showGrid();
    this.arrange();
  }

  /** @param {string | null} asked */
  followChoice(asked) {
    if (asked !== this.asked) {
      this.asked = asked;
      if (!this.drafting.draft && !this.several) this.select(asked === null ? [] : [asked]);
    }
    const there = this.chosen.filter((id) => this.features().some((each) => each.id === id));
    if (there.length < this.chosen.length) this.select(there);
  }

  catchUp() {
    if (this.holding || this.presses.down) return;
    if (this.tight) this.fill();
    if (this.waiting) this.sync(this.waiting);
  }

  /** @param {boolean} [now] a button asked for it: its own press is no hand on the map */
  fill(now = false) {
    this.tight = !now && (this.holding || this.presses?.down);
    if (!this.tight) this.viewing.fill(this.scene, this.bar?.isOpen ?? false);
  }

  moved() {
    if (!this.scene) return;
    this.ground.showGrid();
    this.viewing.remember(this.scene);
    if (this.holding) return; // the map also moves under a corner dragged to its edge
    this.gather();
    this.showHandles();
    this.arrange();
  }

  listen() {
    const { map } = this, box = map.getContainer();
    map.on("click", (event) => this.clicked(event));
    map.on("mousemove", ({ latlng }) => this.drafting.preview(latlng));
    map.on("moveend", () => this.moved());
    globalThis.addEventListener("resize", () => this.fill());
    // The style comes after the script: until then buttons and names have another size.
    new ResizeObserver(() => this.dressed()).observe(box.querySelector(".leaflet-bar") ?? box);
  }

  dressed() {
    this.labels.widths.clear();
    if (!this.holding) this.arrange();
  }
}

/** Start the map's script on a map. @param {LMap} map @param {Setup} setup */
export default function startMap(map, setup) {
  const board = new Board(map, setup);
  return {
    sync: (/** @type {import("./types.d.ts").Packed} */ sent) => board.sync(unpacked(sent)),
    drawn: { toGeoJSON: () => ({ features: board.acts.list }) }, // what the component asks for beside what is told
  };
}
