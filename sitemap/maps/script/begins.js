// @ts-check
// What is begun without a kind to choose: measuring, and what another page asked the map to begin with, drawn once, also
// where the map is loaded anew meanwhile.
/** @import { Scene, Tool } from "./types.d.ts" */

const BEGUN = "pitstead begun";

/** @type {Tool} */
export const MEASURE = { kind: "", label: "Measure", group: "", shapes: ["LineString"] };

/** The tool that is to be taken up now, if any. @param {Scene} scene */
export function toBegin({ begins, tools }) {
  if (!begins) return null;
  try {
    if (sessionStorage.getItem(BEGUN) === begins.mark) return null;
    sessionStorage.setItem(BEGUN, begins.mark);
  } catch {
    return null; // a browser that keeps nothing would begin again and again: the button of the map does
  }
  return tools.find(({ kind }) => kind === begins.kind) ?? null;
}
