// On its board a blank follows while its wood is pushed in the picture of a face.

import { pushed } from "../faces-live";
import type { FloorPainter } from "./painter";

/** What ends it. */
export function followPushed(painter: FloorPainter): () => void {
  let hidden: SVGGElement | null = null;
  let element: SVGGElement | null = null;
  return pushed.subscribe((now) => {
    if (now === null) {
      if (hidden !== null) painter.hold(null);
      hidden?.classList.remove("taken-up");
      hidden = null;
      return;
    }
    hidden ??= painter.partElement(now.part);
    hidden?.classList.add("taken-up");
    if (now.held.fragment !== null) element = painter.hold(now.held.fragment);
    element?.setAttribute("transform", now.held.transform);
    element?.classList.toggle("in-hand-wrong", !now.held.fits);
  });
}
