// Types of the map's script, for the checker only: what Python sends, what is drawn, and what of Leaflet we use.

export type Place = number[]; // longitude, latitude, and height where it was surveyed
export type Shape = "Point" | "LineString" | "Polygon";
export type Coordinates = number[] | number[][] | number[][][];

/** GeoJSON without the collections: Python sends every part by itself. */
export interface Geometry {
  type: Shape;
  // deno-lint-ignore no-explicit-any
  coordinates: any;
}
export interface Feature {
  id: string;
  part: number[];
  kind: string;
  name: string;
  label: string;
  sign: string;
  verdict: string;
  geometry: Geometry;
}
export interface Overlay {
  style: string;
  about: string;
  label: string;
  geometry: Geometry;
}
export interface Tool {
  kind: string;
  label: string;
  group: string;
  shapes: Shape[];
}
export interface Backdrop {
  address: string;
  bounds: [number, number, number, number];
  credit: string; // whom the picture is owed to
}
/** A kiln as a circle: of which radius, and how far its place may be off. */
export interface KilnSize {
  id: string;
  radius_m: number;
  error_m: number;
}
/** What kilns keep clear of: by how much, edge to edge; what is wider than it is drawn has a radius. */
export interface Thing {
  id: string;
  name: string;
  need_m: number;
  error_m: number;
  radius_m: number;
  edge: boolean; // only the outline counts
}
export interface Limits {
  kilns: KilnSize[];
  things: Thing[];
}
/** A distance while a hand moves something. */
export interface Reading {
  kiln: string;
  thing: string;
  name: string;
  gap_m: number;
  need_m: number;
  spare_m: number;
  state: "short" | "near" | "far";
  line: [Place, Place];
}
export interface CheckRow {
  about: string;
  thing: string;
  distance: string;
  rule: string;
  spare: string;
  effect: string;
}
/** The decision on one kiln, as the page says it. */
export interface KilnVerdict {
  id: string;
  title: string;
  name: string;
  word: string;
  effect: string;
  first: string;
  others: string[];
  checks: CheckRow[];
}
/** All that one map shows; `payload` of sitemap/maps/scene.py makes it. */
export interface Scene {
  place: string;
  seen: [string, number];
  centre: [number, number];
  zoom: number | null;
  lookAt: [number, number, number] | null;
  units: string;
  selected: string | null;
  features: Feature[];
  overlays: Overlay[];
  backdrop: Backdrop | null;
  tools: Tool[];
  kilns: KilnVerdict[];
  limits: Limits;
  done: string; // the last edit, which undo takes back
  ground: string; // what is said of the ground beside the scale
  hint: string; // what to do next, where no kiln is chosen
  placing: boolean; // the next touch places something, on a symbol too
  amid: boolean; // the map stands amid a page, which the wheel moves
  begins: { kind: string; mark: string } | null; // what is to be drawn at once, as another page asked, with a mark of its own
}
/** A feature on its way: what is empty at the end is left out, a label that is the name is empty. */
export type FeatureRow = [
  at: Place | Geometry, id: string, kind: string, name: string, part?: number[], label?: string | null, verdict?: string,
  sign?: string,
];
export type ThingRow = [id: string, name: string, need_m: number, error_m: number, radius_m: number, edge: boolean];
/** A scene on its way. */
export interface Packed extends Omit<Scene, "features" | "limits"> {
  features: FeatureRow[];
  limits: { kilns: KilnSize[]; things: ThingRow[] };
}
export interface Look {
  letter: string;
  shape: string;
  stroke: string;
  fill: string;
  dash: number[];
  weight: number;
  written: number;
  work: boolean;
  hatch: string;
}
export interface VerdictLook {
  sign: string;
  ring: string;
  colour: string;
  words: string;
}
/** What never changes while the map stands; sitemap/maps/editable.py makes it. */
export interface Setup {
  symbols: Record<string, Look>;
  unknown: Look;
  outlines: Record<string, [number, number][]>;
  hatches: Record<string, [number, number][]>;
  overlays: Record<string, Look>;
  says: Record<string, string>;
  kinds: Record<string, string>;
  verdicts: Record<string, VerdictLook>;
  gathers: string[]; // kinds of which, of many, those close together stand as one sign
  store: string;
}
/** One thing a person did. */
export interface Act {
  do: "moved" | "added" | "deleted" | "selected" | "clicked" | "undo";
  id?: string | null;
  part?: number[];
  kind?: string;
  like?: string | null; // id of what it is to be like
  geometry?: Geometry;
  at?: Place;
  what?: string;
  load?: string;
  n?: number;
  selected?: string | null;
}
/** A feature that stands on the map: its symbol, and the path of a line or an area. */
export interface Entry {
  feature: Feature;
  text: string;
  mark: LMarker;
  path: LPath | null;
}
/** One sign for several heaps close together. */
export interface Gathered {
  mark: LMarker;
  count: number;
}
export interface Chip {
  node: HTMLElement;
  at: LLatLng;
  about: string;
  style: string; // of the overlay it stands on
  binding: boolean;
}
export interface Draft {
  tool: Tool;
  shape: Shape;
  places: LLatLng[];
  path: LPath | null;
  dots: LGroup;
  like: Feature | null; // one more like this
}
/** What the buttons under the map do. */
export interface Hand {
  scene(): Scene | null;
  draft(): Draft | null;
  chosen(): Feature[];
  choose(id: string): void;
  several(): boolean;
  turnSeveral(): void;
  another(): void;
  measure(): void;
  undo(what: string): void;
  undoable(): boolean;
  needed(): number;
  /** The last place drawn, or what was chosen before: where a leg begins. */
  from(): { at: LLatLng; name: string } | null;
  leg(bearing_deg: number, m: number): void;
  refresh(): void;
  begin(tool: Tool, shape: Shape, like?: Feature | null): void;
  end(): void;
  finish(): void;
  takeBack(): void;
  toMap(): void; // the focus goes to the map
  cornersToSpare(): boolean;
  removeCorner(): void;
  remove(): void;
  done(): void;
}
export type Rect = [number, number, number, number]; // left, top, right, bottom, in pixels

// ---- Leaflet, as far as it is used here
export interface LPoint {
  x: number;
  y: number;
  add(other: LPoint | [number, number]): LPoint;
  subtract(other: LPoint | [number, number]): LPoint;
  divideBy(by: number): LPoint;
  multiplyBy(by: number): LPoint;
  distanceTo(other: LPoint): number;
}
export interface LLatLng {
  lat: number;
  lng: number;
  alt?: number;
  distanceTo(other: LLatLng): number;
}
export type Spot = LLatLng | [number, number];
export interface LBounds {
  min: LPoint;
  max: LPoint;
  contains(point: LPoint): boolean;
}
export interface LLatLngBounds {
  extend(other: LLatLng | LLatLngBounds): LLatLngBounds;
  contains(place: LLatLng): boolean;
  isValid(): boolean;
  pad(share: number): LLatLngBounds;
  getCenter(): LLatLng;
  getWest(): number;
  getEast(): number;
  getSouth(): number;
  getNorth(): number;
}
export interface LEvent {
  latlng: LLatLng;
  originalEvent: Event;
}
export interface LLayer {
  addTo(where: LMap | LGroup): this;
  remove(): this;
  on(event: string, action: (event: LEvent) => void): this;
  getElement(): HTMLElement;
  setStyle?(style: object): this;
  about?: string;
}
export interface LGroup extends LLayer {
  clearLayers(): this;
  addLayer(layer: LLayer): this;
  eachLayer(action: (layer: LLayer) => void): this;
}
export interface LMarker extends LLayer {
  getLatLng(): LLatLng;
  setLatLng(place: LLatLng): this;
  setZIndexOffset(offset: number): this;
  dragging?: { enable(): void; disable(): void };
}
export interface LPath extends LLayer {
  // deno-lint-ignore no-explicit-any
  getLatLngs(): any;
  setLatLngs(places: LLatLng[] | LLatLng[][]): this;
  getCenter(): LLatLng;
  setStyle(style: object): this;
  redraw(): this;
}
export interface LControl {
  onAdd: () => HTMLElement;
  getContainer(): HTMLElement;
  addTo(map: LMap): this;
  remove(): this;
}
export interface LMap {
  getContainer(): HTMLElement;
  createPane(name: string): HTMLElement;
  getPane(name: string): HTMLElement;
  removeLayer(layer: LLayer): this;
  on(event: string, action: (event: LEvent) => void): this;
  latLngToLayerPoint(place: LLatLng): LPoint;
  layerPointToLatLng(point: LPoint): LLatLng;
  containerPointToLatLng(point: LPoint | [number, number]): LLatLng;
  latLngToContainerPoint(place: LLatLng): LPoint;
  project(place: LLatLng, zoom?: number): LPoint;
  unproject(point: LPoint): LLatLng;
  getBounds(): LLatLngBounds;
  getPixelBounds(): LBounds;
  getPixelOrigin(): LPoint;
  getSize(): LPoint;
  getZoom(): number;
  getCenter(): LLatLng;
  setView(place: Spot, zoom: number, options: object): this;
  setZoomAround(at: LPoint, zoom: number, options: object): this;
  panBy(by: [number, number], options: object): this;
  fitBounds(bounds: LLatLngBounds, options: object): this;
  invalidateSize(options: object): this;
  doubleClickZoom: { enable(): void; disable(): void };
}
export interface Leaflet {
  latLng(lat: number, lng: number, alt?: number): LLatLng;
  latLngBounds(places: LLatLng[]): LLatLngBounds;
  bounds(a: LPoint, b: LPoint): LBounds;
  layerGroup(): LGroup;
  marker(place: LLatLng | [number, number], options: object): LMarker;
  polyline(places: LLatLng[] | [number, number][], options: object): LPath;
  polygon(places: LLatLng[] | LLatLng[][], options: object): LPath;
  circleMarker(place: LLatLng, options: object): LMarker;
  circle(place: LLatLng, options: object): LLayer;
  imageOverlay(address: string, corners: [number, number][], options: object): LLayer;
  divIcon(options: object): object;
  control(options: object): LControl;
  DomEvent: {
    stop(event: Event | LEvent): void;
    stopPropagation(event: Event): void;
    disableClickPropagation(node: HTMLElement): void;
    disableScrollPropagation(node: HTMLElement): void;
    on(node: HTMLElement, event: string, action: (event: Event) => void): void;
  };
}
declare global {
  const L: Leaflet;
}
