// The picture moves along while what is carried rests at the floor's edge.

import type { ScreenPoint } from "../../gestures/points";
import { panned } from "../../gestures/viewport";
import type { Looking } from "./looking";
import { FOOT_HEIGHT, RULER_HEIGHT } from "./measures";
import type { FloorPainter } from "./painter";

export interface Drifting {
  /** Something is carried here; `carry` is called whenever the picture has moved under it. */
  at(point: ScreenPoint, carry: () => void): void;
  stop(): void;
}

/** How near the edge of the floor, in pixels, the picture moves along with what is carried. */
const EDGE = 36;
/** So many frames something rests there before it does, so that nothing moves in passing. */
const REST_FRAMES = 12;
/** Pixels a frame. */
const ALONG = 9;

export function makeDrifting(painter: () => FloorPainter | null, { view, size }: Looking): Drifting {
  let frame = 0;
  let resting: ScreenPoint | null = null;
  let carryAgain: () => void = () => undefined;

  /** How the picture moves along while something is held at its edge; not past the last board. */
  function drift(at: ScreenPoint): { dx: number; dy: number } {
    const box = painter()?.bounds();
    const { width, height } = size.value;
    if (box === undefined) return { dx: 0, dy: 0 };
    const now = view.value;
    const foot = height - FOOT_HEIGHT;
    const left = box.x * now.scale + now.x;
    const top = box.y * now.scale + now.y;
    const isIn = at.x >= 0 && at.y >= 0 && at.x <= width && at.y <= height;
    if (!isIn) return { dx: 0, dy: 0 };
    let [dx, dy] = [0, 0];
    if (at.x < EDGE && left < EDGE) dx = ALONG;
    else if (at.x > width - EDGE && left + box.width * now.scale > width - EDGE) dx = -ALONG;
    if (at.y < RULER_HEIGHT + EDGE && top < RULER_HEIGHT + EDGE) dy = ALONG;
    else if (at.y > foot - EDGE && top + box.height * now.scale > foot - EDGE) dy = -ALONG;
    return { dx, dy };
  }

  function next(rested: number): void {
    frame = requestAnimationFrame(() => {
      if (resting === null) return;
      const { dx, dy } = drift(resting);
      const now = dx === 0 && dy === 0 ? 0 : rested + 1;
      if (now > REST_FRAMES) {
        view.value = panned(view.value, dx, dy);
        carryAgain();
      }
      if (resting !== null) next(now);
    });
  }

  return {
    at(point, carry) {
      const isFresh = resting === null;
      resting = point;
      carryAgain = carry;
      if (isFresh) next(0);
    },
    stop() {
      resting = null;
      cancelAnimationFrame(frame);
    },
  };
}
