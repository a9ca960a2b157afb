// Places of a face where a measure is lost, hatched over its picture: told by its lines, not by a colour.

import type { LostPlace } from "../protocol/generated";

const SVG = "http://www.w3.org/2000/svg";

/** Between two lines of the hatching, in pixels. */
const APART = 9;

function added(to: Element, name: string, all: Readonly<Record<string, string | number>>): SVGElement {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(all)) made.setAttribute(key, String(value));
  to.append(made);
  return made;
}

let made = 0;

/** Shows places over a picture whose wood begins at its origin, in millimetres; what takes them away again. */
export function showLost(picture: Element | null, places: readonly LostPlace[]): () => void {
  const svg = picture?.querySelector("svg") ?? null;
  if (svg === null || places.length === 0) return () => undefined;
  const over = added(svg, "g", { class: "lost-places", "aria-hidden": "true" });
  const id = `lost-${(made += 1)}`;
  const scale = svg.getScreenCTM()?.a || 1;
  const pattern = added(over, "pattern", {
    id,
    patternUnits: "userSpaceOnUse",
    width: APART,
    height: APART,
    patternTransform: `scale(${1 / scale}) rotate(45)`,
  });
  added(pattern, "path", { class: "lost-casing", d: `M0 0V${APART}` });
  added(pattern, "path", { class: "lost-line", d: `M2 0V${APART}` });
  for (const { x, y, width, height, share } of places) {
    // The worst of it is the plainest.
    added(over, "rect", { x, y, width, height, fill: `url(#${id})`, opacity: Math.min(1, 0.35 + share) });
  }
  return () => over.remove();
}
