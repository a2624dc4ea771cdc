// @ts-check
// What a finger or a button of the mouse does on the map, from press to lift. What is under it must not be drawn anew
// before it lifts and its click has followed; and a click that ends a drag is none, whatever the browser calls it.

const AFTER_MS = 50; // a click follows the lift of a finger within this
const STILL_PX = 8; // a press that went farther carried something

export class Presses {
  /** @param {HTMLElement} root @param {() => void} lifted */
  constructor(root, lifted) {
    this.down = false;
    this.onSymbol = false; // the last press began on a symbol or a corner
    this.carried = false; // the last press went on as a drag
    let later = 0, x = 0, y = 0;
    root.addEventListener("pointerdown", (event) => {
      clearTimeout(later);
      [x, y] = [event.clientX, event.clientY];
      this.down = true;
      this.carried = false;
      this.onSymbol = event.target instanceof Element && event.target.closest(".pit-icon, .pit-handle") !== null;
    }, true);
    document.addEventListener("pointermove", (event) => {
      if (this.down && Math.hypot(event.clientX - x, event.clientY - y) > STILL_PX) this.carried = true;
    }, true);
    for (const name of ["pointerup", "pointercancel"]) {
      document.addEventListener(name, () => {
        clearTimeout(later);
        later = setTimeout(() => {
          this.down = false;
          lifted();
        }, AFTER_MS);
      }, true);
    }
  }
}
