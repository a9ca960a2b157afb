// What is asked of the core so that the floor can be drawn, and who draws it.

import type { Scene, View } from "../protocol/generated";
import type { Core } from "./core";

/** `anew`: the scene is all there is, and not only what has changed. */
export type Painter = (scene: Scene, anew: boolean) => void;

export interface Picture {
  view(reset: boolean): View;
  paint(reset: boolean): void;
  /** The floor is drawn by this; it gets everything at once and then what changes. */
  paintWith(painter: Painter | null): void;
  /** The floor is seen at another scale, so labels may need another size. */
  seenAt(pixelsPerMm: number): void;
  /** The floor's window has another shape, so boards may lie in other columns. */
  shaped(widthOverHeight: number): void;
}

/** `shown`: the place that is open and what is picked out in it. */
export function makePicture(core: Core, shown: () => Omit<View, "reset" | "pixels_per_mm" | "aspect">): Picture {
  let painter: Painter | null = null;
  let pixelsPerMm = 0.4;
  let aspect = 1.5;

  const view = (reset: boolean): View => ({ ...shown(), reset, pixels_per_mm: pixelsPerMm, aspect });

  function paint(reset: boolean): void {
    if (painter === null) return;
    const scene = core.ask((session) => session.scene(view(reset)));
    if (scene !== null) painter(scene, reset);
  }

  return {
    view,
    paint,
    paintWith(next) {
      painter = next;
      paint(true);
    },
    seenAt(next) {
      // Labels are drawn anew when they would look clearly too large, or a little too small.
      const grown = Math.log(next / pixelsPerMm);
      if (grown > -0.002 && grown < 0.05) return;
      pixelsPerMm = next;
      paint(false);
    },
    shaped(next) {
      if (Math.abs(next - aspect) < 1e-4) return;
      aspect = next;
      paint(false);
    },
  };
}
