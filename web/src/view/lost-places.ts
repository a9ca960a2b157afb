// Places of a face where a measure is lost, laid over its picture.

import type { LostPlace } from "../protocol/generated";

const SVG = "http://www.w3.org/2000/svg";

/** Shows places over a picture whose wood begins at its origin, in millimetres; what takes them away again. */
export function showLost(picture: Element | null, places: readonly LostPlace[]): () => void {
  const svg = picture?.querySelector("svg") ?? null;
  if (svg === null || places.length === 0) return () => undefined;
  const over = document.createElementNS(SVG, "g");
  over.setAttribute("class", "lost-places");
  over.setAttribute("aria-hidden", "true");
  for (const place of places) {
    const box = document.createElementNS(SVG, "rect");
    for (const name of ["x", "y", "width", "height"] as const) box.setAttribute(name, String(place[name]));
    // The worst of it is the plainest.
    box.style.setProperty("--share", String(Math.min(1, 0.25 + place.share)));
    over.append(box);
  }
  svg.append(over);
  return () => over.remove();
}
