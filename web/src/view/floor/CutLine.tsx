// The line of a cut that is drawn over a board or was typed, as with a pencil along a straight edge: a little
// beyond the wood at both ends.

import type { Signal } from "@preact/signals";

import type { Viewport } from "../../gestures/viewport";
import { useApp } from "../app-context";

/** So many pixels beyond the wood. */
const BEYOND = 14;

export function CutLine({ view }: { view: Signal<Viewport> }) {
  const { bench } = useApp();
  const line = bench.seen.value;
  if (line === null || !bench.draws.value) return null;
  const { scale, x, y } = view.value;
  const from = { x: line.x1 * scale + x, y: line.y1 * scale + y };
  const to = { x: line.x2 * scale + x, y: line.y2 * scale + y };
  const long = Math.max(1, Math.hypot(to.x - from.x, to.y - from.y));
  const dx = ((to.x - from.x) / long) * BEYOND;
  const dy = ((to.y - from.y) / long) * BEYOND;
  return (
    <line
      class={`cut-line ${line.fits ? "" : "is-wrong"}`}
      x1={from.x - dx}
      y1={from.y - dy}
      x2={to.x + dx}
      y2={to.y + dy}
    />
  );
}
