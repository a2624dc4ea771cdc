// @ts-check
// A picture on which points are touched: each is told to the server in pixels of the whole picture.
const STYLE = `
  .frame {overflow: auto; max-height: 70vh; border: 1px solid #b9beb2}
  .whole {position: relative; width: 100%}
  .whole.large {width: 300%}
  img {display: block; width: 100%; cursor: crosshair}
  b {position: absolute; transform: translate(-50%, -50%); width: 26px; height: 26px; border-radius: 50%;
    background: #fff; border: 2px solid #8b1a4a; color: #1d1d1d; font: bold 14px/26px sans-serif; text-align: center;
    pointer-events: none}
  button {min-height: 44px; padding: 0 1rem; margin: .4rem 0; font: 1rem sans-serif; background: #fff;
    border: 1px solid #b9beb2; border-radius: .5rem; cursor: pointer}
`;

/**
 * @typedef {{src: string, says: string, larger: string, width: number, height: number, marks: number[][]}} Picture
 * @typedef {{data: Picture, parentElement: ShadowRoot,
 *   setStateValue: (name: string, value: unknown) => void}} Touched
 */

/** The picture in its frame, as it stands: made anew under a finger it would lose the touch. @param {Touched} component */
function standing({ data, parentElement }) {
  const held = parentElement.querySelector("img");
  if (held?.dataset.shows === data.src) return held;
  const style = document.createElement("style"), frame = document.createElement("div");
  const whole = document.createElement("div"), image = document.createElement("img");
  const larger = document.createElement("button");
  style.textContent = STYLE;
  frame.className = "frame";
  whole.className = "whole";
  Object.assign(image, { src: data.src, alt: data.says });
  image.dataset.shows = data.src;
  Object.assign(larger, { type: "button", textContent: data.larger });
  larger.onclick = () => whole.classList.toggle("large");
  whole.append(image);
  frame.append(whole);
  parentElement.replaceChildren(style, frame, larger);
  return image;
}

/** @param {Touched} component */
export default function (component) {
  const { data, parentElement, setStateValue } = component, image = standing(component);
  image.onclick = (event) => {
    const box = image.getBoundingClientRect();
    const column = (event.clientX - box.left) / box.width * data.width;
    const row = (event.clientY - box.top) / box.height * data.height;
    setStateValue("touch", [Math.round(column * 10) / 10, Math.round(row * 10) / 10]);
  };
  const marks = data.marks.map(([column, row], number) => {
    const mark = document.createElement("b");
    mark.textContent = String(number + 1);
    mark.style.left = `${100 * column / data.width}%`;
    mark.style.top = `${100 * row / data.height}%`;
    return mark;
  });
  for (const mark of parentElement.querySelectorAll("b")) mark.remove();
  image.after(...marks);
}
