// Types of the sheet's scripts, for the checker only: what Python sends, what is typed, and what waits to be kept.
import type { SheetRow } from "./row.js";

export interface Column {
  key: string;
  head: string;
  help: string;
  wide?: boolean;
  sign?: string;
  offered?: string[];
  blank?: string;
}
export interface Computed {
  key: string;
  head: string;
}
/** What the server last said of a row. */
export interface Listed {
  id: string;
  number: number;
  cells: Record<string, string>;
  notes: Record<string, string>;
  out: Record<string, string>;
}
export type Acks = Record<string, number>;
export interface SheetData {
  name: string;
  kind: string;
  units: string;
  columns: Column[];
  computed: Computed[];
  rows: Listed[];
  total: number;
  acks: Acks;
}
export type Cell = [row: string, column: string, text: string];
/** One thing a person did, until the server says that it kept it. */
export interface Edit {
  client: string;
  n: number;
  sheet: string;
  units: string;
  cells: Cell[];
  gone: string[];
  sent: boolean;
  open: boolean;
  first?: boolean;
}
export type Send = (edits: Partial<Edit>[]) => void;
export interface Shelf {
  closed: boolean;
  at: number;
  waiting: Edit[];
}
/** What is on its way for one row. */
export interface OnItsWay {
  gone: boolean;
  cells: Map<string, string>;
}
export type CellInput = HTMLInputElement & { row: SheetRow };
export type AwayButton = HTMLButtonElement & { row: SheetRow };
/** What the component of the page framework hands to a script. */
export interface Component<Data> {
  data: Data;
  parentElement: ShadowRoot;
  setStateValue(name: string, value: unknown): void;
}
